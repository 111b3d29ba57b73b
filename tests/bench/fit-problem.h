/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A record of known lines and a start that is off: what this library's fit and general-purpose
 * solvers get alike. One baseline of degree 2 over the whole record; position, strength and both
 * widths of every line are free.
 */
#pragma once

#include "faint/fit/fit.h"

G_BEGIN_DECLS

#define FIT_PROBLEM_BASELINE 3
#define FIT_PROBLEM_PER_LINE 4 /* position, strength, Lorentz, Doppler */

typedef struct
{
  const char *name;
  gsize n_teeth, n_lines, n_parameters;
  FaintSetup *setup;
  FaintSpectrum *spectrum;
  FaintLine *truth, *start;
  double column, survival; /* kappa over sum of strength times profile; s */
} FitProblem;

/* A record interleaved to about 20 samples ("teeth") in a half width; lines in blends of five at
 * most, about four half widths apart. */
void fit_problem_init (FitProblem *self, const char *name, gsize n_teeth, gsize n_lines);
void fit_problem_clear (FitProblem *self);

/* This library's core, no search around it: layout, model and FaintLeastSquares, from the start to
 * @tolerance. Fills @outcome (n_parameters: the baseline, then each line's; see written-model.h for
 * their units) and returns the evaluations. */
guint fit_problem_solve (const FitProblem *self, double tolerance, double *outcome);

G_END_DECLS

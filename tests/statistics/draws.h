/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Many draws of noise over one record, each fitted from near the truth, and what information theory
 * allows at best: the Cramer-Rao bound of the same record.
 */
#pragma once

#include "faint/fit/fit.h"
#include "synthetic.h"

#define DRAW_LINES 2
/* Position, strength and Lorentz width of each line. */
#define DRAW_PARAMETERS (3 * DRAW_LINES)

typedef struct
{
  const char *name;
  const char *pairs[10]; /* of the setup, for synthetic_setup() */
  gsize n_lines;
  double tooth[DRAW_LINES]; /* positions, in teeth from the record's first; not always whole */
  double peak[DRAW_LINES];  /* absorption that the line alone causes at its centre */
  double noise;             /* standard deviation of each sample, and its stated uncertainty */
} DrawCase;

/* A case with all that follows from it. */
typedef struct
{
  const DrawCase *what;
  FaintSetup *setup;
  SyntheticRecord record;
  FaintLine truth[DRAW_LINES];
  FaintSpectrum *clean; /* without noise */
  gsize n_parameters;
  double value[DRAW_PARAMETERS]; /* truth: position, strength, Lorentz width, line by line */
  double bound[DRAW_PARAMETERS]; /* Cramer-Rao bound of the standard deviation */
} DrawTruth;

DrawTruth *draw_truth_new (const DrawCase *what);
void draw_truth_free (DrawTruth *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (DrawTruth, draw_truth_free)

/* Half width of the lines in teeth, about: the distance of a pair is given in these. */
double draw_half_width (void);

typedef struct
{
  double value[DRAW_PARAMETERS], u[DRAW_PARAMETERS]; /* u: noise uncertainty as stated */
  gboolean converged;
} Draw;

/* Draw number @number; the same number gives the same noise. */
Draw draw_fit (const DrawTruth *truth, guint32 number);

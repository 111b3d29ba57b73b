/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a result keeps of its computation, for uncertainties and correlations.
 */
#pragma once

#include "faint/fit/least-squares.h"
#include "faint/fit/model.h"

/* The normal equations at the solution. Counted, for results that share them. */
typedef struct
{
  FaintModel *model;
  FaintNormalFactor *factor; /* of J^T W J with what is known of widths */
  FaintNormal *inverse;      /* (J^T W J)^-1 within band and border */
  gboolean partial;          /* of a series of which the rest is not known: no covariances */
  gpointer joint; /* FaintJoint whose part this is, which owns model and equations (factor
                     is NULL then); or NULL */
  gatomicrefcount refs;
} FaintFitWork;

/* Takes @model. @normal is copied. NULL (model freed) if the equations have no solution. */
FaintFitWork *faint_fit_work_new (FaintModel *model, const FaintNormal *normal);
FaintFitWork *faint_fit_work_ref (FaintFitWork *self);
void faint_fit_work_unref (FaintFitWork *self);

/* Variance of a fitted parameter; INFINITY if the data do not determine it. */
double faint_fit_work_variance (const FaintFitWork *self, gssize place);

/* Variance of a line's parameter, which may follow another's; NAN if it is not fitted. */
double faint_fit_work_line_variance (const FaintFitWork *self, gsize line, FaintPlace place);

/* An empty result that owns nothing but what is given. */
FaintFit *
faint_fit_new_empty (FaintSpectrum *spectrum, const FaintFitOptions *options, FaintLineList *start);

/* Fills windows, baseline coefficients and the per-tooth arrays from the model, and the statistics
 * from those; dof counts parameters less what is known of widths beforehand. */
gboolean faint_fit_take_model (FaintFit *self, FaintFitWork *work, GError **error);

/* What a solution says of line @i of its model, whose values are in @line: uncertainties from noise
 * (of each place of @variance, NAN where not fitted), signal to noise, peak, window and its
 * chi-square, contributions of noise, and the flags that follow from these. */
void faint_fit_describe_line (const FaintFit *fit, const FaintModel *model, gsize i,
                              const double *variance, FaintLine *line);

/* Can this spectrum be fitted with these options? */
gboolean faint_fit_check (FaintSpectrum *spectrum, const FaintFitOptions *options, GError **error);

/* Values and standard uncertainties of what was fitted of the instrument. */
void faint_fit_take_instrument (FaintFit *fit, const FaintFitWork *work);
/* Noise-equivalent absorption, by the fitted baseline. */
void faint_fit_take_noise (FaintFit *fit, const FaintModel *model);

/* A result that shares all with @self but has other lines (taken). */
FaintFit *faint_fit_with_lines (FaintFit *self, FaintLineList *lines);

/* Variance that multiplies (J^T W J)^-1: reduced chi-square where u was estimated from the scatter,
 * else 1. */
double faint_fit_variance_scale (const FaintFit *self);

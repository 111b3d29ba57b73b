/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The model while a line is moved by hand: the windows at hand alone, with the baselines and the
 * instrument of the last fit, fast enough for every frame of a drag. What faint_model_evaluate()
 * gives over all teeth.
 */
#pragma once

#include "faint/fit/fit.h"

typedef struct _FaintFitPreview FaintFitPreview;

/* Refs @fit; @lines are copied. */
FaintFitPreview *faint_fit_preview_new (FaintFit *fit, const FaintLineList *lines);
void faint_fit_preview_free (FaintFitPreview *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (FaintFitPreview, faint_fit_preview_free)

/* A stretch of teeth; arrays of length n, which hold until the next call. */
typedef struct
{
  gsize first, n;
  const double *model, *model_im; /* _im: NULL unless a field */
} FaintFitStretch;

/* The model over the windows of the fit that touch [@lower, @upper], cm-1, with @line in the place
 * of the line of its id. FALSE where there is none, or it has no finite value. */
gboolean faint_fit_preview_evaluate (FaintFitPreview *self, const FaintLine *line, double lower,
                                     double upper, FaintFitStretch *stretch);

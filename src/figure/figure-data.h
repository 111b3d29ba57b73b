/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * All that a figure of a spectrum draws, prepared once for any zoom. Constant, counted references;
 * make it in a thread and hand it over.
 */
#pragma once

#include "figure/lane.h"

typedef struct
{
  FaintSpectrum *spectrum;
  FaintFit *fit;        /* or NULL */
  FaintLineList *lines; /* sticks of the current lines; or NULL */
  FaintRange across;    /* first and last sample, cm-1 */
  double gap;           /* wider distances between samples are not bridged by a curve, cm-1 */
  gboolean is_field;

  /* Real signal: value and model. Field: amplitude |E/E0| and amplitude of the model. */
  FaintPyramid *observed;
  FaintPyramid *used;     /* the same without teeth that are excluded: what is drawn as measured */
  FaintPyramid *excluded; /* those alone, NAN elsewhere; NULL: none */
  FaintPyramid *model;    /* NULL without a fit; so baseline and residual */
  FaintPyramid *baseline;
  FaintPyramid *residual; /* normalised; of a field the part along the observed phase, or real */
  FaintPyramid *residual_across;           /* of a field the other part; else NULL */
  FaintDistribution residual_distribution; /* of both parts, over -6 to 6; n = 0 without a fit */

  /* Phase of a field and of its model, rad; else NULL. */
  FaintPyramid *phase, *phase_model;

  /* Absorption coefficient, cm-1, that signal over baseline means in the cavity, and that of the
   * model; NULL where the cavity is not described (*absorption_reason says why). NAN at excluded
   * teeth; so phase. */
  FaintPyramid *absorption, *absorption_model;
  char *absorption_reason;
  const double *absorption_u; /* standard uncertainty by the response's slope, or NULL */

  /* private */
  gpointer arrays;
  gatomicrefcount refs;
} FaintFigureData;

/* Refs what it is given. @fit and @lines may be NULL; a fit of another spectrum (another length) is
 * left out. */
FaintFigureData *
faint_figure_data_new (FaintSpectrum *spectrum, FaintFit *fit, FaintLineList *lines);
/* The same with other lines; shares all else. */
FaintFigureData *faint_figure_data_with_lines (FaintFigureData *self, FaintLineList *lines);
FaintFigureData *faint_figure_data_ref (FaintFigureData *self);
void faint_figure_data_unref (FaintFigureData *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (FaintFigureData, faint_figure_data_unref)

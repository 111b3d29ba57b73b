/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Another model beside the fitted one: that under other conditions (analysis/what-if.h), over part
 * or all of the span, or that of other lines. Constant, counted references; make it in a thread and
 * hand it over.
 */
#pragma once

#include "faint/analysis/what-if.h"
#include "figure/figure-data.h"

typedef struct
{
  FaintPyramid *model; /* of a field its amplitude */
  FaintPyramid *residual, *residual_across;
  FaintPyramid *phase;      /* of a field, rad; else NULL */
  FaintPyramid *absorption; /* that the model's signal means in the cavity as stated, so that it can
                               be compared with that of the measurement; NULL where that has none */
  gpointer arrays;          /* private */
  gatomicrefcount refs;
} FaintOtherTrace;

/* Refs what it is given. @data: of the same spectrum as @model. */
FaintOtherTrace *faint_other_trace_new (FaintFigureData *data, FaintWhatIfModel *model);
/* The same of another fit of that spectrum. Its baseline may differ from that of @data; the
 * absorption is that over the baseline of @data. */
FaintOtherTrace *faint_other_trace_new_for_fit (FaintFigureData *data, FaintFit *fit);
FaintOtherTrace *faint_other_trace_ref (FaintOtherTrace *self);
void faint_other_trace_unref (FaintOtherTrace *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (FaintOtherTrace, faint_other_trace_unref)

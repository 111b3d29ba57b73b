/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Computes what-if models in a thread: first what is in view, then, when the values rest, the whole
 * span. One computation at a time; what was asked last is computed next, so that a slider that
 * moves shows as many steps as the machine can make, in their order, and ends where it stands.
 */
#pragma once

#include <glib-object.h>

#include "figure/other-trace.h"

G_BEGIN_DECLS

#define FAINT_TYPE_WHAT_IF_WORK (faint_what_if_work_get_type ())
G_DECLARE_FINAL_TYPE (FaintWhatIfWork, faint_what_if_work, FAINT, WHAT_IF_WORK, GObject)

/* What came out. */
typedef struct
{
  FaintOtherTrace *trace;
  gboolean whole;     /* of the whole span, else of the view */
  gboolean repeats;   /* the whole for these values was told before: its trace is the better one */
  double fitted, now; /* chi-square over degrees of freedom there; fitted NAN without a fit */
  double deepest_fitted, deepest; /* largest absorption, 1 - model over baseline */
} FaintWhatIfOutcome;

/* Signal "outcome" (const FaintWhatIfOutcome *), "failed" (const char *). */
FaintWhatIfWork *faint_what_if_work_new (void);

/* Begin with this source; NULL both: stop, and deliver nothing more. */
void
faint_what_if_work_set_source (FaintWhatIfWork *self, FaintWhatIf *what, FaintFigureData *data);
/* @lower, @upper: what is in view, cm-1. */
void faint_what_if_work_ask (FaintWhatIfWork *self, const FaintWhatIfValues *values, double lower,
                             double upper);
/* Something asked for is not there yet. */
gboolean faint_what_if_work_is_busy (FaintWhatIfWork *self);

G_END_DECLS

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Which trace is which, inside a lane where it hides least.
 */
#pragma once

#include "figure/canvas.h"
#include "figure/pyramid.h"

typedef struct
{
  FaintPart part;    /* its stroke */
  const char *words; /* "fitted" */
} FaintLegendEntry;

/* Where a legend stands: along the lower or the upper edge of the lane of @view, on the pixel grid,
 * where it covers least of @traces (NULL ones are passed over), rightmost of equals. FALSE if the
 * lane is too small for it to leave room for the traces. */
gboolean faint_legend_place (const FaintCanvas *canvas, const FaintView *view,
                             const FaintPyramid *const *traces, guint n_traces,
                             const FaintLegendEntry *entries, guint n, FaintRect *place);

/* Draws it there, on a ground of its own. */
void faint_legend_draw (const FaintCanvas *canvas, FaintRect place, const FaintLegendEntry *entries,
                        guint n);

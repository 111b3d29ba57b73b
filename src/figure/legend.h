/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Which trace is which, in a corner of a lane.
 */
#pragma once

#include "figure/canvas.h"

typedef struct
{
  FaintPart part;    /* its stroke */
  const char *words; /* "fitted" */
} FaintLegendEntry;

/* Where a legend stands: at the lower right of @lane, on the pixel grid. FALSE if the lane is too
 * small for it to leave room for the traces. */
gboolean faint_legend_place (const FaintCanvas *canvas, FaintRect lane,
                             const FaintLegendEntry *entries, guint n, FaintRect *place);

/* Draws it there, on a ground of its own. */
void faint_legend_draw (const FaintCanvas *canvas, FaintRect place, const FaintLegendEntry *entries,
                        guint n);

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Differences of two line lists: of positions, ratios of strengths and of Lorentz widths, one panel
 * for each that the lists have, with bars of one combined standard uncertainty.
 */
#pragma once

#include "faint/review/compare.h"
#include "figure/canvas.h"

/* Panels that there is something for. */
guint faint_comparison_figure_panels (const FaintComparison *comparison);
void faint_comparison_figure_draw (const FaintComparison *comparison, const FaintCanvas *canvas,
                                   FaintRect place);
/* As SVG, PDF or PNG by the ending of @path, whole or not at all. */
gboolean
faint_comparison_figure_write (const FaintComparison *comparison, const char *path, GError **error);

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Traces with more samples than columns: one rectangle of colour a column, from the least to the
 * greatest value and joined to its neighbour. Much faster on the screen than a stroked path, and
 * its cost follows the width alone.
 */
#pragma once

#include "figure/palette.h"
#include "figure/pyramid.h"
#include <gtk/gtk.h>

/* Whether @view shows enough of @samples, at @device pixels a unit, for columns. */
gboolean faint_columns_suit (const FaintView *view, const FaintPyramid *samples, double device);

/* Adds the rectangles. @join: a curve, whose columns touch; else samples, which need not. */
void
faint_columns_append (GtkSnapshot *snapshot, const FaintView *view, const FaintPyramid *samples,
                      const FaintPen *pen, double device, gboolean join);

/* The rectangle of one column, in whole device pixels counted down from the top of the lane:
 * [*top, *bottom). @height in device pixels; values outside are cut. FALSE if nothing is seen.
 * For tests and for faint_columns_append(). */
gboolean faint_columns_span (FaintRange up, double height, double least, double greatest,
                             int thickness, int *top, int *bottom);

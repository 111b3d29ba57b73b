/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Sticks of more lines than can be told apart: one rectangle of colour a pixel, up to the tallest
 * there. A path of thousands of strokes is drawn again whenever anything above it moves.
 */
#pragma once

#include "figure/lane.h"
#include <gtk/gtk.h>

/* Whether so many lines are in @view that none has a marker, and @pen is not dashed. */
gboolean faint_sticks_suit (const FaintView *view, const FaintLineList *lines, const FaintPen *pen);
/* Adds the rectangles, at @device pixels a unit. */
void faint_sticks_append (GtkSnapshot *snapshot, const FaintView *view, const FaintLineList *lines,
                          const FaintPen *pen, double device);

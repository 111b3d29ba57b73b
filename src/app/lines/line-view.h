/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A column view of many rows, of which it holds only those in sight. The toolkit's view keeps some
 * two hundred rows ready, each cell of them a widget, and makes them anew where others come to
 * stand there; this one shows it a window of the rows, and does itself what goes beyond the window:
 * scrolling, the keys, ranges of rows. Heads, sizes, focus and what a reader of the screen hears
 * are the toolkit's.
 */
#pragma once

#include "app/lines/line-model.h"
#include "app/lines/line-selection.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define FAINT_TYPE_LINE_VIEW (faint_line_view_get_type ())
G_DECLARE_FINAL_TYPE (FaintLineView, faint_line_view, FAINT, LINE_VIEW, GtkWidget)

/* A GtkScrollable. Signal "activate-row" (guint row), a double click or Enter. */
GtkWidget *faint_line_view_new (FaintLineModel *model, FaintLineSelection *selection);
/* To append columns to, and for its sorter. Borrowed. */
GtkColumnView *faint_line_view_get_column_view (FaintLineView *self);

/* Moves, no more than it must, so that @row is in sight. */
void faint_line_view_scroll_to (FaintLineView *self, guint row);
gboolean faint_line_view_is_in_sight (FaintLineView *self, guint row);
/* The line that keeps its place in sight when the rows change next, 0: none does. Where it is not
 * said it is the selected line if it is in sight, else the first that is. */
void faint_line_view_hold (FaintLineView *self, guint id);
/* The row in which the keys go on; the focus follows where it is among the rows. */
void faint_line_view_set_cursor (FaintLineView *self, guint id);
guint faint_line_view_get_cursor (FaintLineView *self);
/* The row there, FAINT_NO_ROW: none. */
guint faint_line_view_get_row_at (FaintLineView *self, double x, double y);
/* Where a menu for the row with the focus belongs. FALSE: it is not in sight. */
gboolean faint_line_view_get_menu_place (FaintLineView *self, double *x, double *y);

G_END_DECLS

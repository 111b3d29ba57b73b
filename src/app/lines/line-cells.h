/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Columns of the table of lines: how a cell looks and explains itself, and what the heads were
 * clicked to sort by. A cell is a text that is laid out once and takes no part in the sizes of
 * others: a column is as wide as the widest of its texts so far, so that rows that come into sight
 * move nothing.
 */
#pragma once

#include "app/lines/line-model.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define FAINT_TYPE_LINE_CELLS (faint_line_cells_get_type ())
G_DECLARE_FINAL_TYPE (FaintLineCells, faint_line_cells, FAINT, LINE_CELLS, GObject)

/* The cells follow @model, whose window they show. */
FaintLineCells *faint_line_cells_new (FaintLineModel *model);
/* A column of FaintLineItem. */
GtkColumnViewColumn *faint_line_cells_column_new (FaintLineCells *self, FaintLineColumn column);
/* Puts the heads of numbers over them; again whenever a column was shown or got another head.
 * @columns: all, those of @view. */
void faint_line_cells_align_titles (FaintLineCells *self, GtkColumnView *view,
                                    GtkColumnViewColumn *const *columns);
/* The columns that the heads sort by, the first first; returns how many of @sorts, which has room
 * for FAINT_N_LINE_COLUMNS. @sorter: that of the column view. */
guint faint_line_cells_get_order (FaintLineCells *self, GtkSorter *sorter, FaintLineSort *sorts);
/* Makes the columns wide enough for a sample of the rows; @widget has their font. */
void faint_line_cells_fit (FaintLineCells *self, GtkWidget *widget);
/* Once no line is left; the next ones find narrow columns. */
void faint_line_cells_narrow (FaintLineCells *self);

/* The first cell below @widget; NULL: none there. Borrowed. */
GtkListItem *faint_line_cell_below (GtkWidget *widget);
/* What the cell of @widget's table at (x, y) has to explain, as faint_line_item_explain(), or its
 * text where that is cut off; NULL: nothing, or no cell. Free with g_free. */
char *faint_line_cells_explain_at (GtkWidget *widget, double x, double y);

G_END_DECLS

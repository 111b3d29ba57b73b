/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Columns of the table of lines: how a cell looks, explains itself and is sorted.
 */
#pragma once

#include "line-model.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

/* A column of FaintLineItem, with its sorter. */
GtkColumnViewColumn *faint_line_cells_column_new (FaintLineColumn column);
/* The first cell below @widget; NULL: none there. Borrowed. */
GtkListItem *faint_line_cell_below (GtkWidget *widget);
/* What the cell of @widget's table at (x, y) has to explain, as faint_line_item_explain(); NULL:
 * nothing, or no cell. Free with g_free. */
char *faint_line_cells_explain_at (GtkWidget *widget, double x, double y);

G_END_DECLS

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The table of lines: sorted by a click on a head, filtered by conditions, linked with the
 * session's selected line both ways.
 */
#pragma once

#include "app/lines/line-columns.h"
#include "app/lines/line-model.h"
#include "app/document/session.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define FAINT_TYPE_LINE_TABLE (faint_line_table_get_type ())
G_DECLARE_FINAL_TYPE (FaintLineTable, faint_line_table, FAINT, LINE_TABLE, GtkWidget)

/* Signals: "activate-line" (guint id), a double click or Enter; "rows-selected", others than
 * before; "rows-changed", the view of the plots has others; "axis-changed", so that conditions mean
 * others. */
GtkWidget *faint_line_table_new (FaintSession *session);

/* What a right click, the Menu key and Shift+F10 open, for the selected rows. */
void faint_line_table_set_menu (FaintLineTable *self, GMenuModel *menu);

/* NULL empties the table. The selection is kept by the lines' ids. */
void faint_line_table_set_list (FaintLineTable *self, FaintLineList *list);
/* Observed minus calculated positions, as faint_line_model_set_differences() takes them; the column
 * is there while there are any. */
void faint_line_table_set_differences (FaintLineTable *self, GHashTable *differences);
/* The unit of the axis, in which heads, cells and conditions are. */
void faint_line_table_set_axis (FaintLineTable *self, const FaintAxisUnit *axis);
const FaintAxisUnit *faint_line_table_get_axis (FaintLineTable *self);
/* TRUE: lines outside of the visible range are no rows, whatever becomes visible. */
void faint_line_table_set_only_in_view (FaintLineTable *self, gboolean only);
gboolean faint_line_table_get_only_in_view (FaintLineTable *self);
/* Ids of the selected rows, in the order shown; guint. Free with g_array_unref. */
GArray *faint_line_table_get_selected (FaintLineTable *self);
void faint_line_table_select_all (FaintLineTable *self);
/* Those rows and no others; those that the filter hides are left out. */
void faint_line_table_select_ids (FaintLineTable *self, const guint *ids, gsize n);
/* The row of @id goes in or out of those selected. */
void faint_line_table_toggle (FaintLineTable *self, guint id);
/* Rows shown, after the filter. */
guint faint_line_table_get_n_shown (FaintLineTable *self);
/* Id of a shown row, 0: no such row. Selecting it is what a click does. */
guint faint_line_table_get_id (FaintLineTable *self, guint row);
void faint_line_table_select_row (FaintLineTable *self, guint row);

/* Which columns are shown; columns of labels only once a line has one. Borrowed. */
FaintLineColumns *faint_line_table_get_columns (FaintLineTable *self);
gboolean faint_line_table_shows (FaintLineTable *self, FaintLineColumn column);
/* Conditions as in line-filter.h. FALSE with an error in words where they cannot be read: then all
 * rows are shown. */
gboolean faint_line_table_set_filter (FaintLineTable *self, const char *text, GError **error);
/* Sorts as a click on the head of @column does. */
void faint_line_table_sort_by (FaintLineTable *self, FaintLineColumn column, GtkSortType order);

/* The selected rows, or all when none is, as tab-separated text with a row of heads; of the columns
 * and in the units shown, minus signs as programs read them. */
char *faint_line_table_to_text (FaintLineTable *self);

G_END_DECLS

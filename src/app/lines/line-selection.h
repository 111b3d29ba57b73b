/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Which lines of a table are selected, by their ids: they stay so when rows are sorted and in other
 * lists; those that are no rows any more are not. To a view it is a selection of the window of rows
 * that the model shows, with positions there; whatever changes it, the view is told once.
 */
#pragma once

#include "app/lines/line-model.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define FAINT_TYPE_LINE_SELECTION (faint_line_selection_get_type ())
G_DECLARE_FINAL_TYPE (FaintLineSelection, faint_line_selection, FAINT, LINE_SELECTION, GObject)

/* A GtkSelectionModel of @model. Signal "changed": others were selected; not when rows that were
 * are gone. */
FaintLineSelection *faint_line_selection_new (FaintLineModel *model);

gboolean faint_line_selection_contains (FaintLineSelection *self, guint id);
/* In the order of the rows; guint. Free with g_array_unref. */
GArray *faint_line_selection_get_ids (FaintLineSelection *self);
guint faint_line_selection_get_n (FaintLineSelection *self);
/* Those of the ids that are rows, and no others. */
void faint_line_selection_set_ids (FaintLineSelection *self, const guint *ids, gsize n);
void faint_line_selection_toggle (FaintLineSelection *self, guint id);
/* Rows, not positions in the window. A range is from the row that was selected or toggled last;
 * with @modify it becomes as that row is and the others stay. */
void faint_line_selection_select_row (FaintLineSelection *self, guint row);
void faint_line_selection_extend_to (FaintLineSelection *self, guint row, gboolean modify);

G_END_DECLS

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The line list as rows of a table: those that meet a filter, in the order of some columns. As a
 * list model it shows a window of them, the rows in sight, so that a view of it costs the same
 * whatever the length of the list. Filter and order are arrays of numbers; there are items for the
 * window alone, one for each of its places: what comes into sight is told to the item there, so
 * that a view makes no row anew.
 */
#pragma once

#include "app/lines/line-filter.h"
#include "app/lines/line-item.h"
#include "figure/view.h"

#include <gio/gio.h>

G_BEGIN_DECLS

#define FAINT_TYPE_LINE_MODEL (faint_line_model_get_type ())
G_DECLARE_FINAL_TYPE (FaintLineModel, faint_line_model, FAINT, LINE_MODEL, GObject)

#define FAINT_NO_ROW G_MAXUINT

typedef struct
{
  FaintLineColumn column;
  gboolean descending;
} FaintLineSort;

/* Signals: "window-changing", the rows and the first of the window are known but the items have
 * their lines yet; "items-changed" only where it has more places or fewer; "window-changed", the
 * items may have other lines or contents. "rows-changed", after these: other rows, or the same in
 * another order or with other contents. */
FaintLineModel *faint_line_model_new (void);
/* NULL empties the model. */
void faint_line_model_set_list (FaintLineModel *self, FaintLineList *list);
FaintLineList *faint_line_model_get_list (FaintLineModel *self); /* borrowed, may be NULL */
/* FaintLineDifference (to be freed with g_free) by id of the line; a reference is taken. NULL: none
 * are known. */
void faint_line_model_set_differences (FaintLineModel *self, GHashTable *differences);
/* The unit of the axis, in which cells are written and a falling one turns the order of positions
 * round. */
void faint_line_model_set_axis (FaintLineModel *self, const FaintAxisUnit *axis);
const FaintAxisUnit *faint_line_model_get_axis (FaintLineModel *self);
/* Lines in @view (cm-1) alone are rows; not valid: all are. */
void faint_line_model_set_view (FaintLineModel *self, FaintRange view);
/* Takes @filter; NULL: every line is a row. */
void faint_line_model_set_filter (FaintLineModel *self, FaintLineFilter *filter);
/* By the first, equal ones by the next, then as in the list. What is not known comes last, whether
 * ascending or descending. Copied. */
void faint_line_model_set_order (FaintLineModel *self, const FaintLineSort *sorts, guint n);

guint faint_line_model_get_n_rows (FaintLineModel *self);
/* Id of a row, 0: no such row. Row of an id, or FAINT_NO_ROW. */
guint faint_line_model_get_id (FaintLineModel *self, guint row);
guint faint_line_model_get_row (FaintLineModel *self, guint id);
/* As it is shown, whether in the window or not; NULL: no such row. Free with g_object_unref. */
FaintLineItem *faint_line_model_get_row_item (FaintLineModel *self, guint row);

/* The rows that are items: @n from @first, or from before it where the rows end. All of them until
 * it is set. */
void faint_line_model_set_window (FaintLineModel *self, guint first, guint n);
guint faint_line_model_get_first (FaintLineModel *self);
/* The line that keeps its place in the window when the rows change; 0: they are shown from the
 * first. */
void faint_line_model_set_anchor (FaintLineModel *self, guint id);
guint faint_line_model_get_anchor (FaintLineModel *self);

G_END_DECLS

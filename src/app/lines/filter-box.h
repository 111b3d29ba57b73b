/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The filter of the table of lines: an entry for conditions (line-filter.h), what is wrong with
 * them beside it, and a popover that writes them and tells how.
 */
#pragma once

#include "app/lines/line-table.h"

G_BEGIN_DECLS

#define FAINT_TYPE_FILTER_BOX (faint_filter_box_get_type ())
G_DECLARE_FINAL_TYPE (FaintFilterBox, faint_filter_box, FAINT, FILTER_BOX, GtkBox)

/* Property of GtkBuilder: none. Signals: "changed", the table shows other rows; "leave", Escape was
 * pressed in the entry. */
void faint_filter_box_set_table (FaintFilterBox *self, FaintLineTable *table);
/* The GtkSearchEntry; its text counts at once when it is set here. */
GtkWidget *faint_filter_box_get_entry (FaintFilterBox *self);
void faint_filter_box_set_text (FaintFilterBox *self, const char *text);
/* Ticks the choice of the popover that rows follow the visible range. */
void faint_filter_box_set_only_in_view (FaintFilterBox *self, gboolean only);
/* What is wrong with the text, or NULL. */
const char *faint_filter_box_get_error (FaintFilterBox *self);
/* What the popover does: adds a condition to the text. @face 0: value, 1: uncertainty, 2: relative
 * uncertainty in per cent. Either end may be ""; of a column of text @lower is what it is to hold.
 * FALSE with words in the popover where that is no condition. */
gboolean faint_filter_box_add (FaintFilterBox *self, FaintLineColumn column, guint face,
                               const char *lower, const char *upper);

G_END_DECLS

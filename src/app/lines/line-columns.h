/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Which columns the table of lines shows: a choice for each, as actions and a menu.
 */
#pragma once

#include "app/lines/line-item.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define FAINT_TYPE_LINE_COLUMNS (faint_line_columns_get_type ())
G_DECLARE_FINAL_TYPE (FaintLineColumns, faint_line_columns, FAINT, LINE_COLUMNS, GObject)

/* Signal "changed": others are chosen. The table binds to faint_line_columns_is_chosen(). */
FaintLineColumns *faint_line_columns_new (void);

gboolean faint_line_columns_is_chosen (FaintLineColumns *self, FaintLineColumn column);
/* "position,strength": names as in faint_line_column_name(). Unknown ones are skipped; a text that
 * names none changes nothing. */
void faint_line_columns_set_text (FaintLineColumns *self, const char *names);
char *faint_line_columns_get_text (FaintLineColumns *self);
/* The actions of the menu, to be inserted as "columns" where the menu is shown; and the menu. */
GActionGroup *faint_line_columns_get_actions (FaintLineColumns *self);
GMenuModel *faint_line_columns_get_menu (FaintLineColumns *self);

G_END_DECLS

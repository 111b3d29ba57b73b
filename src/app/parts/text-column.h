/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Columns of a GtkColumnView whose cells are labels of words or of numbers. Numbers stand at the
 * right with tabular digits that run from left to right wherever words go, and so do their titles.
 */
#pragma once

#include <gtk/gtk.h>

G_BEGIN_DECLS

typedef enum
{
  FAINT_TEXT_COLUMN_WORDS,
  FAINT_TEXT_COLUMN_NUMBERS,
  FAINT_TEXT_COLUMN_LAST_WORDS /* words that take what room is left, and end in … */
} FaintTextColumnKind;

/* Writes what @item has in column @column into the cell @label. */
typedef void (*FaintTextColumnFill) (GtkLabel *label, gpointer item, guint column);

/* A resizable column number @column under @title, which stays valid, sorted by @compare with the
 * number as its data. */
GtkColumnViewColumn *
faint_text_column_new (const char *title, guint column, FaintTextColumnKind kind,
                       FaintTextColumnFill fill, GCompareDataFunc compare);

/* Puts the title of @column, which is in @view and visible, over the numbers at the right. Again
 * whenever the column was shown anew or has got another title. */
void faint_text_column_title_to_right (GtkColumnView *view, GtkColumnViewColumn *column);

G_END_DECLS

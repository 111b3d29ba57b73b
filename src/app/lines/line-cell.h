/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * One line of text in a table: laid out when it changes, cut off with dots where it is too wide, to
 * a reader of the screen a label. Digits go from left to right wherever words go.
 */
#pragma once

#include <gtk/gtk.h>

G_BEGIN_DECLS

/* What the cells of a column have in common. */
typedef struct
{
  gboolean leading;           /* texts begin at the left, else end at the right */
  gboolean shrinks;           /* may be narrower than its texts */
  GPtrArray *cells;           /* borrowed */
  PangoFontDescription *font; /* for which the sizes hold, or NULL */
  int width;                  /* of the widest text, in pixels */
  int height, ascent;         /* of a line of text */
} FaintCellColumn;

#define FAINT_TYPE_LINE_CELL (faint_line_cell_get_type ())
G_DECLARE_FINAL_TYPE (FaintLineCell, faint_line_cell, FAINT, LINE_CELL, GtkWidget)

/* Joins the cells of @column, which @owner keeps alive. */
GtkWidget *faint_line_cell_new (FaintCellColumn *column, GObject *owner);
void faint_line_cell_set_text (FaintLineCell *self, const char *text);
const char *faint_line_cell_get_text (FaintLineCell *self);
/* What a reader of the screen hears besides; NULL: nothing. */
void faint_line_cell_set_description (FaintLineCell *self, const char *words);
const char *faint_line_cell_get_description (FaintLineCell *self);
gboolean faint_line_cell_is_cut_off (FaintLineCell *self);

/* Another font begins the sizes anew. */
void faint_cell_column_set_font (FaintCellColumn *self, PangoContext *context);
/* Makes all cells at least @width pixels wide. */
void faint_cell_column_widen (FaintCellColumn *self, int width);
/* A layout as the cells have it, in the font of @widget. */
PangoLayout *faint_cell_column_layout_new (GtkWidget *widget);

G_END_DECLS

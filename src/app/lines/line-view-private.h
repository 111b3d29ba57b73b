/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Between the files of the view: line-view.c (what is in sight), line-view-focus.c (the focus of a
 * line) and line-view-input.c (keys and clicks).
 */
#pragma once

#include "app/lines/line-view.h"

struct _FaintLineView
{
  GtkWidget parent;

  FaintLineModel *model;
  FaintLineSelection *selection;
  GtkColumnView *view;
  GtkWidget *list; /* in the view: its rows */

  GtkAdjustment *horizontal, *vertical; /* of all rows */
  guint horizontal_policy, vertical_policy;
  GtkAdjustment *inner; /* of the window of rows */
  double row_height;    /* 0: not known yet */
  guint n_window;       /* rows held */
  guint n_allocated;    /* rows that have got their sizes */
  guint cursor;         /* id */
  double anchor_top;    /* of the model's anchor, pixels below what is first in sight */
  guint wanted;         /* id of the row to scroll to once sizes are known, or 0 */
  guint settling;       /* source, or 0 */
  gboolean moving;      /* what the toolkit scrolls now is our doing */
};

/* Its widget; NULL where it is not in the window. */
GtkWidget *_faint_line_view_row_widget (FaintLineView *self, guint row);
/* That with the focus, or NULL. */
GtkWidget *_faint_line_view_focused_row (FaintLineView *self);
/* Keeps in mind which line has the focus, before the widgets get other lines; and gives it to that
 * line's after. */
void _faint_line_view_note_cursor (FaintLineView *self);
void _faint_line_view_return_focus (FaintLineView *self);
/* The focus is on a row, or here because its row is out of sight. */
gboolean _faint_line_view_has_focus (FaintLineView *self);
/* The row with the focus, or where it was last; FAINT_NO_ROW: none. */
guint _faint_line_view_cursor_row (FaintLineView *self);
/* Goes there with the focus. */
void _faint_line_view_go_to (FaintLineView *self, guint row);
/* What the scroll bar says. */
void _faint_line_view_show_rows (FaintLineView *self);
/* Rows that fit. */
guint _faint_line_view_page (FaintLineView *self);
void _faint_line_view_activate (FaintLineView *self, guint row);
void _faint_line_view_add_input (FaintLineView *self);

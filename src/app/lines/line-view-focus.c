/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The focus belongs to a line, not to the widget that shows it now: it moves on when another widget
 * does, and waits in the view while none does.
 */
#include "app/lines/line-view-private.h"

#include "app/lines/line-cells.h"

GtkWidget *
_faint_line_view_row_widget (FaintLineView *self, guint row)
{
  guint first = faint_line_model_get_first (self->model);

  for (GtkWidget *child = gtk_widget_get_first_child (self->list); child;
       child = gtk_widget_get_next_sibling (child))
    {
      GtkListItem *item = faint_line_cell_below (child);

      if (item && first + gtk_list_item_get_position (item) == row)
        return child;
    }
  return NULL;
}

/* The row that holds the focus, or NULL. */
GtkWidget *
_faint_line_view_focused_row (FaintLineView *self)
{
  GtkRoot *root = gtk_widget_get_root (GTK_WIDGET (self));
  GtkWidget *focus = root ? gtk_root_get_focus (root) : NULL;

  while (focus && gtk_widget_get_parent (focus) != self->list)
    focus = gtk_widget_get_parent (focus);
  return focus;
}

gboolean
_faint_line_view_has_focus (FaintLineView *self)
{
  return gtk_widget_is_focus (GTK_WIDGET (self)) || _faint_line_view_focused_row (self);
}

/* Keeps in mind where the focus is. */
void
_faint_line_view_note_cursor (FaintLineView *self)
{
  GtkWidget *widget = _faint_line_view_focused_row (self);
  GtkListItem *item = widget ? faint_line_cell_below (widget) : NULL;
  FaintLineItem *line = item ? gtk_list_item_get_item (item) : NULL;

  if (line)
    self->cursor = faint_line_item_get_line (line)->id;
}

guint
_faint_line_view_cursor_row (FaintLineView *self)
{
  _faint_line_view_note_cursor (self);
  return faint_line_model_get_row (self->model, self->cursor);
}

/* The focus waits here while its row is out of sight; there is nothing here to be reached by Tab.
 */
static void
hold_focus (FaintLineView *self, gboolean hold)
{
  gtk_widget_set_focusable (GTK_WIDGET (self), hold);
  if (hold)
    gtk_root_set_focus (gtk_widget_get_root (GTK_WIDGET (self)), GTK_WIDGET (self));
}

/* To the row of the cursor, where it is in the window. */
void
_faint_line_view_return_focus (FaintLineView *self)
{
  guint row = faint_line_model_get_row (self->model, self->cursor);
  GtkWidget *before = _faint_line_view_focused_row (self), *widget = NULL;

  if (before == NULL && !gtk_widget_is_focus (GTK_WIDGET (self)))
    return;
  if (row != FAINT_NO_ROW)
    widget = _faint_line_view_row_widget (self, row);
  if (widget == NULL)
    hold_focus (self, TRUE);
  else if (widget != before && gtk_widget_grab_focus (widget))
    hold_focus (self, FALSE);
}

void
_faint_line_view_go_to (FaintLineView *self, guint row)
{
  guint before = faint_line_view_get_cursor (self);
  GtkWidget *widget;

  faint_line_view_scroll_to (self, row);
  self->cursor = faint_line_model_get_id (self->model, row);
  widget = _faint_line_view_row_widget (self, row);
  self->moving = TRUE;
  /* the widget may be the same that had the focus with another line, which is to be heard */
  if (widget && widget == _faint_line_view_focused_row (self) && before != self->cursor)
    hold_focus (self, TRUE);
  if (widget && gtk_widget_grab_focus (widget))
    hold_focus (self, FALSE);
  self->moving = FALSE;
  _faint_line_view_show_rows (self);
}

void
faint_line_view_set_cursor (FaintLineView *self, guint id)
{
  g_return_if_fail (FAINT_IS_LINE_VIEW (self));
  if (_faint_line_view_has_focus (self))
    {
      guint row = faint_line_model_get_row (self->model, id);

      if (row != FAINT_NO_ROW && row != _faint_line_view_cursor_row (self))
        _faint_line_view_go_to (self, row);
    }
  self->cursor = id;
}

guint
faint_line_view_get_cursor (FaintLineView *self)
{
  g_return_val_if_fail (FAINT_IS_LINE_VIEW (self), 0);
  _faint_line_view_note_cursor (self);
  return self->cursor;
}

gboolean
faint_line_view_get_menu_place (FaintLineView *self, double *x, double *y)
{
  GtkWidget *row = _faint_line_view_focused_row (self);

  return row
         && gtk_widget_translate_coordinates (row, GTK_WIDGET (self),
                                              gtk_widget_get_width (row) / 4.0,
                                              gtk_widget_get_height (row), x, y);
}

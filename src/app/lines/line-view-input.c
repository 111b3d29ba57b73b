/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Keys and clicks that reach beyond the window of rows; they mean what they mean in any list.
 */
#include "app/lines/line-view-private.h"

/* Selects as a step or a click with these keys does. */
static void
select_row (FaintLineView *self, guint row, GdkModifierType state)
{
  if (state & GDK_SHIFT_MASK)
    faint_line_selection_extend_to (self->selection, row, (state & GDK_CONTROL_MASK) != 0);
  else
    faint_line_selection_select_row (self->selection, row);
}

/* Where a key goes from @row; FALSE: nowhere, it is another key. */
static gboolean
find_target (FaintLineView *self, guint keyval, gint64 row, gint64 *target)
{
  gint64 last = (gint64)faint_line_model_get_n_rows (self->model) - 1;
  gint64 page = _faint_line_view_page (self);

  switch (keyval)
    {
    case GDK_KEY_Up:
    case GDK_KEY_KP_Up:
      *target = row - 1;
      break;
    case GDK_KEY_Down:
    case GDK_KEY_KP_Down:
      *target = row + 1;
      break;
    case GDK_KEY_Page_Up:
    case GDK_KEY_KP_Page_Up:
      *target = row - page;
      break;
    case GDK_KEY_Page_Down:
    case GDK_KEY_KP_Page_Down:
      *target = row + page;
      break;
    case GDK_KEY_Home:
    case GDK_KEY_KP_Home:
      *target = 0;
      break;
    case GDK_KEY_End:
    case GDK_KEY_KP_End:
      *target = last;
      break;
    default:
      return FALSE;
    }
  *target = CLAMP (*target, 0, last);
  return TRUE;
}

/* Ctrl moves without selecting. */
static void
step_to (FaintLineView *self, guint row, GdkModifierType state)
{
  _faint_line_view_go_to (self, row);
  if ((state & (GDK_CONTROL_MASK | GDK_SHIFT_MASK)) != GDK_CONTROL_MASK)
    select_row (self, row, state);
}

/* Those at a row; FALSE: none of them. */
static gboolean
act_at (FaintLineView *self, guint keyval, guint row, GdkModifierType state)
{
  switch (keyval)
    {
    case GDK_KEY_space:
    case GDK_KEY_KP_Space:
      if (state & GDK_SHIFT_MASK)
        select_row (self, row, state);
      else
        faint_line_selection_toggle (self->selection, faint_line_model_get_id (self->model, row));
      return TRUE;
    case GDK_KEY_Return:
    case GDK_KEY_ISO_Enter:
    case GDK_KEY_KP_Enter:
      _faint_line_view_activate (self, row);
      return TRUE;
    default:
      return FALSE;
    }
}

static gboolean
act_on_all (FaintLineView *self, guint keyval, GdkModifierType state)
{
  GtkSelectionModel *selection = GTK_SELECTION_MODEL (self->selection);

  if (!(state & GDK_CONTROL_MASK))
    return FALSE;
  keyval = gdk_keyval_to_lower (keyval);
  if (keyval == GDK_KEY_backslash || (keyval == GDK_KEY_a && (state & GDK_SHIFT_MASK)))
    gtk_selection_model_unselect_all (selection);
  else if (keyval == GDK_KEY_slash || keyval == GDK_KEY_a)
    gtk_selection_model_select_all (selection);
  else
    return FALSE;
  return TRUE;
}

static gboolean
on_key (GtkEventControllerKey *keys, guint keyval, guint keycode, GdkModifierType state,
        FaintLineView *self)
{
  guint n = faint_line_model_get_n_rows (self->model), row;
  gint64 target;

  /* not those of the heads and their menus */
  if (!_faint_line_view_has_focus (self) || n == 0 || (state & GDK_ALT_MASK))
    return FALSE;
  if (act_on_all (self, keyval, state))
    return TRUE;
  row = _faint_line_view_cursor_row (self);
  if (find_target (self, keyval, row == FAINT_NO_ROW ? -1 : (gint64)row, &target))
    {
      step_to (self, (guint)target, state);
      return TRUE;
    }
  return row != FAINT_NO_ROW && act_at (self, keyval, row, state);
}

/* A plain click is the toolkit's. With Shift the range may begin beyond the window; with Ctrl the
 * toolkit lets the cell and the row both toggle, one after the other, and nothing changes (GTK
 * 4.8). */
static void
on_click (GtkGestureClick *gesture, int n_press, double x, double y, FaintLineView *self)
{
  GdkModifierType state
      = gtk_event_controller_get_current_event_state (GTK_EVENT_CONTROLLER (gesture));
  guint row = faint_line_view_get_row_at (self, x, y);

  if (!(state & (GDK_CONTROL_MASK | GDK_SHIFT_MASK)) || row == FAINT_NO_ROW)
    {
      gtk_gesture_set_state (GTK_GESTURE (gesture), GTK_EVENT_SEQUENCE_DENIED);
      return;
    }
  gtk_gesture_set_state (GTK_GESTURE (gesture), GTK_EVENT_SEQUENCE_CLAIMED);
  _faint_line_view_go_to (self, row);
  if (state & GDK_SHIFT_MASK)
    select_row (self, row, state);
  else
    faint_line_selection_toggle (self->selection, faint_line_model_get_id (self->model, row));
}

void
_faint_line_view_add_input (FaintLineView *self)
{
  GtkEventController *keys = gtk_event_controller_key_new ();
  GtkGesture *click = gtk_gesture_click_new ();

  gtk_event_controller_set_propagation_phase (keys, GTK_PHASE_CAPTURE);
  g_signal_connect (keys, "key-pressed", G_CALLBACK (on_key), self);
  gtk_widget_add_controller (GTK_WIDGET (self), keys);
  gtk_event_controller_set_propagation_phase (GTK_EVENT_CONTROLLER (click), GTK_PHASE_CAPTURE);
  g_signal_connect (click, "pressed", G_CALLBACK (on_click), self);
  gtk_widget_add_controller (GTK_WIDGET (self), GTK_EVENT_CONTROLLER (click));
}

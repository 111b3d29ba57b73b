/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The pointer over the plots: scroll pans, Ctrl+scroll zooms, a drag draws a range to zoom to,
 * Shift or the middle button pans, Ctrl marks a range, the handles of the selected line move it and
 * set its width.
 */
#include "app/plot/plot-private.h"

#include <math.h>

#define FAR_ENOUGH 4.0     /* units, before a press is a drag */
#define SCROLL_SHARE 0.1   /* of the view, a notch of the wheel */
#define SCROLL_FACTOR 1.25 /* of a zoom, a notch */
#define LEAST_RANGE 4.0    /* units: a narrower range was a slip */

static gboolean
wavenumber_at (FaintPlot *self, double x, double *wavenumber)
{
  FaintView view;

  if (!faint_plot_shared_view (self, &view))
    return FALSE;
  *wavenumber
      = faint_view_wavenumber (&view, CLAMP (x, view.place.x, view.place.x + view.place.width));
  return TRUE;
}

static gboolean
is_over_plots (FaintPlot *self, double x, double y)
{
  const FaintFigureLayout *layout = faint_plot_get_layout (self);
  FaintView view;

  if (layout == NULL || !faint_plot_shared_view (self, &view))
    return FALSE;
  return faint_rect_contains (layout->plots, x, y) && x >= view.place.x
         && x <= view.place.x + view.place.width;
}

static gboolean
is_shaping (FaintPlot *self)
{
  return self->drag.kind == FAINT_DRAG_LINE || self->drag.kind == FAINT_DRAG_WIDTH;
}

static void
update_cursor (FaintPlot *self)
{
  const char *name = NULL;

  if (self->drag.kind == FAINT_DRAG_PAN)
    name = "grabbing";
  else if (is_shaping (self)
           || (!isnan (self->pointer_x)
               && faint_plot_marks_handle_at (FAINT_PLOT_MARKS (self->marks), self->pointer_x,
                                              self->pointer_y)
                      != FAINT_HANDLE_NONE))
    name = "ew-resize";
  else if (faint_session_get_mode (self->session) != FAINT_MODE_INSPECT)
    name = "crosshair";
  gtk_widget_set_cursor_from_name (self->overlay, name);
}

static void
on_motion (FaintPlot *self, double x, double y)
{
  gboolean over = is_over_plots (self, x, y);
  double wavenumber = NAN;

  self->pointer_x = over ? x : NAN;
  self->pointer_y = over ? y : NAN;
  if (is_shaping (self))
    return; /* the read-out follows the line */
  if (over)
    wavenumber_at (self, x, &wavenumber);
  update_cursor (self);
  faint_session_set_pointer (self->session, wavenumber);
  faint_plot_refresh_marks (self); /* the horizontal hair moves alone, too */
}

static void
on_leave (FaintPlot *self)
{
  self->pointer_x = self->pointer_y = NAN;
  faint_session_set_pointer (self->session, NAN);
  faint_plot_refresh_marks (self);
}

static gboolean
on_scroll (FaintPlot *self, double dx, double dy, GtkEventControllerScroll *scroll)
{
  GdkModifierType state
      = gtk_event_controller_get_current_event_state (GTK_EVENT_CONTROLLER (scroll));
  gboolean surface = gtk_event_controller_scroll_get_unit (scroll) == GDK_SCROLL_UNIT_SURFACE;
  double way = fabs (dx) > fabs (dy) ? dx : dy;
  FaintView view;

  if (!faint_plot_shared_view (self, &view))
    return GDK_EVENT_PROPAGATE;
  if (state & GDK_CONTROL_MASK)
    {
      /* A finger's way counts a notch for every 50 units. */
      double notches = surface ? dy / 50 : dy;

      faint_session_zoom_at (self->session, faint_plot_focus_wavenumber (self),
                             pow (SCROLL_FACTOR, -notches));
    }
  else
    faint_session_pan (self->session, surface ? way / view.place.width : way * SCROLL_SHARE);
  return GDK_EVENT_STOP;
}

static void
on_pinch_begin (FaintPlot *self)
{
  self->scale_before = 1;
}

static void
on_pinch (FaintPlot *self, double scale, GtkGesture *gesture)
{
  double x, y, at;

  if (!(scale > 0) || !gtk_gesture_get_bounding_box_center (gesture, &x, &y)
      || !wavenumber_at (self, x, &at))
    return;
  faint_session_zoom_at (self->session, at, scale / self->scale_before);
  self->scale_before = scale;
}

/* Ends the drag without effect. */
void
faint_plot_drag_cancel (FaintPlot *self)
{
  if (self->drag.kind == FAINT_DRAG_NONE)
    return;
  if (is_shaping (self))
    faint_session_set_dragged (self->session, NULL);
  self->drag = (FaintDrag){ 0 };
  faint_plot_preview_end (self);
  update_cursor (self);
  faint_plot_refresh_marks (self);
}

static void
on_drag_begin (FaintPlot *self, double x, double y, GtkGestureDrag *gesture)
{
  GdkModifierType state
      = gtk_event_controller_get_current_event_state (GTK_EVENT_CONTROLLER (gesture));
  guint button = gtk_gesture_single_get_current_button (GTK_GESTURE_SINGLE (gesture));

  gtk_widget_grab_focus (GTK_WIDGET (self));
  if (self->data == NULL || !is_over_plots (self, x, y))
    {
      gtk_gesture_set_state (GTK_GESTURE (gesture), GTK_EVENT_SEQUENCE_DENIED);
      return;
    }
  self->drag = (FaintDrag){ .kind = FAINT_DRAG_PENDING, .wanted = FAINT_DRAG_RANGE, .x = x };
  wavenumber_at (self, x, &self->drag.from);
  self->drag.at = self->drag.from;
  self->drag.y = y;
  if (button == GDK_BUTTON_MIDDLE || (state & GDK_SHIFT_MASK))
    self->drag.wanted = FAINT_DRAG_PAN;
  else if (!faint_plot_shape_begin (
               self, faint_plot_marks_handle_at (FAINT_PLOT_MARKS (self->marks), x, y))
           && ((state & GDK_CONTROL_MASK)
               || faint_session_get_mode (self->session) == FAINT_MODE_MARK))
    self->drag.wanted = FAINT_DRAG_MARK;
}

/* The wavenumber at the beginning stays under the pointer. */
static void
pan_to (FaintPlot *self, double x)
{
  FaintView view;
  FaintRange held;

  if (!faint_plot_shared_view (self, &view))
    return;
  held = faint_range_hold (view.across, self->drag.from, (x - view.place.x) / view.place.width);
  faint_session_set_view (self->session, held.lower, held.upper);
}

static void
on_drag_update (FaintPlot *self, double offset_x, double offset_y, GtkGestureDrag *gesture)
{
  double x = self->drag.x + offset_x, at = self->drag.at;

  if (self->drag.kind == FAINT_DRAG_NONE)
    return;
  if (self->drag.kind == FAINT_DRAG_PENDING)
    {
      if (hypot (offset_x, offset_y) < FAR_ENOUGH)
        return;
      self->drag.kind = self->drag.wanted;
      gtk_gesture_set_state (GTK_GESTURE (gesture), GTK_EVENT_SEQUENCE_CLAIMED);
      update_cursor (self);
    }

  if (self->drag.kind == FAINT_DRAG_PAN)
    pan_to (self, x);
  else if (wavenumber_at (self, x, &at) && is_shaping (self))
    faint_plot_shape_update (self, at);
  else
    self->drag.at = at;
  if (self->drag.kind == FAINT_DRAG_MARK)
    self->marked = (FaintRange){ MIN (self->drag.from, self->drag.at),
                                 MAX (self->drag.from, self->drag.at) };
  faint_plot_refresh_marks (self);
}

/* A marked range asks at once what it is for. */
static void
end_mark (FaintPlot *self, const FaintDrag *drag, double offset_x, double offset_y)
{
  if (fabs (offset_x) < LEAST_RANGE)
    {
      faint_plot_unmark (self);
      return;
    }
  faint_plot_set_marked (self, self->marked);
  faint_plot_popup_range_menu (self, drag->x + offset_x, drag->y + offset_y);
}

static void
on_drag_end (FaintPlot *self, double offset_x, double offset_y, GtkGestureDrag *gesture)
{
  FaintDrag drag = self->drag;

  self->drag = (FaintDrag){ 0 };
  if (drag.kind == FAINT_DRAG_RANGE && fabs (offset_x) >= LEAST_RANGE)
    faint_plot_jump (self, (FaintRange){ MIN (drag.from, drag.at), MAX (drag.from, drag.at) });
  else if (drag.kind == FAINT_DRAG_MARK)
    end_mark (self, &drag, offset_x, offset_y);
  else if (drag.kind == FAINT_DRAG_LINE || drag.kind == FAINT_DRAG_WIDTH)
    faint_plot_shape_end (self, &drag);
  if (self->overlay == NULL)
    return; /* a handler closed the window */
  update_cursor (self);
  faint_plot_refresh_marks (self);
}

static void
on_click (FaintPlot *self, int n_press, double x, double y, GtkGestureClick *gesture)
{
  double wavenumber;

  GdkModifierType state
      = gtk_event_controller_get_current_event_state (GTK_EVENT_CONTROLLER (gesture));

  if (!is_over_plots (self, x, y) || !wavenumber_at (self, x, &wavenumber))
    return;
  faint_plot_unmark (self);
  if (n_press == 1 && (state & GDK_CONTROL_MASK))
    faint_plot_toggle (self, wavenumber);
  else if (n_press == 1)
    faint_plot_click (self, wavenumber);
  else if (n_press == 2 && faint_session_get_mode (self->session) == FAINT_MODE_INSPECT)
    faint_plot_fit_line_at (self, wavenumber);
}

static void
on_menu_click (FaintPlot *self, int n_press, double x, double y, GtkGestureClick *gesture)
{
  self->menu_at = NAN;
  if (is_over_plots (self, x, y))
    wavenumber_at (self, x, &self->menu_at);
  if (faint_plot_is_marked (self) && faint_range_contains (self->marked, self->menu_at))
    {
      faint_plot_popup_range_menu (self, x, y);
      return;
    }
  faint_plot_select_for_menu (self, self->menu_at);
  faint_plot_popup_menu (self, x, y);
}

static void
add_drag (FaintPlot *self, guint button)
{
  GtkGesture *drag = gtk_gesture_drag_new ();

  gtk_gesture_single_set_button (GTK_GESTURE_SINGLE (drag), button);
  g_signal_connect_swapped (drag, "drag-begin", G_CALLBACK (on_drag_begin), self);
  g_signal_connect_swapped (drag, "drag-update", G_CALLBACK (on_drag_update), self);
  g_signal_connect_swapped (drag, "drag-end", G_CALLBACK (on_drag_end), self);
  g_signal_connect_swapped (drag, "cancel", G_CALLBACK (faint_plot_drag_cancel), self);
  gtk_widget_add_controller (self->overlay, GTK_EVENT_CONTROLLER (drag));
}

void
faint_plot_forget_clicks (FaintPlot *self)
{
  if (self->click != NULL)
    gtk_event_controller_reset (self->click);
}

static GtkEventController *
add_click (FaintPlot *self, guint button, const char *signal, GCallback callback)
{
  GtkGesture *click = gtk_gesture_click_new ();

  gtk_gesture_single_set_button (GTK_GESTURE_SINGLE (click), button);
  g_signal_connect_swapped (click, signal, callback, self);
  gtk_widget_add_controller (self->overlay, GTK_EVENT_CONTROLLER (click));
  return GTK_EVENT_CONTROLLER (click);
}

void
faint_plot_add_gestures (FaintPlot *self)
{
  GtkEventController *motion = gtk_event_controller_motion_new ();
  GtkEventController *scroll
      = gtk_event_controller_scroll_new (GTK_EVENT_CONTROLLER_SCROLL_BOTH_AXES);
  GtkGesture *pinch = gtk_gesture_zoom_new ();

  g_signal_connect_swapped (motion, "enter", G_CALLBACK (on_motion), self);
  g_signal_connect_swapped (motion, "motion", G_CALLBACK (on_motion), self);
  g_signal_connect_swapped (motion, "leave", G_CALLBACK (on_leave), self);
  gtk_widget_add_controller (self->overlay, motion);
  g_signal_connect_swapped (scroll, "scroll", G_CALLBACK (on_scroll), self);
  gtk_widget_add_controller (self->overlay, scroll);
  g_signal_connect_swapped (pinch, "begin", G_CALLBACK (on_pinch_begin), self);
  g_signal_connect_swapped (pinch, "scale-changed", G_CALLBACK (on_pinch), self);
  gtk_widget_add_controller (self->overlay, GTK_EVENT_CONTROLLER (pinch));

  add_drag (self, GDK_BUTTON_PRIMARY);
  add_drag (self, GDK_BUTTON_MIDDLE);
  self->click = add_click (self, GDK_BUTTON_PRIMARY, "released", G_CALLBACK (on_click));
  add_click (self, GDK_BUTTON_SECONDARY, "pressed", G_CALLBACK (on_menu_click));
}

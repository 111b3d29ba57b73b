/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Pointer and keys over the plot of Loomis and Wood.
 */
#include <math.h>

#include "app/assignment/loomis-wood-view-private.h"

#define FAR_ENOUGH 4.0     /* units, before a press is a drag */
#define REACH 12.0         /* units, from the pointer to a line */
#define SCROLL_SHARE 0.1   /* of the view, a notch of the wheel or a press of a key */
#define SCROLL_FACTOR 1.25 /* of a zoom, a notch */
#define KEY_FACTOR 1.5

static void
pan (FaintLoomisWoodView *self, double across, double up)
{
  faint_loomis_wood_view_set_view (
      self, faint_range_pan (self->across, across * faint_range_width (self->across)),
      faint_range_pan (self->up, up * faint_range_width (self->up)));
}

/* About the pointer, else the selected line, else the middle. */
static void
zoom (FaintLoomisWoodView *self, double factor)
{
  FaintView view = _faint_loomis_wood_view_place (self);
  double offset = (self->across.lower + self->across.upper) / 2;
  double value = (self->up.lower + self->up.upper) / 2;
  int row;

  if (self->plot == NULL)
    return;
  if (!isnan (self->pointer_x))
    {
      offset = faint_view_wavenumber (&view, self->pointer_x);
      value = faint_view_value (&view, self->pointer_y);
    }
  else if (self->selected && faint_loomis_wood_place (self->plot, self->selected, &row, &offset))
    value = row;
  faint_loomis_wood_view_set_view (self, faint_range_zoom (self->across, offset, factor),
                                   faint_range_zoom (self->up, value, factor));
}

static void
hover (FaintLoomisWoodView *self, FaintLoomisWoodPick pick)
{
  if (pick.id == self->hover.id && pick.number == self->hover.number)
    return;
  self->hover = pick;
  g_signal_emit (self, _faint_loomis_wood_signals[FAINT_LOOMIS_WOOD_HOVER_CHANGED], 0);
}

static void
on_motion (FaintLoomisWoodView *self, double x, double y)
{
  FaintLoomisWoodPick pick = { 0, 0 };

  self->pointer_x = x;
  self->pointer_y = y;
  if (self->plot && self->drag == DRAG_NONE)
    {
      FaintView view = _faint_loomis_wood_view_place (self);

      pick = faint_loomis_wood_at (self->plot, &view, x, y, REACH);
    }
  hover (self, pick);
}

static void
on_leave (FaintLoomisWoodView *self)
{
  self->pointer_x = self->pointer_y = NAN;
  hover (self, (FaintLoomisWoodPick){ 0, 0 });
}

static gboolean
on_scroll (FaintLoomisWoodView *self, double dx, double dy, GtkEventControllerScroll *scroll)
{
  GdkModifierType state
      = gtk_event_controller_get_current_event_state (GTK_EVENT_CONTROLLER (scroll));
  /* a finger's way counts a notch for every 50 units */
  double notch = gtk_event_controller_scroll_get_unit (scroll) == GDK_SCROLL_UNIT_SURFACE ? 50 : 1;

  if (self->plot == NULL)
    return GDK_EVENT_PROPAGATE;
  if (state & GDK_CONTROL_MASK)
    zoom (self, pow (SCROLL_FACTOR, -dy / notch));
  else if (state & GDK_SHIFT_MASK)
    pan (self, SCROLL_SHARE * (dx + dy) / notch, 0);
  else
    pan (self, SCROLL_SHARE * dx / notch, -SCROLL_SHARE * dy / notch);
  return GDK_EVENT_STOP;
}

static void
add_to_path (FaintLoomisWoodView *self, double x, double y)
{
  double point[2] = { x, y };

  g_array_append_vals (self->path, point, 1);
}

static void
on_drag_begin (FaintLoomisWoodView *self, double x, double y, GtkGestureDrag *gesture)
{
  GdkModifierType state
      = gtk_event_controller_get_current_event_state (GTK_EVENT_CONTROLLER (gesture));
  guint button = gtk_gesture_single_get_current_button (GTK_GESTURE_SINGLE (gesture));

  gtk_widget_grab_focus (GTK_WIDGET (self));
  self->drag = button == GDK_BUTTON_MIDDLE || (state & GDK_SHIFT_MASK) ? DRAG_PENDING_PAN
                                                                       : DRAG_PENDING_TRACE;
  self->drag_across = self->across;
  self->drag_up = self->up;
  g_array_set_size (self->path, 0);
  add_to_path (self, x, y);
}

static void
follow_trace (FaintLoomisWoodView *self, double x, double y)
{
  FaintView view = _faint_loomis_wood_view_place (self);
  g_autoptr (GArray) picks = NULL;

  add_to_path (self, x, y);
  picks = faint_loomis_wood_trace (self->plot, &view,
                                   (const double (*)[2]) (gconstpointer)self->path->data,
                                   self->path->len, REACH);
  faint_loomis_wood_view_set_trace (self, (const FaintLoomisWoodPick *)(gpointer)picks->data,
                                    picks->len);
}

static void
on_drag_update (FaintLoomisWoodView *self, double offset_x, double offset_y,
                GtkGestureDrag *gesture)
{
  const double *start = &g_array_index (self->path, double, 0);
  FaintView view;

  if (self->plot == NULL || self->drag == DRAG_NONE)
    return;
  if (self->drag == DRAG_PENDING_PAN || self->drag == DRAG_PENDING_TRACE)
    {
      if (hypot (offset_x, offset_y) < FAR_ENOUGH)
        return;
      self->drag = self->drag == DRAG_PENDING_PAN ? DRAG_PAN : DRAG_TRACE;
      gtk_gesture_set_state (GTK_GESTURE (gesture), GTK_EVENT_SEQUENCE_CLAIMED);
    }
  if (self->drag == DRAG_TRACE)
    {
      follow_trace (self, start[0] + offset_x, start[1] + offset_y);
      return;
    }
  view = _faint_loomis_wood_view_place (self);
  faint_loomis_wood_view_set_view (
      self,
      faint_range_pan (self->drag_across,
                       -offset_x / view.place.width * faint_range_width (self->drag_across)),
      faint_range_pan (self->drag_up,
                       offset_y / view.place.height * faint_range_width (self->drag_up)));
}

static void
on_drag_end (FaintLoomisWoodView *self, double offset_x, double offset_y, GtkGestureDrag *gesture)
{
  gboolean done = self->drag == DRAG_TRACE && self->trace->len > 0;

  self->drag = DRAG_NONE;
  if (done)
    g_signal_emit (self, _faint_loomis_wood_signals[FAINT_LOOMIS_WOOD_TRACE_DONE], 0);
}

static void
on_drag_cancel (FaintLoomisWoodView *self)
{
  self->drag = DRAG_NONE;
}

/* What is chosen next is not of this trace, unless it is told so. */
static void
leave_trace (FaintLoomisWoodView *self)
{
  if (self->trace->len > 0)
    faint_loomis_wood_view_set_trace (self, NULL, 0);
}

static void
on_click (FaintLoomisWoodView *self, int n_press, double x, double y, GtkGestureClick *gesture)
{
  FaintView view = _faint_loomis_wood_view_place (self);
  FaintLoomisWoodPick pick = { 0, 0 };

  if (self->plot && self->drag != DRAG_TRACE && self->drag != DRAG_PAN)
    pick = faint_loomis_wood_at (self->plot, &view, x, y, REACH);
  if (pick.id == 0)
    return;
  leave_trace (self);
  _faint_loomis_wood_view_choose (self, pick);
  g_signal_emit (self, _faint_loomis_wood_signals[FAINT_LOOMIS_WOOD_LINE_CLICKED], 0, pick.id,
                 pick.number);
}

/* The first key chooses the line nearest to the middle of what is shown. */
static FaintLoomisWoodPick
first_pick (FaintLoomisWoodView *self)
{
  FaintView view = _faint_loomis_wood_view_place (self);

  return faint_loomis_wood_at (self->plot, &view, view.place.x + view.place.width / 2,
                               view.place.y + view.place.height / 2,
                               view.place.width + view.place.height);
}

/* With Shift a step goes along a trace, and takes the line into it. */
static void
extend_trace (FaintLoomisWoodView *self, FaintLoomisWoodPick from, FaintLoomisWoodPick to)
{
  g_autoptr (GArray) picks = g_array_copy (self->trace);
  guint n = picks->len;

  if (n == 0 || g_array_index (picks, FaintLoomisWoodPick, n - 1).id != from.id)
    {
      g_array_set_size (picks, 0);
      g_array_append_val (picks, from);
    }
  n = picks->len;
  /* back by one step */
  if (n > 1 && g_array_index (picks, FaintLoomisWoodPick, n - 2).id == to.id)
    g_array_set_size (picks, n - 1);
  else
    g_array_append_val (picks, to);
  faint_loomis_wood_view_set_trace (self, (const FaintLoomisWoodPick *)(gpointer)picks->data,
                                    picks->len);
}

static gboolean
on_move (GtkWidget *widget, GVariant *arguments, gpointer data)
{
  FaintLoomisWoodView *self = FAINT_LOOMIS_WOOD_VIEW (widget);
  FaintLoomisWoodPick from = { self->row, self->selected }, to;
  int rows, lines;
  gboolean extend;

  g_variant_get (arguments, "(iib)", &rows, &lines, &extend);
  if (self->plot == NULL)
    return GDK_EVENT_PROPAGATE;
  to = faint_loomis_wood_step (self->plot, from, rows, lines);
  if (from.id == 0 || faint_loomis_wood_row (self->plot, from.number) < 0)
    to = first_pick (self);
  else if (to.id && extend)
    extend_trace (self, from, to);
  if (!extend)
    leave_trace (self);
  if (to.id)
    _faint_loomis_wood_view_choose (self, to);
  return GDK_EVENT_STOP;
}

static gboolean
on_zoom (GtkWidget *widget, GVariant *arguments, gpointer data)
{
  double factor;

  g_variant_get (arguments, "(d)", &factor);
  zoom (FAINT_LOOMIS_WOOD_VIEW (widget), factor);
  return GDK_EVENT_STOP;
}

static gboolean
on_pan (GtkWidget *widget, GVariant *arguments, gpointer data)
{
  double across, up;

  g_variant_get (arguments, "(dd)", &across, &up);
  pan (FAINT_LOOMIS_WOOD_VIEW (widget), across, up);
  return GDK_EVENT_STOP;
}

static gboolean
on_all (GtkWidget *widget, GVariant *arguments, gpointer data)
{
  faint_loomis_wood_view_show_all (FAINT_LOOMIS_WOOD_VIEW (widget));
  return GDK_EVENT_STOP;
}

static gboolean
on_assign (GtkWidget *widget, GVariant *arguments, gpointer data)
{
  g_signal_emit (widget, _faint_loomis_wood_signals[FAINT_LOOMIS_WOOD_ASSIGN], 0);
  return GDK_EVENT_STOP;
}

static gboolean
on_clear (GtkWidget *widget, GVariant *arguments, gpointer data)
{
  g_signal_emit (widget, _faint_loomis_wood_signals[FAINT_LOOMIS_WOOD_CLEAR], 0);
  return GDK_EVENT_STOP;
}

/* Escape gives the trace up; without one it is the window's. */
static gboolean
on_escape (GtkWidget *widget, GVariant *arguments, gpointer data)
{
  FaintLoomisWoodView *self = FAINT_LOOMIS_WOOD_VIEW (widget);

  if (self->trace->len == 0)
    return GDK_EVENT_PROPAGATE;
  faint_loomis_wood_view_set_trace (self, NULL, 0);
  return GDK_EVENT_STOP;
}

static void
add_moves (GtkWidgetClass *klass)
{
  static const struct
  {
    guint key, keypad;
    int rows, lines;
  } moves[] = { { GDK_KEY_Up, GDK_KEY_KP_Up, 1, 0 },
                { GDK_KEY_Down, GDK_KEY_KP_Down, -1, 0 },
                { GDK_KEY_Left, GDK_KEY_KP_Left, 0, -1 },
                { GDK_KEY_Right, GDK_KEY_KP_Right, 0, 1 } };

  for (guint i = 0; i < G_N_ELEMENTS (moves); i++)
    for (guint k = 0; k < 2; k++)
      {
        guint key = k == 0 ? moves[i].key : moves[i].keypad;

        gtk_widget_class_add_binding (klass, key, 0, on_move, "(iib)", moves[i].rows,
                                      moves[i].lines, FALSE);
        gtk_widget_class_add_binding (klass, key, GDK_SHIFT_MASK, on_move, "(iib)", moves[i].rows,
                                      moves[i].lines, moves[i].rows != 0);
        gtk_widget_class_add_binding (klass, key, GDK_CONTROL_MASK, on_pan, "(dd)",
                                      SCROLL_SHARE * moves[i].lines, SCROLL_SHARE * moves[i].rows);
      }
}

void
_faint_loomis_wood_view_add_keys (GtkWidgetClass *klass)
{
  static const guint in[] = { GDK_KEY_plus, GDK_KEY_equal, GDK_KEY_KP_Add };
  static const guint out[] = { GDK_KEY_minus, GDK_KEY_KP_Subtract };
  static const guint enter[] = { GDK_KEY_Return, GDK_KEY_KP_Enter, GDK_KEY_ISO_Enter };

  add_moves (klass);
  for (guint i = 0; i < G_N_ELEMENTS (in); i++)
    gtk_widget_class_add_binding (klass, in[i], 0, on_zoom, "(d)", KEY_FACTOR);
  for (guint i = 0; i < G_N_ELEMENTS (out); i++)
    gtk_widget_class_add_binding (klass, out[i], 0, on_zoom, "(d)", 1 / KEY_FACTOR);
  for (guint i = 0; i < G_N_ELEMENTS (enter); i++)
    gtk_widget_class_add_binding (klass, enter[i], 0, on_assign, NULL);
  gtk_widget_class_add_binding (klass, GDK_KEY_Page_Up, 0, on_pan, "(dd)", 0.0, 0.9);
  gtk_widget_class_add_binding (klass, GDK_KEY_Page_Down, 0, on_pan, "(dd)", 0.0, -0.9);
  gtk_widget_class_add_binding (klass, GDK_KEY_Home, 0, on_all, NULL);
  gtk_widget_class_add_binding (klass, GDK_KEY_Delete, 0, on_clear, NULL);
  gtk_widget_class_add_binding (klass, GDK_KEY_KP_Delete, 0, on_clear, NULL);
  gtk_widget_class_add_binding (klass, GDK_KEY_Escape, 0, on_escape, NULL);
}

static void
add_drag (FaintLoomisWoodView *self, guint button)
{
  GtkGesture *drag = gtk_gesture_drag_new ();

  gtk_gesture_single_set_button (GTK_GESTURE_SINGLE (drag), button);
  g_signal_connect_swapped (drag, "drag-begin", G_CALLBACK (on_drag_begin), self);
  g_signal_connect_swapped (drag, "drag-update", G_CALLBACK (on_drag_update), self);
  g_signal_connect_swapped (drag, "drag-end", G_CALLBACK (on_drag_end), self);
  g_signal_connect_swapped (drag, "cancel", G_CALLBACK (on_drag_cancel), self);
  gtk_widget_add_controller (GTK_WIDGET (self), GTK_EVENT_CONTROLLER (drag));
}

void
_faint_loomis_wood_view_add_input (FaintLoomisWoodView *self)
{
  GtkEventController *motion = gtk_event_controller_motion_new ();
  GtkEventController *scroll
      = gtk_event_controller_scroll_new (GTK_EVENT_CONTROLLER_SCROLL_BOTH_AXES);
  GtkGesture *click = gtk_gesture_click_new ();

  g_signal_connect_swapped (motion, "enter", G_CALLBACK (on_motion), self);
  g_signal_connect_swapped (motion, "motion", G_CALLBACK (on_motion), self);
  g_signal_connect_swapped (motion, "leave", G_CALLBACK (on_leave), self);
  gtk_widget_add_controller (GTK_WIDGET (self), motion);
  g_signal_connect_swapped (scroll, "scroll", G_CALLBACK (on_scroll), self);
  gtk_widget_add_controller (GTK_WIDGET (self), scroll);
  add_drag (self, GDK_BUTTON_PRIMARY);
  add_drag (self, GDK_BUTTON_MIDDLE);
  g_signal_connect_swapped (click, "released", G_CALLBACK (on_click), self);
  gtk_widget_add_controller (GTK_WIDGET (self), GTK_EVENT_CONTROLLER (click));
}

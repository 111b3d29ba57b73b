/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/plot/overview.h"
#include "app/plot/overview-draw.h"
#include "app/plot/plot.h"
#include "app/plot/theme.h"

#include <glib/gi18n.h>
#include <math.h>

#define HEIGHT 56
#define MARGIN 8.0    /* left and right of the strip, to grip the frame at the ends */
#define EDGE 6.0      /* reach of an edge of the frame */
#define NARROWEST 3.0 /* drawn width of the frame */
#define DESCRIBE_AFTER_MS 200

struct _FaintOverview
{
  GtkWidget parent;

  FaintSession *session;
  FaintFigureData *data;
  FaintPaletteKind palette;
  GskRenderNode *node; /* all but the frame; NULL: to be drawn anew */

  gboolean dragging;
  FaintGrip grip;
  double from_x, from_wavenumber; /* where the drag began */
  FaintRange before;              /* the view then */
  guint describe_id;
};

G_DEFINE_FINAL_TYPE (FaintOverview, faint_overview, GTK_TYPE_WIDGET)

static void
forget (FaintOverview *self)
{
  g_clear_pointer (&self->node, gsk_render_node_unref);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

static FaintRect
place_of (FaintOverview *self)
{
  int width = gtk_widget_get_width (GTK_WIDGET (self));

  return (FaintRect){ MARGIN, 0, MAX (width - 2 * MARGIN, 1.0),
                      gtk_widget_get_height (GTK_WIDGET (self)) };
}

/* FALSE while there is nothing to see. */
static gboolean
frame_of (FaintOverview *self, FaintView *view, double *from, double *to)
{
  FaintRange across;

  if (self->data == NULL || !faint_session_has_limits (self->session))
    return FALSE;
  *view = faint_overview_view (self->data, place_of (self));
  faint_session_get_view (self->session, &across.lower, &across.upper);
  *from = faint_view_x (view, across.lower);
  *to = faint_view_x (view, across.upper);
  return TRUE;
}

FaintGrip
faint_overview_grip (double from, double to, double x)
{
  /* Half of the reach inside at most, so that a narrow frame still has a body. */
  double inside = MIN (EDGE, (to - from) / 3);

  if (x >= from - EDGE && x <= from + inside)
    return FAINT_GRIP_LEFT;
  if (x >= to - inside && x <= to + EDGE)
    return FAINT_GRIP_RIGHT;
  return x > from && x < to ? FAINT_GRIP_BODY : FAINT_GRIP_BESIDE;
}

static GskRenderNode *
draw (FaintOverview *self)
{
  GtkSnapshot *snapshot = gtk_snapshot_new ();
  const FaintPalette *palette = faint_palette_get (self->palette);
  GdkRGBA background = faint_plot_rgba (palette, FAINT_PART_BACKGROUND);
  int width = gtk_widget_get_width (GTK_WIDGET (self));
  int height = gtk_widget_get_height (GTK_WIDGET (self));

  gtk_snapshot_append_color (snapshot, &background, &GRAPHENE_RECT_INIT (0, 0, width, height));
  if (self->data != NULL)
    faint_overview_append (snapshot, self->data, place_of (self), palette,
                           gtk_widget_get_scale_factor (GTK_WIDGET (self)), FAINT_OVERVIEW_POOR);
  return gtk_snapshot_free_to_node (snapshot);
}

static void
fill (GtkSnapshot *snapshot, GdkRGBA colour, double x, double y, double width, double height)
{
  if (width > 0 && height > 0)
    gtk_snapshot_append_color (snapshot, &colour, &GRAPHENE_RECT_INIT (x, y, width, height));
}

static void
draw_frame (FaintOverview *self, GtkSnapshot *snapshot)
{
  const FaintPalette *palette = faint_palette_get (self->palette);
  GdkRGBA colour = faint_plot_rgba (palette, FAINT_PART_SELECTION);
  GdkRGBA veil = faint_plot_rgba (palette, FAINT_PART_BACKGROUND);
  int width = gtk_widget_get_width (GTK_WIDGET (self));
  int height = gtk_widget_get_height (GTK_WIDGET (self));
  double from, to, middle, half;
  FaintView view;

  if (!frame_of (self, &view, &from, &to))
    return;
  middle = 0.5 * (from + to);
  half = MAX (0.5 * (to - from), 0.5 * NARROWEST);
  from = floor (middle - half);
  to = ceil (middle + half);
  veil.alpha = 0.55;
  fill (snapshot, veil, 0, 0, from, height);
  fill (snapshot, veil, to, 0, width - to, height);
  fill (snapshot, colour, from - 1, 0, 2, height);
  fill (snapshot, colour, to - 1, 0, 2, height);
  fill (snapshot, colour, from, 0, to - from, 1);
  fill (snapshot, colour, from, height - 1, to - from, 1);
}

static void
draw_focus (FaintOverview *self, GtkSnapshot *snapshot)
{
  GdkRGBA colour = faint_plot_rgba (faint_palette_get (self->palette), FAINT_PART_SELECTION);
  int width = gtk_widget_get_width (GTK_WIDGET (self));
  int height = gtk_widget_get_height (GTK_WIDGET (self));

  if (!gtk_widget_has_visible_focus (GTK_WIDGET (self)))
    return;
  fill (snapshot, colour, 0, 0, width, 2);
  fill (snapshot, colour, 0, height - 2, width, 2);
  fill (snapshot, colour, 0, 2, 2, height - 4);
  fill (snapshot, colour, width - 2, 2, 2, height - 4);
}

static void
faint_overview_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  FaintOverview *self = FAINT_OVERVIEW (widget);

  if (self->node == NULL)
    self->node = draw (self);
  if (self->node != NULL)
    gtk_snapshot_append_node (snapshot, self->node);
  draw_frame (self, snapshot);
  draw_focus (self, snapshot);
}

static void
faint_overview_size_allocate (GtkWidget *widget, int width, int height, int baseline)
{
  forget (FAINT_OVERVIEW (widget));
}

static void
take_theme (FaintOverview *self)
{
  self->palette = faint_plot_theme_palette (GTK_WIDGET (self));
  forget (self);
}

static void
faint_overview_css_changed (GtkWidget *widget, GtkCssStyleChange *change)
{
  GTK_WIDGET_CLASS (faint_overview_parent_class)->css_changed (widget, change);
  take_theme (FAINT_OVERVIEW (widget));
}

static void
faint_overview_state_flags_changed (GtkWidget *widget, GtkStateFlags before)
{
  gtk_widget_queue_draw (widget);
}

static gboolean
describe (gpointer user_data)
{
  FaintOverview *self = user_data;
  FaintAxisUnit unit;
  double lower, upper;
  g_autofree char *from = NULL, *to = NULL, *text = NULL;

  self->describe_id = 0;
  if (self->data == NULL || !faint_session_has_limits (self->session))
    return G_SOURCE_REMOVE;
  unit = faint_plot_axis_unit (self->session, self->data);
  faint_session_get_view (self->session, &lower, &upper);
  from = faint_axis_unit_format (&unit, lower, (upper - lower) / 1000);
  to = faint_axis_unit_format (&unit, upper, (upper - lower) / 1000);
  text = g_strdup_printf (_ ("Visible from %s to %s"), from, to);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_DESCRIPTION, text,
                                  -1);
  return G_SOURCE_REMOVE;
}

static void
on_view_changed (FaintOverview *self)
{
  gtk_widget_queue_draw (GTK_WIDGET (self));
  if (self->describe_id == 0)
    self->describe_id = g_timeout_add (DESCRIBE_AFTER_MS, describe, self);
}

static void
on_motion (FaintOverview *self, double x, double y)
{
  FaintView view;
  double from, to;
  const char *name = NULL;

  if (!self->dragging && frame_of (self, &view, &from, &to))
    switch (faint_overview_grip (from, to, x))
      {
      case FAINT_GRIP_LEFT:
      case FAINT_GRIP_RIGHT:
        name = "ew-resize";
        break;
      case FAINT_GRIP_BODY:
        name = "grab";
        break;
      case FAINT_GRIP_BESIDE:
        break;
      }
  if (!self->dragging)
    gtk_widget_set_cursor_from_name (GTK_WIDGET (self), name);
}

static void
on_drag_begin (FaintOverview *self, double x, double y, GtkGesture *gesture)
{
  FaintView view;
  double from, to;

  gtk_widget_grab_focus (GTK_WIDGET (self));
  if (!frame_of (self, &view, &from, &to))
    {
      gtk_gesture_set_state (gesture, GTK_EVENT_SEQUENCE_DENIED);
      return;
    }
  self->dragging = TRUE;
  self->from_x = x;
  self->from_wavenumber = faint_view_wavenumber (&view, x);
  self->grip = faint_overview_grip (from, to, x);
  faint_session_get_view (self->session, &self->before.lower, &self->before.upper);
  if (self->grip == FAINT_GRIP_BESIDE)
    {
      double half = 0.5 * faint_range_width (self->before);

      faint_session_set_view (self->session, self->from_wavenumber - half,
                              self->from_wavenumber + half);
      faint_session_get_view (self->session, &self->before.lower, &self->before.upper);
      self->grip = FAINT_GRIP_BODY;
    }
}

static void
on_drag_update (FaintOverview *self, double offset_x, double offset_y, GtkGesture *gesture)
{
  FaintView view;
  double from, to, moved;
  FaintRange range = self->before;

  if (!self->dragging || !frame_of (self, &view, &from, &to))
    return;
  moved = faint_view_wavenumber (&view, self->from_x + offset_x) - self->from_wavenumber;
  if (self->grip != FAINT_GRIP_RIGHT)
    range.lower += moved;
  if (self->grip != FAINT_GRIP_LEFT)
    range.upper += moved;
  /* An edge stops at the ends; pushing it on would widen the other way. */
  if (self->grip != FAINT_GRIP_BODY)
    {
      range.lower = MAX (range.lower, self->data->across.lower);
      range.upper = MIN (range.upper, self->data->across.upper);
    }
  faint_session_set_view (self->session, range.lower, range.upper);
}

static void
on_drag_end (FaintOverview *self)
{
  self->dragging = FALSE;
}

static gboolean
on_scroll (FaintOverview *self, double dx, double dy, GtkEventControllerScroll *scroll)
{
  GdkModifierType state
      = gtk_event_controller_get_current_event_state (GTK_EVENT_CONTROLLER (scroll));
  double lower, upper;

  if (!faint_session_has_limits (self->session))
    return GDK_EVENT_PROPAGATE;
  if (gtk_event_controller_scroll_get_unit (scroll) == GDK_SCROLL_UNIT_SURFACE)
    dx /= 50, dy /= 50;
  faint_session_get_view (self->session, &lower, &upper);
  if (state & GDK_CONTROL_MASK)
    faint_session_zoom_at (self->session, 0.5 * (lower + upper), pow (1.25, -dy));
  else
    faint_session_pan (self->session, 0.1 * (fabs (dx) > fabs (dy) ? dx : dy));
  return GDK_EVENT_STOP;
}

static void
act (GtkWidget *widget, const char *name, GVariant *value)
{
  FaintSession *session = FAINT_OVERVIEW (widget)->session;
  double lower, upper, least, greatest;

  if (!faint_session_has_limits (session))
    return;
  faint_session_get_view (session, &lower, &upper);
  faint_session_get_limits (session, &least, &greatest);
  if (g_str_equal (name, "overview.pan"))
    faint_session_pan (session, g_variant_get_double (value));
  else if (g_str_equal (name, "overview.page"))
    faint_session_pan (session, 0.9 * g_variant_get_int32 (value));
  else if (g_str_equal (name, "overview.zoom"))
    faint_session_zoom_at (session, 0.5 * (lower + upper), g_variant_get_double (value));
  else if (g_str_equal (name, "overview.go-start"))
    faint_session_set_view (session, least, least + (upper - lower));
  else if (g_str_equal (name, "overview.go-end"))
    faint_session_set_view (session, greatest - (upper - lower), greatest);
  else
    faint_session_show_all (session);
}

static void
install_actions (GtkWidgetClass *widget_class)
{
  gtk_widget_class_install_action (widget_class, "overview.pan", "d", act);
  gtk_widget_class_install_action (widget_class, "overview.page", "i", act);
  gtk_widget_class_install_action (widget_class, "overview.zoom", "d", act);
  gtk_widget_class_install_action (widget_class, "overview.go-start", NULL, act);
  gtk_widget_class_install_action (widget_class, "overview.go-end", NULL, act);
  gtk_widget_class_install_action (widget_class, "overview.show-all", NULL, act);
#define BIND(key, ...) gtk_widget_class_add_binding_action (widget_class, key, 0, __VA_ARGS__)
  BIND (GDK_KEY_Left, "overview.pan", "d", -0.1);
  BIND (GDK_KEY_Right, "overview.pan", "d", 0.1);
  BIND (GDK_KEY_Page_Up, "overview.page", "i", -1);
  BIND (GDK_KEY_Page_Down, "overview.page", "i", 1);
  BIND (GDK_KEY_plus, "overview.zoom", "d", 1.5);
  BIND (GDK_KEY_KP_Add, "overview.zoom", "d", 1.5);
  BIND (GDK_KEY_Up, "overview.zoom", "d", 1.5);
  BIND (GDK_KEY_minus, "overview.zoom", "d", 1 / 1.5);
  BIND (GDK_KEY_KP_Subtract, "overview.zoom", "d", 1 / 1.5);
  BIND (GDK_KEY_Down, "overview.zoom", "d", 1 / 1.5);
  BIND (GDK_KEY_Home, "overview.go-start", NULL);
  BIND (GDK_KEY_End, "overview.go-end", NULL);
  BIND (GDK_KEY_0, "overview.show-all", NULL);
#undef BIND
}

static void
faint_overview_dispose (GObject *object)
{
  FaintOverview *self = FAINT_OVERVIEW (object);

  g_clear_handle_id (&self->describe_id, g_source_remove);
  if (self->session != NULL)
    g_signal_handlers_disconnect_by_data (self->session, self);
  g_clear_object (&self->session);
  g_clear_pointer (&self->node, gsk_render_node_unref);
  g_clear_pointer (&self->data, faint_figure_data_unref);
  G_OBJECT_CLASS (faint_overview_parent_class)->dispose (object);
}

static void
faint_overview_class_init (FaintOverviewClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = faint_overview_dispose;
  widget_class->snapshot = faint_overview_snapshot;
  widget_class->size_allocate = faint_overview_size_allocate;
  widget_class->css_changed = faint_overview_css_changed;
  widget_class->state_flags_changed = faint_overview_state_flags_changed;
  gtk_widget_class_set_css_name (widget_class, "overview");
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_IMG);
  install_actions (widget_class);
}

static void
faint_overview_init (FaintOverview *self)
{
  GtkWidget *widget = GTK_WIDGET (self);
  GtkEventController *motion = gtk_event_controller_motion_new ();
  GtkEventController *scroll
      = gtk_event_controller_scroll_new (GTK_EVENT_CONTROLLER_SCROLL_BOTH_AXES);
  GtkGesture *drag = gtk_gesture_drag_new ();

  g_signal_connect_swapped (motion, "motion", G_CALLBACK (on_motion), self);
  gtk_widget_add_controller (widget, motion);
  g_signal_connect_swapped (scroll, "scroll", G_CALLBACK (on_scroll), self);
  gtk_widget_add_controller (widget, scroll);
  g_signal_connect_swapped (drag, "drag-begin", G_CALLBACK (on_drag_begin), self);
  g_signal_connect_swapped (drag, "drag-update", G_CALLBACK (on_drag_update), self);
  g_signal_connect_swapped (drag, "drag-end", G_CALLBACK (on_drag_end), self);
  g_signal_connect_swapped (drag, "cancel", G_CALLBACK (on_drag_end), self);
  gtk_widget_add_controller (widget, GTK_EVENT_CONTROLLER (drag));

  gtk_widget_set_focusable (widget, TRUE);
  gtk_widget_set_hexpand (widget, TRUE);
  gtk_widget_set_size_request (widget, 160, HEIGHT);
  g_signal_connect (self, "notify::scale-factor", G_CALLBACK (take_theme), NULL);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  _ ("Whole span"), GTK_ACCESSIBLE_PROPERTY_DESCRIPTION,
                                  _ ("Nothing open"), -1);
}

GtkWidget *
faint_overview_new (FaintSession *session)
{
  FaintOverview *self = g_object_new (FAINT_TYPE_OVERVIEW, NULL);

  self->session = g_object_ref (session);
  g_signal_connect_swapped (session, "view-changed", G_CALLBACK (on_view_changed), self);
  g_signal_connect_swapped (session, "notify::axis-unit", G_CALLBACK (on_view_changed), self);
  take_theme (self);
  return GTK_WIDGET (self);
}

void
faint_overview_set_data (FaintOverview *self, FaintFigureData *data)
{
  g_return_if_fail (FAINT_IS_OVERVIEW (self));
  if (data != NULL)
    faint_figure_data_ref (data);
  g_clear_pointer (&self->data, faint_figure_data_unref);
  self->data = data;
  forget (self);
  on_view_changed (self);
}

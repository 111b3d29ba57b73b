/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Named actions of the plot, their keys and the menu of the right button.
 */
#include "app/plot/hit.h"
#include "app/plot/plot-private.h"

#include <glib/gi18n.h>
#include <math.h>

#define PAN_SHARE 0.1
#define PAGE_SHARE 0.9 /* a little of the old view stays, to find one's way */
#define ZOOM_FACTOR 1.5

static void
act_pan (GtkWidget *widget, const char *name, GVariant *share)
{
  faint_session_pan (FAINT_PLOT (widget)->session, g_variant_get_double (share));
}

static void
act_page (GtkWidget *widget, const char *name, GVariant *pages)
{
  faint_session_pan (FAINT_PLOT (widget)->session, PAGE_SHARE * g_variant_get_int32 (pages));
}

static void
act_zoom (GtkWidget *widget, const char *name, GVariant *factor)
{
  FaintPlot *self = FAINT_PLOT (widget);

  faint_session_zoom_at (self->session, faint_plot_focus_wavenumber (self),
                         g_variant_get_double (factor));
}

/* The same width at one end of the span. */
static void
go_to_end (FaintPlot *self, gboolean start)
{
  double lower, upper, least, greatest;

  faint_session_get_view (self->session, &lower, &upper);
  faint_session_get_limits (self->session, &least, &greatest);
  faint_plot_jump (self, start ? (FaintRange){ least, least + (upper - lower) }
                               : (FaintRange){ greatest - (upper - lower), greatest });
}

static void
act_go_start (GtkWidget *widget, const char *name, GVariant *none)
{
  go_to_end (FAINT_PLOT (widget), TRUE);
}

static void
act_go_end (GtkWidget *widget, const char *name, GVariant *none)
{
  go_to_end (FAINT_PLOT (widget), FALSE);
}

static void
act_show_all (GtkWidget *widget, const char *name, GVariant *none)
{
  FaintPlot *self = FAINT_PLOT (widget);

  faint_view_history_jump (self->history);
  faint_session_show_all (self->session);
}

static void
act_view_back (GtkWidget *widget, const char *name, GVariant *none)
{
  FaintPlot *self = FAINT_PLOT (widget);
  FaintRange view;

  if (faint_view_history_back (self->history, &view))
    faint_session_set_view (self->session, view.lower, view.upper);
  faint_plot_update_actions (self);
}

static void
act_view_forward (GtkWidget *widget, const char *name, GVariant *none)
{
  FaintPlot *self = FAINT_PLOT (widget);
  FaintRange view;

  if (faint_view_history_forward (self->history, &view))
    faint_session_set_view (self->session, view.lower, view.upper);
  faint_plot_update_actions (self);
}

static void
step_line (FaintPlot *self, int step)
{
  double lower, upper;
  const FaintLine *line;

  if (self->data == NULL || self->data->lines == NULL)
    return;
  faint_session_get_view (self->session, &lower, &upper);
  line = faint_hit_step (self->data->lines, faint_session_get_selected (self->session),
                         0.5 * (lower + upper), step);
  if (line == NULL)
    {
      gtk_widget_error_bell (GTK_WIDGET (self));
      return;
    }
  faint_session_set_selected (self->session, line->id);
  faint_session_reveal (self->session, line->position.value);
}

static void
act_next_line (GtkWidget *widget, const char *name, GVariant *none)
{
  step_line (FAINT_PLOT (widget), 1);
}

static void
act_previous_line (GtkWidget *widget, const char *name, GVariant *none)
{
  step_line (FAINT_PLOT (widget), -1);
}

static void
act_fit_line (GtkWidget *widget, const char *name, GVariant *none)
{
  FaintPlot *self = FAINT_PLOT (widget);

  faint_plot_fit_line_at (self, isnan (self->menu_at) ? faint_plot_focus_wavenumber (self)
                                                      : self->menu_at);
}

static void
act_cursor (GtkWidget *widget, const char *name, GVariant *samples)
{
  FaintPlot *self = FAINT_PLOT (widget);
  gsize n, sample;
  const double *x;
  gint64 to;

  if (self->data == NULL)
    return;
  x = faint_pyramid_get_x (self->data->observed, &n);
  sample = faint_pyramid_nearest (self->data->observed, faint_plot_focus_wavenumber (self));
  if (sample == G_MAXSIZE)
    return;
  to = CLAMP ((gint64)sample + g_variant_get_int32 (samples), 0, (gint64)n - 1);
  self->pointer_x = self->pointer_y = NAN;
  faint_session_reveal (self->session, x[to]);
  faint_session_set_pointer (self->session, x[to]);
}

static void
act_activate (GtkWidget *widget, const char *name, GVariant *none)
{
  FaintPlot *self = FAINT_PLOT (widget);
  double at = faint_plot_focus_wavenumber (self);
  guint before = faint_session_get_selected (self->session);

  if (self->data == NULL)
    return;
  if (faint_session_get_mode (self->session) == FAINT_MODE_INSPECT
      && isnan (faint_session_get_pointer (self->session)) && before != 0)
    g_signal_emit (self, faint_plot_signals[FAINT_PLOT_LINE_ACTIVATED], 0, before);
  else
    faint_plot_click (self, at);
}

static void
act_add_line (GtkWidget *widget, const char *name, GVariant *none)
{
  FaintPlot *self = FAINT_PLOT (widget);
  double at = isnan (self->menu_at) ? faint_plot_focus_wavenumber (self) : self->menu_at;

  if (self->data != NULL && !isnan (at))
    g_signal_emit (self, faint_plot_signals[FAINT_PLOT_ADD_LINE], 0, at);
}

static void
act_cancel (GtkWidget *widget, const char *name, GVariant *none)
{
  faint_plot_drag_cancel (FAINT_PLOT (widget));
  faint_plot_unmark (FAINT_PLOT (widget));
}

static void
act_menu (GtkWidget *widget, const char *name, GVariant *none)
{
  FaintPlot *self = FAINT_PLOT (widget);
  FaintView view;

  if (!faint_plot_shared_view (self, &view))
    return;
  self->menu_at = faint_plot_focus_wavenumber (self);
  faint_plot_popup_menu (self, faint_view_x (&view, self->menu_at),
                         view.place.y + view.place.height / 2);
}

static GMenuModel *
menu_new (FaintPlot *self)
{
  GMenu *menu = g_menu_new (), *place = g_menu_new (), *view = g_menu_new (), *show = g_menu_new ();

  g_menu_append (place, _ ("_Add Line Here"), "plot.add-line");
  g_menu_append (place, _ ("_Zoom to Line"), "plot.fit-line");
  g_menu_append (place, _ ("E_xclude Tooth"), "plot.exclude-teeth");
  g_menu_append (place, _ ("_Include Tooth"), "plot.take-teeth-back");
  if (self->line_menu != NULL)
    g_menu_append_submenu (place, _ ("_Selected Lines"), self->line_menu);
  g_menu_append (view, _ ("_Previous View"), "plot.view-back");
  g_menu_append (view, _ ("_Next View"), "plot.view-forward");
  g_menu_append (view, _ ("_Whole Span"), "plot.show-all");
  g_menu_append (view, _ ("_Go to…"), "win.go-to");
  g_menu_append (show, _ ("A_bsorption"), "plot.show-absorption");
  g_menu_append (show, _ ("_Phase"), "plot.show-phase");
  g_menu_append (show, _ ("_Residuals"), "plot.show-residual");
  g_menu_append (show, _ ("Li_nes"), "plot.show-sticks");
  g_menu_append (show, _ ("_Error Bars"), "plot.error-bars");
  g_menu_append (show, _ ("Base_line"), "plot.baseline");
  g_menu_append (show, _ ("Borders of Fit _Windows"), "plot.windows");
  g_menu_append (show, _ ("_Grid"), "plot.grid");
  g_menu_append_section (menu, NULL, G_MENU_MODEL (place));
  g_menu_append_section (menu, NULL, G_MENU_MODEL (view));
  g_menu_append_section (menu, NULL, G_MENU_MODEL (show));
  g_object_unref (place);
  g_object_unref (view);
  g_object_unref (show);
  return G_MENU_MODEL (menu);
}

/* The place of the menu holds until its action has run, which is after it closed. */
static gboolean
forget_place (gpointer user_data)
{
  FAINT_PLOT (user_data)->menu_at = NAN;
  return G_SOURCE_REMOVE;
}

static void
on_menu_closed (FaintPlot *self)
{
  g_idle_add_full (G_PRIORITY_LOW, forget_place, g_object_ref (self), g_object_unref);
}

void
faint_plot_popup_menu (FaintPlot *self, double x, double y)
{
  if (self->menu == NULL)
    {
      GMenuModel *model = menu_new (self);

      self->menu = gtk_popover_menu_new_from_model (model);
      gtk_popover_set_has_arrow (GTK_POPOVER (self->menu), FALSE);
      gtk_widget_set_halign (self->menu, GTK_ALIGN_START);
      gtk_widget_set_parent (self->menu, GTK_WIDGET (self));
      g_signal_connect_swapped (self->menu, "closed", G_CALLBACK (on_menu_closed), self);
      g_object_unref (model);
    }
  gtk_popover_set_pointing_to (GTK_POPOVER (self->menu), &(GdkRectangle){ (int)x, (int)y, 1, 1 });
  gtk_popover_popup (GTK_POPOVER (self->menu));
}

void
faint_plot_update_actions (FaintPlot *self)
{
  GtkWidget *widget = GTK_WIDGET (self);
  gboolean data = self->data != NULL;
  gboolean lines
      = data && self->data->lines != NULL && faint_line_list_get_n (self->data->lines) > 0;
  double lower, upper, least, greatest;

  faint_session_get_view (self->session, &lower, &upper);
  faint_session_get_limits (self->session, &least, &greatest);
  gtk_widget_action_set_enabled (widget, "plot.view-back",
                                 data && faint_view_history_get_n (self->history) > 0);
  gtk_widget_action_set_enabled (widget, "plot.view-forward",
                                 data && faint_view_history_get_n_forward (self->history) > 0);
  gtk_widget_action_set_enabled (widget, "plot.show-all",
                                 data && (lower > least || upper < greatest));
  gtk_widget_action_set_enabled (widget, "plot.fit-line", lines);
  gtk_widget_action_set_enabled (widget, "plot.next-line", lines);
  gtk_widget_action_set_enabled (widget, "plot.previous-line", lines);
  gtk_widget_action_set_enabled (widget, "plot.add-line", data);
  gtk_widget_action_set_enabled (widget, "plot.move-line",
                                 lines && faint_session_get_selected (self->session) != 0);
  gtk_widget_action_set_enabled (widget, "plot.widen-line",
                                 lines && faint_session_get_selected (self->session) != 0);
  gtk_widget_action_set_enabled (widget, "plot.mark", data);
  gtk_widget_action_set_enabled (widget, "plot.exclude-teeth", data);
  gtk_widget_action_set_enabled (widget, "plot.take-teeth-back", faint_plot_has_excluded (self));
  gtk_widget_action_set_enabled (widget, "plot.fit-range", faint_plot_is_marked (self));
  gtk_widget_action_set_enabled (widget, "plot.zoom-range", faint_plot_is_marked (self));
  gtk_widget_action_set_enabled (widget, "plot.select-lines", lines && faint_plot_is_marked (self));
  gtk_widget_action_set_enabled (widget, "plot.show-phase", data && self->data->is_field);
  gtk_widget_action_set_enabled (widget, "plot.show-absorption",
                                 data && self->data->absorption != NULL);
}

static const struct
{
  const char *name, *parameter;
  GtkWidgetActionActivateFunc activate;
} actions[] = {
  { "plot.pan", "d", act_pan },
  { "plot.page", "i", act_page },
  { "plot.zoom", "d", act_zoom },
  { "plot.go-start", NULL, act_go_start },
  { "plot.go-end", NULL, act_go_end },
  { "plot.show-all", NULL, act_show_all },
  { "plot.view-back", NULL, act_view_back },
  { "plot.view-forward", NULL, act_view_forward },
  { "plot.next-line", NULL, act_next_line },
  { "plot.previous-line", NULL, act_previous_line },
  { "plot.fit-line", NULL, act_fit_line },
  { "plot.cursor", "i", act_cursor },
  { "plot.activate", NULL, act_activate },
  { "plot.add-line", NULL, act_add_line },
  { "plot.move-line", "i", faint_plot_act_move_line },
  { "plot.widen-line", "i", faint_plot_act_widen_line },
  { "plot.mark", NULL, faint_plot_act_mark },
  { "plot.exclude-teeth", NULL, faint_plot_act_exclude },
  { "plot.take-teeth-back", NULL, faint_plot_act_take_back },
  { "plot.fit-range", NULL, faint_plot_act_fit_range },
  { "plot.select-lines", NULL, faint_plot_act_select_lines },
  { "plot.zoom-range", NULL, faint_plot_act_zoom_range },
  { "plot.cancel", NULL, act_cancel },
  { "plot.menu", NULL, act_menu },
};

#define NONE 0
#define SHIFT GDK_SHIFT_MASK
#define CTRL GDK_CONTROL_MASK
#define ALT GDK_ALT_MASK
static const struct
{
  guint key;
  GdkModifierType modifiers;
  const char *action;
} plain_keys[] = {
  { GDK_KEY_Home, NONE, "plot.go-start" },
  { GDK_KEY_KP_Home, NONE, "plot.go-start" },
  { GDK_KEY_End, NONE, "plot.go-end" },
  { GDK_KEY_KP_End, NONE, "plot.go-end" },
  /* A menu shows the last key of an action. */
  { GDK_KEY_KP_0, CTRL, "plot.show-all" },
  { GDK_KEY_KP_0, NONE, "plot.show-all" },
  { GDK_KEY_0, NONE, "plot.show-all" },
  { GDK_KEY_0, CTRL, "plot.show-all" },
  { GDK_KEY_BackSpace, NONE, "plot.view-back" },
  { GDK_KEY_Left, ALT, "plot.view-back" },
  { GDK_KEY_Right, ALT, "plot.view-forward" },
  { GDK_KEY_m, NONE, "plot.mark" },
  { GDK_KEY_x, NONE, "plot.exclude-teeth" },
  { GDK_KEY_x, SHIFT, "plot.take-teeth-back" },
  { GDK_KEY_n, NONE, "plot.next-line" },
  { GDK_KEY_n, SHIFT, "plot.previous-line" },
  { GDK_KEY_f, NONE, "plot.fit-line" },
  { GDK_KEY_Return, NONE, "plot.activate" },
  { GDK_KEY_KP_Enter, NONE, "plot.activate" },
  { GDK_KEY_space, NONE, "plot.activate" },
  { GDK_KEY_Insert, NONE, "plot.add-line" },
  { GDK_KEY_Menu, NONE, "plot.menu" },
  { GDK_KEY_F10, SHIFT, "plot.menu" },
};
static const struct
{
  guint key;
  GdkModifierType modifiers;
  const char *action;
  const char *type; /* "d" or "i" */
  double value;
} value_keys[] = {
  { GDK_KEY_Left, NONE, "plot.pan", "d", -PAN_SHARE },
  { GDK_KEY_KP_Left, NONE, "plot.pan", "d", -PAN_SHARE },
  { GDK_KEY_Right, NONE, "plot.pan", "d", PAN_SHARE },
  { GDK_KEY_KP_Right, NONE, "plot.pan", "d", PAN_SHARE },
  { GDK_KEY_plus, NONE, "plot.zoom", "d", ZOOM_FACTOR },
  { GDK_KEY_equal, NONE, "plot.zoom", "d", ZOOM_FACTOR },
  { GDK_KEY_KP_Add, NONE, "plot.zoom", "d", ZOOM_FACTOR },
  { GDK_KEY_Up, NONE, "plot.zoom", "d", ZOOM_FACTOR },
  { GDK_KEY_minus, NONE, "plot.zoom", "d", 1 / ZOOM_FACTOR },
  { GDK_KEY_KP_Subtract, NONE, "plot.zoom", "d", 1 / ZOOM_FACTOR },
  { GDK_KEY_Down, NONE, "plot.zoom", "d", 1 / ZOOM_FACTOR },
  { GDK_KEY_Page_Up, NONE, "plot.page", "i", -1 },
  { GDK_KEY_KP_Page_Up, NONE, "plot.page", "i", -1 },
  { GDK_KEY_Page_Down, NONE, "plot.page", "i", 1 },
  { GDK_KEY_KP_Page_Down, NONE, "plot.page", "i", 1 },
  { GDK_KEY_Left, SHIFT, "plot.cursor", "i", -1 },
  { GDK_KEY_Right, SHIFT, "plot.cursor", "i", 1 },
  { GDK_KEY_Left, CTRL, "plot.move-line", "i", -1 },
  { GDK_KEY_Right, CTRL, "plot.move-line", "i", 1 },
  { GDK_KEY_Up, CTRL, "plot.widen-line", "i", 1 },
  { GDK_KEY_Down, CTRL, "plot.widen-line", "i", -1 },
};

/* Without a drag or a mark Escape is not for the plot: it cancels what runs. */
static gboolean
on_escape (GtkWidget *widget, GVariant *none, gpointer data)
{
  FaintPlot *self = FAINT_PLOT (widget);
  gboolean drags = self->drag.kind != FAINT_DRAG_NONE || faint_range_is_valid (self->marked)
                   || !isnan (self->mark_from);

  faint_plot_drag_cancel (self);
  faint_plot_unmark (self);
  return drags;
}

void
faint_plot_class_install_actions (GtkWidgetClass *widget_class)
{
  static const GdkModifierType held[] = { NONE, CTRL, SHIFT };

  for (guint i = 0; i < G_N_ELEMENTS (actions); i++)
    gtk_widget_class_install_action (widget_class, actions[i].name, actions[i].parameter,
                                     actions[i].activate);
  for (guint i = 0; i < G_N_ELEMENTS (plain_keys); i++)
    gtk_widget_class_add_binding_action (widget_class, plain_keys[i].key, plain_keys[i].modifiers,
                                         plain_keys[i].action, NULL);
  /* a drag may go on with its modifier held */
  for (guint i = 0; i < G_N_ELEMENTS (held); i++)
    gtk_widget_class_add_binding (widget_class, GDK_KEY_Escape, held[i], on_escape, NULL);
  for (guint i = 0; i < G_N_ELEMENTS (value_keys); i++)
    if (value_keys[i].type[0] == 'd')
      gtk_widget_class_add_binding_action (widget_class, value_keys[i].key, value_keys[i].modifiers,
                                           value_keys[i].action, "d", value_keys[i].value);
    else
      gtk_widget_class_add_binding_action (widget_class, value_keys[i].key, value_keys[i].modifiers,
                                           value_keys[i].action, "i", (int)value_keys[i].value);
}

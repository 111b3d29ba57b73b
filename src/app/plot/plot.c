/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/plot/plot-private.h"
#include "app/plot/hit.h"

#include <glib/gi18n.h>
#include <math.h>

#define DESCRIBE_AFTER_MS 200

guint faint_plot_signals[FAINT_PLOT_N_SIGNALS];

G_DEFINE_FINAL_TYPE (FaintPlot, faint_plot, GTK_TYPE_WIDGET)

/* Switches of the figure that are properties of the widget. */
typedef struct
{
  const char *name;
  gsize offset;
} Switch;
#define LANE(lane) (G_STRUCT_OFFSET (FaintSpectrumFigure, show) + (lane) * sizeof (gboolean))
static const Switch switches[] = {
  { "show-absorption", LANE (FAINT_LANE_ABSORPTION) },
  { "show-phase", LANE (FAINT_LANE_PHASE) },
  { "show-residual", LANE (FAINT_LANE_RESIDUAL) },
  { "show-sticks", LANE (FAINT_LANE_STICKS) },
  { "error-bars", G_STRUCT_OFFSET (FaintSpectrumFigure, error_bars) },
  { "baseline", G_STRUCT_OFFSET (FaintSpectrumFigure, baseline) },
  { "windows", G_STRUCT_OFFSET (FaintSpectrumFigure, windows) },
  { "grid", G_STRUCT_OFFSET (FaintSpectrumFigure, grid) },
};

static gboolean *
switch_of (FaintPlot *self, guint id)
{
  return (gboolean *)((char *)&self->figure + switches[id - 1].offset);
}

static void
apply_figure (FaintPlot *self)
{
  self->figure.unit = faint_plot_axis_unit (self->session, self->data);
  faint_plot_area_set_figure (FAINT_PLOT_AREA (self->area), &self->figure);
}

gboolean
faint_plot_shared_view (FaintPlot *self, FaintView *view)
{
  const FaintFigureLayout *layout = faint_plot_area_get_layout (FAINT_PLOT_AREA (self->area));

  for (int i = 0; layout != NULL && i < FAINT_LANE_N; i++)
    if (layout->visible[i])
      {
        *view = layout->view[i];
        return TRUE;
      }
  return FALSE;
}

double
faint_plot_pixel (FaintPlot *self)
{
  FaintView view;

  if (!faint_plot_shared_view (self, &view))
    return NAN;
  return faint_view_unit_width (&view) / gtk_widget_get_scale_factor (GTK_WIDGET (self));
}

double
faint_plot_usual_half_width (FaintPlot *self)
{
  if (self->data == NULL)
    return NAN;
  /* Eight samples over a full width: common practice, no source. Of a million samples the distance
   * is not to be sought in every frame of a drag. */
  if (isnan (self->usual_half_width))
    self->usual_half_width = 4 * faint_spectrum_spacing (self->data->spectrum);
  return self->usual_half_width;
}

const FaintLine *
faint_plot_selected_line (FaintPlot *self)
{
  guint id = faint_session_get_selected (self->session);

  if (id == 0 || self->data == NULL || self->data->lines == NULL)
    return NULL;
  return faint_line_list_find (self->data->lines, id);
}

double
faint_plot_focus_wavenumber (FaintPlot *self)
{
  double lower, upper, pointer = faint_session_get_pointer (self->session);
  const FaintLine *line = faint_plot_selected_line (self);

  if (!isnan (pointer))
    return pointer;
  faint_session_get_view (self->session, &lower, &upper);
  if (line != NULL && line->position.value >= lower && line->position.value <= upper)
    return line->position.value;
  return 0.5 * (lower + upper);
}

void
faint_plot_refresh_marks (FaintPlot *self)
{
  FaintMarks marks = faint_marks_none ();
  double pointer = faint_session_get_pointer (self->session);
  gsize sample = faint_plot_sample_at (self, pointer), n;

  marks.cross = pointer;
  marks.cross_y = self->pointer_y;
  if (sample != G_MAXSIZE)
    {
      marks.sample = faint_pyramid_get_x (self->data->observed, &n)[sample];
      marks.sample_value = faint_pyramid_get_y (self->data->observed, &n)[sample];
    }
  if (self->drag.kind == FAINT_DRAG_RANGE)
    marks.range = (FaintRange){ MIN (self->drag.from, self->drag.at),
                                MAX (self->drag.from, self->drag.at) };
  marks.marked = self->marked;
  faint_plot_shape_marks (self, &marks);
  marks.focus = (gtk_widget_get_state_flags (GTK_WIDGET (self)) & GTK_STATE_FLAG_FOCUS_VISIBLE) != 0
                && gtk_widget_has_focus (GTK_WIDGET (self));
  faint_plot_marks_set (FAINT_PLOT_MARKS (self->marks), &marks);
}

static void
refresh_pointer (FaintPlot *self)
{
  faint_plot_follow_mark (self);
  faint_plot_refresh_marks (self);
  faint_plot_refresh_readout (self);
}

static gboolean
describe_now (gpointer user_data)
{
  FaintPlot *self = user_data;

  self->describe_id = 0;
  faint_plot_describe (self);
  return G_SOURCE_REMOVE;
}

static void
describe_soon (FaintPlot *self)
{
  if (self->describe_id == 0)
    self->describe_id = g_timeout_add (DESCRIBE_AFTER_MS, describe_now, self);
}

/* The axis moves under a resting pointer; a cursor led by keys goes where it can be seen. */
static void
follow_pointer (FaintPlot *self, FaintRange across)
{
  FaintView view;

  if (!isnan (self->pointer_x) && self->drag.kind != FAINT_DRAG_LINE
      && faint_plot_shared_view (self, &view))
    faint_session_set_pointer (self->session, faint_view_wavenumber (&view, self->pointer_x));
  else if (isnan (self->pointer_x)
           && !faint_range_contains (across, faint_session_get_pointer (self->session)))
    faint_session_set_pointer (self->session, NAN);
}

static void
on_view_changed (FaintPlot *self)
{
  FaintRange across;

  faint_session_get_view (self->session, &across.lower, &across.upper);
  faint_view_history_note (self->history, across, g_get_monotonic_time ());
  faint_plot_area_set_across (FAINT_PLOT_AREA (self->area), across);
  follow_pointer (self, across);
  refresh_pointer (self);
  faint_plot_update_actions (self);
  describe_soon (self);
}

static void
on_selection_changed (FaintPlot *self)
{
  faint_plot_preview_end (self);
  faint_plot_refresh_marks (self);
  faint_plot_refresh_readout (self);
  faint_plot_update_actions (self);
  describe_soon (self);
}

static void
on_unit_changed (FaintPlot *self)
{
  apply_figure (self);
  faint_plot_refresh_readout (self);
  describe_soon (self);
}

static void
on_mode_changed (FaintPlot *self)
{
  gboolean inspects = faint_session_get_mode (self->session) == FAINT_MODE_INSPECT;

  gtk_widget_set_cursor_from_name (self->overlay, inspects ? NULL : "crosshair");
  faint_plot_forget_clicks (self);
}

void
faint_plot_jump (FaintPlot *self, FaintRange view)
{
  faint_view_history_jump (self->history);
  faint_session_set_view (self->session, view.lower, view.upper);
}

void
faint_plot_click (FaintPlot *self, double wavenumber)
{
  const FaintLine *line;

  if (self->data == NULL || isnan (wavenumber))
    return;
  if (faint_session_get_mode (self->session) == FAINT_MODE_ADD)
    {
      g_signal_emit (self, faint_plot_signals[FAINT_PLOT_ADD_LINE], 0, wavenumber);
      return;
    }
  line = faint_plot_line_at (self, wavenumber);
  faint_session_set_selected (self->session, line != NULL ? line->id : 0);
}

void
faint_plot_toggle (FaintPlot *self, double wavenumber)
{
  const FaintLine *line = faint_plot_line_at (self, wavenumber);

  if (line != NULL)
    g_signal_emit (self, faint_plot_signals[FAINT_PLOT_LINE_TOGGLED], 0, line->id);
}

void
faint_plot_select_for_menu (FaintPlot *self, double wavenumber)
{
  const FaintLine *line = faint_plot_line_at (self, wavenumber);

  if (line != NULL)
    faint_session_set_selected (self->session, line->id);
}

void
faint_plot_fit_line_at (FaintPlot *self, double wavenumber)
{
  gsize index = self->data != NULL && self->data->lines != NULL
                    ? faint_line_list_nearest (self->data->lines, wavenumber)
                    : G_MAXSIZE;
  const FaintLine *line;
  guint id;

  if (index == G_MAXSIZE)
    return;
  line = faint_plot_line_at (self, wavenumber);
  if (line == NULL)
    line = faint_line_list_get (self->data->lines, index);
  id = line->id;
  faint_plot_jump (self, faint_hit_range (line, faint_plot_usual_half_width (self)));
  faint_session_set_selected (self->session, id);
  g_signal_emit (self, faint_plot_signals[FAINT_PLOT_LINE_ACTIVATED], 0, id);
}

static void
faint_plot_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  g_value_set_boolean (value, *switch_of (FAINT_PLOT (object), id));
}

static void
faint_plot_set_property (GObject *object, guint id, const GValue *value, GParamSpec *pspec)
{
  FaintPlot *self = FAINT_PLOT (object);

  if (*switch_of (self, id) == g_value_get_boolean (value))
    return;
  *switch_of (self, id) = g_value_get_boolean (value);
  apply_figure (self);
  g_object_notify_by_pspec (object, pspec);
}

static void
faint_plot_state_flags_changed (GtkWidget *widget, GtkStateFlags before)
{
  FaintPlot *self = FAINT_PLOT (widget);

  if (self->session != NULL && self->marks != NULL)
    faint_plot_refresh_marks (self);
}

static void
faint_plot_dispose (GObject *object)
{
  FaintPlot *self = FAINT_PLOT (object);

  g_clear_handle_id (&self->describe_id, g_source_remove);
  if (self->session != NULL)
    g_signal_handlers_disconnect_by_data (self->session, self);
  g_clear_pointer (&self->menu, gtk_widget_unparent);
  g_clear_pointer (&self->range_menu, gtk_widget_unparent);
  g_clear_pointer (&self->preview, faint_fit_preview_free);
  g_clear_object (&self->line_menu);
  self->area = self->marks = NULL;
  self->click = NULL;
  g_clear_pointer (&self->overlay, gtk_widget_unparent);
  g_clear_pointer (&self->readout, gtk_widget_unparent);
  g_clear_pointer (&self->data, faint_figure_data_unref);
  g_clear_pointer (&self->figure.given, faint_line_list_unref);
  g_clear_pointer (&self->figure.predicted, faint_line_list_unref);
  g_clear_pointer (&self->figure.not_seen, faint_line_list_unref);
  g_clear_pointer (&self->figure.not_claimed, faint_line_list_unref);
  g_clear_pointer (&self->figure.other, faint_other_trace_unref);
  g_clear_object (&self->session);
  G_OBJECT_CLASS (faint_plot_parent_class)->dispose (object);
}

static void
faint_plot_finalize (GObject *object)
{
  faint_view_history_free (FAINT_PLOT (object)->history);
  G_OBJECT_CLASS (faint_plot_parent_class)->finalize (object);
}

static void
install_signals (GType type)
{
  faint_plot_signals[FAINT_PLOT_LINE_ACTIVATED] = g_signal_new (
      "line-activated", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 1, G_TYPE_UINT);
  faint_plot_signals[FAINT_PLOT_ADD_LINE] = g_signal_new (
      "add-line", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 1, G_TYPE_DOUBLE);
  faint_plot_signals[FAINT_PLOT_LINE_MOVED]
      = g_signal_new ("line-moved", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 2,
                      G_TYPE_UINT, G_TYPE_DOUBLE);
}

/* What is done to a line or with a range. */
static void
install_edit_signals (GType type)
{
  faint_plot_signals[FAINT_PLOT_LINE_WIDENED]
      = g_signal_new ("line-widened", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 2,
                      G_TYPE_UINT, G_TYPE_DOUBLE);
  faint_plot_signals[FAINT_PLOT_LINE_TOGGLED] = g_signal_new (
      "line-toggled", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 1, G_TYPE_UINT);
  faint_plot_signals[FAINT_PLOT_RANGE_CHOSEN]
      = g_signal_new ("range-chosen", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 3,
                      G_TYPE_UINT, G_TYPE_DOUBLE, G_TYPE_DOUBLE);
}

static void
faint_plot_class_init (FaintPlotClass *klass)
{
  GObjectClass *object_class = G_OBJECT_CLASS (klass);
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  object_class->get_property = faint_plot_get_property;
  object_class->set_property = faint_plot_set_property;
  object_class->dispose = faint_plot_dispose;
  object_class->finalize = faint_plot_finalize;
  widget_class->state_flags_changed = faint_plot_state_flags_changed;
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BOX_LAYOUT);
  gtk_widget_class_set_css_name (widget_class, "plot");
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_GROUP);

  for (guint i = 0; i < G_N_ELEMENTS (switches); i++)
    {
      g_autofree char *action = g_strconcat ("plot.", switches[i].name, NULL);

      g_object_class_install_property (object_class, i + 1,
                                       g_param_spec_boolean (switches[i].name, NULL, NULL, TRUE,
                                                             G_PARAM_READWRITE
                                                                 | G_PARAM_EXPLICIT_NOTIFY
                                                                 | G_PARAM_STATIC_STRINGS));
      gtk_widget_class_install_property_action (widget_class, action, switches[i].name);
    }
  install_signals (G_TYPE_FROM_CLASS (klass));
  install_edit_signals (G_TYPE_FROM_CLASS (klass));
  faint_plot_class_install_actions (widget_class);
}

static void
faint_plot_init (FaintPlot *self)
{
  GtkLayoutManager *layout = gtk_widget_get_layout_manager (GTK_WIDGET (self));

  gtk_orientable_set_orientation (GTK_ORIENTABLE (layout), GTK_ORIENTATION_VERTICAL);
  faint_spectrum_figure_init (&self->figure);
  self->history = faint_view_history_new ();
  self->pointer_x = self->pointer_y = self->menu_at = self->mark_from = NAN;
  self->marked = (FaintRange){ NAN, NAN };
  self->usual_half_width = NAN;

  self->area = faint_plot_area_new ();
  self->marks = faint_plot_marks_new (FAINT_PLOT_AREA (self->area));
  self->overlay = gtk_overlay_new ();
  gtk_overlay_set_child (GTK_OVERLAY (self->overlay), self->area);
  gtk_overlay_add_overlay (GTK_OVERLAY (self->overlay), self->marks);
  gtk_widget_set_parent (self->overlay, GTK_WIDGET (self));
  self->readout = faint_plot_readout_new ();
  gtk_widget_set_parent (self->readout, GTK_WIDGET (self));
  gtk_widget_set_size_request (self->area, 240, 130);
  gtk_widget_set_focusable (GTK_WIDGET (self), TRUE);
  faint_plot_add_gestures (self);
}

GtkWidget *
faint_plot_new (FaintSession *session)
{
  FaintPlot *self = g_object_new (FAINT_TYPE_PLOT, NULL);

  self->session = g_object_ref (session);
  g_signal_connect_swapped (session, "view-changed", G_CALLBACK (on_view_changed), self);
  g_signal_connect_swapped (session, "selection-changed", G_CALLBACK (on_selection_changed), self);
  g_signal_connect_swapped (session, "several-changed", G_CALLBACK (faint_plot_show_several), self);
  g_signal_connect_swapped (session, "notify::axis-unit", G_CALLBACK (on_unit_changed), self);
  g_signal_connect_swapped (session, "notify::origin", G_CALLBACK (on_unit_changed), self);
  g_signal_connect_swapped (session, "notify::mode", G_CALLBACK (on_mode_changed), self);
  g_signal_connect_swapped (session, "notify::pointer", G_CALLBACK (refresh_pointer), self);
  apply_figure (self);
  on_mode_changed (self);
  on_view_changed (self);
  faint_plot_describe (self);
  return GTK_WIDGET (self);
}

void
faint_plot_set_data (FaintPlot *self, FaintFigureData *data)
{
  g_return_if_fail (FAINT_IS_PLOT (self));
  if (data != NULL)
    faint_figure_data_ref (data);
  if (data == NULL || self->data == NULL || data->spectrum != self->data->spectrum)
    {
      faint_plot_drag_cancel (self);
      faint_plot_unmark (self);
    }
  /* what an edit would make of the model stands until the fit has made it */
  if (data == NULL || self->data == NULL || data->fit != self->data->fit)
    faint_plot_preview_end (self);
  if (data == NULL || self->data == NULL || data->spectrum != self->data->spectrum)
    self->usual_half_width = NAN;
  g_clear_pointer (&self->data, faint_figure_data_unref);
  self->data = data;
  faint_plot_area_set_data (FAINT_PLOT_AREA (self->area), data);
  if (data != NULL)
    faint_session_set_limits (self->session, data->across.lower, data->across.upper);
  else
    faint_view_history_clear (self->history);
  apply_figure (self);
  faint_plot_show_several (self);
  refresh_pointer (self);
  faint_plot_update_actions (self);
  describe_soon (self);
}

FaintFigureData *
faint_plot_get_data (FaintPlot *self)
{
  g_return_val_if_fail (FAINT_IS_PLOT (self), NULL);
  return self->data;
}

static void
replace_list (FaintPlot *self, FaintLineList **list, FaintLineList *lines)
{
  if (lines != NULL)
    faint_line_list_ref (lines);
  g_clear_pointer (list, faint_line_list_unref);
  *list = lines;
  apply_figure (self);
}

void
faint_plot_set_given (FaintPlot *self, FaintLineList *lines)
{
  g_return_if_fail (FAINT_IS_PLOT (self));
  replace_list (self, &self->figure.given, lines);
}

void
faint_plot_set_predicted (FaintPlot *self, FaintLineList *lines)
{
  g_return_if_fail (FAINT_IS_PLOT (self));
  replace_list (self, &self->figure.predicted, lines);
}

void
faint_plot_set_verdicts (FaintPlot *self, FaintLineList *not_seen, FaintLineList *not_claimed)
{
  g_return_if_fail (FAINT_IS_PLOT (self));
  replace_list (self, &self->figure.not_seen, not_seen);
  replace_list (self, &self->figure.not_claimed, not_claimed);
}

void
faint_plot_set_fixed (FaintPlot *self, gboolean fixed)
{
  g_return_if_fail (FAINT_IS_PLOT (self));
  faint_plot_drag_cancel (self);
  self->fixed = fixed;
  faint_plot_refresh_marks (self);
}

void
faint_plot_set_words (FaintPlot *self, const char *fitted, const char *other)
{
  g_return_if_fail (FAINT_IS_PLOT (self));
  self->figure.fitted_words = fitted;
  self->figure.other_words = other;
  apply_figure (self);
}

void
faint_plot_set_other (FaintPlot *self, FaintOtherTrace *other)
{
  g_return_if_fail (FAINT_IS_PLOT (self));
  if (other != NULL)
    faint_other_trace_ref (other);
  g_clear_pointer (&self->figure.other, faint_other_trace_unref);
  self->figure.other = other;
  apply_figure (self);
}

gboolean
faint_plot_go_to (FaintPlot *self, double wavenumber)
{
  double lower, upper, half;

  g_return_val_if_fail (FAINT_IS_PLOT (self), FALSE);
  if (self->data == NULL || !faint_range_contains (self->data->across, wavenumber))
    return FALSE;
  faint_session_get_view (self->session, &lower, &upper);
  half = 0.5 * MIN (upper - lower, 0.1 * faint_range_width (self->data->across));
  self->pointer_x = self->pointer_y = NAN;
  faint_plot_jump (self, (FaintRange){ wavenumber - half, wavenumber + half });
  faint_session_set_pointer (self->session, wavenumber);
  return TRUE;
}

void
faint_plot_set_line_menu (FaintPlot *self, GMenuModel *menu)
{
  g_return_if_fail (FAINT_IS_PLOT (self));
  g_set_object (&self->line_menu, menu);
}

void
faint_plot_get_figure (FaintPlot *self, FaintSpectrumFigure *figure)
{
  g_return_if_fail (FAINT_IS_PLOT (self));
  *figure = self->figure;
  figure->selected = faint_session_get_selected (self->session);
}

const FaintFigureLayout *
faint_plot_get_layout (FaintPlot *self)
{
  g_return_val_if_fail (FAINT_IS_PLOT (self), NULL);
  return faint_plot_area_get_layout (FAINT_PLOT_AREA (self->area));
}

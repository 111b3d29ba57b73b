/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The plot and the overview in a window: every action by its name, and what the session then
 * holds. Needs a display.
 */
#include "app/plot/area.h"
#include "app/plot/marks.h"
#include "app/plot/overview.h"
#include "app/plot/plot-private.h"
#include "app/plot/readout.h"
#include "faint-test.h"
#include "plot-data.h"

#include <math.h>

#define N_LINES 70 /* one a wavenumber: 7760.5, 7761.5, ... */
#define SPAN (PLOT_DATA_UPPER - PLOT_DATA_LOWER)

typedef struct
{
  GtkWidget *window, *plot, *overview;
  FaintSession *session;
  FaintFigureData *data;
  double added, moved;
  guint moved_id, activated;
} Fixture;

static void
on_add (Fixture *self, double wavenumber)
{
  self->added = wavenumber;
}

static void
on_moved (Fixture *self, guint id, double wavenumber)
{
  self->moved_id = id;
  self->moved = wavenumber;
}

static void
on_activated (Fixture *self, guint id)
{
  self->activated = id;
}

static gboolean
stop_waiting (gpointer user_data)
{
  *(gboolean *)user_data = TRUE;
  return G_SOURCE_REMOVE;
}

/* Runs the main loop for @ms, or until @area has a layout if that is not NULL. */
static void
wait_for (GtkWidget *plot, guint ms)
{
  gboolean late = FALSE;
  guint id = g_timeout_add (ms, stop_waiting, &late);

  while (!late && !(plot != NULL && faint_plot_get_layout (FAINT_PLOT (plot)) != NULL))
    g_main_context_iteration (NULL, TRUE);
  if (!late)
    g_source_remove (id);
}

static void
set_up (Fixture *self, gconstpointer unused)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);

  self->added = self->moved = NAN;
  self->session = faint_session_new ();
  self->plot = faint_plot_new (self->session);
  self->overview = faint_overview_new (self->session);
  self->data = plot_data_new (7001, N_LINES, TRUE);
  self->window = gtk_window_new ();
  gtk_widget_set_vexpand (self->plot, TRUE);
  gtk_box_append (GTK_BOX (box), self->overview);
  gtk_box_append (GTK_BOX (box), self->plot);
  gtk_window_set_child (GTK_WINDOW (self->window), box);
  gtk_window_set_default_size (GTK_WINDOW (self->window), 1000, 700);
  g_signal_connect_swapped (self->plot, "add-line", G_CALLBACK (on_add), self);
  g_signal_connect_swapped (self->plot, "line-moved", G_CALLBACK (on_moved), self);
  g_signal_connect_swapped (self->plot, "line-activated", G_CALLBACK (on_activated), self);
  faint_plot_set_data (FAINT_PLOT (self->plot), self->data);
  faint_overview_set_data (FAINT_OVERVIEW (self->overview), self->data);
  gtk_window_present (GTK_WINDOW (self->window));
  wait_for (self->plot, 5000);
  g_assert_nonnull (faint_plot_get_layout (FAINT_PLOT (self->plot)));
}

static void
tear_down (Fixture *self, gconstpointer unused)
{
  GtkWidget *plot = self->plot, *overview = self->overview;

  g_object_add_weak_pointer (G_OBJECT (self->plot), (gpointer *)&plot);
  g_object_add_weak_pointer (G_OBJECT (self->overview), (gpointer *)&overview);
  gtk_window_destroy (GTK_WINDOW (self->window));
  wait_for (NULL, 50);
  g_assert_null (plot);
  g_assert_null (overview);
  faint_figure_data_unref (self->data);
  g_assert_finalize_object (self->session);
}

static void
act (Fixture *self, const char *name, GVariant *value)
{
  g_assert_true (gtk_widget_activate_action_variant (self->plot, name, value));
}

static FaintRange
view_of (Fixture *self)
{
  FaintRange range;

  faint_session_get_view (self->session, &range.lower, &range.upper);
  return range;
}

#define ROUNDING "a few roundings of wavenumbers near 8000"
static void
assert_view (Fixture *self, double lower, double upper)
{
  FaintRange range = view_of (self);

  faint_assert_near (range.lower, lower, 1e-9, ROUNDING);
  faint_assert_near (range.upper, upper, 1e-9, ROUNDING);
}

static void
test_span (Fixture *self, gconstpointer unused)
{
  double lower, upper;

  faint_session_get_limits (self->session, &lower, &upper);
  g_assert_cmpfloat (lower, ==, self->data->across.lower);
  g_assert_cmpfloat (upper, ==, self->data->across.upper);
  assert_view (self, PLOT_DATA_LOWER, PLOT_DATA_UPPER);
}

static void
test_pan_and_ends (Fixture *self, gconstpointer unused)
{
  faint_session_set_view (self->session, 7780, 7790);
  act (self, "plot.pan", g_variant_new_double (0.1));
  assert_view (self, 7781, 7791);
  act (self, "plot.pan", g_variant_new_double (-0.2));
  assert_view (self, 7779, 7789);
  act (self, "plot.page", g_variant_new_int32 (1));
  assert_view (self, 7788, 7798);
  act (self, "plot.go-start", NULL);
  assert_view (self, PLOT_DATA_LOWER, PLOT_DATA_LOWER + 10);
  act (self, "plot.page", g_variant_new_int32 (-1)); /* no further */
  assert_view (self, PLOT_DATA_LOWER, PLOT_DATA_LOWER + 10);
  act (self, "plot.go-end", NULL);
  assert_view (self, PLOT_DATA_UPPER - 10, PLOT_DATA_UPPER);
}

static void
test_zoom_holds_place (Fixture *self, gconstpointer unused)
{
  const double at = 7783.0;
  double share;

  faint_session_set_view (self->session, 7780, 7790);
  faint_session_set_pointer (self->session, at);
  share = (at - 7780) / 10;
  for (int i = 0; i < 5; i++)
    {
      FaintRange range;

      act (self, "plot.zoom", g_variant_new_double (1.5));
      range = view_of (self);
      faint_assert_near ((at - range.lower) / faint_range_width (range), share, 1e-9,
                         "the wavenumber under the pointer keeps its place");
    }
  faint_assert_close (faint_range_width (view_of (self)), 10 / pow (1.5, 5), 1e-9, ROUNDING);
}

static void
test_back (Fixture *self, gconstpointer unused)
{
  faint_session_set_selected (self->session, 10);
  act (self, "plot.fit-line", NULL);
  g_assert_cmpfloat (faint_range_width (view_of (self)), <, 1);
  act (self, "plot.show-all", NULL);
  assert_view (self, PLOT_DATA_LOWER, PLOT_DATA_UPPER);
  act (self, "plot.view-back", NULL);
  g_assert_cmpfloat (faint_range_width (view_of (self)), <, 1);
  act (self, "plot.view-back", NULL);
  assert_view (self, PLOT_DATA_LOWER, PLOT_DATA_UPPER);
}

static void
test_fit_line (Fixture *self, gconstpointer unused)
{
  double position = plot_data_position (N_LINES, 33);

  faint_session_set_pointer (self->session, position + 0.1);
  act (self, "plot.fit-line", NULL);
  g_assert_cmpuint (faint_session_get_selected (self->session), ==, 33);
  g_assert_cmpuint (self->activated, ==, 33);
  /* 15 half widths on both sides. */
  assert_view (self, position - 15 * PLOT_DATA_HALF_WIDTH, position + 15 * PLOT_DATA_HALF_WIDTH);
}

static void
test_next_line (Fixture *self, gconstpointer unused)
{
  faint_session_set_view (self->session, 7780, 7790); /* the middle is at 7785 */
  act (self, "plot.next-line", NULL);
  faint_assert_near (plot_data_position (N_LINES, faint_session_get_selected (self->session)),
                     7785.5, 1e-9, ROUNDING);
  act (self, "plot.previous-line", NULL);
  act (self, "plot.previous-line", NULL);
  faint_assert_near (plot_data_position (N_LINES, faint_session_get_selected (self->session)),
                     7783.5, 1e-9, ROUNDING);
  assert_view (self, 7780, 7790);
  /* The last line's next: none, and nothing changes. The view follows what is selected. */
  faint_session_set_selected (self->session, N_LINES - 1);
  act (self, "plot.next-line", NULL);
  g_assert_cmpuint (faint_session_get_selected (self->session), ==, N_LINES);
  g_assert_true (faint_range_contains (view_of (self), plot_data_position (N_LINES, N_LINES)));
  act (self, "plot.next-line", NULL);
  g_assert_cmpuint (faint_session_get_selected (self->session), ==, N_LINES);
}

static void
test_activate_selects (Fixture *self, gconstpointer unused)
{
  faint_session_set_view (self->session, 7780, 7790);
  faint_session_set_pointer (self->session, plot_data_position (N_LINES, 26));
  act (self, "plot.activate", NULL);
  g_assert_cmpuint (faint_session_get_selected (self->session), ==, 26);
  g_assert_true (isnan (self->added));
  /* Nothing is near the middle between two lines: no selection. */
  faint_session_set_pointer (self->session, plot_data_position (N_LINES, 26) + 0.5);
  act (self, "plot.activate", NULL);
  g_assert_cmpuint (faint_session_get_selected (self->session), ==, 0);
}

static void
test_add (Fixture *self, gconstpointer unused)
{
  faint_session_set_view (self->session, 7780, 7790);
  faint_session_set_pointer (self->session, 7784.25);
  faint_session_set_mode (self->session, FAINT_MODE_ADD);
  act (self, "plot.activate", NULL);
  g_assert_cmpfloat (self->added, ==, 7784.25);
  g_assert_cmpuint (faint_session_get_selected (self->session), ==, 0);
  faint_session_set_mode (self->session, FAINT_MODE_INSPECT);
  faint_session_set_pointer (self->session, 7784.75);
  act (self, "plot.add-line", NULL); /* from the menu, in any mode */
  g_assert_cmpfloat (self->added, ==, 7784.75);
}

static void
test_move_line (Fixture *self, gconstpointer unused)
{
  const FaintFigureLayout *layout = faint_plot_get_layout (FAINT_PLOT (self->plot));
  double pixel, from = plot_data_position (N_LINES, 26), far;

  faint_session_set_view (self->session, from - 0.05, from + 0.05);
  layout = faint_plot_get_layout (FAINT_PLOT (self->plot));
  pixel = 0.1 / layout->view[FAINT_LANE_MEASUREMENT].place.width;
  faint_session_set_selected (self->session, 26);
  act (self, "plot.move-line", g_variant_new_int32 (3));
  g_assert_cmpuint (self->moved_id, ==, 26);
  faint_assert_near (self->moved, from + 3 * pixel, 1e-9, ROUNDING);
  /* Where a pixel is wider than the line, the line's own width is the measure. */
  faint_session_set_view (self->session, 7750, 7820);
  act (self, "plot.move-line", g_variant_new_int32 (-3));
  far = from - self->moved;
  g_assert_cmpfloat (far, >, 0.0);
  g_assert_cmpfloat (far, <, 0.5 * 70 / layout->view[FAINT_LANE_MEASUREMENT].place.width);
}

static void
test_cursor (Fixture *self, gconstpointer unused)
{
  double step = SPAN / 7000;

  faint_session_set_view (self->session, 7780, 7790);
  act (self, "plot.cursor", g_variant_new_int32 (1)); /* from the middle */
  faint_assert_near (faint_session_get_pointer (self->session), 7785 + step, 1e-9, ROUNDING);
  act (self, "plot.cursor", g_variant_new_int32 (-3));
  faint_assert_near (faint_session_get_pointer (self->session), 7785 - 2 * step, 1e-9, ROUNDING);
  act (self, "plot.cursor", g_variant_new_int32 (-1000000));
  g_assert_cmpfloat (faint_session_get_pointer (self->session), ==, self->data->across.lower);
  g_assert_true (faint_range_contains (view_of (self), self->data->across.lower));
}

static GtkWidget *
find_child (GtkWidget *widget, GType type)
{
  GtkWidget *found = NULL;

  if (g_type_is_a (G_OBJECT_TYPE (widget), type))
    return widget;
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL && found == NULL;
       child = gtk_widget_get_next_sibling (child))
    found = find_child (child, type);
  return found;
}

/* A dashed stick is read out by its name, unless a line that was found is nearer. */
static void
test_readout_predicted (Fixture *self, gconstpointer unused)
{
  FaintPlotReadout *readout = FAINT_PLOT_READOUT (find_child (self->plot, FAINT_TYPE_PLOT_READOUT));
  FaintLine line = faint_line_unknown ();
  g_autoptr (FaintLineList) predicted = NULL;

  line.id = 1;
  line.position.value = 7785.03;
  line.position.u = 0.0012;
  line.strength.value = 2.5e-27;
  line.upper = "J20e";
  line.lower = "J21e";
  predicted = faint_line_list_new (&line, 1);
  faint_plot_set_predicted (FAINT_PLOT (self->plot), predicted);
  faint_session_set_view (self->session, 7780, 7790);
  faint_session_set_pointer (self->session, 7785.03);
  g_assert_cmpstr (faint_plot_readout_get (readout, FAINT_READOUT_LINE), ==,
                   "P(21) expected at 7785.0300(12) cm⁻¹, not found, S = 2.5e-27 cm/molecule, "
                   "J20e ← J21e");
  faint_session_set_pointer (self->session, plot_data_position (N_LINES, 26));
  g_assert_true (
      g_str_has_prefix (faint_plot_readout_get (readout, FAINT_READOUT_LINE), "line at 7785.50"));
  faint_plot_set_predicted (FAINT_PLOT (self->plot), NULL);
  faint_session_set_pointer (self->session, 7785.03);
  g_assert_cmpstr (faint_plot_readout_get (readout, FAINT_READOUT_LINE), ==, "");
}

static void
keep_line (FaintSession *session, gconstpointer line, FaintLine *seen)
{
  if (line != NULL)
    *seen = *(const FaintLine *)line;
}

/* A line in the hand has not the uncertainty of the place it was fitted at. */
static void
test_dragged (Fixture *self, gconstpointer unused)
{
  FaintPlot *plot = FAINT_PLOT (self->plot);
  FaintLine seen = faint_line_unknown ();

  g_signal_connect (self->session, "line-dragged", G_CALLBACK (keep_line), &seen);
  faint_session_set_view (self->session, 7780, 7790);
  faint_session_set_selected (self->session, 26);
  plot->drag = (FaintDrag){ .from = plot_data_position (N_LINES, 26) };
  g_assert_true (faint_plot_shape_begin (plot, FAINT_HANDLE_CENTRE));
  plot->drag.kind = FAINT_DRAG_LINE;
  faint_plot_shape_update (plot, 7785.6);
  g_assert_cmpfloat_with_epsilon (seen.position.value, 7785.6, 1e-9);
  g_assert_true (isnan (seen.position.u) && isnan (seen.position.u_noise));
  faint_plot_drag_cancel (plot);
  g_signal_handlers_disconnect_by_data (self->session, &seen);
}

/* Lines selected together are marked, but for the one in hand, which has its own mark. */
static void
test_several (Fixture *self, gconstpointer unused)
{
  FaintPlotMarks *marks = FAINT_PLOT_MARKS (find_child (self->plot, FAINT_TYPE_PLOT_MARKS));
  const guint ids[] = { 9, 3, 26 };
  const double *places;
  gsize n;

  faint_session_set_selected (self->session, 3);
  faint_session_set_several (self->session, ids, G_N_ELEMENTS (ids));
  places = faint_plot_marks_get_several (marks, &n);
  g_assert_cmpuint (n, ==, 2);
  g_assert_cmpfloat (places[0], ==, plot_data_position (N_LINES, 9));
  g_assert_cmpfloat (places[1], ==, plot_data_position (N_LINES, 26));
  faint_session_set_several (self->session, NULL, 0);
  faint_plot_marks_get_several (marks, &n);
  g_assert_cmpuint (n, ==, 0);
}

static void
test_readout (Fixture *self, gconstpointer unused)
{
  FaintPlotReadout *readout = FAINT_PLOT_READOUT (find_child (self->plot, FAINT_TYPE_PLOT_READOUT));
  double value = self->data->spectrum->value[2500]; /* at 7785 */

  /* while the pointer is elsewhere: the range and the selected line */
  faint_session_set_view (self->session, 7780, 7790);
  g_assert_cmpstr (faint_plot_readout_get (readout, FAINT_READOUT_POSITION), ==,
                   "7780.00 cm⁻¹ … 7790.00 cm⁻¹");
  g_assert_cmpstr (faint_plot_readout_get (readout, FAINT_READOUT_LINE), ==, "");
  faint_session_set_selected (self->session, 26);
  /* u = 1e-5 cm-1: two digits of it, whatever a pixel is */
  g_assert_true (g_str_has_prefix (faint_plot_readout_get (readout, FAINT_READOUT_LINE),
                                   "line at 7785.500000(10) cm⁻¹"));
  faint_session_set_pointer (self->session, 7785.0001);
  /* A pixel is some 0.011 cm-1: two decimals. */
  g_assert_cmpstr (faint_plot_readout_get (readout, FAINT_READOUT_POSITION), ==, "7785.00 cm⁻¹");
  {
    g_autofree char *number = g_strdup_printf ("signal %.5f(50)", value); /* u = 0.00050 */

    g_assert_cmpstr (faint_plot_readout_get (readout, FAINT_READOUT_SIGNAL), ==, number);
  }
  g_assert_cmpstr (faint_plot_readout_get (readout, FAINT_READOUT_LINE), ==, "");
  faint_session_set_pointer (self->session, plot_data_position (N_LINES, 26));
  g_assert_true (
      g_str_has_prefix (faint_plot_readout_get (readout, FAINT_READOUT_LINE), "line at 7785.50"));
  faint_session_set_axis_unit (self->session, FAINT_AXIS_UNIT_THZ);
  /* 7785.5 cm-1 times c is 233.4034... THz. */
  g_assert_true (
      g_str_has_prefix (faint_plot_readout_get (readout, FAINT_READOUT_POSITION), "233.403"));
  faint_session_set_pointer (self->session, NAN);
  g_assert_cmpstr (faint_plot_readout_get (readout, FAINT_READOUT_SIGNAL), ==, "");
  g_assert_true (
      g_str_has_prefix (faint_plot_readout_get (readout, FAINT_READOUT_POSITION), "233.23"));
}

static void
test_hover_keeps_drawing (Fixture *self, gconstpointer unused)
{
  FaintPlotArea *area = FAINT_PLOT_AREA (find_child (self->plot, FAINT_TYPE_PLOT_AREA));
  guint before;

  wait_for (NULL, 300);
  before = faint_plot_area_get_drawn (area);
  g_assert_cmpuint (before, >, 0);
  for (int i = 0; i < 20; i++)
    {
      faint_session_set_pointer (self->session, 7780 + i);
      wait_for (NULL, 20);
    }
  faint_session_set_selected (self->session, 12);
  wait_for (NULL, 100);
  g_assert_cmpuint (faint_plot_area_get_drawn (area), ==, before);
  faint_session_pan (self->session, 0.1);
  faint_session_zoom_at (self->session, 7790, 2);
  wait_for (NULL, 200);
  g_assert_cmpuint (faint_plot_area_get_drawn (area), >, before);
}

static void
test_accessible (Fixture *self, gconstpointer unused)
{
  GtkAccessible *plot = GTK_ACCESSIBLE (self->plot);

  gtk_test_accessible_assert_role (plot, GTK_ACCESSIBLE_ROLE_GROUP);
  gtk_test_accessible_assert_role (GTK_ACCESSIBLE (self->overview), GTK_ACCESSIBLE_ROLE_IMG);
  wait_for (NULL, 400); /* the text follows when the view rests */
  gtk_test_accessible_assert_property (plot, GTK_ACCESSIBLE_PROPERTY_LABEL,
                                       "Spectrum, 7760.0 cm⁻¹ to 7830.0 cm⁻¹, 70 lines");
  faint_session_set_view (self->session, 7780, 7790);
  faint_session_set_selected (self->session, 26);
  wait_for (NULL, 400);
  gtk_test_accessible_assert_property (plot, GTK_ACCESSIBLE_PROPERTY_LABEL,
                                       "Spectrum, 7780.0 cm⁻¹ to 7790.0 cm⁻¹, 10 lines");
  gtk_test_accessible_assert_property (plot, GTK_ACCESSIBLE_PROPERTY_DESCRIPTION,
                                       "Selected line at 7785.50 cm⁻¹");
}

static void
test_switches (Fixture *self, gconstpointer unused)
{
  const FaintFigureLayout *layout = faint_plot_get_layout (FAINT_PLOT (self->plot));
  double height = layout->view[FAINT_LANE_MEASUREMENT].place.height;
  FaintSpectrumFigure figure;

  g_assert_true (layout->visible[FAINT_LANE_RESIDUAL]);
  act (self, "plot.show-residual", NULL);
  layout = faint_plot_get_layout (FAINT_PLOT (self->plot));
  g_assert_false (layout->visible[FAINT_LANE_RESIDUAL]);
  g_assert_cmpfloat (layout->view[FAINT_LANE_MEASUREMENT].place.height, >, height);
  faint_plot_get_figure (FAINT_PLOT (self->plot), &figure);
  g_assert_false (figure.show[FAINT_LANE_RESIDUAL]);
  act (self, "plot.show-residual", NULL);
  layout = faint_plot_get_layout (FAINT_PLOT (self->plot));
  g_assert_cmpfloat (layout->view[FAINT_LANE_MEASUREMENT].place.height, ==, height);
}

static void
test_nothing_open (Fixture *self, gconstpointer unused)
{
  static const char *const plain[]
      = { "plot.go-start", "plot.go-end",   "plot.activate", "plot.cancel",
          "plot.show-all", "plot.fit-line", "plot.add-line", "plot.next-line" };

  faint_session_clear (self->session);
  faint_plot_set_data (FAINT_PLOT (self->plot), NULL);
  faint_overview_set_data (FAINT_OVERVIEW (self->overview), NULL);
  g_assert_null (faint_plot_get_layout (FAINT_PLOT (self->plot)));
  for (guint i = 0; i < G_N_ELEMENTS (plain); i++)
    gtk_widget_activate_action_variant (self->plot, plain[i], NULL);
  act (self, "plot.pan", g_variant_new_double (1));
  act (self, "plot.zoom", g_variant_new_double (2));
  act (self, "plot.cursor", g_variant_new_int32 (1));
  wait_for (NULL, 400);
  g_assert_true (isnan (view_of (self).lower));
  g_assert_true (isnan (self->added));
  gtk_test_accessible_assert_property (GTK_ACCESSIBLE (self->plot), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                       "Spectrum, nothing open");
  /* And data again. */
  faint_plot_set_data (FAINT_PLOT (self->plot), self->data);
  assert_view (self, PLOT_DATA_LOWER, PLOT_DATA_UPPER);
}

static void
test_overview (Fixture *self, gconstpointer unused)
{
  faint_session_set_view (self->session, 7780, 7790);
  gtk_widget_activate_action (self->overview, "overview.pan", "d", 0.1);
  assert_view (self, 7781, 7791);
  gtk_widget_activate_action (self->overview, "overview.page", "i", -1);
  assert_view (self, 7772, 7782);
  gtk_widget_activate_action (self->overview, "overview.zoom", "d", 2.0);
  assert_view (self, 7774.5, 7779.5);
  gtk_widget_activate_action (self->overview, "overview.go-end", NULL);
  assert_view (self, PLOT_DATA_UPPER - 5, PLOT_DATA_UPPER);
  gtk_widget_activate_action (self->overview, "overview.show-all", NULL);
  assert_view (self, PLOT_DATA_LOWER, PLOT_DATA_UPPER);
}

int
main (int argc, char **argv)
{
  gtk_test_init (&argc, &argv);
#define ADD(name, function) g_test_add ("/plot/" name, Fixture, NULL, set_up, function, tear_down)
  ADD ("span", test_span);
  ADD ("pan-and-ends", test_pan_and_ends);
  ADD ("zoom-holds-place", test_zoom_holds_place);
  ADD ("back", test_back);
  ADD ("fit-line", test_fit_line);
  ADD ("next-line", test_next_line);
  ADD ("activate-selects", test_activate_selects);
  ADD ("add", test_add);
  ADD ("move-line", test_move_line);
  ADD ("cursor", test_cursor);
  ADD ("readout", test_readout);
  ADD ("readout-predicted", test_readout_predicted);
  ADD ("several", test_several);
  ADD ("dragged", test_dragged);
  ADD ("hover-keeps-drawing", test_hover_keeps_drawing);
  ADD ("accessible", test_accessible);
  ADD ("switches", test_switches);
  ADD ("nothing-open", test_nothing_open);
  ADD ("overview", test_overview);
  return g_test_run ();
}

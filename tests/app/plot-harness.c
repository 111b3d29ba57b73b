/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A window with the plots alone, to try them by hand: plot-harness [samples] [lines], or
 * plot-harness FILE, which is read and fitted. Prints what the plot says. Not installed.
 */
#include "app/plot/overview.h"
#include "app/plot/plot-private.h"
#include "plot-data.h"
#include "faint/spectrum/comb-table.h"

#include <gsl/gsl_errno.h>
#include <stdlib.h>

static gsize samples = 8000;
static guint lines = 80;
static const char *path;

static FaintFigureData *
data_from_file (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintSpectrum) spectrum = faint_spectrum_read (path, NULL, NULL, &error);
  g_autoptr (FaintFit) fit = NULL;
  FaintFitOptions options;

  faint_fit_options_init (&options);
  if (spectrum != NULL)
    fit = faint_fit_run (spectrum, NULL, &options, NULL, &error);
  if (fit == NULL)
    {
      g_printerr ("%s\n", error->message);
      exit (1);
    }
  return faint_figure_data_new (spectrum, fit, fit->lines);
}

static void
on_view (FaintSession *session)
{
  double lower, upper;

  faint_session_get_view (session, &lower, &upper);
  g_print ("view %.5f %.5f\n", lower, upper);
}

static void
on_selection (FaintSession *session)
{
  g_print ("selected %u\n", faint_session_get_selected (session));
}

static void
on_add (FaintPlot *plot, double wavenumber)
{
  g_print ("add-line %.5f\n", wavenumber);
}

static void
on_moved (FaintPlot *plot, guint id, double wavenumber)
{
  g_print ("line-moved %u %.5f\n", id, wavenumber);
}

static void
on_widened (FaintPlot *plot, guint id, double lorentz)
{
  g_print ("line-widened %u %.6f\n", id, lorentz);
}

static void
on_toggled (FaintPlot *plot, guint id)
{
  g_print ("line-toggled %u\n", id);
}

static void
on_range (FaintPlot *plot, guint use, double lower, double upper)
{
  static const char *const uses[] = { "exclude", "take-back", "fit", "select" };

  g_print ("range-chosen %s %.5f %.5f\n", uses[use], lower, upper);
}

/* Where the handle of the width stands, once the view has been drawn. */
static gboolean
report_handle (gpointer user_data)
{
  FaintPlot *plot = user_data;
  double x, y, left, top;

  if (!faint_plot_marks_width_place (FAINT_PLOT_MARKS (plot->marks), &x, &y))
    return G_SOURCE_CONTINUE;
  gtk_widget_translate_coordinates (plot->marks, GTK_WIDGET (gtk_widget_get_root (plot->marks)), 0,
                                    0, &left, &top);
  g_print ("width-handle %.0f %.0f\n", left + x, top + y);
  return G_SOURCE_REMOVE;
}

static void
on_activated (FaintPlot *plot, guint id)
{
  g_timeout_add (300, report_handle, plot);
  g_print ("line-activated %u\n", id);
}

static void
on_mode (FaintSession *session)
{
  g_print ("mode %s\n", faint_session_get_mode (session) == FAINT_MODE_ADD ? "add" : "inspect");
}

static gboolean
on_key (FaintSession *session, guint key)
{
  if (key == GDK_KEY_a)
    faint_session_set_mode (session, !faint_session_get_mode (session));
  else if (key == GDK_KEY_u)
    faint_session_set_axis_unit (session,
                                 (faint_session_get_axis_unit (session) + 1) % FAINT_AXIS_UNIT_N);
  else if (key == GDK_KEY_Escape)
    g_print ("escape is left to the window\n");
  return key == GDK_KEY_a || key == GDK_KEY_u;
}

/* Where the lanes are in the window, for a script that moves the pointer: left, width, top of the
 * measurement and the middle of the overview, units of the screen. */
static gboolean
report_place (gpointer user_data)
{
  GtkWidget *plot = user_data, *over = gtk_widget_get_first_child (plot);
  const FaintFigureLayout *layout = faint_plot_get_layout (FAINT_PLOT (plot));
  FaintRect place;
  double x, y;

  if (layout == NULL)
    return G_SOURCE_CONTINUE;
  place = layout->view[FAINT_LANE_MEASUREMENT].place;
  gtk_widget_translate_coordinates (over, GTK_WIDGET (gtk_widget_get_root (plot)), 0, 0, &x, &y);
  g_print ("place %.0f %.0f %.0f %.0f\n", x + place.x, place.width, y + place.y, y / 2);
  return G_SOURCE_REMOVE;
}

static void
activate (GtkApplication *app)
{
  GtkWidget *window = gtk_application_window_new (app);
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  FaintSession *session = faint_session_new ();
  GtkWidget *overview = faint_overview_new (session), *plot = faint_plot_new (session);
  FaintFigureData *data = path != NULL ? data_from_file () : plot_data_new (samples, lines, TRUE);
  GtkEventController *keys = gtk_event_controller_key_new ();

  gtk_widget_set_vexpand (plot, TRUE);
  gtk_box_append (GTK_BOX (box), overview);
  gtk_box_append (GTK_BOX (box), plot);
  gtk_window_set_child (GTK_WINDOW (window), box);
  gtk_window_set_default_size (GTK_WINDOW (window), 1400, 900);
  faint_plot_set_data (FAINT_PLOT (plot), data);
  faint_overview_set_data (FAINT_OVERVIEW (overview), data);
  faint_figure_data_unref (data);

  setvbuf (stdout, NULL, _IOLBF, 0);
  g_signal_connect (session, "view-changed", G_CALLBACK (on_view), NULL);
  g_signal_connect (session, "selection-changed", G_CALLBACK (on_selection), NULL);
  g_signal_connect (session, "notify::mode", G_CALLBACK (on_mode), NULL);
  g_signal_connect (plot, "add-line", G_CALLBACK (on_add), NULL);
  g_signal_connect (plot, "line-moved", G_CALLBACK (on_moved), NULL);
  g_signal_connect (plot, "line-widened", G_CALLBACK (on_widened), NULL);
  g_signal_connect (plot, "line-toggled", G_CALLBACK (on_toggled), NULL);
  g_signal_connect (plot, "range-chosen", G_CALLBACK (on_range), NULL);
  g_signal_connect (plot, "line-activated", G_CALLBACK (on_activated), NULL);
  g_signal_connect_swapped (keys, "key-pressed", G_CALLBACK (on_key), session);
  gtk_widget_add_controller (window, keys);
  g_object_set_data_full (G_OBJECT (window), "of-the-window", session, g_object_unref);
  gtk_window_present (GTK_WINDOW (window));
  gtk_widget_grab_focus (plot);
  on_view (session);
  g_timeout_add (200, report_place, plot);
}

int
main (int argc, char **argv)
{
  GtkApplication *app = gtk_application_new ("org.faintline.PlotHarness", G_APPLICATION_NON_UNIQUE);

  gsl_set_error_handler_off ();
  if (argc > 1 && g_file_test (argv[1], G_FILE_TEST_EXISTS))
    path = argv[1];
  else if (argc > 1)
    samples = strtoul (argv[1], NULL, 10);
  if (argc > 2)
    lines = strtoul (argv[2], NULL, 10);
  samples = MAX (samples, 1000);
  g_signal_connect (app, "activate", G_CALLBACK (activate), NULL);
  int status = g_application_run (G_APPLICATION (app), 1, argv);
  g_object_unref (app);
  return status;
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Time of a frame while a line is dragged by its handles, with the model that follows the hand: on
 * the demo, fitted, and on an invented record of thousands of lines, fitted roughly.
 * bench-line-drag [lines] [frames]
 */
#include "app/plot/plot-private.h"
#include "faint/fit/fit.h"
#include "faint/simulate/scene.h"
#include "faint/spectrum/comb-table.h"
#include "fit-scene.h"
#include "frames.h"

#include <glib/gstdio.h>
#include <gsl/gsl_errno.h>
#include <math.h>
#include <stdlib.h>

/* The view, in half widths of the line on either side. */
#define VIEW 40.0
/* Frames before those that count, which draw the curves. */
#define SETTLE 10

typedef struct
{
  FaintPlot *plot;
  FaintSession *session;
  FrameTimes *times;
  FaintHandle handle;
  double centre, half; /* of the line, cm-1 */
} Bench;

/* To and fro over six half widths, or from half to thrice the width. */
static void
drag (int frame, gpointer data)
{
  Bench *self = data;
  double phase = 2 * G_PI * frame / frame_times_get_frames (self->times);

  faint_plot_shape_update (self->plot,
                           self->handle == FAINT_HANDLE_CENTRE
                               ? self->centre + 6 * self->half * sin (phase)
                               : self->centre + self->half * (1.75 - 1.25 * cos (phase)));
  faint_plot_refresh_marks (self->plot);
}

static gboolean
run (Bench *self, const char *what)
{
  self->plot->drag = (FaintDrag){ .from = self->centre };
  if (!faint_plot_shape_begin (self->plot, self->handle))
    g_error ("there is no line to drag");
  self->plot->drag.kind = self->plot->drag.wanted;
  frame_times_run (self->times, SETTLE, drag, self);
  self->plot->drag = (FaintDrag){ 0 };
  faint_plot_preview_end (self->plot);
  return frame_times_report (self->times, what);
}

/* The line in the middle of the list, in a view of its own. */
static void
show (Bench *self, FaintFigureData *data)
{
  const FaintLine *line
      = faint_line_list_get (data->lines, faint_line_list_get_n (data->lines) / 2);

  faint_plot_set_data (self->plot, data);
  self->centre = line->position.value;
  self->half = line->doppler.value + line->lorentz.value;
  faint_session_set_view (self->session, self->centre - VIEW * self->half,
                          self->centre + VIEW * self->half);
  faint_session_set_selected (self->session, line->id);
}

static FaintFigureData *
demo_data (void)
{
  g_autofree char *path
      = g_build_filename (g_getenv ("FAINT_TEST_DATA"), "demo", "nitrous-oxide.comb", NULL);
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintSpectrum) spectrum = faint_spectrum_read (path, NULL, NULL, &error);
  g_autoptr (FaintFit) fit = NULL;
  FaintFitOptions options;

  if (spectrum == NULL)
    g_error ("%s", error->message);
  faint_fit_options_init (&options);
  fit = faint_fit_run (spectrum, NULL, &options, NULL, &error);
  if (fit == NULL)
    g_error ("%s", error->message);
  return faint_figure_data_new (spectrum, fit, fit->lines);
}

/* Windows, baselines and all, but one step from the true lines. */
static FaintFigureData *
large_data (gsize n_lines)
{
  g_autofree char *folder = g_dir_make_tmp ("faint-bench-XXXXXX", NULL);
  g_autofree char *path = g_build_filename (folder, "large.scene", NULL);
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintScene) scene = NULL;
  g_autoptr (FaintSpectrum) spectrum = NULL;
  g_autoptr (FaintLineList) truth = NULL;
  g_autoptr (FaintFit) fit = NULL;
  FaintFitOptions options;

  fit_scene_write (path, n_lines);
  scene = faint_scene_read (path, &error);
  spectrum = scene ? faint_scene_simulate (scene, 1, NULL, &error) : NULL;
  g_remove (path);
  g_rmdir (folder);
  if (spectrum == NULL)
    g_error ("%s", error->message);
  faint_fit_options_init (&options);
  options.find_rounds = 0;
  options.max_iterations = 1;
  truth = faint_scene_truth (scene);
  fit = faint_fit_run (spectrum, truth, &options, NULL, &error);
  if (fit == NULL)
    g_error ("%s", error->message);
  return faint_figure_data_new (spectrum, fit, fit->lines);
}

static gboolean
run_both (Bench *self, FaintFigureData *data, const char *name)
{
  gboolean met;
  g_autofree char *moved = g_strdup_printf ("%s, position", name);
  g_autofree char *widened = g_strdup_printf ("%s, width", name);

  g_print ("%s: %" G_GSIZE_FORMAT " samples, %" G_GSIZE_FORMAT " lines, %" G_GSIZE_FORMAT
           " windows\n",
           name, data->spectrum->n, faint_line_list_get_n (data->lines), data->fit->n_windows);
  show (self, data);
  self->handle = FAINT_HANDLE_CENTRE;
  met = run (self, moved);
  self->handle = FAINT_HANDLE_WIDTH;
  met &= run (self, widened);
  faint_figure_data_unref (data);
  return met;
}

int
main (int argc, char **argv)
{
  gsize n_lines = argc > 1 ? strtoul (argv[1], NULL, 10) : 4000;
  guint frames = argc > 2 ? (guint)atoi (argv[2]) : 120;
  gboolean met;
  Bench bench = { 0 };
  GtkWidget *window;

  gsl_set_error_handler_off ();
  gtk_init ();
  bench.session = faint_session_new ();
  bench.plot = FAINT_PLOT (faint_plot_new (bench.session));
  window = gtk_window_new ();
  gtk_window_set_child (GTK_WINDOW (window), GTK_WIDGET (bench.plot));
  gtk_window_set_default_size (GTK_WINDOW (window), 1400, 900);
  gtk_window_present (GTK_WINDOW (window));
  bench.times = frame_times_new (window, frames);
  met = run_both (&bench, demo_data (), "demo");
  met &= run_both (&bench, large_data (MAX (n_lines, 10)), "large");
  frame_times_free (bench.times);
  gtk_window_destroy (GTK_WINDOW (window));
  g_object_unref (bench.session);
  return met ? 0 : 1;
}

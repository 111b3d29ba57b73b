/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Time of a frame while a line is dragged by its handles, with the model that follows the hand: on
 * the demo, fitted, and on an invented record of thousands of lines, fitted roughly. From
 * before-paint to after-paint of the frame clock, the step included, the X server's time not. Sixty
 * frames a second need less than 16.7 ms; prints median, 95th percentile and worst of the time of
 * the thread. bench-line-drag [lines] [frames]
 */
#include "app/plot/plot-private.h"
#include "faint/fit/fit.h"
#include "faint/simulate/scene.h"
#include "faint/spectrum/comb-table.h"
#include "fit-scene.h"

#include <glib/gstdio.h>
#include <gsl/gsl_errno.h>
#include <math.h>
#include <stdlib.h>
#include <time.h>

/* The view, in half widths of the line on either side. */
#define VIEW 40.0
/* Frames before those that count, which draw the curves. */
#define SETTLE 10

typedef struct
{
  FaintPlot *plot;
  FaintSession *session;
  GMainLoop *loop;
  FaintHandle handle;
  double centre, half; /* of the line, cm-1 */
  int frame;           /* below 1: not counted */
  guint frames;
  double begun; /* ms */
  double *ms;
} Bench;

static double
cpu_ms (void)
{
  struct timespec now;

  clock_gettime (CLOCK_THREAD_CPUTIME_ID, &now);
  return 1e3 * now.tv_sec + 1e-6 * now.tv_nsec;
}

static void
on_before (GdkFrameClock *clock, Bench *self)
{
  self->begun = cpu_ms ();
}

static void
on_after (GdkFrameClock *clock, Bench *self)
{
  if (self->frame > 0 && self->frame <= (int)self->frames)
    self->ms[self->frame - 1] = cpu_ms () - self->begun;
}

/* To and fro over six half widths, or from half to thrice the width. */
static gboolean
on_tick (GtkWidget *widget, GdkFrameClock *clock, gpointer data)
{
  Bench *self = data;
  double phase = 2 * G_PI * self->frame / self->frames;

  self->frame++;
  if (self->frame > (int)self->frames + 1)
    {
      g_main_loop_quit (self->loop);
      return G_SOURCE_REMOVE;
    }
  faint_plot_shape_update (self->plot,
                           self->handle == FAINT_HANDLE_CENTRE
                               ? self->centre + 6 * self->half * sin (phase)
                               : self->centre + self->half * (1.75 - 1.25 * cos (phase)));
  faint_plot_refresh_marks (self->plot);
  return G_SOURCE_CONTINUE;
}

static int
compare (const void *a, const void *b)
{
  double x = *(const double *)a, y = *(const double *)b;

  return (x > y) - (x < y);
}

static void
run (Bench *self, GtkWidget *window, const char *what)
{
  self->frame = -SETTLE;
  self->plot->drag = (FaintDrag){ .from = self->centre };
  if (!faint_plot_shape_begin (self->plot, self->handle))
    g_error ("there is no line to drag");
  self->plot->drag.kind = self->plot->drag.wanted;
  gtk_widget_add_tick_callback (window, on_tick, self, NULL);
  g_main_loop_run (self->loop);
  self->plot->drag = (FaintDrag){ 0 };
  faint_plot_preview_end (self->plot);
  qsort (self->ms, self->frames, sizeof *self->ms, compare);
  g_print ("%-28s median %6.2f ms   95 %% %6.2f ms   worst %6.2f ms\n", what,
           self->ms[self->frames / 2], self->ms[self->frames * 95 / 100],
           self->ms[self->frames - 1]);
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

static void
run_both (Bench *self, GtkWidget *window, FaintFigureData *data, const char *name)
{
  g_autofree char *moved = g_strdup_printf ("%s, position", name);
  g_autofree char *widened = g_strdup_printf ("%s, width", name);

  g_print ("%s: %" G_GSIZE_FORMAT " samples, %" G_GSIZE_FORMAT " lines, %" G_GSIZE_FORMAT
           " windows\n",
           name, data->spectrum->n, faint_line_list_get_n (data->lines), data->fit->n_windows);
  show (self, data);
  self->handle = FAINT_HANDLE_CENTRE;
  run (self, window, moved);
  self->handle = FAINT_HANDLE_WIDTH;
  run (self, window, widened);
  faint_figure_data_unref (data);
}

int
main (int argc, char **argv)
{
  gsize n_lines = argc > 1 ? strtoul (argv[1], NULL, 10) : 4000;
  Bench bench = { .frames = argc > 2 ? (guint)atoi (argv[2]) : 120 };
  GtkWidget *window;
  GdkFrameClock *clock;

  gsl_set_error_handler_off ();
  gtk_init ();
  bench.frames = MAX (bench.frames, 20);
  bench.ms = g_new0 (double, bench.frames);
  bench.loop = g_main_loop_new (NULL, FALSE);
  bench.session = faint_session_new ();
  bench.plot = FAINT_PLOT (faint_plot_new (bench.session));
  window = gtk_window_new ();
  gtk_window_set_child (GTK_WINDOW (window), GTK_WIDGET (bench.plot));
  gtk_window_set_default_size (GTK_WINDOW (window), 1400, 900);
  gtk_window_present (GTK_WINDOW (window));
  clock = gtk_widget_get_frame_clock (window);
  g_signal_connect (clock, "before-paint", G_CALLBACK (on_before), &bench);
  g_signal_connect_after (clock, "after-paint", G_CALLBACK (on_after), &bench);
  run_both (&bench, window, demo_data (), "demo");
  run_both (&bench, window, large_data (MAX (n_lines, 10)), "large");
  g_signal_handlers_disconnect_by_data (clock, &bench);
  gtk_window_destroy (GTK_WINDOW (window));
  g_object_unref (bench.session);
  g_main_loop_unref (bench.loop);
  g_free (bench.ms);
  return 0;
}

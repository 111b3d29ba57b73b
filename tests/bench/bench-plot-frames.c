/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Time of a frame while the plots pan, zoom and follow the pointer, and pan while a fit runs: from
 * before-paint to after-paint of the frame clock, X server's time not included. Sixty frames a
 * second need less than 16.7 ms; prints median, 95th percentile and worst, of the time of the
 * thread, and the median and 95th percentile by the clock on the wall, which counts whatever else
 * this machine does. bench-plot-frames [samples] [lines] [frames]
 */
#include "app/plot/overview.h"
#include "app/plot/plot.h"
#include "plot-data.h"
#include "faint/fit/fit.h"
#include "faint/spectrum/comb-table.h"

#include <gsl/gsl_errno.h>
#include <math.h>
#include <stdlib.h>
#include <time.h>

typedef enum
{
  SCENE_PAN,     /* ten per cent of the span, so that dense traces fill all lanes */
  SCENE_PAN_ALL, /* nine tenths of the span */
  SCENE_ZOOM,
  SCENE_HOVER,
  SCENE_FIT, /* as PAN, beside a fit of the demo on all processors but one */
  N_SCENES
} Scene;
static const char *const names[N_SCENES] = { "pan 10 %", "pan 90 %", "zoom", "hover", "pan + fit" };

typedef struct
{
  FaintSession *session;
  GMainLoop *loop;
  Scene scene;
  guint frame, frames;
  double begun, begun_wall; /* ms */
  double *ms, *wall;
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
  self->begun_wall = g_get_monotonic_time () / 1e3;
}

static void
on_after (GdkFrameClock *clock, Bench *self)
{
  if (self->frame == 0 || self->frame > self->frames)
    return;
  self->ms[self->frame - 1] = cpu_ms () - self->begun;
  self->wall[self->frame - 1] = g_get_monotonic_time () / 1e3 - self->begun_wall;
}

static void
move (Bench *self)
{
  double share = (double)self->frame / self->frames;
  double span = PLOT_DATA_UPPER - PLOT_DATA_LOWER;
  double width = self->scene == SCENE_PAN_ALL ? 0.9 * span : 0.1 * span;
  double lower = PLOT_DATA_LOWER + share * (span - width);

  switch (self->scene)
    {
    case SCENE_PAN:
    case SCENE_PAN_ALL:
    case SCENE_FIT:
      faint_session_set_view (self->session, lower, lower + width);
      break;
    case SCENE_ZOOM:
      width = span * pow (1e-4, share);
      faint_session_set_view (self->session, 7789.3 - width / 2, 7789.3 + width / 2);
      break;
    case SCENE_HOVER:
      faint_session_set_pointer (self->session, PLOT_DATA_LOWER + share * span);
      break;
    case N_SCENES:
      break;
    }
}

static gboolean
on_tick (GtkWidget *widget, GdkFrameClock *clock, gpointer user_data)
{
  Bench *self = user_data;

  self->frame++;
  if (self->frame > self->frames + 1)
    {
      g_main_loop_quit (self->loop);
      return G_SOURCE_REMOVE;
    }
  move (self);
  return G_SOURCE_CONTINUE;
}

static int
compare (const void *a, const void *b)
{
  double x = *(const double *)a, y = *(const double *)b;

  return (x > y) - (x < y);
}

static void
report (Bench *self)
{
  guint middle = self->frames / 2, high = self->frames * 95 / 100;

  qsort (self->ms, self->frames, sizeof *self->ms, compare);
  qsort (self->wall, self->frames, sizeof *self->wall, compare);
  g_print ("%-10s median %6.2f ms   95 %% %6.2f ms   worst %6.2f ms   wall %6.2f, %6.2f ms\n",
           names[self->scene], self->ms[middle], self->ms[high], self->ms[self->frames - 1],
           self->wall[middle], self->wall[high]);
}

static gint stop; /* atomic */

static gboolean
is_stopped (gpointer data)
{
  return g_atomic_int_get (&stop);
}

/* Fits the demo again and again. */
static gpointer
fit_on (gpointer data)
{
  FaintSpectrum *spectrum = data;
  FaintProgress progress = { .is_cancelled = is_stopped };
  FaintFitOptions options;

  faint_fit_options_init (&options);
  options.threads = MAX (1, g_get_num_processors () - 1);
  while (!g_atomic_int_get (&stop))
    faint_fit_unref (faint_fit_run (spectrum, NULL, &options, &progress, NULL));
  return NULL;
}

static FaintSpectrum *
demo_spectrum (void)
{
  g_autofree char *path
      = g_build_filename (g_getenv ("FAINT_TEST_DATA"), "demo", "nitrous-oxide.comb", NULL);
  g_autoptr (GError) error = NULL;
  FaintSpectrum *spectrum = faint_spectrum_read (path, NULL, NULL, &error);

  if (spectrum == NULL)
    g_error ("%s", error->message);
  return spectrum;
}

static void
run (Bench *self, GtkWidget *window)
{
  self->frame = 0;
  faint_session_set_pointer (self->session, NAN);
  faint_session_show_all (self->session);
  if (self->scene == SCENE_FIT)
    {
      g_autoptr (FaintSpectrum) spectrum = demo_spectrum ();
      GThread *fit = g_thread_new ("fit", fit_on, spectrum);

      gtk_widget_add_tick_callback (window, on_tick, self, NULL);
      g_main_loop_run (self->loop);
      g_atomic_int_set (&stop, 1);
      g_thread_join (fit);
      report (self);
      return;
    }
  gtk_widget_add_tick_callback (window, on_tick, self, NULL);
  g_main_loop_run (self->loop);
  report (self);
}

int
main (int argc, char **argv)
{
  gsize samples = argc > 1 ? strtoul (argv[1], NULL, 10) : 1000000;
  guint lines = argc > 2 ? (guint)atoi (argv[2]) : 4000;
  Bench bench = { .frames = argc > 3 ? atoi (argv[3]) : 120 };
  FaintFigureData *data = plot_data_new (MAX (samples, 1000), lines, TRUE);

  gsl_set_error_handler_off ();
  gtk_init ();
  GtkWidget *window = gtk_window_new (), *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  bench.session = faint_session_new ();
  bench.loop = g_main_loop_new (NULL, FALSE);
  bench.frames = MAX (bench.frames, 20);
  bench.ms = g_new0 (double, bench.frames);
  bench.wall = g_new0 (double, bench.frames);
  GtkWidget *plot = faint_plot_new (bench.session);
  GtkWidget *overview = faint_overview_new (bench.session);
  gtk_widget_set_vexpand (plot, TRUE);
  gtk_box_append (GTK_BOX (box), overview);
  gtk_box_append (GTK_BOX (box), plot);
  gtk_window_set_child (GTK_WINDOW (window), box);
  gtk_window_set_default_size (GTK_WINDOW (window), 1400, 900);
  faint_plot_set_data (FAINT_PLOT (plot), data);
  faint_overview_set_data (FAINT_OVERVIEW (overview), data);
  faint_figure_data_unref (data);
  gtk_window_present (GTK_WINDOW (window));

  GdkFrameClock *clock = gtk_widget_get_frame_clock (window);
  g_signal_connect (clock, "before-paint", G_CALLBACK (on_before), &bench);
  g_signal_connect_after (clock, "after-paint", G_CALLBACK (on_after), &bench);
  g_print ("%" G_GSIZE_FORMAT " samples, %u lines, %s\n", MAX (samples, 1000), lines,
           G_OBJECT_TYPE_NAME (gtk_native_get_renderer (GTK_NATIVE (window))));
  for (bench.scene = 0; bench.scene < N_SCENES; bench.scene++)
    run (&bench, window);

  g_signal_handlers_disconnect_by_data (clock, &bench);
  gtk_window_destroy (GTK_WINDOW (window));
  g_object_unref (bench.session);
  g_main_loop_unref (bench.loop);
  g_free (bench.ms);
  g_free (bench.wall);
  return 0;
}

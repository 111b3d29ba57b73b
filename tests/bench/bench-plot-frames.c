/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Time of a frame while the plots pan, zoom and follow the pointer: from before-paint to
 * after-paint of the frame clock, X server's time not included. Sixty frames a second need less
 * than 16.7 ms; prints mean, 95th percentile and worst. bench-plot-frames [samples] [frames]
 */
#include "app/plot/overview.h"
#include "app/plot/plot.h"
#include "plot-data.h"

#include <math.h>
#include <stdlib.h>
#include <time.h>

typedef enum
{
  SCENE_PAN,     /* ten per cent of the span, so that dense traces fill all lanes */
  SCENE_PAN_ALL, /* nine tenths of the span */
  SCENE_ZOOM,
  SCENE_HOVER,
  N_SCENES
} Scene;
static const char *const names[N_SCENES] = { "pan 10 %", "pan 90 %", "zoom", "hover" };

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
  double width = self->scene == SCENE_PAN ? 0.1 * span : 0.9 * span;
  double lower = PLOT_DATA_LOWER + share * (span - width);

  switch (self->scene)
    {
    case SCENE_PAN:
    case SCENE_PAN_ALL:
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
  double sum = 0, wall = 0;

  for (guint i = 0; i < self->frames; i++)
    {
      sum += self->ms[i];
      wall += self->wall[i];
    }
  qsort (self->ms, self->frames, sizeof *self->ms, compare);
  g_print ("%-10s mean %6.2f ms   95 %% %6.2f ms   worst %6.2f ms   wall %6.2f ms\n",
           names[self->scene], sum / self->frames, self->ms[self->frames * 95 / 100],
           self->ms[self->frames - 1], wall / self->frames);
}

static void
run (Bench *self, GtkWidget *window)
{
  self->frame = 0;
  faint_session_set_pointer (self->session, NAN);
  faint_session_show_all (self->session);
  gtk_widget_add_tick_callback (window, on_tick, self, NULL);
  g_main_loop_run (self->loop);
  report (self);
}

int
main (int argc, char **argv)
{
  gsize samples = argc > 1 ? strtoul (argv[1], NULL, 10) : 1000000;
  Bench bench = { .frames = argc > 2 ? atoi (argv[2]) : 120 };
  FaintFigureData *data = plot_data_new (MAX (samples, 1000), 400, TRUE);

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
  g_print ("%" G_GSIZE_FORMAT " samples, %s\n", MAX (samples, 1000),
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

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Time of a frame while the plots pan, zoom and follow the pointer, and pan while a fit runs.
 * bench-plot-frames [samples] [lines] [frames]
 */
#include "app/plot/overview.h"
#include "app/plot/plot.h"
#include "faint/fit/fit.h"
#include "faint/spectrum/comb-table.h"
#include "frames.h"
#include "plot-data.h"

#include <gsl/gsl_errno.h>
#include <math.h>
#include <stdlib.h>

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
  FrameTimes *times;
  Scene scene;
} Bench;

static void
move (int frame, gpointer data)
{
  Bench *self = data;
  double share = (double)frame / frame_times_get_frames (self->times);
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

static gboolean
run (Bench *self)
{
  g_autoptr (FaintSpectrum) spectrum = self->scene == SCENE_FIT ? demo_spectrum () : NULL;
  GThread *fit = spectrum ? g_thread_new ("fit", fit_on, spectrum) : NULL;

  faint_session_set_pointer (self->session, NAN);
  faint_session_show_all (self->session);
  frame_times_run (self->times, 0, move, self);
  if (fit)
    {
      g_atomic_int_set (&stop, 1);
      g_thread_join (fit);
    }
  return frame_times_report (self->times, names[self->scene]);
}

int
main (int argc, char **argv)
{
  gsize samples = argc > 1 ? strtoul (argv[1], NULL, 10) : 1000000;
  guint lines = argc > 2 ? (guint)atoi (argv[2]) : 4000;
  guint frames = argc > 3 ? (guint)atoi (argv[3]) : 120;
  gboolean met = TRUE;
  Bench bench = { 0 };
  FaintFigureData *data = plot_data_new (MAX (samples, 1000), lines, TRUE);

  gsl_set_error_handler_off ();
  gtk_init ();
  GtkWidget *window = gtk_window_new (), *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  bench.session = faint_session_new ();
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

  bench.times = frame_times_new (window, frames);
  g_print ("%" G_GSIZE_FORMAT " samples, %u lines, %s\n", MAX (samples, 1000), lines,
           G_OBJECT_TYPE_NAME (gtk_native_get_renderer (GTK_NATIVE (window))));
  for (bench.scene = 0; bench.scene < N_SCENES; bench.scene++)
    met &= run (&bench);

  frame_times_free (bench.times);
  gtk_window_destroy (GTK_WINDOW (window));
  g_object_unref (bench.session);
  return met ? 0 : 1;
}

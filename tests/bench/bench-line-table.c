/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Time of a step of the table of lines in the real window, the demo open with a list of thousands
 * in the place of its lines: scrolling from end to end and by three rows, as a wheel does, sorting
 * by each column, typing a filter, selecting all, going from line to line, and other lists as they
 * come from an edit of one line and from a fit of all. One step a frame, from before-paint to
 * after-paint of the frame clock, the X server's time not included; sixty frames a second need less
 * than 16.7 ms. Prints median, 95th percentile and worst of the time of the thread.
 * bench-line-table [lines] [frames] [step]
 */
#include "app/window/application.h"
#include "app/window/window-private.h"
#include "frames.h"

#include <gsl/gsl_errno.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

typedef enum
{
  SCENE_REST, /* what a frame costs anyway */
  SCENE_SCROLL,
  SCENE_WHEEL,
  SCENE_SORT,
  SCENE_FILTER,
  SCENE_SELECT_ALL,
  SCENE_STEP,
  SCENE_EDIT,
  SCENE_FIT,
  N_SCENES
} Scene;
static const char *const names[N_SCENES]
    = { "at rest",    "scroll",    "wheel",       "sort",       "filter",
        "select all", "next line", "edited line", "fitted list" };

typedef struct
{
  FaintWindow *window;
  FrameTimes *times;
  Scene scene;
  FaintLineList *lists[3]; /* the window's, one line of it edited, all of them fitted */
} Bench;

static GtkWidget *
find_scrolled (GtkWidget *widget)
{
  GtkWidget *found = GTK_IS_SCROLLED_WINDOW (widget) ? widget : NULL;

  for (GtkWidget *child = gtk_widget_get_first_child (widget); child && found == NULL;
       child = gtk_widget_get_next_sibling (child))
    found = find_scrolled (child);
  return found;
}

/* Key by key, forwards and then again. */
static void
type_filter (Bench *self, int frame)
{
  static const char text[] = "S > 1e-25; width 0.004..0.006; not flag blended";
  g_autofree char *typed = g_strndup (text, frame % (int)sizeof text);

  faint_filter_box_set_text (FAINT_FILTER_BOX (self->window->filter_box), typed);
}

static GtkAdjustment *
adjustment_of (Bench *self)
{
  return gtk_scrolled_window_get_vadjustment (
      GTK_SCROLLED_WINDOW (find_scrolled (self->window->table)));
}

static void
scroll (Bench *self, int frame)
{
  GtkAdjustment *adjustment = adjustment_of (self);
  double share = (double)frame / frame_times_get_frames (self->times);

  gtk_adjustment_set_value (
      adjustment,
      share * (gtk_adjustment_get_upper (adjustment) - gtk_adjustment_get_page_size (adjustment)));
}

static void
act (int frame, gpointer data)
{
  Bench *self = data;
  FaintLineTable *table = FAINT_LINE_TABLE (self->window->table);

  switch (self->scene)
    {
    case SCENE_REST:
      gtk_widget_queue_draw (self->window->table);
      break;
    case SCENE_SCROLL:
      scroll (self, frame);
      break;
    case SCENE_WHEEL:
      gtk_adjustment_set_value (adjustment_of (self), 63 * frame);
      break;
    case SCENE_SORT:
      faint_line_table_sort_by (table, frame / 2 % FAINT_N_LINE_COLUMNS,
                                frame % 2 ? GTK_SORT_DESCENDING : GTK_SORT_ASCENDING);
      break;
    case SCENE_FILTER:
      type_filter (self, frame);
      break;
    case SCENE_SELECT_ALL:
      if (frame % 2)
        faint_line_table_select_all (table);
      else
        faint_line_table_select_row (table, frame);
      break;
    case SCENE_STEP:
      faint_line_table_select_row (table, frame * 7);
      break;
    case SCENE_EDIT:
      faint_line_table_set_list (table, self->lists[frame % 2 ? 1 : 0]);
      break;
    case SCENE_FIT:
      faint_line_table_set_list (table, self->lists[frame % 2 ? 2 : 0]);
      break;
    case N_SCENES:
      break;
    }
}

static gboolean
run (Bench *self)
{
  faint_filter_box_set_text (FAINT_FILTER_BOX (self->window->filter_box), "");
  faint_line_table_sort_by (FAINT_LINE_TABLE (self->window->table), FAINT_LINE_COLUMN_NUMBER,
                            GTK_SORT_ASCENDING);
  frame_times_run (self->times, 0, act, self);
  return frame_times_report (self->times, names[self->scene]);
}

/* Evenly over the span, with what fits give: uncertainties, flags, labels. */
static FaintLineList *
lines_new (guint n, double lower, double upper)
{
  g_autofree FaintLine *lines = g_new (FaintLine, n);

  for (guint i = 0; i < n; i++)
    {
      FaintLine *line = &lines[i];
      double share = fmod (i * 0.618034, 1.0);

      *line = faint_line_unknown ();
      line->id = i + 1;
      line->position.value = lower + (upper - lower) * (i + 0.5) / n;
      line->position.u = 1e-5 * (1 + share);
      line->strength.value = 1e-24 * pow (10, -3 * share);
      line->strength.u = 2e-28;
      line->lorentz.value = 0.003 + 0.004 * share;
      line->lorentz.u = 1e-4;
      line->doppler.value = 0.0072;
      line->doppler.state = FAINT_STATE_DERIVED;
      line->snr = line->strength.value / line->strength.u;
      line->chi2_reduced = 0.9 + 0.2 * share;
      line->window = 1 + (int)(i / 40);
      line->flags = i % 5 == 0 ? FAINT_LINE_BLENDED : 0;
      line->upper = i % 3 ? "" : "J19e";
      line->lower = i % 3 ? "" : "J20e";
    }
  return faint_line_list_new (lines, n);
}

/* The first line alone, or all by a little. */
static FaintLineList *
changed (const FaintLineList *list, gboolean all)
{
  gsize n = faint_line_list_get_n (list);
  g_autofree FaintLine *lines = g_new (FaintLine, n);

  for (gsize i = 0; i < n; i++)
    {
      lines[i] = *faint_line_list_get (list, i);
      if (i == 0 || all)
        lines[i].strength.value *= 1.01;
    }
  return faint_line_list_new (lines, n);
}

static gboolean
is_open (FaintWindow *window)
{
  return faint_document_get_analysis (window->document) != NULL
         && faint_document_get_job (window->document) == NULL
         && faint_plot_get_data (FAINT_PLOT (window->plot)) != NULL && window->figure_work == NULL;
}

static gboolean
on_over (gpointer data)
{
  *(gboolean *)data = TRUE;
  return G_SOURCE_REMOVE;
}

static void
wait_until_open (FaintWindow *window)
{
  gboolean over = FALSE;

  while (!is_open (window))
    g_main_context_iteration (NULL, TRUE);
  /* and until it has drawn */
  g_timeout_add (1000, on_over, &over);
  while (!over)
    g_main_context_iteration (NULL, TRUE);
}

static FaintWindow *
open_demo (FaintApplication *application, guint n)
{
  GtkWidget *widget = faint_window_new (GTK_APPLICATION (application),
                                        faint_application_get_settings (application));
  FaintWindow *window = FAINT_WINDOW (widget);
  g_autofree char *path
      = g_build_filename (g_getenv ("FAINT_TEST_DATA"), "demo", "nitrous-oxide.comb", NULL);
  const char *const paths[] = { path, NULL };
  const FaintSpectrum *spectrum;
  g_autoptr (FaintLineList) lines = NULL;

  gtk_window_set_default_size (GTK_WINDOW (window), 1400, 900);
  gtk_window_present (GTK_WINDOW (window));
  faint_window_open (window, paths);
  wait_until_open (window);
  spectrum = faint_document_get_spectrum (window->document);
  lines = lines_new (n, spectrum->wavenumber[0], spectrum->wavenumber[spectrum->n - 1]);
  faint_document_replace_lines (window->document, lines, "Benchmark");
  faint_session_set_stage (window->session, FAINT_STAGE_LINES);
  wait_until_open (window);
  return window;
}

int
main (int argc, char **argv)
{
  guint n = argc > 1 ? (guint)atoi (argv[1]) : 4000;
  guint frames = argc > 2 ? (guint)atoi (argv[2]) : 100;
  gboolean met = TRUE;
  Bench bench = { 0 };
  g_autofree char *state = g_dir_make_tmp ("faint-bench-XXXXXX", NULL);
  g_autoptr (FaintApplication) application = NULL;

  gsl_set_error_handler_off ();
  g_setenv ("XDG_STATE_HOME", state, TRUE);
  gtk_init ();
  g_set_prgname ("faintline");
  g_set_application_name ("Faintline");
  application = faint_application_new (G_APPLICATION_NON_UNIQUE);
  g_application_register (G_APPLICATION (application), NULL, NULL);
  bench.window = open_demo (application, MAX (n, 1));
  bench.lists[0] = faint_line_list_ref (faint_document_get_lines (bench.window->document));
  bench.lists[1] = changed (bench.lists[0], FALSE);
  bench.lists[2] = changed (bench.lists[0], TRUE);
  bench.times = frame_times_new (GTK_WIDGET (bench.window), frames);
  g_print ("%u lines, %s\n", n,
           G_OBJECT_TYPE_NAME (gtk_native_get_renderer (GTK_NATIVE (bench.window))));
  for (bench.scene = 0; bench.scene < N_SCENES; bench.scene++)
    if (argc <= 3 || strcmp (argv[3], names[bench.scene]) == 0)
      met &= run (&bench);
  frame_times_free (bench.times);
  gtk_window_destroy (GTK_WINDOW (bench.window));
  for (guint i = 0; i < G_N_ELEMENTS (bench.lists); i++)
    faint_line_list_unref (bench.lists[i]);
  return met ? 0 : 1;
}

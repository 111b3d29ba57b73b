/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A series in the window: opened together, one of its spectra shown, all fitted to one list.
 */
#include <gsl/gsl_errno.h>
#include <string.h>

#include "faint-test.h"
#include "faint/simulate/scene.h"
#include "window-test.h"

static const char *const pressures[] = { "10 hPa", "25 hPa", "60 hPa" };
#define N G_N_ELEMENTS (pressures)

static char *
make_record (gsize i)
{
  g_autofree char *path
      = g_build_filename (g_getenv ("FAINT_TEST_DATA"), "scenes", "series.scene", NULL);
  g_autofree char *name = g_strdup_printf ("record-%zu.comb", i + 1);
  char *record = window_test_path (name);
  g_autofree char *pressure = g_strdup_printf ("pressure=%s", pressures[i]);
  const char *const settings[] = { pressure, "teeth=1000", NULL };
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintScene) scene = faint_scene_read_with (path, settings, &error);
  g_autoptr (FaintSpectrum) spectrum = NULL;

  g_assert_no_error (error);
  spectrum = faint_scene_simulate (scene, i + 1, NULL, &error);
  g_assert_no_error (error);
  g_assert_true (faint_scene_write (scene, spectrum, record, &error));
  return record;
}

static FaintWindow *
open_series (void)
{
  FaintWindow *window = window_test_new ();
  char *paths[N + 1] = { NULL };

  for (gsize i = 0; i < N; i++)
    paths[i] = make_record (i);
  faint_window_open (window, (const char *const *)paths);
  window_test_wait (window, window_test_work_is_shown, "the series opens");
  window_test_wait (window, window_test_is_idle, "idle");
  for (gsize i = 0; i < N; i++)
    g_free (paths[i]);
  return window;
}

/* A drop-down whose first row begins with @data. */
static gboolean
is_drop_down_of (GtkWidget *widget, gconstpointer data)
{
  GListModel *model;

  if (!GTK_IS_DROP_DOWN (widget))
    return FALSE;
  model = gtk_drop_down_get_model (GTK_DROP_DOWN (widget));
  return GTK_IS_STRING_LIST (model) && g_list_model_get_n_items (model) > 0
         && g_str_has_prefix (gtk_string_list_get_string (GTK_STRING_LIST (model), 0), data);
}

static FaintFigureData *
plotted (FaintWindow *window)
{
  return faint_plot_get_data (FAINT_PLOT (window->plot));
}

static gboolean
plots_the_shown (FaintWindow *window)
{
  return window->figure_work == NULL && plotted (window) != NULL
         && plotted (window)->spectrum == faint_document_get_spectrum (window->document)
         && plotted (window)->fit == faint_document_get_fit (window->document);
}

static gboolean
is_fitted (FaintWindow *window)
{
  return window_test_is_idle (window) && window_test_is_current (window);
}

static void
test_choose (void)
{
  FaintWindow *window = open_series ();
  FaintDocument *document = window->document;
  GtkDropDown *shown
      = GTK_DROP_DOWN (window_test_find (GTK_WIDGET (window), is_drop_down_of, "Spectrum 1 of 3"));
  GtkStringList *list = GTK_STRING_LIST (gtk_drop_down_get_model (shown));

  g_assert_cmpuint (faint_analysis_get_n_spectra (faint_document_get_analysis (document)), ==, N);
  g_assert_cmpuint (g_list_model_get_n_items (G_LIST_MODEL (list)), ==, N);
  g_assert_cmpstr (gtk_string_list_get_string (list, 1), ==, "Spectrum 2 of 3: 25 hPa, 296.15 K");
  gtk_drop_down_set_selected (shown, 1);
  g_assert_cmpuint (faint_document_get_shown (document), ==, 1);
  g_assert_true (faint_document_get_setup (document)->pressure.value == 2500.0);
  window_test_wait (window, plots_the_shown, "the plot shows the chosen spectrum");
  g_assert_false (faint_document_get_modified (document));
  window_test_assert_named (GTK_WIDGET (window));
  window_test_close (window);
}

/* An edit is of the spectrum that is shown, and of no other. */
static void
test_edit (void)
{
  FaintWindow *window = open_series ();
  FaintDocument *document = window->document;
  g_autoptr (FaintSetup) setup = NULL;
  g_autoptr (GError) error = NULL;

  faint_document_set_shown (document, 2);
  setup = faint_document_copy_setup (document);
  setup->pressure.value = 6100.0;
  faint_document_edit_setup (document, setup, "Edit Pressure", &error);
  g_assert_no_error (error);
  for (gsize i = 0; i < N; i++)
    {
      static const double want[] = { 1000.0, 2500.0, 6100.0 };
      g_assert_true (faint_analysis_get_spectrum_at (faint_document_get_analysis (document), i)
                         ->setup->pressure.value
                     == want[i]);
    }
  faint_document_undo (document);
  g_assert_true (faint_document_get_setup (document)->pressure.value == 6000.0);
  window_test_close (window);
}

static void
test_fit (void)
{
  FaintWindow *window = open_series ();
  FaintDocument *document = window->document;
  FaintAnalysis *analysis;

  window_test_act (window, "find-and-fit");
  window_test_wait (window, is_fitted, "the series is fitted");
  analysis = faint_document_get_analysis (document);
  g_assert_nonnull (faint_analysis_get_joint (analysis));
  g_assert_cmpuint (window_test_n_lines (window), >, 0);
  for (gsize i = 0; i < N; i++)
    {
      faint_document_set_shown (document, i);
      window_test_wait (window, plots_the_shown, "each spectrum with its model");
      g_assert_nonnull (plotted (window)->model);
    }
  window_test_close (window);
}

static void
test_cancel (void)
{
  FaintWindow *window = open_series ();

  window_test_act (window, "find-and-fit");
  faint_document_cancel (window->document);
  window_test_wait (window, window_test_is_idle, "cancelled");
  window_test_linger (200);
  g_assert_null (faint_document_get_fit (window->document));
  window_test_close (window);
}

/* One spectrum has no choice to make. */
static void
test_single (void)
{
  FaintWindow *window = window_test_open ();
  GtkWidget *shown = window_test_find (GTK_WIDGET (window), is_drop_down_of, "Spectrum 1 of 1");

  g_assert_true (shown == NULL || !gtk_widget_get_mapped (shown));
  window_test_close (window);
}

int
main (int argc, char **argv)
{
  int status;

  gsl_set_error_handler_off ();
  gtk_test_init (&argc, &argv, NULL);
  window_test_begin ();
  g_test_add_func ("/window/series/choose", test_choose);
  g_test_add_func ("/window/series/edit", test_edit);
  g_test_add_func ("/window/series/fit", test_fit);
  g_test_add_func ("/window/series/cancel", test_cancel);
  g_test_add_func ("/window/series/single", test_single);
  status = g_test_run ();
  window_test_end ();
  return status;
}

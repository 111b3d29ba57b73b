/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A result that was saved and read again says the same as before, bit for bit: line list, windows,
 * correlations, covariances and the report. Of a series the file does not hold the covariances, and
 * none are made up.
 */
#include <gsl/gsl_errno.h>
#include <math.h>
#include <string.h>

#include "faint-test.h"
#include "faint/analysis/analysis.h"
#include "faint/simulate/scene.h"
#include "figure/report.h"

static FaintAnalysis *
computed (const char *const *paths, gsize n)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintAnalysis) read = faint_analysis_new (paths, n, NULL, NULL, &error);
  FaintAnalysis *analysis;

  g_assert_no_error (error);
  analysis = faint_analysis_compute (read, TRUE, NULL, &error);
  g_assert_no_error (error);
  return analysis;
}

static FaintAnalysis *
read_back (const FaintAnalysis *analysis, const char *folder)
{
  g_autofree char *path = g_build_filename (folder, "kept.faintline", NULL);
  g_autoptr (GError) error = NULL;
  FaintAnalysis *again;

  faint_analysis_save (analysis, path, &error);
  g_assert_no_error (error);
  again = faint_analysis_load (path, NULL, &error);
  g_assert_no_error (error);
  return again;
}

typedef char *(*Table) (const FaintAnalysis *);

static void
assert_same_table (const FaintAnalysis *a, const FaintAnalysis *b, Table table)
{
  g_autofree char *first = table (a), *second = table (b);

  g_assert_cmpstr (first, ==, second);
}

static void
assert_same_report (const FaintAnalysis *a, const FaintAnalysis *b, const char *folder)
{
  const FaintAnalysis *both[] = { a, b };
  char *text[2];
  gsize length[2];

  for (guint i = 0; i < 2; i++)
    {
      g_autofree char *path = g_build_filename (folder, "report.pdf", NULL);
      g_autoptr (GError) error = NULL;

      faint_report_write (both[i], path, NULL, &error);
      g_assert_no_error (error);
      g_file_get_contents (path, &text[i], &length[i], &error);
      g_assert_no_error (error);
    }
  g_assert_cmpmem (text[0], length[0], text[1], length[1]);
  g_free (text[0]);
  g_free (text[1]);
}

/* Variances of positions and strengths of neighbours, and their covariances. */
static void
assert_same_covariances (const FaintFit *a, const FaintFit *b)
{
  gsize n = faint_line_list_get_n (a->lines);
  guint known = 0;

  for (gsize i = 0; i + 1 < n; i++)
    for (FaintPlace p = 0; p < FAINT_PLACE_LORENTZ; p++)
      for (gsize k = i; k < i + 2; k++)
        {
          guint first = faint_line_list_get (a->lines, i)->id;
          guint second = faint_line_list_get (a->lines, k)->id;
          double x = faint_fit_covariance (a, first, p, second, p);
          double y = faint_fit_covariance (b, first, p, second, p);

          g_assert_true (x == y || (isnan (x) && isnan (y)));
          known += isfinite (x);
        }
  g_assert_cmpuint (known, >, n);
}

/* The demo has faint lines whose widths lean on the others'. */
static void
test_single (void)
{
  g_autofree char *folder = faint_test_folder_new ();
  g_autofree char *path
      = g_build_filename (g_getenv ("FAINT_TEST_DATA"), "demo", "nitrous-oxide.comb", NULL);
  const char *paths[] = { path };
  g_autoptr (FaintAnalysis) analysis = computed (paths, 1), again = NULL;

  again = read_back (analysis, folder);
  g_assert_true (isfinite (faint_analysis_get_fit (analysis)->width_mean));
  assert_same_table (analysis, again, faint_analysis_windows_csv);
  assert_same_table (analysis, again, faint_analysis_correlations_csv);
  assert_same_covariances (faint_analysis_get_fit (analysis), faint_analysis_get_fit (again));
  assert_same_report (analysis, again, folder);
  faint_test_folder_remove (g_steal_pointer (&folder));
}

static char *
record (const char *folder, const char *name, const char *pressure, guint seed)
{
  const char *settings[] = { pressure, "temperature=296 K", NULL };
  g_autofree char *scene_path
      = g_build_filename (g_getenv ("FAINT_TEST_DATA"), "scenes", "series.scene", NULL);
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintScene) scene = faint_scene_read_with (scene_path, settings, &error);
  g_autoptr (FaintSpectrum) spectrum = NULL;
  char *path = g_build_filename (folder, name, NULL);

  g_assert_no_error (error);
  spectrum = faint_scene_simulate (scene, seed, NULL, &error);
  g_assert_no_error (error);
  faint_scene_write (scene, spectrum, path, &error);
  g_assert_no_error (error);
  return path;
}

static void
test_series (void)
{
  g_autofree char *folder = faint_test_folder_new ();
  g_autofree char *low = record (folder, "low.comb", "pressure=10 hPa", 1);
  g_autofree char *high = record (folder, "high.comb", "pressure=60 hPa", 2);
  const char *paths[] = { low, high };
  g_autoptr (FaintAnalysis) analysis = computed (paths, 2), again = NULL;
  g_autofree char *before = NULL, *after = NULL;
  guint id = faint_line_list_get (faint_analysis_get_lines (analysis), 0)->id;

  again = read_back (analysis, folder);
  assert_same_table (analysis, again, faint_analysis_windows_csv);
  before = faint_analysis_correlations_csv (analysis);
  after = faint_analysis_correlations_csv (again);
  g_assert_nonnull (strchr (before, '\n')[1] != '\0' ? before : NULL);
  g_assert_cmpint (strchr (after, '\n')[1], ==, '\0');
  g_assert_true (isnan (faint_fit_covariance (faint_analysis_get_fit (again), id,
                                              FAINT_PLACE_STRENGTH, id, FAINT_PLACE_STRENGTH)));
  faint_test_folder_remove (g_steal_pointer (&folder));
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  gsl_set_error_handler_off ();
  g_test_add_func ("/report/reload/single", test_single);
  g_test_add_func ("/report/reload/series", test_series);
  return g_test_run ();
}

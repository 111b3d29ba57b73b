/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The report of a small invented spectrum: pages, words, numbers as they stand in the analysis,
 * reproducible bytes.
 */
#define _GNU_SOURCE
#include "figure/report-private.h"
#include "figure/report.h"

#include "faint-test.h"
#include "faint/base/files.h"
#include "faint/simulate/scene.h"

#include <gsl/gsl_errno.h>
#include <math.h>
#include <string.h>

static const char scene[] = "# scene 1\n"
                            "# title = test & <invented> lines\n"
                            "# repetition_rate = 250 MHz\n"
                            "# u(repetition_rate) = 0.5 Hz\n"
                            "# offset_frequency = 20 MHz\n"
                            "# observable = power\n"
                            "# temperature = 296.15 K\n"
                            "# u(temperature) = 0.10 K\n"
                            "# pressure = 1.30 hPa\n"
                            "# u(pressure) = 0.01 hPa\n"
                            "# mole_fraction = 1\n"
                            "# molar_mass = 44.0011 g/mol\n"
                            "# cavity = standing-wave\n"
                            "# coupling = locked\n"
                            "# cavity_length = 59.958 cm\n"
                            "# finesse = 12000\n"
                            "# u(finesse) = 60\n"
                            "# first_tooth = 934000\n"
                            "# teeth = 300\n"
                            "# interleave = 4\n"
                            "# noise = 3e-4\n"
                            "# columns = position/cm-1 strength/(cm/molecule) lorentz_hwhm/cm-1\n"
                            "7789.2 2e-25 1.3e-4\n"
                            "7790.0 6e-25 1.3e-4\n"
                            "7790.9 4e-26 1.3e-4\n";

typedef struct
{
  char *folder;
  FaintAnalysis *bare, *fitted;
} Fixture;

static void
set_up (Fixture *self, gconstpointer data)
{
  GError *error = NULL;
  self->folder = faint_test_folder_new ();
  g_autofree char *path = faint_test_file (self->folder, "run.scene", scene);
  g_autofree char *table = g_build_filename (self->folder, "run.comb", NULL);
  const char *paths[] = { table, NULL };
  g_autoptr (FaintScene) read = faint_scene_read (path, &error);
  g_assert_no_error (error);
  g_autoptr (FaintSpectrum) spectrum = faint_scene_simulate (read, 3, NULL, &error);
  g_assert_no_error (error);
  g_assert_true (faint_scene_write (read, spectrum, table, &error));
  self->bare = faint_analysis_new (paths, 1, NULL, NULL, &error);
  g_assert_no_error (error);
  g_autoptr (FaintFit) fit = faint_analysis_run (self->bare, TRUE, NULL, &error);
  g_assert_no_error (error);
  self->fitted = faint_analysis_with_fit (self->bare, fit);
}

static void
tear_down (Fixture *self, gconstpointer data)
{
  faint_analysis_unref (self->bare);
  faint_analysis_unref (self->fitted);
  faint_test_folder_remove (self->folder);
}

static char *
write_report (const Fixture *self, const FaintAnalysis *analysis, const char *name,
              const char *date)
{
  GError *error = NULL;
  char *path = g_build_filename (self->folder, name, NULL);
  g_assert_true (faint_report_write (analysis, path, date, &error));
  g_assert_no_error (error);
  return path;
}

static guint
count_pages (const char *path)
{
  g_autofree char *bytes = NULL;
  gsize length;
  guint pages = 0;

  g_assert_true (g_file_get_contents (path, &bytes, &length, NULL));
  for (const char *at = bytes;
       (at = memmem (at, length - (gsize)(at - bytes), "/Type /Page", 11)) != NULL; at += 11)
    pages += at[11] != 's';
  return pages;
}

static void
test_pages (Fixture *self, gconstpointer data)
{
  g_autofree char *path = write_report (self, self->fitted, "a.pdf", "2026-01-02T03:04:05Z");
  guint pages = count_pages (path);

  g_assert_cmpuint (pages, ==, faint_report_count_pages (self->fitted));
  /* text, whole span, 1200 samples in 6 strips of at least 200, 3 a page, lines */
  g_assert_cmpuint (pages, >=, 5);
  g_assert_cmpuint (pages, <=, 8);
}

static void
test_reproducible (Fixture *self, gconstpointer data)
{
  g_autofree char *first = write_report (self, self->fitted, "a.pdf", NULL);
  g_usleep (1100000); /* a clock that counts seconds must not show */
  g_autofree char *second = write_report (self, self->fitted, "b.pdf", NULL);
  g_autofree char *a = NULL, *b = NULL;
  gsize n_a, n_b;

  g_assert_true (g_file_get_contents (first, &a, &n_a, NULL));
  g_assert_true (g_file_get_contents (second, &b, &n_b, NULL));
  g_assert_cmpmem (a, n_a, b, n_b);
}

static char *
text_of (const char *path)
{
  const char *command[] = { "pdftotext", "-layout", path, "-", NULL };
  char *text = NULL;
  GError *error = NULL;
  g_spawn_sync (NULL, (char **)command, NULL, G_SPAWN_SEARCH_PATH, NULL, NULL, &text, NULL, NULL,
                &error);
  g_assert_no_error (error);
  return text;
}

static void
assert_says (const char *text, const char *words)
{
  if (strstr (text, words) == NULL)
    g_test_message ("not in the report: %s", words);
  g_assert_nonnull (strstr (text, words));
}

/* pdftotext (poppler) as the independent reader. */
static void
test_words (Fixture *self, gconstpointer data)
{
  g_autofree char *reader = g_find_program_in_path ("pdftotext");
  if (reader == NULL)
    {
      g_test_skip ("pdftotext is not installed");
      return;
    }
  g_autofree char *path = write_report (self, self->fitted, "a.pdf", "2026-01-02T03:04:05Z");
  g_autofree char *text = text_of (path);
  gsize n_inputs;
  const FaintAnalysisInput *inputs = faint_analysis_get_inputs (self->fitted, &n_inputs);

  assert_says (text, "test & <invented> lines");
  assert_says (text, "2026-01-02T03:04:05Z");
  assert_says (text, "1.300(10) hPa");
  assert_says (text, "296.15(10) K");
  assert_says (text, "12000(60)");
  assert_says (text, "converged after");
  assert_says (text, inputs[0].sha256);
  assert_says (text, "threshold = 5");
  assert_says (text, "Uncertainty budget of the strongest line");
  FaintLineList *lines = faint_analysis_get_lines (self->fitted);
  g_assert_cmpuint (faint_line_list_get_n (lines), >=, 3);
  for (gsize i = 0; i < faint_line_list_get_n (lines); i++)
    {
      FaintParameter position = faint_line_list_get (lines, i)->position;
      g_autofree char *number = faint_format_concise (position.value, position.u);
      assert_says (text, number);
    }
}

static void
test_without_fit (Fixture *self, gconstpointer data)
{
  g_autofree char *path = write_report (self, self->bare, "a.pdf", NULL);
  g_autofree char *reader = g_find_program_in_path ("pdftotext");

  g_assert_cmpuint (count_pages (path), ==, faint_report_count_pages (self->bare));
  if (reader == NULL)
    return;
  g_autofree char *text = text_of (path);
  assert_says (text, "Nothing was fitted");
  g_assert_null (strstr (text, "converged"));
}

static void
test_refusal (Fixture *self, gconstpointer data)
{
  g_autofree char *path = g_build_filename (self->folder, "no", "report.pdf", NULL);
  GError *error = NULL;
  g_assert_false (faint_report_write (self->bare, path, NULL, &error));
  faint_assert_error_says (error, FAINT_FILES_ERROR, "report.pdf");
}

static void
assert_number (double value, double u, const char *want)
{
  g_autofree char *text = faint_report_number (value, u);
  g_assert_cmpstr (text, ==, want);
}

/* Concise notation of the GUM, 7.2.2, typeset. */
static void
test_numbers (void)
{
  assert_number (7790.220341, 0.00012, "7790.22034(12)");
  assert_number (1.2341e-26, 5.6e-28, "1.234(56)×10⁻²⁶");
  assert_number (-0.5, NAN, "−0.5");
  assert_number (NAN, 1.0, "–");
  static const struct
  {
    double value;
    int digits;
    const char *want;
  } cases[]
      = { { 7e-27, 2, "7.0×10⁻²⁷" }, { 12000.0, 5, "12000" },         { 0.00384, 2, "0.0038" },
          { 1.0, 3, "1.00" },        { -4.56612e-5, 2, "−4.6×10⁻⁵" }, { INFINITY, 2, "–" } };
  for (guint i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autofree char *text = faint_report_plain (cases[i].value, cases[i].digits);
      g_assert_cmpstr (text, ==, cases[i].want);
    }
}

int
main (int argc, char **argv)
{
  gsl_set_error_handler_off ();
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/report/numbers", test_numbers);
#define ADD(name, function) g_test_add (name, Fixture, NULL, set_up, function, tear_down)
  ADD ("/report/pages", test_pages);
  ADD ("/report/reproducible", test_reproducible);
  ADD ("/report/words", test_words);
  ADD ("/report/without-fit", test_without_fit);
  ADD ("/report/refusal", test_refusal);
  return g_test_run ();
}

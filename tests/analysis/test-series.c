/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Several spectra in one analysis: which inputs become which spectrum, the joint result and its
 * file, and what is refused.
 */
#include "faint/analysis/analysis.h"
#include "scene.h"

#include <gsl/gsl_errno.h>
#include <string.h>

/* Half width of the invented lines at 2.5 hPa: y times the Doppler half width over sqrt(ln 2). */
#define LORENTZ (0.25 * 0.00724 / 0.8325546)
#define ATMOSPHERE 101325.0

typedef struct
{
  char *folder, *path;
  char *low, *high, *low_even, *low_odd;
} Fixture;

/* TABLE_HEAD with @from changed to @to. */
static char *
head_with (const char *from, const char *to)
{
  g_auto (GStrv) parts = g_strsplit (TABLE_HEAD, from, 2);

  g_assert_cmpuint (g_strv_length (parts), ==, 2);
  return g_strjoinv (to, parts);
}

static char *
write_table (const Fixture *self, const char *name, double pressure, const char *head, int first,
             int step)
{
  g_autofree char *text
      = table_text_at (pressure, head, first, step, 1e-3, (guint32)(first + 10 * step));

  return faint_test_file (self->folder, name, text);
}

static void
set_up (Fixture *self, gconstpointer data)
{
  g_autofree char *high = head_with ("pressure = 2.5 hPa", "pressure = 5.0 hPa");

  self->folder = faint_test_folder_new ();
  self->path = g_build_filename (self->folder, "series.faintline", NULL);
  self->low = write_table (self, "low.comb", 1.0, TABLE_HEAD, 0, 1);
  self->low_even = write_table (self, "even.comb", 1.0, TABLE_HEAD, 0, 2);
  self->low_odd = write_table (self, "odd.comb", 1.0, TABLE_HEAD, 1, 2);
  self->high = write_table (self, "high.comb", 2.0, high, 0, 1);
}

static void
tear_down (Fixture *self, gconstpointer data)
{
  faint_test_folder_remove (self->folder);
  g_free (self->path);
  g_free (self->low);
  g_free (self->high);
  g_free (self->low_even);
  g_free (self->low_odd);
}

static FaintAnalysis *
read_all (const char *const *paths, gsize n, const FaintReadOptions *options)
{
  g_autoptr (GError) error = NULL;
  FaintAnalysis *analysis = faint_analysis_new (paths, n, options, NULL, &error);

  g_assert_no_error (error);
  return analysis;
}

static FaintAnalysis *
read_two (const Fixture *self)
{
  const char *const paths[] = { self->low, self->high };

  return read_all (paths, 2, NULL);
}

static FaintAnalysis *
compute (const FaintAnalysis *analysis, gboolean find)
{
  g_autoptr (GError) error = NULL;
  FaintAnalysis *done = faint_analysis_compute (analysis, find, NULL, &error);

  g_assert_no_error (error);
  return done;
}

static FaintAnalysis *
save_and_load (const FaintAnalysis *analysis, const char *path)
{
  g_autoptr (GError) error = NULL;
  FaintAnalysis *back;

  faint_analysis_save (analysis, path, &error);
  g_assert_no_error (error);
  back = faint_analysis_load (path, NULL, &error);
  g_assert_no_error (error);
  return back;
}

static char *
saved (const FaintAnalysis *analysis, const char *path)
{
  g_autoptr (GError) error = NULL;
  char *text = faint_analysis_to_text (analysis, path, &error);

  g_assert_no_error (error);
  return text;
}

/* Records of equal conditions are one spectrum, wherever they stand among the others. */
static void
test_grouping (Fixture *self, gconstpointer data)
{
  const char *const paths[] = { self->low_even, self->high, self->low_odd };
  static const gsize want[] = { 0, 1, 0 };
  g_autoptr (FaintAnalysis) analysis = read_all (paths, 3, NULL);
  g_autoptr (FaintAnalysis) back = save_and_load (analysis, self->path);
  const FaintAnalysis *const both[] = { analysis, back };

  for (gsize k = 0; k < 2; k++)
    {
      gsize n;
      const FaintAnalysisInput *inputs = faint_analysis_get_inputs (both[k], &n);

      g_assert_cmpuint (n, ==, 3);
      g_assert_cmpuint (faint_analysis_get_n_spectra (both[k]), ==, 2);
      for (gsize i = 0; i < n; i++)
        g_assert_cmpuint (inputs[i].spectrum, ==, want[i]);
      g_assert_cmpuint (faint_analysis_get_spectrum (both[k])->n, ==, TABLE_TEETH);
      g_assert_true (faint_analysis_get_spectrum_at (both[k], 1)->setup->pressure.value == 500.0);
    }
}

static void
test_description (Fixture *self, gconstpointer data)
{
  g_autoptr (FaintAnalysis) analysis = read_two (self);
  g_autofree char *first = faint_analysis_describe_spectrum (analysis, 0);
  g_autofree char *second = faint_analysis_describe_spectrum (analysis, 1);

  /* the mole fraction is the same and does not tell one from the other */
  g_assert_cmpstr (first, ==, "2.5 hPa, 296.15 K");
  g_assert_cmpstr (second, ==, "5 hPa, 296.15 K");
}

/* What is said besides the inputs goes to each of them, and makes one spectrum of two where it
 * takes their difference. */
static void
test_settings (Fixture *self, gconstpointer data)
{
  static const char *const mass[] = { "molar_mass=46 g/mol", NULL };
  static const char *const pressure[] = { "pressure=3 hPa", NULL };
  const char *const paths[] = { self->low, self->high };
  g_autoptr (FaintAnalysis) heavy = read_all (paths, 2, &(FaintReadOptions){ .settings = mass });
  g_autoptr (FaintAnalysis) one = read_all (paths, 2, &(FaintReadOptions){ .settings = pressure });
  g_autoptr (FaintAnalysis) back = save_and_load (heavy, self->path);

  for (gsize i = 0; i < 2; i++)
    g_assert_true (faint_analysis_get_spectrum_at (back, i)->setup->molar_mass.value == 46.0);
  g_assert_cmpuint (faint_analysis_get_n_spectra (one), ==, 1);
}

/* Each spectrum has a setup of its own to edit. */
static void
test_edited_setup (Fixture *self, gconstpointer data)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintAnalysis) read = read_two (self);
  g_autoptr (FaintSetup) setup = faint_setup_copy (faint_analysis_get_spectrum_at (read, 1)->setup);
  g_autoptr (FaintAnalysis) edited = NULL, back = NULL;

  setup->temperature.value = 297.0;
  edited = faint_analysis_with_setup_at (read, 1, setup, &error);
  g_assert_no_error (error);
  back = save_and_load (edited, self->path);
  g_assert_true (faint_analysis_get_setup (back)->temperature.value == 296.15);
  g_assert_true (faint_analysis_get_spectrum_at (back, 1)->setup->temperature.value == 297.0);
  g_assert_true (faint_analysis_get_spectrum_at (read, 1)->setup->temperature.value == 296.15);
}

static void
test_other_molecule (Fixture *self, gconstpointer data)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *head = head_with ("44.0011 g/mol", "45.9951 g/mol");
  g_autofree char *heavy = write_table (self, "heavy.comb", 1.0, head, 0, 1);
  const char *const paths[] = { self->low, heavy };

  g_assert_null (faint_analysis_new (paths, 2, NULL, NULL, &error));
  g_assert_nonnull (error);
  g_assert_nonnull (strstr (error->message, "44.0011"));
  g_assert_nonnull (strstr (error->message, "45.9951"));
  faint_assert_error_says (error, FAINT_ANALYSIS_ERROR, "molar_mass");
}

/* Strengths at two temperatures cannot be compared without Q(T). */
static void
test_no_partition_sums (Fixture *self, gconstpointer data)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *head = head_with ("296.15 K", "310 K");
  g_autofree char *hot = write_table (self, "hot.comb", 1.0, head, 0, 1);
  const char *const paths[] = { self->low, hot };
  g_autoptr (FaintAnalysis) analysis = read_all (paths, 2, NULL);

  g_assert_cmpuint (faint_analysis_get_n_spectra (analysis), ==, 2);
  g_assert_null (faint_analysis_compute (analysis, TRUE, NULL, &error));
  g_assert_nonnull (error);
  g_assert_nonnull (strstr (error->message, "partition_sums"));
}

static void
test_incomplete (Fixture *self, gconstpointer data)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *head = head_with ("# pressure = 2.5 hPa\n# u(pressure) = 0.01 hPa\n", "");
  g_autofree char *bare = write_table (self, "bare.comb", 1.0, head, 0, 1);
  const char *const paths[] = { self->low, bare };
  g_autoptr (FaintAnalysis) analysis = read_all (paths, 2, NULL);

  g_assert_null (faint_analysis_compute (analysis, TRUE, NULL, &error));
  g_assert_nonnull (error);
  g_assert_nonnull (strstr (error->message, "Spectrum 2 (bare.comb)"));
  faint_assert_error_says (error, FAINT_SETUP_ERROR, "pressure");
}

/* The widths are in proportion to the pressure, so their coefficient is known beforehand. */
static void
test_broadening (Fixture *self, gconstpointer data)
{
  g_autoptr (FaintAnalysis) read = read_two (self);
  g_autoptr (FaintAnalysis) fitted = compute (read, TRUE);
  FaintLineList *lines = faint_analysis_get_lines (fitted);
  double want = LORENTZ / (250.0 / ATMOSPHERE);
  FaintAnalysisResult result;

  g_assert_true (faint_analysis_get_result (fitted, &result));
  g_assert_cmpint (result.verdict, ==, FAINT_VERDICT_CONVERGED);
  g_assert_true (faint_analysis_fit_is_current (fitted));
  /* 800 teeth: chi-square scatters by 5 % */
  g_assert_cmpfloat (result.chi2_reduced, >, 0.8);
  g_assert_cmpfloat (result.chi2_reduced, <, 1.2);
  g_assert_cmpuint (faint_line_list_get_n (lines), ==, 3);
  for (gsize i = 0; i < 3; i++)
    {
      const FaintParameter *found
          = &faint_line_list_get (lines, i)->coefficient[FAINT_COEFFICIENT_BROADENING_SELF];
      g_assert_true (isfinite (found->u) && found->u > 0.0);
      g_assert_cmpfloat (fabs (found->value - want), <, 4.5 * found->u);
    }
  for (gsize i = 0; i < 2; i++)
    g_assert_nonnull (faint_analysis_get_fit_at (fitted, i));
}

/* Loading and saving changes no byte, and every spectrum has its model again. */
static void
test_round_trip (Fixture *self, gconstpointer data)
{
  g_autoptr (FaintAnalysis) read = read_two (self);
  g_autoptr (FaintAnalysis) fitted = compute (read, TRUE);
  g_autoptr (FaintAnalysis) back = save_and_load (fitted, self->path);
  g_autofree char *want = saved (fitted, self->path), *got = saved (back, self->path);
  FaintAnalysisResult before, after;

  g_assert_cmpstr (got, ==, want);
  g_assert_null (faint_analysis_get_joint (back));
  g_assert_true (faint_analysis_fit_is_current (back));
  g_assert_true (faint_analysis_get_result (fitted, &before));
  g_assert_true (faint_analysis_get_result (back, &after));
  g_assert_true (before.chi2 == after.chi2 && before.verdict == after.verdict);
  g_assert_cmpmem (before.determined, sizeof before.determined, after.determined,
                   sizeof after.determined);
  for (gsize i = 0; i < 2; i++)
    {
      const FaintFit *a = faint_analysis_get_fit_at (fitted, i);
      const FaintFit *b = faint_analysis_get_fit_at (back, i);
      for (gsize k = 0; k < TABLE_TEETH; k++) /* a sample is known to 1e-3 */
        g_assert_cmpfloat (fabs (a->model[k] - b->model[k]), <, 1e-9);
    }
}

/* From the file the same numbers come out, bit for bit. */
static void
test_again (Fixture *self, gconstpointer data)
{
  g_autoptr (FaintAnalysis) read = read_two (self);
  g_autoptr (FaintAnalysis) fitted = compute (read, TRUE);
  g_autoptr (FaintAnalysis) back = save_and_load (fitted, self->path);
  g_autoptr (FaintAnalysis) again = compute (back, TRUE);
  g_autofree char *want = saved (fitted, self->path), *got = saved (again, self->path);

  g_assert_cmpstr (got, ==, want);
}

/* A list of given lines is the start of the joint fit too, and comes back from the file. */
static void
test_given_lines (Fixture *self, gconstpointer data)
{
  g_autoptr (FaintAnalysis) read = read_two (self);
  g_autoptr (FaintAnalysis) found = compute (read, TRUE);
  g_autoptr (FaintAnalysis) given
      = faint_analysis_with_lines (read, faint_analysis_get_lines (found));
  g_autoptr (FaintAnalysis) fitted = compute (given, FALSE);
  g_autoptr (FaintAnalysis) back = save_and_load (fitted, self->path);
  g_autoptr (FaintAnalysis) again = compute (back, FALSE);
  g_autofree char *want = saved (fitted, self->path), *got = saved (again, self->path);

  g_assert_false (faint_analysis_get_found (back));
  g_assert_cmpstr (got, ==, want);
}

/* A width set by hand is what the next fit holds, not what the last one made of it. */
static void
test_edited_width (Fixture *self, gconstpointer data)
{
  g_autoptr (FaintAnalysis) read = read_two (self);
  g_autoptr (FaintAnalysis) fitted = compute (read, TRUE);
  FaintLineList *found = faint_analysis_get_lines (fitted);
  FaintLine line = *faint_line_list_get (found, 1);
  g_autoptr (FaintLineList) edited = NULL;
  g_autoptr (FaintAnalysis) changed = NULL, again = NULL;
  const FaintLine *after;

  line.lorentz.value = 1.1 * LORENTZ;
  line.lorentz.state = FAINT_STATE_FIXED;
  edited = faint_line_list_with_replaced (found, &line);
  changed = faint_analysis_with_lines (fitted, edited);
  again = compute (changed, FALSE);
  after = faint_line_list_find (faint_analysis_get_lines (again), line.id);
  faint_assert_close (after->lorentz.value, line.lorentz.value, 1e-9,
                      "a fixed value stays but for rounding");
  g_assert_cmpint (after->lorentz.state, ==, FAINT_STATE_FIXED);
  /* another line keeps its coefficient beside its width */
  g_assert_true (isfinite (faint_line_list_get (faint_analysis_get_lines (changed), 0)
                               ->coefficient[FAINT_COEFFICIENT_BROADENING_SELF]
                               .value));
}

static void
test_edited_after_fit (Fixture *self, gconstpointer data)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintAnalysis) read = read_two (self);
  g_autoptr (FaintAnalysis) fitted = compute (read, TRUE);
  g_autoptr (FaintSetup) setup
      = faint_setup_copy (faint_analysis_get_spectrum_at (fitted, 1)->setup);
  g_autoptr (FaintAnalysis) edited = NULL, back = NULL;

  setup->pressure.value = 510.0;
  edited = faint_analysis_with_setup_at (fitted, 1, setup, &error);
  g_assert_no_error (error);
  g_assert_false (faint_analysis_fit_is_current (edited));
  back = save_and_load (edited, self->path);
  g_assert_false (faint_analysis_fit_is_current (back));
  g_assert_true (faint_analysis_get_spectrum_at (back, 1)->setup->pressure.value == 510.0);
  g_assert_true (faint_analysis_get_fit_at (back, 1)->spectrum->setup->pressure.value == 500.0);
}

static void
test_changed_input (Fixture *self, gconstpointer data)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintAnalysis) read = read_two (self);
  g_autoptr (FaintAnalysis) fitted = compute (read, TRUE);
  g_autoptr (FaintAnalysis) back = NULL;
  g_autofree char *text = NULL, *more = NULL;
  const FaintAnalysisInput *inputs;

  faint_analysis_save (fitted, self->path, &error);
  g_assert_no_error (error);
  g_assert_true (g_file_get_contents (self->high, &text, NULL, NULL));
  more = g_strconcat (text, "# a remark\n", NULL);
  g_assert_true (g_file_set_contents (self->high, more, -1, NULL));
  back = faint_analysis_load (self->path, NULL, &error);
  g_assert_no_error (error);
  inputs = faint_analysis_get_inputs (back, NULL);
  g_assert_false (inputs[0].changed);
  g_assert_true (inputs[1].changed);
  g_assert_true (faint_warnings_has (faint_analysis_get_warnings (back), "input-changed"));
  for (gsize i = 0; i < 2; i++)
    g_assert_null (faint_analysis_get_fit_at (back, i));
}

/* A spectrum that no input makes is an error that names its place. */
static void
test_broken_grouping (Fixture *self, gconstpointer data)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintAnalysis) read = read_two (self);
  g_autofree char *text = saved (read, self->path);
  g_auto (GStrv) parts = g_strsplit (text, "spectrum=2", 2);
  g_autofree char *broken = g_strjoinv ("spectrum=3", parts);

  g_assert_cmpuint (g_strv_length (parts), ==, 2);
  g_assert_true (g_file_set_contents (self->path, broken, -1, NULL));
  g_assert_null (faint_analysis_load (self->path, NULL, &error));
  faint_assert_error_says (error, FAINT_ANALYSIS_ERROR, "[input 2] spectrum");
}

static void
test_told (Fixture *self, gconstpointer data)
{
  g_autoptr (FaintAnalysis) read = read_two (self);
  g_autoptr (FaintAnalysis) fitted = compute (read, TRUE);
  g_autofree char *csv = faint_analysis_lines_csv (fitted, NULL);
  g_autofree char *json = faint_analysis_summary_json (fitted, 1.0);

  g_assert_nonnull (strstr (csv, "# spectra = 2\n"));
  g_assert_nonnull (strstr (csv, "# pressure = 2.5 hPa\n"));
  g_assert_nonnull (strstr (csv, "# spectrum 2: pressure = 5 hPa\n"));
  g_assert_nonnull (strstr (csv, "# spectrum 2: input = high.comb\n"));
  g_assert_nonnull (strstr (json, "\"pressure/Pa\": 250,"));
  g_assert_nonnull (strstr (json, "\"pressure/Pa\": 500,"));
  g_assert_nonnull (strstr (json, "\"teeth\": 800,"));
}

#define ADD(name, function)                                                                        \
  g_test_add ("/analysis/series/" name, Fixture, NULL, set_up, function, tear_down)

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  gsl_set_error_handler_off ();
  ADD ("grouping", test_grouping);
  ADD ("description", test_description);
  ADD ("settings", test_settings);
  ADD ("edited-setup", test_edited_setup);
  ADD ("other-molecule", test_other_molecule);
  ADD ("no-partition-sums", test_no_partition_sums);
  ADD ("incomplete", test_incomplete);
  ADD ("broadening", test_broadening);
  ADD ("round-trip", test_round_trip);
  ADD ("again", test_again);
  ADD ("given-lines", test_given_lines);
  ADD ("edited-width", test_edited_width);
  ADD ("edited-after-fit", test_edited_after_fit);
  ADD ("changed-input", test_changed_input);
  ADD ("broken-grouping", test_broken_grouping);
  ADD ("told", test_told);
  return g_test_run ();
}

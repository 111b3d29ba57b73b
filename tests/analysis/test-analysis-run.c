/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The analysis with a fit: the same again from its file, and what is told about it.
 */
#include "faint/analysis/analysis.h"
#include "scene.h"

#include <gsl/gsl_errno.h>
#include <string.h>

typedef struct
{
  char *folder, *table, *path;
  FaintAnalysis *read, *fitted;
} Fixture;

static FaintAnalysis *
run (const FaintAnalysis *analysis, gboolean find)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintFit) fit = faint_analysis_run (analysis, find, NULL, &error);

  g_assert_no_error (error);
  return faint_analysis_with_fit (analysis, fit);
}

static void
set_up (Fixture *self, gconstpointer data)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *text = table_text (TABLE_HEAD, 0, 1, 1e-3, 1);
  const char *path;

  self->folder = faint_test_folder_new ();
  self->table = faint_test_file (self->folder, "a \"good\" run.comb", text);
  self->path = g_build_filename (self->folder, "run.faintline", NULL);
  path = self->table;
  self->read = faint_analysis_new (&path, 1, NULL, NULL, &error);
  g_assert_no_error (error);
  self->fitted = run (self->read, TRUE);
}

static void
tear_down (Fixture *self, gconstpointer data)
{
  faint_analysis_unref (self->read);
  faint_analysis_unref (self->fitted);
  faint_test_folder_remove (self->folder);
  g_free (self->table);
  g_free (self->path);
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

/* The file as a whole is compared: it holds every number with every digit. */
static void
assert_same_file (const FaintAnalysis *got, const FaintAnalysis *want, const char *path)
{
  g_autofree char *text_got = NULL, *text_want = NULL;

  g_assert_true (faint_analysis_save (got, path, NULL));
  g_assert_true (g_file_get_contents (path, &text_got, NULL, NULL));
  g_assert_true (faint_analysis_save (want, path, NULL));
  g_assert_true (g_file_get_contents (path, &text_want, NULL, NULL));
  g_assert_cmpstr (text_got, ==, text_want);
}

static void
test_found (Fixture *self, gconstpointer data)
{
  FaintLineList *lines = faint_analysis_get_lines (self->fitted);
  static const double positions[] = { 7790.25, 7790.61, 7791.02 };

  g_assert_true (faint_analysis_fit_is_current (self->fitted));
  g_assert_true (faint_analysis_get_found (self->fitted));
  g_assert_null (faint_analysis_get_fit (self->read));
  g_assert_true (lines == faint_analysis_get_fit (self->fitted)->lines);
  for (gsize i = 0; i < 3; i++)
    {
      gsize nearest = faint_line_list_nearest (lines, positions[i]);
      const FaintLine *line = faint_line_list_get (lines, nearest);
      faint_assert_near (line->position.value, positions[i], 5.0 * line->position.u,
                         "noise put in, 5 standard uncertainties");
      /* Pressure and temperature have uncertainties: the budget was applied. */
      g_assert_cmpfloat (line->strength.u, >, line->strength.u_noise);
    }
}

static void
test_restored (Fixture *self, gconstpointer data)
{
  g_autoptr (FaintAnalysis) back = save_and_load (self->fitted, self->path);
  const FaintFit *got = faint_analysis_get_fit (back);
  const FaintFit *want = faint_analysis_get_fit (self->fitted);

  g_assert_nonnull (got);
  g_assert_true (faint_analysis_fit_is_current (back));
  g_assert_true (faint_analysis_get_found (back));
  g_assert_cmpint (got->verdict, ==, want->verdict);
  g_assert_cmpuint (got->iterations, ==, want->iterations);
  g_assert_true (got->chi2 == want->chi2 && got->dof == want->dof);
  g_assert_cmpuint (got->n_windows, ==, want->n_windows);
  for (gsize k = 0; k < want->n_windows; k++)
    g_assert_cmpuint (got->windows[k].n_used, ==, want->windows[k].n_used);
  g_assert_cmpuint (want->windows[0].n_used, >, 0);
  for (gsize k = 0; k < want->spectrum->n; k++)
    {
      faint_assert_close (got->model[k], want->model[k], 1e-13, "the same sums, in another order");
      faint_assert_near (got->residual[k], want->residual[k], 1e-9,
                         "1e-13 of a sample over its uncertainty of 1e-3, with room");
    }
  assert_same_file (back, self->fitted, self->path);
}

/* A run from the file gives the same bits; so does one more run of what was just run. */
static void
test_again (Fixture *self, gconstpointer data)
{
  g_autoptr (FaintAnalysis) back = save_and_load (self->fitted, self->path);
  g_autoptr (FaintAnalysis) from_file = run (back, faint_analysis_get_found (back));
  g_autoptr (FaintAnalysis) repeated = run (self->fitted, TRUE);

  assert_same_file (from_file, self->fitted, self->path);
  assert_same_file (repeated, self->fitted, self->path);
}

static void
test_given_lines (Fixture *self, gconstpointer data)
{
  FaintLineList *found = faint_analysis_get_lines (self->fitted);
  FaintLine line = *faint_line_list_get (found, 0);
  g_autoptr (FaintLineList) moved = NULL;
  g_autoptr (FaintAnalysis) edited = NULL, fitted = NULL, back = NULL, again = NULL;

  line.position.value += 0.002;
  line.remark = "moved";
  moved = faint_line_list_with_replaced (found, &line);
  edited = faint_analysis_with_lines (self->fitted, moved);
  g_assert_false (faint_analysis_fit_is_current (edited));
  fitted = run (edited, FALSE);
  g_assert_false (faint_analysis_get_found (fitted));
  g_assert_cmpuint (faint_line_list_get_n (faint_analysis_get_lines (fitted)), ==,
                    faint_line_list_get_n (found));
  g_assert_cmpstr (faint_line_list_find (faint_analysis_get_lines (fitted), line.id)->remark, ==,
                   "moved");
  back = save_and_load (fitted, self->path);
  again = run (back, faint_analysis_get_found (back));
  assert_same_file (again, fitted, self->path);
}

/* Edits after a fit: the result stays what it was, and is not current, after loading too. */
static void
test_edited_after_fit (Fixture *self, gconstpointer data)
{
  g_autoptr (GError) error = NULL;
  FaintLineList *found = faint_analysis_get_lines (self->fitted);
  FaintLine line = *faint_line_list_get (found, 0);
  g_autoptr (FaintLineList) labelled = NULL;
  g_autoptr (FaintSetup) setup = faint_setup_copy (faint_analysis_get_setup (self->fitted));
  g_autoptr (FaintAnalysis) edited = NULL, both = NULL, back = NULL;

  line.upper = "J=1";
  labelled = faint_line_list_with_replaced (found, &line);
  edited = faint_analysis_with_lines (self->fitted, labelled);
  faint_setup_set (setup, "pressure", "3 hPa", NULL, &error);
  both = faint_analysis_with_setup (edited, setup, &error);
  g_assert_no_error (error);
  g_assert_false (faint_analysis_fit_is_current (both));
  back = save_and_load (both, self->path);
  g_assert_false (faint_analysis_fit_is_current (back));
  g_assert_nonnull (faint_analysis_get_fit (back));
  g_assert_true (faint_analysis_get_fit (back)->spectrum->setup->pressure.value == 250.0);
  g_assert_true (faint_analysis_get_setup (back)->pressure.value == 300.0);
  g_assert_cmpstr (faint_line_list_get (faint_analysis_get_fit (back)->lines, 0)->upper, ==, "");
  g_assert_cmpstr (faint_line_list_get (faint_analysis_get_lines (back), 0)->upper, ==, "J=1");
  assert_same_file (back, both, self->path);
}

static void
test_options_make_stale (Fixture *self, gconstpointer data)
{
  FaintFitOptions options = *faint_analysis_get_options (self->fitted);
  g_autoptr (FaintAnalysis) chosen = NULL, same = NULL;

  same = faint_analysis_with_options (self->fitted, &options);
  g_assert_true (faint_analysis_fit_is_current (same));
  options.baseline_degree++;
  chosen = faint_analysis_with_options (self->fitted, &options);
  g_assert_false (faint_analysis_fit_is_current (chosen));
}

static void
test_changed_input (Fixture *self, gconstpointer data)
{
  g_autofree char *text = table_text (TABLE_HEAD, 0, 1, 1e-3, 2);
  g_autoptr (FaintAnalysis) same = save_and_load (self->fitted, self->path);
  g_autoptr (FaintAnalysis) back = NULL;
  g_autoptr (GError) error = NULL;

  g_assert_true (g_file_set_contents (self->table, text, -1, NULL));
  back = faint_analysis_load (self->path, NULL, &error);
  g_assert_no_error (error);
  g_assert_null (faint_analysis_get_fit (back));
  g_assert_cmpuint (faint_line_list_get_n (faint_analysis_get_lines (back)), ==,
                    faint_line_list_get_n (faint_analysis_get_lines (same)));
  g_assert_true (faint_warnings_has (faint_analysis_get_warnings (back), "input-changed"));
}

static void
test_incomplete_setup (Fixture *self, gconstpointer data)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintSetup) setup = faint_setup_copy (faint_analysis_get_setup (self->read));
  g_autoptr (FaintAnalysis) incomplete = NULL;

  g_assert_true (faint_setup_set (setup, "pressure", "", NULL, NULL));
  incomplete = faint_analysis_with_setup (self->read, setup, &error);
  g_assert_no_error (error);
  g_assert_null (faint_analysis_run (incomplete, TRUE, NULL, &error));
  faint_assert_error_says (error, FAINT_SETUP_ERROR, "pressure");
}

/* A reader of JSON after RFC 8259, good for yes or no. */
static const char *json_value (const char *at);

static const char *
json_space (const char *at)
{
  return at + strspn (at, " \t\r\n");
}

static const char *
json_string (const char *at)
{
  if (*at++ != '"')
    return NULL;
  for (; *at != '"'; at++)
    {
      if ((guchar)*at < 0x20)
        return NULL;
      if (*at == '\\' && strchr ("\"\\/bfnrtu", *++at) == NULL)
        return NULL;
    }
  return at + 1;
}

static const char *
json_members (const char *at, char end, gboolean named)
{
  at = json_space (at + 1);
  if (*at == end)
    return at + 1;
  for (;;)
    {
      if (named)
        {
          at = json_string (json_space (at));
          if (at == NULL || *(at = json_space (at)) != ':')
            return NULL;
          at++;
        }
      at = json_value (at);
      if (at == NULL || (*(at = json_space (at)) != ',' && *at != end))
        return NULL;
      if (*at++ == end)
        return at;
    }
}

static const char *
json_value (const char *at)
{
  gsize digits;

  at = json_space (at);
  if (*at == '{')
    return json_members (at, '}', TRUE);
  if (*at == '[')
    return json_members (at, ']', FALSE);
  if (*at == '"')
    return json_string (at);
  if (g_str_has_prefix (at, "null"))
    return at + 4;
  digits = strspn (at, "0123456789+-.eE");
  return digits > 0 && (g_ascii_isdigit (*at) || *at == '-') ? at + digits : NULL;
}

static void
test_summary (Fixture *self, gconstpointer data)
{
  static const char *const keys[] = { "program",
                                      "version",
                                      "inputs",
                                      "teeth",
                                      "lines",
                                      "windows",
                                      "verdict",
                                      "iterations",
                                      "chi2",
                                      "degrees_of_freedom",
                                      "chi2_reduced",
                                      "noise_equivalent_absorption/cm-1",
                                      "noise_equivalent_absorption_per_root_hertz/(cm-1 Hz-1/2)",
                                      "false_finds_expected",
                                      "seconds",
                                      "warnings" };
  const FaintAnalysis *analyses[] = { self->fitted, self->read };

  for (gsize i = 0; i < 2; i++)
    {
      g_autofree char *text = faint_analysis_summary_json (analyses[i], 1.5);
      const char *after = json_value (text);

      g_assert_nonnull (after);
      g_assert_cmpstr (after, ==, "\n");
      for (gsize k = 0; k < G_N_ELEMENTS (keys); k++)
        {
          g_autofree char *key = g_strdup_printf ("\n  \"%s\": ", keys[k]);
          g_assert_nonnull (strstr (text, key));
        }
      g_assert_nonnull (strstr (text, "\"seconds\": 1.5"));
      g_assert_nonnull (strstr (text, "a \\\"good\\\" run.comb"));
      /* no recording time is stated */
      g_assert_nonnull (strstr (text, "Hz-1/2)\": null"));
    }
}

static void
test_csv (Fixture *self, gconstpointer data)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *text = faint_analysis_lines_csv (self->fitted, "2026-03-04T05:06:07Z");
  g_autoptr (FaintLineList) back = faint_line_list_parse_csv (text, "lines.csv", NULL, &error);
  FaintLineList *lines = faint_analysis_get_lines (self->fitted);
  const FaintAnalysisInput *input = faint_analysis_get_inputs (self->fitted, NULL);
  g_autofree char *note = g_strdup_printf ("# input = a \"good\" run.comb  %s\n", input->sha256);

  g_assert_no_error (error);
  g_assert_nonnull (strstr (text, note));
  g_assert_nonnull (strstr (text, "# date = 2026-03-04T05:06:07Z\n"));
  g_assert_nonnull (strstr (text, "# temperature = 296.15 K\n"));
  g_assert_cmpuint (faint_line_list_get_n (back), ==, faint_line_list_get_n (lines));
  for (gsize i = 0; i < faint_line_list_get_n (lines); i++)
    g_assert_true (faint_line_list_get (back, i)->position.value
                   == faint_line_list_get (lines, i)->position.value);
}

#define ADD(name, function)                                                                        \
  g_test_add ("/analysis/run/" name, Fixture, NULL, set_up, function, tear_down)

int
main (int argc, char **argv)
{
  gsl_set_error_handler_off ();
  g_test_init (&argc, &argv, NULL);
  ADD ("found", test_found);
  ADD ("restored", test_restored);
  ADD ("again", test_again);
  ADD ("given-lines", test_given_lines);
  ADD ("edited-after-fit", test_edited_after_fit);
  ADD ("options-make-stale", test_options_make_stale);
  ADD ("changed-input", test_changed_input);
  ADD ("incomplete-setup", test_incomplete_setup);
  ADD ("summary", test_summary);
  ADD ("csv", test_csv);
  return g_test_run ();
}

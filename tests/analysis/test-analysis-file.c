/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The analysis and its file, without a fit: what is saved is loaded, what is broken is named.
 */
#include "faint/analysis/analysis.h"
#include "scene.h"

#include <glib/gstdio.h>
#include <string.h>

typedef struct
{
  char *folder, *table, *path;
} Fixture;

static void
set_up (Fixture *self, gconstpointer data)
{
  g_autofree char *text = table_text (TABLE_HEAD, 0, 1, 1e-3, 1);

  self->folder = faint_test_folder_new ();
  self->table = faint_test_file (self->folder, "run.comb", text);
  self->path = g_build_filename (self->folder, "run.faintline", NULL);
}

static void
tear_down (Fixture *self, gconstpointer data)
{
  faint_test_folder_remove (self->folder);
  g_free (self->table);
  g_free (self->path);
}

static FaintAnalysis *
new_analysis (const char *path, const FaintReadOptions *options)
{
  g_autoptr (GError) error = NULL;
  FaintAnalysis *analysis = faint_analysis_new (&path, 1, options, NULL, &error);

  g_assert_no_error (error);
  return analysis;
}

static void
save (const FaintAnalysis *analysis, const char *path)
{
  g_autoptr (GError) error = NULL;

  faint_analysis_save (analysis, path, &error);
  g_assert_no_error (error);
}

static FaintAnalysis *
load (const char *path)
{
  g_autoptr (GError) error = NULL;
  FaintAnalysis *analysis = faint_analysis_load (path, NULL, &error);

  g_assert_no_error (error);
  return analysis;
}

static char *
contents (const char *path)
{
  g_autoptr (GError) error = NULL;
  char *text = NULL;

  g_file_get_contents (path, &text, NULL, &error);
  g_assert_no_error (error);
  return text;
}

/* Changes one word of a file. */
static void
edit (const char *path, const char *from, const char *to)
{
  g_autofree char *text = contents (path);
  g_auto (GStrv) parts = g_strsplit (text, from, 2);
  g_autofree char *edited = NULL;

  g_assert_nonnull (parts[1]);
  edited = g_strconcat (parts[0], to, parts[1], NULL);
  g_assert_true (g_file_set_contents (path, edited, -1, NULL));
}

static FaintLineList *
some_lines (void)
{
  FaintLine lines[2] = { faint_line_unknown (), faint_line_unknown () };

  lines[0].id = 7;
  lines[0].position
      = (FaintParameter){ 7790.25, 1.25e-5, 3.0000000000000004e-6, FAINT_STATE_FREE, 0, 1.0, 0.0 };
  lines[0].strength
      = (FaintParameter){ 4.9406564584124654e-324, 0.1, NAN, FAINT_STATE_FREE, 0, 1.0, 0.0 };
  lines[0].lorentz = (FaintParameter){ 0.1 + 0.2, NAN, NAN, FAINT_STATE_FIXED, 0, 1.0, 0.0 };
  lines[0].doppler = (FaintParameter){ 1.0 / 3.0, 1e-9, NAN, FAINT_STATE_DERIVED, 0, 1.0, 0.0 };
  lines[0].strength_296 = 1.5e-25;
  lines[0].u_strength_296 = 2e-27;
  lines[0].lower_energy = 12.5;
  lines[0].u_lower_energy = 0.25;
  lines[0].snr = 1e9;
  lines[0].peak = 0.25;
  lines[0].window = 3;
  lines[0].chi2_reduced = 1.01;
  lines[0].flags = FAINT_LINE_BLENDED | FAINT_LINE_AT_EDGE;
  lines[0].position_from[FAINT_SOURCE_TEMPERATURE] = -1e-9;
  lines[0].strength_from[FAINT_SOURCE_CAVITY] = 0.0;
  lines[0].lorentz_from[FAINT_SOURCE_OFFSET_FREQUENCY] = 1e300;
  lines[0].upper = "ν₁ J=3 ";
  lines[0].lower = " leading; and = [signs]";
  lines[0].remark = "two\nlines\r\tand a \\ backslash # hash";
  lines[0].profile = FAINT_PROFILE_HARTMANN_TRAN;
  lines[0].speed_width = (FaintParameter){ 1e-4 / 3.0, 2e-9, 1e-9, FAINT_STATE_FREE, 0, 1.0, 0.0 };
  lines[0].correlation = (FaintParameter){ 0.7, NAN, NAN, FAINT_STATE_FIXED, 0, 1.0, 0.0 };
  lines[0].coefficient[FAINT_COEFFICIENT_SHIFT_SELF]
      = (FaintParameter){ -0.1 - 0.2, 1e-5, NAN, FAINT_STATE_FREE, 0, 1.0, 0.0 };
  lines[0].coefficient[FAINT_COEFFICIENT_WIDTH_EXPONENT].u = 0.1; /* alone */
  lines[1].lorentz = (FaintParameter){ NAN, 1e-5, 1e-6, FAINT_STATE_TIED, 7, 1.0 / 3.0, -1e-17 };
  lines[1].coefficient[FAINT_COEFFICIENT_BROADENING_SELF]
      = (FaintParameter){ 0.25, NAN, NAN, FAINT_STATE_TIED, 7, 2.0, 0.0 };
  lines[1].velocity_changing.state = FAINT_STATE_DERIVED; /* alone */
  lines[1].position.value = 7790.61;
  lines[1].flags = FAINT_LINE_EXCLUDED;
  return faint_line_list_new (lines, 2);
}

static void
assert_same_bytes (const FaintLineList *got, const FaintLineList *want)
{
  g_assert_cmpuint (faint_line_list_get_n (got), ==, faint_line_list_get_n (want));
  for (gsize i = 0; i < faint_line_list_get_n (want); i++)
    {
      FaintLine a = *faint_line_list_get (got, i), b = *faint_line_list_get (want, i);

      g_assert_cmpstr (a.upper, ==, b.upper);
      g_assert_cmpstr (a.lower, ==, b.lower);
      g_assert_cmpstr (a.remark, ==, b.remark);
      a.upper = a.lower = a.remark = b.upper = b.lower = b.remark = NULL;
      g_assert_cmpmem (&a, sizeof a, &b, sizeof b); /* every NAN here is the one of NAN */
    }
}

static void
test_new (Fixture *self, gconstpointer data)
{
  g_autoptr (FaintAnalysis) analysis = new_analysis (self->table, NULL);
  g_autofree char *text = contents (self->table);
  g_autofree char *sum = g_compute_checksum_for_string (G_CHECKSUM_SHA256, text, -1);
  gsize n;
  const FaintAnalysisInput *inputs = faint_analysis_get_inputs (analysis, &n);

  g_assert_cmpuint (n, ==, 1);
  g_assert_cmpstr (inputs[0].path, ==, self->table);
  g_assert_cmpstr (inputs[0].sha256, ==, sum);
  g_assert_false (inputs[0].changed);
  g_assert_cmpstr (faint_analysis_get_title (analysis), ==, "three lines");
  g_assert_cmpuint (faint_line_list_get_n (faint_analysis_get_lines (analysis)), ==, 0);
  g_assert_null (faint_analysis_get_fit (analysis));
  g_assert_false (faint_analysis_fit_is_current (analysis));
  g_assert_cmpuint (faint_analysis_get_spectrum (analysis)->n, ==, TABLE_TEETH);
}

static void
test_round_trip (Fixture *self, gconstpointer data)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintAnalysis) read = new_analysis (self->table, NULL);
  g_autoptr (FaintSetup) setup = faint_setup_copy (faint_analysis_get_setup (read));
  g_autoptr (FaintLineList) lines = some_lines ();
  g_autoptr (FaintAnalysis) edited = NULL, with_lines = NULL, chosen = NULL, back = NULL;
  FaintFitOptions options = *faint_analysis_get_options (read);
  g_autofree char *deeper = g_build_filename (self->folder, "results", NULL);
  g_autofree char *path = g_build_filename (deeper, "a.faintline", NULL);
  g_autofree char *first = NULL, *second = NULL;

  faint_setup_set (setup, "pressure", "2.6(1) hPa", NULL, &error);
  faint_setup_set (setup, "u(temperature)", "", NULL, &error);
  faint_setup_set (setup, "title", "edited", NULL, &error);
  g_assert_no_error (error);
  edited = faint_analysis_with_setup (read, setup, &error);
  g_assert_no_error (error);
  with_lines = faint_analysis_with_lines (edited, lines);
  options.threshold = 4.25;
  options.doppler_free = TRUE;
  options.lower = 7790.1;
  chosen = faint_analysis_with_options (with_lines, &options);
  g_assert_cmpint (g_mkdir (deeper, 0700), ==, 0);
  save (chosen, path);

  first = contents (path);
  g_assert_nonnull (strstr (first, "\npath=../run.comb\n"));
  back = load (path);
  assert_same_bytes (faint_analysis_get_lines (back), lines);
  g_assert_cmpstr (faint_analysis_get_title (back), ==, "edited");
  g_assert_true (faint_analysis_get_setup (back)->pressure.value == setup->pressure.value);
  g_assert_true (faint_analysis_get_setup (back)->pressure.u == setup->pressure.u);
  g_assert_true (isnan (faint_analysis_get_setup (back)->temperature.u));
  g_assert_true (faint_analysis_get_options (back)->threshold == 4.25);
  g_assert_true (faint_analysis_get_options (back)->doppler_free);
  g_assert_true (faint_analysis_get_options (back)->lower == 7790.1);
  g_assert_true (isnan (faint_analysis_get_options (back)->upper));
  g_assert_cmpuint (faint_analysis_get_warnings (back)->len, ==, 0);
  save (back, path);
  second = contents (path);
  g_assert_cmpstr (second, ==, first);
  /* the snapshots before the edits are as they were */
  g_assert_true (faint_analysis_get_setup (read)->pressure.value == 250.0);
  g_assert_cmpuint (faint_line_list_get_n (faint_analysis_get_lines (edited)), ==, 0);
}

static void
test_is_file (Fixture *self, gconstpointer data)
{
  g_autoptr (FaintAnalysis) analysis = new_analysis (self->table, NULL);

  save (analysis, self->path);
  g_assert_true (faint_analysis_is_file (self->path));
  g_assert_false (faint_analysis_is_file (self->table));
  g_assert_false (faint_analysis_is_file (self->folder));
  g_assert_false (faint_analysis_is_file ("/no/such/file"));
}

static void
test_changed_input (Fixture *self, gconstpointer data)
{
  g_autoptr (FaintAnalysis) analysis = new_analysis (self->table, NULL);
  g_autoptr (FaintLineList) lines = some_lines ();
  g_autoptr (FaintAnalysis) with_lines = faint_analysis_with_lines (analysis, lines);
  g_autoptr (FaintAnalysis) back = NULL, again = NULL;

  save (with_lines, self->path);
  edit (self->table, "three lines", "other lines");
  back = load (self->path);
  g_assert_true (faint_analysis_get_inputs (back, NULL)[0].changed);
  g_assert_true (faint_warnings_has (faint_analysis_get_warnings (back), "input-changed"));
  assert_same_bytes (faint_analysis_get_lines (back), lines);
  save (back, self->path); /* now the new content is the input's */
  again = load (self->path);
  g_assert_false (faint_analysis_get_inputs (again, NULL)[0].changed);
}

static void
test_missing_input (Fixture *self, gconstpointer data)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintAnalysis) analysis = new_analysis (self->table, NULL);

  save (analysis, self->path);
  g_remove (self->table);
  g_assert_null (faint_analysis_load (self->path, NULL, &error));
  g_assert_error (error, FAINT_ANALYSIS_ERROR, FAINT_ANALYSIS_ERROR_INPUT);
  faint_assert_error_says (error, FAINT_ANALYSIS_ERROR, self->table);
}

static void
test_newer_keys (Fixture *self, gconstpointer data)
{
  g_autoptr (FaintAnalysis) analysis = new_analysis (self->table, NULL);
  g_autoptr (FaintLineList) lines = some_lines ();
  g_autoptr (FaintAnalysis) with_lines = faint_analysis_with_lines (analysis, lines);
  const guint gone[] = { 7 };
  g_autoptr (FaintAnalysis) back = NULL, fewer = NULL;
  g_autoptr (FaintLineList) rest = NULL;
  g_autofree char *text = NULL;

  save (with_lines, self->path);
  edit (self->path, "[line 7]\n", "[mood]\nsky=blue;green;\n\n[line 7]\ncolour=red\n");
  edit (self->path, "[options]\n", "[options]\nspeed=\\sfast\n");
  edit (self->path, "[line 8]\n", "[line 8]\ntaste=sour\n");
  back = load (self->path);
  rest = faint_line_list_with_removed (faint_analysis_get_lines (back), gone, 1);
  fewer = faint_analysis_with_lines (back, rest);
  save (back, self->path);
  text = contents (self->path);
  g_assert_nonnull (strstr (text, "[mood]\nsky=blue;green;\n"));
  g_assert_nonnull (strstr (text, "colour=red\n"));
  g_assert_nonnull (strstr (text, "speed=\\sfast\n"));
  save (fewer, self->path);
  g_clear_pointer (&text, g_free);
  text = contents (self->path);
  g_assert_nonnull (strstr (text, "taste=sour\n"));
  g_assert_null (strstr (text, "colour=red\n")); /* its line is gone */
}

static void
test_settings (Fixture *self, gconstpointer data)
{
  /* Foreign text that cannot be read without what the user adds. */
  const char *const settings[] = { "repetition_rate=100 MHz", "offset_frequency=20 MHz", NULL };
  const FaintReadOptions options = { .settings = settings, .columns = "tooth,-,transmission" };
  GString *text = g_string_new (NULL);
  g_autofree char *table = NULL;
  g_autoptr (FaintAnalysis) analysis = NULL, back = NULL;

  for (int i = 0; i < 300; i++)
    g_string_append_printf (text, "%d,x,%.4f\n", 2335400 + i, 1.0 + 1e-3 * ((i * 37) % 11 - 5));
  table = faint_test_file (self->folder, "foreign.txt", text->str);
  g_string_free (text, TRUE);
  analysis = new_analysis (table, &options);
  save (analysis, self->path);
  back = load (self->path);
  g_assert_cmpmem (faint_analysis_get_spectrum (back)->frequency, 300 * sizeof (double),
                   faint_analysis_get_spectrum (analysis)->frequency, 300 * sizeof (double));
  g_assert_cmpstr (faint_analysis_get_inputs (back, NULL)[0].columns, ==, "tooth,-,transmission");
}

static void
test_interleaved (Fixture *self, gconstpointer data)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *even = table_text (TABLE_HEAD, 0, 2, 1e-3, 1);
  g_autofree char *odd = table_text (TABLE_HEAD, 1, 2, 1e-3, 2);
  g_autofree char *first = faint_test_file (self->folder, "even.comb", even);
  g_autofree char *second = faint_test_file (self->folder, "odd.comb", odd);
  const char *const paths[] = { first, second };
  g_autoptr (FaintAnalysis) analysis = faint_analysis_new (paths, 2, NULL, NULL, &error);
  g_autoptr (FaintAnalysis) back = NULL;
  gsize n;

  g_assert_no_error (error);
  g_assert_cmpuint (faint_analysis_get_spectrum (analysis)->n, ==, TABLE_TEETH);
  save (analysis, self->path);
  back = load (self->path);
  g_assert_cmpstr (faint_analysis_get_inputs (back, &n)[1].path, ==, second);
  g_assert_cmpuint (n, ==, 2);
  g_assert_cmpuint (faint_analysis_get_spectrum (back)->n, ==, TABLE_TEETH);
}

static void
test_not_from_a_file (Fixture *self, gconstpointer data)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintSetup) setup = faint_setup_new ();
  g_autoptr (FaintSpectrum) spectrum = faint_spectrum_new (50, setup);
  g_autoptr (FaintAnalysis) analysis = NULL;

  for (gsize i = 0; i < 50; i++)
    {
      spectrum->frequency[i] = 2e14 + 1e8 * (double)i;
      spectrum->value[i] = 1.0;
      spectrum->u[i] = 1e-3;
    }
  g_assert_true (faint_spectrum_finish (spectrum, &error));
  analysis = faint_analysis_new_for_spectrum (spectrum);
  g_assert_false (faint_analysis_save (analysis, self->path, &error));
  faint_assert_error_says (error, FAINT_ANALYSIS_ERROR, "comb table");
  g_assert_false (g_file_test (self->path, G_FILE_TEST_EXISTS));
}

static void
test_broken (Fixture *self, gconstpointer data)
{
  static const struct
  {
    const char *from, *to, *words;
  } cases[] = {
    { "format=1", "format=2", "newer Faintline" },
    { "format=1", "shape=1", "not an analysis" },
    { "[faintline]", "faintline", "not an analysis" },
    { "[input 1]", "[input 2]", "names no input" },
    { "\npath=run.comb", "", "[input 1] path: the path is missing" },
    { "threshold=5", "threshold=many", "[options] threshold" },
    { "7790.25 1.25e-05", "7790,25 1.25e-05", "[line 7] position: found '7790,25 1.25e-05" },
    { "derived\n", "guessed\n", "[line 7] doppler: found" },
    { "chi2_reduced=1.01", "chi2_reduced=good", "[line 7] chi2_reduced: found 'good'" },
    { "temperature -1e-09", "temperature", "[line 7] position_from: found" },
    { "[line 7]", "[line seven]", "its id, from 1" },
    { "position=7790.61 ", "position=- ", "[line 8] position: the line has no position" },
    { "window=3", "window=-3", "expected a whole number" },
    { "profile=hartmann-tran", "profile=gauss", "[line 7] profile: found 'gauss', expected voigt" },
    { " tied 7 0.", " tied 7x 0.", "[line 8] lorentz: found" },
    { " tied 7 0.", " tied 0.", "tied with a line's id, factor and offset" },
    { " tied 7 0.", " free 7 0.", "[line 8] lorentz: found" },
    { "derived\n", "tied\n", "[line 7] doppler: found" },
  };
  g_autoptr (FaintAnalysis) analysis = new_analysis (self->table, NULL);
  g_autoptr (FaintLineList) lines = some_lines ();
  g_autoptr (FaintAnalysis) with_lines = faint_analysis_with_lines (analysis, lines);

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (GError) error = NULL;

      save (with_lines, self->path);
      edit (self->path, cases[i].from, cases[i].to);
      g_assert_null (faint_analysis_load (self->path, NULL, &error));
      g_assert_true (g_str_has_prefix (error->message, self->path));
      faint_assert_error_says (error, FAINT_ANALYSIS_ERROR, cases[i].words);
    }
}

/* The place in a message is the line that an editor shows. */
static void
test_place (Fixture *self, gconstpointer data)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintAnalysis) analysis = new_analysis (self->table, NULL);
  g_autofree char *text = NULL, *place = NULL;
  guint number = 1;

  save (analysis, self->path);
  edit (self->path, "baseline_degree=2", "baseline_degree=two");
  text = contents (self->path);
  for (const char *c = text; c != strstr (text, "baseline_degree"); c++)
    number += *c == '\n';
  place = g_strdup_printf ("line %u, [options] baseline_degree", number);
  g_assert_null (faint_analysis_load (self->path, NULL, &error));
  faint_assert_error_says (error, FAINT_ANALYSIS_ERROR, place);
}

/* Hundreds of them: what a crash of the machine would do to them does not matter. */
static gboolean
write_beginning (const char *path, const char *text, gsize n)
{
  FILE *file = g_fopen (path, "wb");
  gboolean written = file != NULL && fwrite (text, 1, n, file) == n;

  return file != NULL && fclose (file) == 0 && written;
}

/* Every beginning of @text: refused with the line, or the whole. */
static void
assert_no_cut_opens (const char *path, const char *text)
{
  gsize length = strlen (text), opened = 0;

  for (gsize n = 1; n < length; n++)
    {
      g_autoptr (GError) error = NULL;
      g_autoptr (FaintAnalysis) back = NULL;

      g_assert_true (write_beginning (path, text, n));
      back = faint_analysis_load (path, NULL, &error);
      if (back != NULL)
        {
          g_autofree char *again = faint_analysis_to_text (back, path, &error);

          g_assert_no_error (error);
          g_assert_cmpstr (again, ==, text);
          opened++;
          continue;
        }
      g_assert_true (g_str_has_prefix (error->message, path));
      if (strstr (error->message, ", line ") == NULL)
        g_error ("cut at byte %" G_GSIZE_FORMAT ": %s", n, error->message);
    }
  g_assert_cmpuint (opened, ==, 1); /* without the last end of line */
}

/* Half a file is no result, wherever it ends; older files, which promise no end, open. */
static void
test_cut (Fixture *self, gconstpointer data)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintAnalysis) analysis = new_analysis (self->table, NULL), old = NULL;
  g_autoptr (FaintLineList) lines = some_lines ();
  g_autoptr (FaintAnalysis) with_lines = faint_analysis_with_lines (analysis, lines);
  g_autofree char *text = NULL;

  save (with_lines, self->path);
  text = contents (self->path);
  assert_no_cut_opens (self->path, text);
  g_assert_true (g_file_set_contents (self->path, text, strstr (text, "[line 8]") - text, NULL));
  g_assert_null (faint_analysis_load (self->path, NULL, &error));
  faint_assert_error_says (error, FAINT_ANALYSIS_ERROR,
                           "the file is not whole. It ends in [line 7]");
  save (with_lines, self->path);
  edit (self->path, "last_group=end\n", "");
  edit (self->path, "[end]\nwhole=yes\n", "");
  old = load (self->path);
  g_assert_cmpuint (faint_line_list_get_n (faint_analysis_get_lines (old)), ==, 2);
}

/* A version that does not know the mark keeps it among the keys that are not its own: behind its
 * own in [faintline], and as the last group. What a newer one adds to the last group stays. */
static void
test_end_kept (Fixture *self, gconstpointer data)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintAnalysis) analysis = new_analysis (self->table, NULL), back = NULL;
  g_autofree char *text = NULL;

  save (analysis, self->path);
  edit (self->path, "last_group=end\n", "");
  edit (self->path, "[input 1]", "last_group=end\n\n[input 1]");
  text = contents (self->path);
  for (gsize n = 1; n + 1 < strlen (text); n++)
    {
      g_clear_error (&error);
      g_assert_true (write_beginning (self->path, text, n));
      g_assert_null (faint_analysis_load (self->path, NULL, &error));
    }
  save (analysis, self->path);
  edit (self->path, "[end]\n", "[end]\nsum=12\n");
  edit (self->path, "[input 1]", "[mood]\nsky=blue\n\n[input 1]");
  back = load (self->path);
  save (back, self->path);
  g_free (text);
  text = contents (self->path);
  g_assert_true (g_str_has_suffix (text, "[mood]\nsky=blue\n\n[end]\nsum=12\nwhole=yes\n"));
}

#define ADD(name, function)                                                                        \
  g_test_add ("/analysis/file/" name, Fixture, NULL, set_up, function, tear_down)

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  ADD ("new", test_new);
  ADD ("round-trip", test_round_trip);
  ADD ("is-file", test_is_file);
  ADD ("changed-input", test_changed_input);
  ADD ("missing-input", test_missing_input);
  ADD ("newer-keys", test_newer_keys);
  ADD ("settings", test_settings);
  ADD ("interleaved", test_interleaved);
  ADD ("not-from-a-file", test_not_from_a_file);
  ADD ("broken", test_broken);
  ADD ("place", test_place);
  ADD ("cut", test_cut);
  ADD ("end-kept", test_end_kept);
  return g_test_run ();
}

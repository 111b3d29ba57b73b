/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The parts of the window that need no display: history, jobs, session, line model, texts of
 * quantities, samples. Expected values are the rules that the headers state.
 */
#include <glib/gstdio.h>
#include <string.h>

#include "app/lines/line-axis.h"
#include "app/document/history.h"
#include "app/document/job.h"
#include "app/lines/line-model.h"
#include "app/parts/quantity-text.h"
#include "app/data/samples.h"
#include "app/document/session.h"
#include "app/document/settings.h"
#include "faint-test.h"

static FaintAnalysis *
analysis_new (void)
{
  g_autoptr (FaintSetup) setup = faint_setup_new ();
  g_autoptr (FaintSpectrum) spectrum = faint_spectrum_new (64, setup);
  g_autoptr (GError) error = NULL;

  for (gsize i = 0; i < spectrum->n; i++)
    {
      spectrum->frequency[i] = 2.3e14 + 2.5e8 * (double)i;
      spectrum->value[i] = 1.0;
      spectrum->u[i] = 1e-3;
    }
  spectrum->axis = FAINT_AXIS_FREQUENCY;
  faint_spectrum_finish (spectrum, &error);
  g_assert_no_error (error);
  return faint_analysis_new_for_spectrum (spectrum);
}

static void
test_history_steps (void)
{
  g_autoptr (FaintHistory) history = faint_history_new ();
  g_autoptr (FaintAnalysis) a = analysis_new (), b = analysis_new (), c = analysis_new ();

  faint_history_begin (history, a);
  g_assert_null (faint_history_undo_label (history));
  g_assert_null (faint_history_undo (history));
  faint_history_push (history, "Edit Pressure", NULL, b);
  faint_history_push (history, "Move Line 7790.220", NULL, c);
  g_assert_cmpstr (faint_history_undo_label (history), ==, "Move Line 7790.220");
  g_assert_true (faint_history_undo (history) == b);
  g_assert_cmpstr (faint_history_redo_label (history), ==, "Move Line 7790.220");
  g_assert_true (faint_history_undo (history) == a);
  g_assert_null (faint_history_undo (history));
  g_assert_true (faint_history_redo (history) == b);
  g_assert_true (faint_history_redo (history) == c);
  g_assert_null (faint_history_redo (history));
}

static void
test_history_new_step_drops_redo (void)
{
  g_autoptr (FaintHistory) history = faint_history_new ();
  g_autoptr (FaintAnalysis) a = analysis_new (), b = analysis_new (), c = analysis_new ();

  faint_history_begin (history, a);
  faint_history_push (history, "one", NULL, b);
  faint_history_undo (history);
  faint_history_push (history, "two", NULL, c);
  g_assert_null (faint_history_redo_label (history));
  g_assert_true (faint_history_undo (history) == a);
}

static void
test_history_merges (void)
{
  g_autoptr (FaintHistory) history = faint_history_new ();
  g_autoptr (FaintAnalysis) a = analysis_new (), b = analysis_new (), c = analysis_new (),
                            d = analysis_new ();

  faint_history_begin (history, a);
  faint_history_push (history, "Move Line 1", "move-7", b);
  faint_history_push (history, "Move Line 2", "move-7", c);
  g_assert_cmpstr (faint_history_undo_label (history), ==, "Move Line 2");
  faint_history_seal (history);
  faint_history_push (history, "Move Line 3", "move-7", d);
  g_assert_true (faint_history_undo (history) == c);
  g_assert_true (faint_history_undo (history) == a);
}

static void
test_history_amends (void)
{
  g_autoptr (FaintHistory) history = faint_history_new ();
  g_autoptr (FaintAnalysis) a = analysis_new (), b = analysis_new (), fitted = analysis_new ();

  faint_history_begin (history, a);
  faint_history_push (history, "Edit Pressure", NULL, b);
  g_assert_false (faint_history_amend (history, a, fitted));
  g_assert_true (faint_history_amend (history, b, fitted));
  g_assert_true (faint_history_undo (history) == a);
  g_assert_true (faint_history_redo (history) == fitted);
}

static void
test_history_is_bounded (void)
{
  g_autoptr (FaintHistory) history = faint_history_new ();
  g_autoptr (FaintAnalysis) a = analysis_new ();
  guint steps = 0;

  faint_history_begin (history, a);
  for (guint i = 0; i < 500; i++)
    faint_history_push (history, "step", NULL, a);
  while (faint_history_undo (history))
    steps++;
  g_assert_cmpuint (steps, ==, 59); /* sixty states have fifty-nine steps between them */
}

static gpointer
report_much (gpointer data)
{
  FaintProgress progress = faint_job_progress (data);

  for (guint i = 1; i <= 1000; i++)
    progress.report (i / 1000.0, i < 1000 ? "working" : "done", progress.data);
  return NULL;
}

static void
count (GObject *object, GParamSpec *pspec, guint *n)
{
  (*n)++;
}

static void
test_job_folds_reports (void)
{
  g_autoptr (FaintJob) job = faint_job_new ("Fitting");
  GThread *thread;
  guint n = 0;

  g_assert_cmpstr (faint_job_get_title (job), ==, "Fitting");
  g_assert_cmpfloat (faint_job_get_fraction (job), <, 0);
  g_signal_connect (job, "notify::fraction", G_CALLBACK (count), &n);
  thread = g_thread_new ("work", report_much, job);
  g_thread_join (thread);
  while (g_main_context_iteration (NULL, FALSE))
    ;
  /* the main loop did not turn while the thread worked, so one notification holds all reports */
  g_assert_cmpuint (n, ==, 1);
  g_assert_cmpfloat (faint_job_get_fraction (job), ==, 1.0);
  g_assert_cmpstr (faint_job_get_message (job), ==, "done");
}

static void
test_job_cancels (void)
{
  g_autoptr (FaintJob) job = faint_job_new ("Fitting");
  FaintProgress progress = faint_job_progress (job);
  g_autoptr (GError) error = NULL;

  g_assert_true (faint_progress_step (&progress, 0.5, "half", &error));
  faint_job_cancel (job);
  g_assert_false (faint_progress_step (&progress, 0.6, "more", &error));
  g_assert_error (error, FAINT_PROGRESS_ERROR, FAINT_PROGRESS_ERROR_CANCELLED);
  g_clear_error (&error);
  while (g_main_context_iteration (NULL, FALSE))
    ;
}

static void
count_plain (FaintSession *session, guint *n)
{
  (*n)++;
}

static void
assert_view (FaintSession *session, double lower, double upper)
{
  double a, b;

  faint_session_get_view (session, &a, &b);
  faint_assert_near (a, lower, 1e-9, "sums of a few doubles near 7800");
  faint_assert_near (b, upper, 1e-9, "sums of a few doubles near 7800");
}

static void
test_session_view (void)
{
  g_autoptr (FaintSession) session = faint_session_new ();
  guint n = 0;

  g_signal_connect (session, "view-changed", G_CALLBACK (count_plain), &n);
  faint_session_set_view (session, 7790, 7791);
  g_assert_cmpuint (n, ==, 0); /* no data, no view */
  faint_session_set_limits (session, 7780, 7800);
  assert_view (session, 7780, 7800);
  faint_session_set_view (session, 7790, 7791);
  faint_session_set_view (session, 7790, 7791);
  g_assert_cmpuint (n, ==, 2);
  faint_session_zoom_at (session, 7790.25, 2);
  assert_view (session, 7790.125, 7790.625);
  faint_session_pan (session, 1);
  assert_view (session, 7790.625, 7791.125);
  faint_session_pan (session, 1e6);
  assert_view (session, 7799.5, 7800);
  faint_session_reveal (session, 7785);
  assert_view (session, 7784.75, 7785.25);
  faint_session_reveal (session, 7785.2);
  assert_view (session, 7784.75, 7785.25);
  faint_session_zoom_at (session, 7785, 1e-9);
  assert_view (session, 7780, 7800);
}

static void
test_session_ignores_nonsense (void)
{
  g_autoptr (FaintSession) session = faint_session_new ();

  faint_session_set_limits (session, 7800, 7780);
  g_assert_false (faint_session_has_limits (session));
  faint_session_set_limits (session, 7780, 7800);
  faint_session_set_view (session, NAN, 7790);
  faint_session_set_view (session, 7790, 7790);
  faint_session_set_view (session, 7791, 7790);
  faint_session_zoom_at (session, 7790, 0);
  assert_view (session, 7780, 7800);
}

static void
test_session_selection (void)
{
  g_autoptr (FaintSession) session = faint_session_new ();
  guint n = 0;

  g_signal_connect (session, "selection-changed", G_CALLBACK (count_plain), &n);
  faint_session_set_selected (session, 7);
  faint_session_set_selected (session, 7);
  g_assert_cmpuint (n, ==, 1);
  g_object_set (session, "selected-id", 9u, NULL);
  g_assert_cmpuint (n, ==, 2);
  g_assert_cmpuint (faint_session_get_selected (session), ==, 9);
}

static FaintLineList *
three_lines (void)
{
  FaintLine lines[3];

  for (guint i = 0; i < 3; i++)
    {
      lines[i] = faint_line_unknown ();
      lines[i].position.value = 7790.220342 + i;
      lines[i].position.u = 0.000012;
    }
  lines[0].strength.value = 1.2345e-25;
  lines[0].strength.u = 5.6e-28;
  lines[1].lorentz.value = 0.0125;
  lines[1].lorentz.state = FAINT_STATE_FIXED;
  lines[1].flags = FAINT_LINE_LORENTZ_FIXED | FAINT_LINE_BLENDED;
  lines[2].snr = 4.25;
  return faint_line_list_new (lines, 3);
}

static void
assert_cell (GListModel *model, guint row, FaintLineColumn column, const char *want)
{
  g_autoptr (FaintLineItem) item = g_list_model_get_item (model, row);
  g_autofree char *text = faint_line_item_text (item, column);

  g_assert_cmpstr (text, ==, want);
}

static void
test_line_model (void)
{
  g_autoptr (FaintLineModel) model = faint_line_model_new ();
  g_autoptr (FaintLineList) lines = three_lines ();
  GListModel *list = G_LIST_MODEL (model);

  g_assert_cmpuint (g_list_model_get_n_items (list), ==, 0);
  faint_line_model_set_list (model, lines);
  g_assert_cmpuint (g_list_model_get_n_items (list), ==, 3);
  /* short notation with two digits of uncertainty: GUM 7.2.2 */
  assert_cell (list, 0, FAINT_LINE_COLUMN_POSITION, "7790.220342(12)");
  assert_cell (list, 0, FAINT_LINE_COLUMN_STRENGTH, "1.2345(56)e-25");
  assert_cell (list, 0, FAINT_LINE_COLUMN_LORENTZ, "");
  assert_cell (list, 1, FAINT_LINE_COLUMN_LORENTZ, "= 0.0125");
  assert_cell (list, 1, FAINT_LINE_COLUMN_FLAGS, "Lorentz width fixed, blended");
  assert_cell (list, 2, FAINT_LINE_COLUMN_SNR, "4.2");
  assert_cell (list, 2, FAINT_LINE_COLUMN_NUMBER, "3");
  g_assert_null (g_list_model_get_item (list, 3));
}

/* No digits beyond what is known: of a computed width 5, of what the data do not determine 2 after
 * a sign, of what somebody fixed those that were stated. */
static void
test_digits_without_uncertainty (void)
{
  FaintLine lines[] = { faint_line_unknown (), faint_line_unknown () };
  g_autoptr (FaintLineModel) model = faint_line_model_new ();
  g_autoptr (FaintLineList) list = NULL;
  g_autoptr (FaintLineItem) item = NULL;
  g_autofree char *why = NULL;

  for (guint i = 0; i < 2; i++)
    {
      lines[i].id = i + 1;
      lines[i].position.value = 7790.123456789012;
      lines[i].strength.value = 1.23456789012e-25;
      lines[i].doppler.value = 0.00712345678901;
      lines[i].doppler.state = FAINT_STATE_DERIVED;
      lines[i].lorentz.value = 0.00212345678;
      lines[i].lorentz.state = FAINT_STATE_FIXED;
    }
  lines[1].flags = FAINT_LINE_NOT_DETERMINED;
  lines[1].position.u = lines[1].strength.u = INFINITY;
  list = faint_line_list_new (lines, 2);
  faint_line_model_set_list (model, list);
  assert_cell (G_LIST_MODEL (model), 0, FAINT_LINE_COLUMN_POSITION, "7790.123457");
  assert_cell (G_LIST_MODEL (model), 0, FAINT_LINE_COLUMN_STRENGTH, "1.2346e-25");
  assert_cell (G_LIST_MODEL (model), 0, FAINT_LINE_COLUMN_DOPPLER, "0.0071235");
  assert_cell (G_LIST_MODEL (model), 0, FAINT_LINE_COLUMN_LORENTZ, "= 0.00212345678");
  assert_cell (G_LIST_MODEL (model), 1, FAINT_LINE_COLUMN_POSITION, "≈ 7790.123");
  assert_cell (G_LIST_MODEL (model), 1, FAINT_LINE_COLUMN_STRENGTH, "≈ 1.2e-25");
  assert_cell (G_LIST_MODEL (model), 1, FAINT_LINE_COLUMN_DOPPLER, "0.0071235");
  assert_cell (G_LIST_MODEL (model), 1, FAINT_LINE_COLUMN_LORENTZ, "= 0.00212345678");
  item = g_list_model_get_item (G_LIST_MODEL (model), 1);
  why = faint_line_item_explain (item, FAINT_LINE_COLUMN_STRENGTH);
  g_assert_cmpstr (why, ==, "Not determined by the data");
}

static void
test_line_item_outlives_model (void)
{
  g_autoptr (FaintLineModel) model = faint_line_model_new ();
  FaintLineList *lines = three_lines ();
  g_autoptr (FaintLineItem) item = NULL;

  faint_line_model_set_list (model, lines);
  faint_line_list_unref (lines);
  item = g_list_model_get_item (G_LIST_MODEL (model), 1);
  faint_line_model_set_list (model, NULL);
  g_assert_cmpfloat (faint_line_item_get_line (item)->position.value, ==, 7791.220342);
}

static void
assert_words (const char *text, FaintDimension dimension, const char *want)
{
  FaintQuantity quantity;
  g_autoptr (GError) error = NULL;
  g_autofree char *words = NULL;

  faint_quantity_from_words (text, dimension, NULL, &quantity, &error);
  g_assert_no_error (error);
  words = faint_quantity_in_words (quantity);
  g_assert_cmpstr (words, ==, want);
}

static void
test_quantity_words (void)
{
  assert_words ("1.30(2) hPa", FAINT_DIMENSION_PRESSURE, "1.300(20) hPa");
  assert_words ("1.3 hPa", FAINT_DIMENSION_PRESSURE, "1.3 hPa");
  /* four digits of an uncertainty do not go into the short notation without loss */
  assert_words ("1.3004 ± 0.02134 hPa", FAINT_DIMENSION_PRESSURE, "1.3004 ± 0.02134 hPa");
  assert_words ("", FAINT_DIMENSION_PRESSURE, "");
  assert_words ("12000(60)", FAINT_DIMENSION_NUMBER, "12000(60)");
}

static void
test_quantity_without_unit (void)
{
  const FaintUnit *hpa = faint_unit_find (FAINT_DIMENSION_PRESSURE, "hPa");
  FaintQuantity quantity;
  g_autoptr (GError) error = NULL;

  g_assert_true (
      faint_quantity_from_words ("1.5", FAINT_DIMENSION_PRESSURE, hpa, &quantity, &error));
  faint_assert_close (quantity.value, 150.0, 1e-15, "one product of two doubles");
  g_assert_false (
      faint_quantity_from_words ("1.5", FAINT_DIMENSION_PRESSURE, NULL, &quantity, &error));
  faint_assert_error_says (error, FAINT_QUANTITY_ERROR, "unit");
  g_assert_false (
      faint_quantity_from_words ("fast", FAINT_DIMENSION_PRESSURE, hpa, &quantity, &error));
  faint_assert_error_says (error, FAINT_QUANTITY_ERROR, "fast");
}

static void
test_samples (void)
{
  char *folder = faint_test_folder_new ();
  g_autofree char *samples = g_build_filename (folder, "samples", NULL);
  g_autoptr (GPtrArray) found = NULL;
  const FaintSample *sample;

  g_assert_cmpint (g_mkdir (samples, 0700), ==, 0);
  g_free (faint_test_file (samples, "b.comb", "# comb-table 1\n# title = invented band\n"));
  g_free (faint_test_file (samples, "c.comb", "# comb-table 1\n1 2\n# title = too late\n"));
  g_free (faint_test_file (samples, "a.txt", "no sample"));
  g_setenv ("FAINTLINE_DATA", folder, TRUE);
  found = faint_samples_find ();
  g_assert_cmpuint (found->len, ==, 2);
  sample = g_ptr_array_index (found, 0);
  g_assert_cmpstr (sample->title, ==, "invented band");
  sample = g_ptr_array_index (found, 1);
  g_assert_cmpstr (sample->title, ==, "c.comb");
  g_unsetenv ("FAINTLINE_DATA");
  faint_test_folder_remove (folder);
}

/* A position of 7790.22034(12) cm-1 and a width of 0.015 cm-1 in the editor on every axis, and
 * back. By hand: 0.0299792458 THz per cm-1; 1e7 nm cm-1; from 7790 cm-1 0.22034 x 29979.2458 MHz =
 * 6605.627 MHz, u = 3.6 MHz; u of the wavelength 0.00012 x 1283.66/7790.22 = 1.98e-5 nm; teeth of
 * 250 MHz from 20 MHz: (233544.9304 GHz - 0.02 GHz)/0.25 GHz = 934179.642, u = 0.0144. */
static void
test_line_axis (void)
{
  static const struct
  {
    FaintAxisUnitKind kind;
    const char *name, *position, *width;
  } cases[] = {
    { FAINT_AXIS_UNIT_WAVENUMBER, "Position", "7790.22034(12) cm⁻¹", "0.0150(10) cm⁻¹" },
    { FAINT_AXIS_UNIT_THZ, "Position", "233.5449304(36) THz", "450(30) MHz" },
    { FAINT_AXIS_UNIT_MHZ, "Position from 7790 cm⁻¹", "6605.6(36) MHz", "450(30) MHz" },
    { FAINT_AXIS_UNIT_WAVELENGTH, "Vacuum wavelength/nm", "1283.660739(20)", "0.0150(10) cm⁻¹" },
    { FAINT_AXIS_UNIT_TOOTH, "Tooth number", "934179.642(14)", "0.0150(10) cm⁻¹" },
  };
  FaintParameter position = { .value = 7790.22034, .u = 0.00012 };
  FaintParameter width = { .value = 0.015, .u = 0.001 };

  for (guint i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      FaintAxisUnit axis = { cases[i].kind, 7790, 250e6, 20e6 };
      FaintQuantity at = faint_line_axis_quantity (&axis, FAINT_PLACE_POSITION, &position,
                                                   FAINT_DIMENSION_WAVENUMBER);
      FaintQuantity wide = faint_line_axis_quantity (&axis, FAINT_PLACE_LORENTZ, &width,
                                                     FAINT_DIMENSION_WAVENUMBER);
      g_autofree char *name = faint_line_axis_name (&axis);
      g_autofree char *position_text = faint_quantity_in_short (at);
      g_autofree char *width_text = faint_quantity_in_short (wide);

      g_assert_cmpstr (name, ==, cases[i].name);
      g_assert_cmpstr (position_text, ==, cases[i].position);
      g_assert_cmpstr (width_text, ==, cases[i].width);
      faint_assert_close (faint_line_axis_value (&axis, FAINT_PLACE_POSITION, at), 7790.22034,
                          1e-14, "a few roundings");
      faint_assert_close (faint_line_axis_value (&axis, FAINT_PLACE_LORENTZ, wide), 0.015, 1e-14,
                          "a few roundings");
    }
}

/* From an origin MHz count, and what is typed in cm-1 is the whole position. */
static void
test_line_axis_typed (void)
{
  FaintAxisUnit axis = { .kind = FAINT_AXIS_UNIT_MHZ, .origin = 7790 };
  static const struct
  {
    const char *text;
    double position;
  } cases[] = { { "29979.2458 MHz", 7791 },
                { "-29.9792458 GHz", 7789 },
                { "7791.5 cm-1", 7791.5 },
                { "299.792458 THz", 10000 } };

  for (guint i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      FaintQuantity typed;
      g_autoptr (GError) error = NULL;

      faint_quantity_from_words (cases[i].text, FAINT_DIMENSION_WAVENUMBER, NULL, &typed, &error);
      g_assert_no_error (error);
      faint_assert_close (faint_line_axis_value (&axis, FAINT_PLACE_POSITION, typed),
                          cases[i].position, 1e-14, "a few roundings");
    }
}

/* The sign of a number is the true minus, that of its exponent stays. */
static void
test_true_minus (void)
{
  static const char *const cases[][2]
      = { { "-0.12(3)", "−0.12(3)" }, { "1.2e-09", "1.2e-09" }, { "", "" }, { "-", "−" } };
  g_autofree char *row = faint_signed (-8);

  for (guint i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autofree char *text = faint_true_minus (g_strdup (cases[i][0]));

      g_assert_cmpstr (text, ==, cases[i][1]);
    }
  g_assert_cmpstr (row, ==, "−8");
}

static void
test_settings_in_memory (void)
{
  g_autoptr (FaintSettings) settings = faint_settings_new ();
  g_autofree char *unit = faint_settings_get_string (settings, "axis-unit");

  g_assert_cmpint (faint_settings_get_int (settings, "pane-width"), ==, 340);
  g_assert_cmpstr (unit, ==, "wavenumber");
  faint_settings_set_int (settings, "pane-width", 400);
  faint_settings_set_boolean (settings, "table-shown", FALSE);
  g_assert_cmpint (faint_settings_get_int (settings, "pane-width"), ==, 400);
  g_assert_false (faint_settings_get_boolean (settings, "table-shown"));
}

/* Two significant digits, as the header says. */
static void
test_two_digits (void)
{
  static const struct
  {
    double value;
    const char *want;
  } cases[] = { { 25.4, "25" },          { 3.0, "3.0" },         { 0.0996, "0.10" },
                { 0.000124, "0.00012" }, { 1.23e-9, "1.2e-09" }, { 99.6, "100" } };

  for (guint i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autofree char *text = faint_two_digits (cases[i].value);

      g_assert_cmpstr (text, ==, cases[i].want);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);

  g_test_add_func ("/app/history/steps", test_history_steps);
  g_test_add_func ("/app/history/new-step-drops-redo", test_history_new_step_drops_redo);
  g_test_add_func ("/app/history/merges", test_history_merges);
  g_test_add_func ("/app/history/amends", test_history_amends);
  g_test_add_func ("/app/history/is-bounded", test_history_is_bounded);
  g_test_add_func ("/app/job/folds-reports", test_job_folds_reports);
  g_test_add_func ("/app/job/cancels", test_job_cancels);
  g_test_add_func ("/app/session/view", test_session_view);
  g_test_add_func ("/app/session/ignores-nonsense", test_session_ignores_nonsense);
  g_test_add_func ("/app/session/selection", test_session_selection);
  g_test_add_func ("/app/line-model/cells", test_line_model);
  g_test_add_func ("/app/line-model/cells-digits", test_digits_without_uncertainty);
  g_test_add_func ("/app/line-model/item-outlives-model", test_line_item_outlives_model);
  g_test_add_func ("/app/quantity/words", test_quantity_words);
  g_test_add_func ("/app/quantity/without-unit", test_quantity_without_unit);
  g_test_add_func ("/app/line-axis", test_line_axis);
  g_test_add_func ("/app/line-axis-typed", test_line_axis_typed);
  g_test_add_func ("/app/true-minus", test_true_minus);
  g_test_add_func ("/app/samples", test_samples);
  g_test_add_func ("/app/settings/in-memory", test_settings_in_memory);
  g_test_add_func ("/app/two-digits", test_two_digits);
  return g_test_run ();
}

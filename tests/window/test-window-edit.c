/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Editing by hand in the real window: teeth excluded, lines widened and merged, several fixed at
 * once. What is expected follows from the values before the edit.
 */
#include <gsl/gsl_errno.h>

#include "app/data/excluded-list.h"
#include "app/window/go-to.h"
#include "app/lines/line-merge.h"
#include "app/lines/line-ties.h"
#include "app/plot/plot-private.h"
#include "app/parts/quantity-entry.h"
#include "faint-test.h"
#include "window-test.h"

static void
plot_act (FaintWindow *window, const char *action, GVariant *value)
{
  g_assert_true (gtk_widget_activate_action_variant (window->plot, action, value));
}

static const char *
undo_label (FaintWindow *window)
{
  return faint_document_get_undo_label (window->document);
}

static gboolean
is_quantity_entry (GtkWidget *widget, gconstpointer data)
{
  return FAINT_IS_QUANTITY_ENTRY (widget);
}

static GtkWidget *
row_entry (FaintParameterRow *row)
{
  return window_test_find (GTK_WIDGET (row), is_quantity_entry, NULL);
}

static void
select_all (FaintWindow *window)
{
  faint_line_table_select_all (FAINT_LINE_TABLE (window->table));
}

/* A tooth at the cursor, then a range, out and back; the fit that follows does without them. */
static void
test_exclude (void)
{
  FaintWindow *window = window_test_fitted ();
  FaintSpectrum *spectrum = faint_document_get_spectrum (window->document);
  gsize n = spectrum->n, middle = n / 2;
  double at = spectrum->wavenumber[middle], dof = faint_document_get_fit (window->document)->dof;
  g_autofree char *label = g_strdup_printf ("Exclude 1 Tooth at %.3f", at);

  faint_session_set_pointer (window->session, at);
  plot_act (window, "plot.exclude-teeth", NULL);
  g_assert_cmpstr (undo_label (window), ==, label);
  g_assert_cmpuint (faint_document_get_spectrum (window->document)->n_excluded, ==, 1);
  g_assert_true (faint_document_get_spectrum (window->document)->excluded[middle]);
  window_test_wait (window, window_test_is_current, "the fit after the edit");
  faint_assert_near (faint_document_get_fit (window->document)->dof, dof - 1, 0.05,
                     "one tooth less; what is known of widths beforehand changes a little");
  g_assert_true (isnan (faint_document_get_fit (window->document)->residual[middle]));

  /* the same again changes nothing and says so */
  faint_session_set_pointer (window->session, at);
  plot_act (window, "plot.exclude-teeth", NULL);
  g_assert_cmpstr (undo_label (window), ==, label);
  g_assert_true (window_test_message_is_shown (window));

  g_signal_emit_by_name (window->plot, "range-chosen", FAINT_RANGE_EXCLUDE, at,
                         spectrum->wavenumber[middle + 9]);
  g_assert_cmpuint (faint_document_get_spectrum (window->document)->n_excluded, ==, 10);
  g_assert_true (g_str_has_prefix (undo_label (window), "Exclude 9 Teeth at "));
  g_signal_emit_by_name (window->plot, "range-chosen", FAINT_RANGE_TAKE_BACK, 1.0, 1e6);
  g_assert_cmpuint (faint_document_get_spectrum (window->document)->n_excluded, ==, 0);
  g_assert_true (g_str_has_prefix (undo_label (window), "Take Back 10 Teeth at "));
  window_test_act (window, "undo");
  g_assert_cmpuint (faint_document_get_spectrum (window->document)->n_excluded, ==, 10);
  window_test_close (window);
}

static gboolean
is_excluded_list (GtkWidget *widget, gconstpointer data)
{
  return FAINT_IS_EXCLUDED_LIST (widget);
}

static gboolean
is_label (GtkWidget *widget, gconstpointer text)
{
  return GTK_IS_LABEL (widget) && strcmp (gtk_label_get_text (GTK_LABEL (widget)), text) == 0;
}

/* The list of the pane and the plot act on the same teeth. */
static void
test_exclude_by_typing (void)
{
  FaintWindow *window = window_test_open ();
  FaintExcludedList *list
      = FAINT_EXCLUDED_LIST (window_test_find (window->panes, is_excluded_list, NULL));
  FaintSpectrum *spectrum = faint_document_get_spectrum (window->document);
  gsize middle = spectrum->n / 2;
  g_autofree char *range = g_strdup_printf ("%.6f..%.6f cm⁻¹", spectrum->wavenumber[middle] - 1e-6,
                                            spectrum->wavenumber[middle + 4] + 1e-6);
  g_autofree char *single = g_strdup_printf ("%.6f", spectrum->wavenumber[middle + 20]);
  g_autofree char *row = NULL;
  GtkWidget *shown;

  g_assert_true (faint_excluded_list_add (list, range));
  g_assert_cmpuint (faint_document_get_spectrum (window->document)->n_excluded, ==, 5);
  g_assert_true (g_str_has_prefix (undo_label (window), "Exclude 5 Teeth at "));
  /* the ends, midway between teeth, as a tenth of the spacing, 0.0021 cm-1, tells them apart */
  row = g_strdup_printf ("%.4f – %.4f cm⁻¹: 5 teeth",
                         (spectrum->wavenumber[middle - 1] + spectrum->wavenumber[middle]) / 2,
                         (spectrum->wavenumber[middle + 4] + spectrum->wavenumber[middle + 5]) / 2);
  shown = window_test_find (GTK_WIDGET (list), is_label, row);
  g_assert_nonnull (shown);
  g_assert_true (faint_excluded_list_add (list, single));
  g_assert_cmpuint (faint_document_get_spectrum (window->document)->n_excluded, ==, 6);
  g_assert_true (faint_document_get_spectrum (window->document)->excluded[middle + 20]);
  window_test_assert_named (GTK_WIDGET (list));
  /* the same again, a range that ends before it begins, and no range */
  g_assert_false (faint_excluded_list_add (list, range));
  g_assert_nonnull (faint_excluded_list_get_error (list));
  g_assert_false (faint_excluded_list_add (list, "7791..7790"));
  g_assert_nonnull (strstr (faint_excluded_list_get_error (list), "lower end first"));
  g_assert_false (faint_excluded_list_add (list, "somewhere"));
  faint_excluded_list_remove (list, 0);
  g_assert_null (faint_excluded_list_get_error (list));
  g_assert_cmpuint (faint_document_get_spectrum (window->document)->n_excluded, ==, 1);
  g_signal_emit_by_name (window->plot, "range-chosen", FAINT_RANGE_TAKE_BACK, 1.0, 1e6);
  g_assert_cmpuint (faint_document_get_setup (window->document)->excluded
                        ? faint_document_get_setup (window->document)->excluded->len
                        : 0,
                    ==, 0);
  window_test_act (window, "undo");
  g_assert_cmpuint (faint_document_get_spectrum (window->document)->n_excluded, ==, 1);
  window_test_close (window);
}

typedef struct
{
  gboolean done;
} Saved;

static void
on_saved (GObject *source, GAsyncResult *result, gpointer data)
{
  g_autoptr (GError) error = NULL;

  faint_document_save_finish (FAINT_DOCUMENT (source), result, &error);
  g_assert_no_error (error);
  ((Saved *)data)->done = TRUE;
}

/* What was excluded is so in the saved analysis, and a fit from the file gives the same numbers. */
static void
test_exclude_saved (void)
{
  FaintWindow *window = window_test_fitted ();
  FaintSpectrum *spectrum = faint_document_get_spectrum (window->document);
  g_autofree char *path = window_test_path ("excluded.faintline");
  g_autoptr (FaintAnalysis) loaded = NULL, again = NULL;
  g_autoptr (GError) error = NULL;
  Saved saved = { FALSE };

  faint_document_exclude_teeth (window->document, spectrum->wavenumber[100],
                                spectrum->wavenumber[119], TRUE);
  window_test_wait (window, window_test_is_current, "the fit after the edit");
  faint_document_save_async (window->document, path, on_saved, &saved);
  while (!saved.done)
    g_main_context_iteration (NULL, TRUE);
  loaded = faint_analysis_load (path, NULL, &error);
  g_assert_no_error (error);
  g_assert_cmpuint (faint_analysis_get_spectrum (loaded)->n_excluded, ==, 20);
  g_assert_cmpfloat (faint_analysis_get_fit (loaded)->dof, ==,
                     faint_document_get_fit (window->document)->dof);
  again = faint_analysis_compute (loaded, FALSE, NULL, &error);
  g_assert_no_error (error);
  g_assert_cmpfloat (faint_analysis_get_fit (again)->chi2, ==,
                     faint_document_get_fit (window->document)->chi2);
  window_test_close (window);
}

/* A key widens the line by what a pixel is; the model follows at once, in the plot alone, and stays
 * until the fit has come. */
static void
test_widen (void)
{
  FaintWindow *window = window_test_fitted ();
  FaintPlot *plot = FAINT_PLOT (window->plot);
  const FaintLine *line = window_test_line (window, 0);
  double before = line->lorentz.value;
  g_autofree char *label = g_strdup_printf ("Change Width of Line %.3f", line->position.value);
  guint id = line->id;

  faint_session_set_selected (window->session, id);
  plot_act (window, "plot.fit-line", NULL);
  window_test_linger (100);
  plot_act (window, "plot.widen-line", g_variant_new_int32 (12));
  g_assert_cmpstr (undo_label (window), ==, label);
  g_assert_cmpfloat (faint_document_get_line (window->document, id)->lorentz.value, >, before);
  g_assert_nonnull (plot->preview);
  /* one step of the history for a row of keys */
  plot_act (window, "plot.widen-line", g_variant_new_int32 (12));
  window_test_wait (window, window_test_is_current, "the fit after the edit");
  window_test_linger (300);
  g_assert_null (plot->preview);
  faint_assert_close (faint_document_get_line (window->document, id)->lorentz.value, before, 1e-3,
                      "the fit finds its width again, to a part of its uncertainty");
  window_test_act (window, "undo");
  g_assert_cmpfloat (faint_document_get_line (window->document, id)->lorentz.value, ==, before);
  window_test_close (window);
}

/* Moved by hand, a line that was tied is free. */
static void
test_move_tied (void)
{
  FaintWindow *window = window_test_fitted ();
  guint id;
  const FaintLine *line;

  select_all (window);
  window_test_act (window, "tie-positions");
  id = window_test_line (window, 0)->id;
  line = faint_document_get_line (window->document, id);
  if (line->position.state != FAINT_STATE_TIED)
    id = window_test_line (window, 1)->id;
  line = faint_document_get_line (window->document, id);
  g_assert_cmpint (line->position.state, ==, FAINT_STATE_TIED);
  faint_document_move_line (window->document, id, line->position.value + 0.01);
  g_assert_cmpint (faint_document_get_line (window->document, id)->position.state, ==,
                   FAINT_STATE_FREE);
  window_test_close (window);
}

/* What was split is merged to what it was. */
static void
test_merge (void)
{
  FaintWindow *window = window_test_fitted ();
  FaintLine line = *window_test_line (window, 0);
  gsize n = window_test_n_lines (window);
  g_autofree char *label = g_strdup_printf ("Merge 2 Lines at %.3f", line.position.value);
  const FaintLine *merged;
  guint ids[2];

  faint_session_set_selected (window->session, line.id);
  g_assert_false (g_action_group_get_action_enabled (G_ACTION_GROUP (window), "merge-lines"));
  window_test_act (window, "split-line");
  ids[0] = window_test_line (window, 0)->id;
  ids[1] = window_test_line (window, 1)->id;
  faint_line_table_select_ids (FAINT_LINE_TABLE (window->table), ids, 2);
  window_test_act (window, "merge-lines");
  g_assert_cmpstr (undo_label (window), ==, label);
  g_assert_cmpuint (window_test_n_lines (window), ==, n);
  merged = window_test_line (window, 0);
  faint_assert_close (merged->position.value, line.position.value, 1e-15, "halves of a double");
  faint_assert_close (merged->strength.value, line.strength.value, 1e-15, "halves of a double");
  faint_assert_close (merged->lorentz.value, line.lorentz.value, 1e-14, "two equal widths");
  g_assert_cmpuint (faint_session_get_selected (window->session), ==, merged->id);
  window_test_act (window, "undo");
  g_assert_cmpuint (window_test_n_lines (window), ==, n + 1);
  window_test_close (window);
}

/* Weighted by strength, labels that agree stay, and what cannot be merged is said. */
static void
test_merge_rule (void)
{
  FaintLine lines[3];
  g_autoptr (FaintLineList) list = NULL, merged = NULL;
  g_autoptr (GError) error = NULL;
  static const guint ids[] = { 1, 2, 3 };
  const FaintLine *line;
  guint id = 0;

  for (guint i = 0; i < 3; i++)
    {
      lines[i] = faint_line_unknown ();
      lines[i].id = i + 1;
      lines[i].position.value = 7790 + 0.1 * i;
      lines[i].strength.value = 1e-25 * (i + 1); /* 1, 2, 3 */
      lines[i].lorentz.value = 0.001 * (i + 1);
      lines[i].upper = i < 2 ? "J=7" : "";
      lines[i].lower = i == 0 ? "J=8" : i == 1 ? "J=9" : "";
    }
  lines[1].position.state = FAINT_STATE_TIED;
  lines[1].position.tied_to = 3;
  lines[1].position.tie_offset = -0.1;
  list = faint_line_list_new (lines, 3);
  merged = faint_lines_merge (list, ids, 3, &id, &error);
  g_assert_no_error (error);
  g_assert_cmpuint (faint_line_list_get_n (merged), ==, 1);
  line = faint_line_list_get (merged, 0);
  g_assert_cmpuint (line->id, ==, 3); /* the strongest */
  g_assert_cmpuint (id, ==, 3);
  /* (1 x 0 + 2 x 0.1 + 3 x 0.2)/6 and (1 + 4 + 9)/6 by hand */
  faint_assert_close (line->position.value, 7790 + 0.8 / 6, 1e-14, "rounding");
  faint_assert_close (line->strength.value, 6e-25, 1e-14, "rounding");
  faint_assert_close (line->lorentz.value, 0.014 / 6, 1e-14, "rounding");
  g_assert_cmpint (line->position.state, ==, FAINT_STATE_FREE);
  g_assert_cmpstr (line->upper, ==, "J=7");
  g_assert_cmpstr (line->lower, ==, "");

  lines[0].strength.value = NAN;
  g_clear_pointer (&list, faint_line_list_unref);
  list = faint_line_list_new (lines, 3);
  g_assert_null (faint_lines_merge (list, ids, 3, &id, &error));
  faint_assert_error_says (error, FAINT_LINE_TIES_ERROR, "strengths of the lines are not known");
}

/* The Lorentz width of all lines, fixed and found again, one step each. */
static void
test_fix_all (void)
{
  FaintWindow *window = window_test_fitted ();
  gsize n = window_test_n_lines (window);
  g_autofree char *fixed = g_strdup_printf ("Fix Lorentz Width of %u Lines", (guint)n);
  g_autofree char *freed = g_strdup_printf ("Release Lorentz Width of %u Lines", (guint)n);

  select_all (window);
  g_action_group_activate_action (G_ACTION_GROUP (window), "fix", g_variant_new_string ("lorentz"));
  g_assert_cmpstr (undo_label (window), ==, fixed);
  for (gsize i = 0; i < n; i++)
    g_assert_cmpint (window_test_line (window, i)->lorentz.state, ==, FAINT_STATE_FIXED);
  g_action_group_activate_action (G_ACTION_GROUP (window), "release",
                                  g_variant_new_string ("lorentz"));
  g_assert_cmpstr (undo_label (window), ==, freed);
  for (gsize i = 0; i < n; i++)
    g_assert_cmpint (window_test_line (window, i)->lorentz.state, ==, FAINT_STATE_FREE);
  window_test_close (window);
}

/* The editor changes all selected lines: their width at a value, fixed. A position is one's own. */
static void
test_edit_all (void)
{
  FaintWindow *window = window_test_fitted ();
  gsize n = window_test_n_lines (window);
  g_autofree char *edited = g_strdup_printf ("Edit Lorentz Width of %u Lines", (guint)n);
  g_autofree char *fixed = g_strdup_printf ("Fix Lorentz Width of %u Lines", (guint)n);
  FaintParameterRow *row = window_test_row (window, FAINT_PLACE_LORENTZ);
  GtkWidget *entry = row_entry (row);

  select_all (window);
  faint_quantity_entry_set (FAINT_QUANTITY_ENTRY (entry),
                            faint_quantity (FAINT_DIMENSION_WAVENUMBER, 0.0021, NAN));
  g_signal_emit_by_name (entry, "committed");
  g_assert_cmpstr (undo_label (window), ==, edited);
  faint_parameter_row_choose (row, FAINT_STATE_FIXED);
  g_assert_cmpstr (undo_label (window), ==, fixed);
  for (gsize i = 0; i < n; i++)
    {
      g_assert_cmpfloat (window_test_line (window, i)->lorentz.value, ==, 0.0021);
      g_assert_cmpint (window_test_line (window, i)->lorentz.state, ==, FAINT_STATE_FIXED);
    }
  window_test_close (window);
}

/* Columns that are chosen are shown, copied and kept for the next window. */
static void
test_columns (void)
{
  FaintWindow *window = window_test_fitted (), *next;
  FaintLineTable *table = FAINT_LINE_TABLE (window->table);
  FaintLineColumns *columns = faint_line_table_get_columns (table);
  GActionGroup *actions = faint_line_columns_get_actions (columns);
  g_autofree char *before = faint_line_table_to_text (table), *after = NULL, *kept = NULL;
  g_autofree char *usual = faint_line_columns_get_text (columns);

  g_assert_nonnull (strstr (before, "Doppler HWHM/cm⁻¹"));
  g_assert_null (strstr (before, "Frequency/MHz"));
  g_action_group_change_action_state (actions, "doppler", g_variant_new_boolean (FALSE));
  g_action_group_change_action_state (actions, "frequency", g_variant_new_boolean (TRUE));
  after = faint_line_table_to_text (table);
  g_assert_null (strstr (after, "Doppler HWHM/cm⁻¹"));
  g_assert_nonnull (strstr (after, "\tFrequency/MHz"));
  next = window_test_new ();
  kept
      = faint_line_columns_get_text (faint_line_table_get_columns (FAINT_LINE_TABLE (next->table)));
  g_assert_cmpstr (
      kept, ==, "number,position,strength,lorentz,snr,chi2,frequency,upper,lower,difference,flags");
  /* one stays */
  faint_line_columns_set_text (columns, "position");
  g_action_group_change_action_state (actions, "position", g_variant_new_boolean (FALSE));
  g_assert_true (faint_line_columns_is_chosen (columns, FAINT_LINE_COLUMN_POSITION));
  faint_line_columns_set_text (columns, usual);
  window_test_close (next);
  window_test_close (window);
}

/* A marked range keeps the fit to it and selects its lines. */
static void
test_range (void)
{
  FaintWindow *window = window_test_fitted ();
  double lower = window_test_line (window, 0)->position.value - 0.01;
  double upper = window_test_line (window, 1)->position.value + 0.01;
  g_autoptr (GArray) ids = NULL;
  const FaintFitOptions *options;

  g_signal_emit_by_name (window->plot, "range-chosen", FAINT_RANGE_SELECT, lower, upper);
  ids = faint_line_table_get_selected (FAINT_LINE_TABLE (window->table));
  g_assert_cmpuint (ids->len, ==, 2);
  g_signal_emit_by_name (window->plot, "range-chosen", FAINT_RANGE_FIT, lower, upper);
  options = faint_analysis_get_options (faint_document_get_analysis (window->document));
  g_assert_cmpfloat (options->lower, ==, lower);
  g_assert_cmpfloat (options->upper, ==, upper);
  g_assert_cmpstr (undo_label (window), ==, "Edit Range of the Fit");
  window_test_act (window, "undo");
  options = faint_analysis_get_options (faint_document_get_analysis (window->document));
  g_assert_true (isnan (options->lower) && isnan (options->upper)); /* one step for both ends */
  window_test_close (window);
}

/* Ctrl and a click: another line with those selected, and out again. */
static void
test_toggle (void)
{
  FaintWindow *window = window_test_fitted ();
  guint first = window_test_line (window, 0)->id, second = window_test_line (window, 1)->id;
  g_autoptr (GArray) two = NULL, one = NULL;

  faint_session_set_selected (window->session, first);
  g_signal_emit_by_name (window->plot, "line-toggled", second);
  two = faint_line_table_get_selected (FAINT_LINE_TABLE (window->table));
  g_assert_cmpuint (two->len, ==, 2);
  g_assert_cmpuint (faint_session_get_selected (window->session), ==, first);
  g_signal_emit_by_name (window->plot, "line-toggled", second);
  one = faint_line_table_get_selected (FAINT_LINE_TABLE (window->table));
  g_assert_cmpuint (one->len, ==, 1);
  window_test_close (window);
}

/* Positions as they are typed. Wavelength and frequency by c = 299792458 m/s of the SI. */
static void
test_go_to_parse (void)
{
  const FaintAxisUnit wavenumbers = FAINT_AXIS_UNIT_DEFAULT;
  const FaintAxisUnit megahertz = { .kind = FAINT_AXIS_UNIT_MHZ, .origin = 7790 };
  const FaintAxisUnit teeth
      = { .kind = FAINT_AXIS_UNIT_TOOTH, .repetition_rate = 250e6, .offset_frequency = 20e6 };
  const struct
  {
    const char *text;
    const FaintAxisUnit *axis;
    double want; /* NAN: not understood */
  } cases[] = {
    { "7790.22", &wavenumbers, 7790.22 },
    { " 7790,22 cm-1 ", &wavenumbers, 7790.22 },
    { "1283.697 nm", &wavenumbers, 1e7 / 1283.697 },
    { "233.5 THz", &megahertz, 233.5e12 / 29979245800.0 },
    { "−300 MHz", &megahertz, 7790 - 300e6 / 29979245800.0 },
    { "-300", &megahertz, 7790 - 300e6 / 29979245800.0 },
    { "934000", &teeth, (934000 * 250e6 + 20e6) / 29979245800.0 },
    { "300 MHz", &wavenumbers, NAN }, /* from which origin? */
    { "line 3", &wavenumbers, NAN },
    { "", &wavenumbers, NAN },
    { "7790.22 cm", &wavenumbers, NAN },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      double got = NAN;
      gboolean understood = faint_go_to_parse (cases[i].text, cases[i].axis, &got);

      g_assert_cmpint (understood, ==, !isnan (cases[i].want));
      if (understood)
        faint_assert_close (got, cases[i].want, 1e-14, "rounding");
    }
}

/* The position stands in the middle, and the step is one of the history of views. */
static void
test_go_to (void)
{
  FaintWindow *window = window_test_fitted ();
  double lower, upper, least, greatest, at;

  faint_session_get_limits (window->session, &least, &greatest);
  at = 0.4 * least + 0.6 * greatest;
  g_assert_false (faint_plot_go_to (FAINT_PLOT (window->plot), greatest + 1));
  g_assert_true (faint_plot_go_to (FAINT_PLOT (window->plot), at));
  faint_session_get_view (window->session, &lower, &upper);
  faint_assert_near ((lower + upper) / 2, at, 1e-9, "rounding");
  faint_assert_close (upper - lower, 0.1 * (greatest - least), 1e-9, "rounding");
  g_assert_cmpfloat (faint_session_get_pointer (window->session), ==, at);
  plot_act (window, "plot.view-back", NULL);
  faint_session_get_view (window->session, &lower, &upper);
  g_assert_cmpfloat (lower, ==, least);
  plot_act (window, "plot.view-forward", NULL);
  faint_session_get_view (window->session, &lower, &upper);
  faint_assert_near ((lower + upper) / 2, at, 1e-9, "rounding");
  window_test_act (window, "go-to");
  window_test_linger (200);
  window_test_close (window); /* while it asks */
}

int
main (int argc, char **argv)
{
  int status;

  gsl_set_error_handler_off ();
  gtk_test_init (&argc, &argv, NULL);
  window_test_begin ();
  g_test_add_func ("/window/edit/exclude", test_exclude);
  g_test_add_func ("/window/edit/exclude-by-typing", test_exclude_by_typing);
  g_test_add_func ("/window/edit/exclude-saved", test_exclude_saved);
  g_test_add_func ("/window/edit/widen", test_widen);
  g_test_add_func ("/window/edit/move-tied", test_move_tied);
  g_test_add_func ("/window/edit/merge", test_merge);
  g_test_add_func ("/window/edit/merge-rule", test_merge_rule);
  g_test_add_func ("/window/edit/fix-all", test_fix_all);
  g_test_add_func ("/window/edit/edit-all", test_edit_all);
  g_test_add_func ("/window/edit/columns", test_columns);
  g_test_add_func ("/window/edit/range", test_range);
  g_test_add_func ("/window/edit/toggle", test_toggle);
  g_test_add_func ("/window/edit/go-to-parse", test_go_to_parse);
  g_test_add_func ("/window/edit/go-to", test_go_to);
  status = g_test_run ();
  window_test_end ();
  return status;
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Commands on lines in the real window: ties, splitting, profiles. What is expected follows from
 * the fitted values before the command.
 */
#include <gsl/gsl_errno.h>
#include <string.h>

#include "app/lines/correlation-window.h"
#include "app/lines/options-box.h"
#include "app/lines/quality-window.h"
#include "app/parts/quantity-entry.h"
#include "app/parts/quantity-text.h"
#include "faint-test.h"
#include "window-test.h"

static gboolean
is_enabled (FaintWindow *window, const char *action)
{
  return g_action_group_get_action_enabled (G_ACTION_GROUP (window), action);
}

static const FaintLine *
find (FaintWindow *window, guint id)
{
  return faint_document_get_line (window->document, id);
}

static guint
strongest (FaintWindow *window)
{
  guint best = 0;

  for (gsize i = 1; i < window_test_n_lines (window); i++)
    if (window_test_line (window, i)->strength.value
        > window_test_line (window, best)->strength.value)
      best = (guint)i;
  return window_test_line (window, best)->id;
}

static void
test_tie_widths (void)
{
  FaintWindow *window = window_test_fitted ();
  guint reference = strongest (window), n_tied = 0;
  double width = find (window, reference)->lorentz.value;
  FaintLineList *before = faint_document_get_lines (window->document);

  faint_session_set_selected (window->session, window_test_line (window, 0)->id);
  g_assert_false (is_enabled (window, "tie-widths"));
  g_assert_false (is_enabled (window, "release-ties"));
  faint_line_table_select_all (FAINT_LINE_TABLE (window->table));
  g_assert_true (is_enabled (window, "tie-widths"));
  window_test_act (window, "tie-widths");
  g_assert_cmpstr (faint_document_get_undo_label (window->document), ==, "Tie Lorentz Widths");
  g_assert_cmpint (find (window, reference)->lorentz.state, ==, FAINT_STATE_FREE);
  for (gsize i = 0; i < window_test_n_lines (window); i++)
    {
      const FaintLine *line = window_test_line (window, i);

      if (line->id == reference)
        continue;
      g_assert_cmpint (line->lorentz.state, ==, FAINT_STATE_TIED);
      g_assert_cmpuint (line->lorentz.tied_to, ==, reference);
      g_assert_cmpfloat (line->lorentz.value, ==, width);
      n_tied++;
    }
  g_assert_cmpuint (n_tied, ==, window_test_n_lines (window) - 1);
  g_assert_true (is_enabled (window, "release-ties"));

  window_test_act (window, "release-ties");
  g_assert_cmpstr (faint_document_get_undo_label (window->document), ==, "Release Ties");
  for (gsize i = 0; i < window_test_n_lines (window); i++)
    g_assert_cmpint (window_test_line (window, i)->lorentz.state, ==, FAINT_STATE_FREE);
  window_test_act (window, "undo");
  window_test_act (window, "undo");
  g_assert_true (faint_document_get_lines (window->document) == before);
  window_test_close (window);
}

static void
test_tie_strengths_and_positions (void)
{
  FaintWindow *window = window_test_fitted ();
  guint reference = strongest (window);
  const FaintLine *first = window_test_line (window, 0);
  guint id = first->id == reference ? window_test_line (window, 1)->id : first->id;
  double ratio = find (window, id)->strength.value / find (window, reference)->strength.value;
  double distance = find (window, id)->position.value - find (window, reference)->position.value;

  faint_line_table_select_all (FAINT_LINE_TABLE (window->table));
  window_test_act (window, "tie-strengths");
  g_assert_cmpstr (faint_document_get_undo_label (window->document), ==, "Tie Strengths");
  g_assert_cmpuint (find (window, id)->strength.tied_to, ==, reference);
  g_assert_cmpfloat (find (window, id)->strength.tie_factor, ==, ratio);
  window_test_act (window, "tie-positions");
  g_assert_cmpstr (faint_document_get_undo_label (window->document), ==, "Tie Positions");
  g_assert_cmpuint (find (window, id)->position.tied_to, ==, reference);
  g_assert_cmpfloat (find (window, id)->position.tie_offset, ==, distance);
  window_test_close (window);
}

static void
test_split (void)
{
  FaintWindow *window = window_test_fitted ();
  gsize n = window_test_n_lines (window);
  FaintLine line = *window_test_line (window, 1);
  g_autofree char *label = g_strdup_printf ("Split Line %.3f", line.position.value);
  guint second = 0;

  faint_session_set_selected (window->session, line.id);
  window_test_act (window, "split-line");
  g_assert_cmpuint (window_test_n_lines (window), ==, n + 1);
  g_assert_cmpstr (faint_document_get_undo_label (window->document), ==, label);
  for (gsize i = 0; i < n + 1; i++)
    second = MAX (second, window_test_line (window, i)->id);
  g_assert_cmpfloat (find (window, line.id)->strength.value, ==, line.strength.value / 2);
  g_assert_cmpfloat (find (window, second)->strength.value, ==, line.strength.value / 2);
  faint_assert_near (
      (find (window, line.id)->position.value + find (window, second)->position.value) / 2,
      line.position.value, 2e-12, "sums of doubles near 7800");
  g_assert_cmpuint (faint_session_get_selected (window->session), ==, line.id);
  window_test_act (window, "undo");
  g_assert_cmpuint (window_test_n_lines (window), ==, n);
  g_assert_cmpfloat (find (window, line.id)->strength.value, ==, line.strength.value);
  window_test_close (window);
}

static void
test_editor_ties (void)
{
  FaintWindow *window = window_test_fitted ();
  FaintParameterRow *row = window_test_row (window, FAINT_PLACE_LORENTZ);
  const FaintLine *last = window_test_line (window, window_test_n_lines (window) - 1);
  guint id = window_test_line (window, 0)->id, neighbour = window_test_line (window, 1)->id;
  guint far = last->id;
  g_autofree char *label
      = g_strdup_printf ("Tie Lorentz Width of Line %.3f", find (window, id)->position.value);

  faint_session_set_selected (window->session, id);
  faint_parameter_row_choose (row, FAINT_STATE_TIED);
  g_assert_null (faint_parameter_row_get_error (row));
  g_assert_cmpstr (faint_document_get_undo_label (window->document), ==, label);
  g_assert_cmpuint (find (window, id)->lorentz.tied_to, ==, neighbour);
  g_assert_cmpfloat (find (window, id)->lorentz.value, ==, find (window, neighbour)->lorentz.value);
  faint_parameter_row_choose_line (row, (guint)window_test_n_lines (window));
  g_assert_cmpuint (find (window, id)->lorentz.tied_to, ==, far);
  /* not to itself: that is said, and the tie stays */
  faint_parameter_row_choose_line (row, 1);
  g_assert_nonnull (faint_parameter_row_get_error (row));
  g_assert_cmpuint (find (window, id)->lorentz.tied_to, ==, far);
  faint_parameter_row_choose (row, FAINT_STATE_FREE);
  g_assert_cmpint (find (window, id)->lorentz.state, ==, FAINT_STATE_FREE);
  window_test_act (window, "undo");
  g_assert_cmpint (faint_parameter_row_get_state (row), ==, FAINT_STATE_TIED);
  window_test_act (window, "undo");
  window_test_act (window, "undo");
  g_assert_cmpint (faint_parameter_row_get_state (row), ==, FAINT_STATE_FREE);
  window_test_close (window);
}

static void
test_profile (void)
{
  FaintWindow *window = window_test_fitted ();
  GtkWidget *row = GTK_WIDGET (window_test_row (window, FAINT_PLACE_SPEED_WIDTH));
  guint id = window_test_line (window, 0)->id;

  faint_session_set_selected (window->session, id);
  g_assert_false (gtk_widget_get_visible (row));
  faint_line_table_select_all (FAINT_LINE_TABLE (window->table));
  g_action_group_activate_action (G_ACTION_GROUP (window), "profile",
                                  g_variant_new_string ("speed-dependent-voigt"));
  g_assert_true (gtk_widget_get_visible (row));
  g_assert_false (
      gtk_widget_get_visible (GTK_WIDGET (window_test_row (window, FAINT_PLACE_CORRELATION))));
  for (gsize i = 0; i < window_test_n_lines (window); i++)
    g_assert_cmpint (window_test_line (window, i)->profile, ==,
                     FAINT_PROFILE_SPEED_DEPENDENT_VOIGT);
  window_test_act (window, "undo");
  g_assert_cmpint (find (window, id)->profile, ==, FAINT_PROFILE_VOIGT);
  g_assert_false (gtk_widget_get_visible (row));
  window_test_close (window);
}

/* The window of its own that an action opened for @window. */
static gpointer
companion (FaintWindow *window, const char *action, GType type)
{
  GListModel *windows = gtk_window_get_toplevels ();
  gpointer found = NULL;
  guint n = 0;

  window_test_act (window, action);
  for (guint i = 0; i < g_list_model_get_n_items (windows); i++)
    {
      g_autoptr (GtkWindow) other = g_list_model_get_item (windows, i);

      if (G_OBJECT_TYPE (other) == type
          && gtk_window_get_transient_for (other) == GTK_WINDOW (window))
        {
          found = other;
          n++;
        }
    }
  g_assert_cmpuint (n, ==, 1);
  return found;
}

static void
test_correlation (void)
{
  FaintWindow *window = window_test_fitted ();
  const FaintLine *line = window_test_line (window, 1);
  FaintFit *fit = faint_analysis_get_fit (faint_document_get_analysis (window->document));
  FaintCorrelationWindow *shown;
  FaintCorrelationView *view;
  FaintCorrelation *matrix;
  g_auto (GStrv) names = NULL;
  g_autofree double *want = NULL;
  g_autofree char *text = NULL, *name = NULL;
  gsize n = 0, row, column;

  faint_session_set_selected (window->session, line->id);
  shown = companion (window, "correlation", FAINT_TYPE_CORRELATION_WINDOW);
  /* the same again, not another */
  g_assert_true (companion (window, "correlation", FAINT_TYPE_CORRELATION_WINDOW) == shown);
  window_test_linger (200);
  view = faint_correlation_window_get_view (shown);
  matrix = faint_correlation_view_get (view);
  g_assert_nonnull (matrix);
  want = faint_fit_correlation (fit, (gsize)line->window - 1, &names, &n);
  g_assert_cmpuint (faint_correlation_get_n (matrix), ==, n);
  for (gsize i = 0; i < n; i++)
    for (gsize j = 0; j < n; j++)
      g_assert_cmpfloat (faint_correlation_get (matrix, i, j), ==, want[i * n + j]);
  g_assert_false (faint_correlation_view_get_cell (view, &row, &column));
  faint_correlation_view_choose (view, 0, 1);
  text = faint_correlation_view_read_out (view);
  g_assert_true (g_str_has_prefix (text, names[0]));
  g_assert_nonnull (strstr (text, names[1]));
  g_assert_cmpstr (faint_correlation_window_get_text (shown), ==, text);
  g_assert_true (gtk_test_accessible_has_property (GTK_ACCESSIBLE (view),
                                                   GTK_ACCESSIBLE_PROPERTY_DESCRIPTION));
  window_test_assert_named (GTK_WIDGET (shown));

  /* follows the selection */
  line = window_test_line (window, window_test_n_lines (window) - 1);
  g_assert_cmpint (line->window, !=, window_test_line (window, 1)->window);
  faint_session_set_selected (window->session, line->id);
  name = g_strdup_printf ("%.3f ", line->position.value);
  matrix = faint_correlation_view_get (view);
  for (row = 0; row < faint_correlation_get_n (matrix)
                && !g_str_has_prefix (faint_correlation_get_name (matrix, row), name);
       row++)
    ;
  g_assert_cmpuint (row, <, faint_correlation_get_n (matrix));
  g_assert_false (faint_correlation_view_get_cell (view, &row, &column));
  window_test_close (window);
}

static void
test_correlation_without_fit (void)
{
  FaintWindow *window = window_test_open ();
  FaintCorrelationWindow *shown = companion (window, "correlation", FAINT_TYPE_CORRELATION_WINDOW);
  FaintCorrelationView *view = faint_correlation_window_get_view (shown);

  window_test_linger (200);
  g_assert_null (faint_correlation_view_get (view));
  g_assert_nonnull (strstr (faint_correlation_window_get_text (shown), "Fit lines"));
  window_test_act (window, "find-and-fit");
  window_test_wait (window, window_test_is_current, "lines are found and fitted");
  g_assert_nonnull (faint_correlation_view_get (view));
  window_test_close (window);
}

static void
test_correlation_is_exported (void)
{
  static const struct
  {
    const char *name, *begin;
  } kinds[] = { { "c.png", "\211PNG" }, { "c.svg", "<?xml" }, { "c.pdf", "%PDF" } };
  FaintWindow *window = window_test_fitted ();
  FaintCorrelationWindow *shown = companion (window, "correlation", FAINT_TYPE_CORRELATION_WINDOW);
  g_autoptr (GError) error = NULL;
  g_autofree char *wrong = window_test_path ("c.txt");

  for (guint i = 0; i < G_N_ELEMENTS (kinds); i++)
    {
      g_autofree char *path = window_test_path (kinds[i].name);
      g_autofree char *bytes = NULL;

      g_assert_true (faint_correlation_window_write (shown, path, &error));
      g_assert_no_error (error);
      g_assert_true (g_file_get_contents (path, &bytes, NULL, NULL));
      g_assert_true (g_str_has_prefix (bytes, kinds[i].begin));
    }
  g_assert_false (faint_correlation_window_write (shown, wrong, &error));
  g_assert_nonnull (error);
  window_test_close (window);
}

static void
test_quality (void)
{
  FaintWindow *window = window_test_fitted ();
  FaintFit *fit = faint_analysis_get_fit (faint_document_get_analysis (window->document));
  FaintQualityWindow *shown = companion (window, "quality", FAINT_TYPE_QUALITY_WINDOW);
  const FaintFitWindow *first, *last = NULL;
  double lower, upper;

  window_test_linger (200);
  g_assert_cmpuint (faint_quality_window_get_n (shown), ==, fit->n_windows);
  for (guint row = 0; row < fit->n_windows; row++)
    {
      const FaintFitWindow *now = faint_quality_window_get (shown, row);

      if (last)
        g_assert_cmpfloat (now->chi2_reduced, <=, last->chi2_reduced);
      last = now;
    }
  first = faint_quality_window_get (shown, 0);
  faint_quality_window_activate (shown, 0);
  faint_session_get_view (window->session, &lower, &upper);
  g_assert_cmpfloat (lower, ==, first->lower);
  g_assert_cmpfloat (upper, ==, first->upper);
  window_test_assert_named (GTK_WIDGET (shown));
  window_test_close (window);
}

/* Chi-square of 500 degrees of freedom has a standard deviation of sqrt (1000) = 31.6 (as every
 * textbook says); the largest of 500 normal numbers exceeds 5 once in 3500 times. */
static void
test_quality_words (void)
{
  FaintFitWindow fit_window
      = { .n = 500, .n_used = 500, .chi2 = 510, .dof = 500, .chi2_reduced = 1.02, .largest = 3.2 };
  g_autofree char *good = faint_quality_in_words (&fit_window);
  g_autofree char *bad = NULL;

  g_assert_cmpstr (good, ==, "");
  fit_window.chi2 = 600;
  fit_window.runs_z = -4;
  fit_window.largest = 5;
  bad = faint_quality_in_words (&fit_window);
  g_assert_cmpstr (bad, ==, "χ² too large, residuals not random, outlier");
}

static gboolean
says (GtkWidget *widget, gconstpointer text)
{
  return GTK_IS_LABEL (widget) && strcmp (gtk_label_get_text (GTK_LABEL (widget)), text) == 0;
}

static void
assert_says (FaintWindow *window, double u)
{
  g_autofree char *text = faint_two_digits (u);

  if (window_test_find (window->panes, says, text) == NULL)
    g_error ("no label says %s", text);
}

/* Parts add in squares (JCGM 100:2008, 5.1.2); k for 95.45 % and many degrees of freedom is 2.00
 * (the same, table G.2). */
static void
test_parts_of_uncertainty (void)
{
  FaintWindow *window = window_test_fitted ();
  const FaintLine *line = window_test_line (window, 1);

  faint_session_set_selected (window->session, line->id);
  g_assert_nonnull (window_test_find (window->panes, says, "U (k = 2.00)"));
  assert_says (window, line->position.u_noise);
  assert_says (window, sqrt (line->position.u * line->position.u
                             - line->position.u_noise * line->position.u_noise));
  assert_says (window, 100 * line->strength.u_noise / line->strength.value);
  assert_says (window, 100
                           * sqrt (line->strength.u * line->strength.u
                                   - line->strength.u_noise * line->strength.u_noise)
                           / line->strength.value);
  assert_says (window, 200 * line->strength.u / line->strength.value);
  window_test_close (window);
}

static gboolean
is_options (GtkWidget *widget, gconstpointer data)
{
  return FAINT_IS_OPTIONS_BOX (widget);
}

static void
test_options (void)
{
  FaintWindow *window = window_test_open ();
  FaintOptionsBox *box = FAINT_OPTIONS_BOX (window_test_find (window->panes, is_options, NULL));
  const char *const *keys = faint_fit_option_keys ();
  GtkWidget *period = faint_options_box_find (box, "fringe_period_1");
  FaintAnalysis *analysis;

  /* every option has a control; the range has buttons */
  for (guint i = 0; keys[i]; i++)
    if (!g_str_has_prefix (keys[i], "range_"))
      g_assert_nonnull (faint_options_box_find (box, keys[i]));

  gtk_check_button_set_active (GTK_CHECK_BUTTON (faint_options_box_find (box, "lorentz_common")),
                               TRUE);
  analysis = faint_document_get_analysis (window->document);
  g_assert_true (faint_analysis_get_options (analysis)->lorentz_common);
  g_assert_cmpstr (faint_document_get_undo_label (window->document), ==,
                   "Edit Common Lorentz width");
  g_assert_false (gtk_widget_get_visible (period));
  gtk_spin_button_set_value (GTK_SPIN_BUTTON (faint_options_box_find (box, "fringes")), 1);
  g_assert_true (gtk_widget_get_visible (period));
  gtk_editable_set_text (
      GTK_EDITABLE (faint_quantity_entry_get_entry (FAINT_QUANTITY_ENTRY (period))), "0.3 cm-1");
  faint_quantity_entry_commit (FAINT_QUANTITY_ENTRY (period));
  analysis = faint_document_get_analysis (window->document);
  g_assert_cmpuint (faint_analysis_get_options (analysis)->fringes, ==, 1);
  g_assert_cmpfloat (faint_analysis_get_options (analysis)->fringe_period[0], ==, 0.3);
  gtk_editable_set_text (
      GTK_EDITABLE (faint_quantity_entry_get_entry (FAINT_QUANTITY_ENTRY (period))), "-1 cm-1");
  faint_quantity_entry_commit (FAINT_QUANTITY_ENTRY (period));
  g_assert_nonnull (faint_quantity_entry_get_error (FAINT_QUANTITY_ENTRY (period)));
  window_test_act (window, "undo");
  window_test_act (window, "undo");
  g_assert_false (gtk_widget_get_visible (period));
  window_test_act (window, "undo");
  g_assert_false (gtk_check_button_get_active (
      GTK_CHECK_BUTTON (faint_options_box_find (box, "lorentz_common"))));

  /* back to the usual ones in one step, which leaves the range */
  gtk_spin_button_set_value (GTK_SPIN_BUTTON (faint_options_box_find (box, "threshold")), 7);
  gtk_spin_button_set_value (GTK_SPIN_BUTTON (faint_options_box_find (box, "fringes")), 2);
  faint_document_set_range (window->document, 7780, 7790);
  g_assert_true (faint_document_reset_options (window->document, "Reset Options"));
  analysis = faint_document_get_analysis (window->document);
  g_assert_cmpfloat (faint_analysis_get_options (analysis)->threshold, ==, 5);
  g_assert_cmpuint (faint_analysis_get_options (analysis)->fringes, ==, 0);
  g_assert_cmpfloat (faint_analysis_get_options (analysis)->lower, ==, 7780);
  g_assert_false (faint_document_reset_options (window->document, "Reset Options"));
  window_test_act (window, "undo");
  analysis = faint_document_get_analysis (window->document);
  g_assert_cmpfloat (faint_analysis_get_options (analysis)->threshold, ==, 7);
  window_test_close (window);
}

int
main (int argc, char **argv)
{
  int status;

  gsl_set_error_handler_off ();
  gtk_test_init (&argc, &argv, NULL);
  window_test_begin ();
  g_test_add_func ("/window-lines/tie-widths", test_tie_widths);
  g_test_add_func ("/window-lines/tie-strengths-and-positions", test_tie_strengths_and_positions);
  g_test_add_func ("/window-lines/split", test_split);
  g_test_add_func ("/window-lines/editor-ties", test_editor_ties);
  g_test_add_func ("/window-lines/profile", test_profile);
  g_test_add_func ("/window-lines/correlation", test_correlation);
  g_test_add_func ("/window-lines/correlation/without-fit", test_correlation_without_fit);
  g_test_add_func ("/window-lines/correlation/is-exported", test_correlation_is_exported);
  g_test_add_func ("/window-lines/quality", test_quality);
  g_test_add_func ("/window-lines/quality/words", test_quality_words);
  g_test_add_func ("/window-lines/options", test_options);
  g_test_add_func ("/window-lines/parts-of-uncertainty", test_parts_of_uncertainty);
  status = g_test_run ();
  window_test_end ();
  return status;
}

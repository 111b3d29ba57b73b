/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The stage Assignment in the real window, on the line list of the demo scene, whose own labels are
 * the truth (data/scenes/demo.scene: invented values of one band, and four lines of none).
 */
#include <gsl/gsl_errno.h>
#include <math.h>
#include <string.h>

#include "app/assignment/assignment-pane.h"
#include "app/assignment/assignment-plots.h"
#include "app/assignment/differences-view.h"
#include "app/assignment/line-assignment.h"
#include "app/assignment/loomis-wood-view.h"
#include "app/assignment/trace-assignment.h"
#include "assignment-demo.h"
#include "faint-test.h"

/* A stage without lines cannot be chosen by its button. */
static void
test_needs_lines (void)
{
  FaintWindow *window = window_test_open ();

  g_assert_false (gtk_widget_get_sensitive (window->assignment_button));
  g_assert_false (gtk_widget_get_visible (window->assignment_plots));
  faint_document_add_line (window->document, 7790.0);
  g_assert_true (gtk_widget_get_sensitive (window->assignment_button));
  window_test_close (window);
}

static gboolean
is_read_out (GtkWidget *widget, gconstpointer data)
{
  return GTK_IS_LABEL (widget) && strstr (gtk_label_get_text (GTK_LABEL (widget)), "; row ");
}

/* Entered with a line selected, the plots say its row, which is that of the plot. */
static void
test_row_at_first (void)
{
  FaintWindow *window = window_test_fitted ();
  FaintLoomisWood *plot;
  GtkWidget *label;
  const char *text;
  guint id = window_test_line (window, window_test_n_lines (window) - 1)->id;
  g_autofree char *words = NULL;
  double offset, read;
  gboolean negative;
  int row;

  faint_session_set_selected (window->session, id);
  faint_session_set_stage (window->session, FAINT_STAGE_ASSIGNMENT);
  window_test_linger (300);
  plot = faint_loomis_wood_view_get (demo_part (window, FAINT_TYPE_LOOMIS_WOOD_VIEW));
  g_assert_nonnull (plot);
  g_assert_true (faint_loomis_wood_place (plot, id, &row, &offset));
  g_assert_cmpint (row, !=, 0);
  label = window_test_find (window->assignment_plots, is_read_out, NULL);
  g_assert_nonnull (label);
  text = gtk_label_get_text (GTK_LABEL (label));
  words = g_strdup_printf ("; row %d, offset ", row);
  g_assert_nonnull (strstr (text, words));
  text = strstr (text, "offset ") + strlen ("offset ");
  negative = g_str_has_prefix (text, "−"); /* the true minus sign */
  read = g_ascii_strtod (text + (negative ? strlen ("−") : 0), NULL) * (negative ? -1 : 1);
  g_assert_cmpfloat_with_epsilon (read, offset, 1e-4);
  g_assert_null (strstr (text, "−0.0000"));
  window_test_close (window);
}

static void
test_search (void)
{
  FaintWindow *window = demo_open (FALSE);
  g_autofree char *path = demo_levels_path ();
  g_autofree char *table = NULL;

  g_assert_false (g_action_group_get_action_enabled (G_ACTION_GROUP (window), "assign"));
  g_assert_true (
      faint_assignment_pane_read_levels (demo_part (window, FAINT_TYPE_ASSIGNMENT_PANE), path));
  g_assert_true (g_action_group_get_action_enabled (G_ACTION_GROUP (window), "assign"));
  demo_search (window);
  g_assert_cmpstr (faint_document_get_undo_label (window->document), ==, "Assign Lines");
  g_assert_cmpstr (gtk_label_get_text (GTK_LABEL (window->status_label)), ==,
                   "76 of 80 lines assigned");
  for (gsize i = 0; i < N_LINES; i++)
    demo_assert_truth (window, i);
  g_assert_cmpuint (demo_n_labelled (window), ==, N_LABELLED);

  /* in the table, too */
  table = faint_line_table_to_text (FAINT_LINE_TABLE (window->table));
  g_assert_nonnull (strstr (table, "\tJ55e\tJ56e\t"));

  window_test_act (window, "undo");
  g_assert_cmpuint (demo_n_labelled (window), ==, 0);
  window_test_act (window, "redo");
  g_assert_cmpuint (demo_n_labelled (window), ==, N_LABELLED);
  window_test_wait (window, demo_has_result, "the labels are judged again");
  window_test_close (window);
}

static void
test_save_and_load (void)
{
  FaintWindow *window = demo_open (TRUE), *again = window_test_new ();
  g_autofree char *saved = window_test_path ("assigned.faintline");
  const char *const paths[] = { saved, NULL };

  demo_search (window);
  demo_save (window, saved);
  faint_window_open (again, paths);
  window_test_wait (again, demo_has_lines, "the analysis is loaded");
  for (gsize i = 0; i < N_LINES; i++)
    demo_assert_truth (again, i);
  window_test_close (again);
  window_test_close (window);
}

/* Constants of the result against those that the scene was made from are the library's matter; here
 * that they are shown, and the points of the plot beside. */
static void
test_plots (void)
{
  FaintWindow *window = demo_open (TRUE);
  FaintAssignmentPlots *plots = FAINT_ASSIGNMENT_PLOTS (window->assignment_plots);
  FaintDifferencesView *differences = demo_part (window, FAINT_TYPE_DIFFERENCES_VIEW);
  FaintLoomisWoodView *view = faint_assignment_plots_get_view (plots);
  static const char *const names[] = { "lw.png", "lw.svg", "lw.pdf" };
  int row;
  double offset;
  guint id;

  g_assert_true (gtk_widget_get_visible (window->assignment_plots));
  g_assert_cmpuint (faint_loomis_wood_get_n_lines (faint_loomis_wood_view_get (view)), ==, N_LINES);
  g_assert_cmpuint (faint_differences_view_get (differences)->len, ==, 0);
  demo_search (window);
  g_assert_cmpuint (faint_differences_view_get (differences)->len, ==, N_LABELLED);
  /* rows are those of the band now: a line stands in the row of its m, near the middle */
  id = window_test_line (window, 0)->id; /* P(56) */
  g_assert_true (faint_loomis_wood_place (faint_loomis_wood_view_get (view), id, &row, &offset));
  g_assert_cmpint (row, ==, -56);
  faint_assert_near (offset, 0.0, 1e-3, "ten standard uncertainties of the list");
  for (guint i = 0; i < G_N_ELEMENTS (names); i++)
    {
      g_autofree char *path = window_test_path (names[i]);
      g_autoptr (GError) error = NULL;

      g_assert_true (faint_assignment_plots_write (plots, path, &error));
      g_assert_no_error (error);
      g_assert_true (g_file_test (path, G_FILE_TEST_IS_REGULAR));
    }
  g_assert_false (faint_assignment_plots_set_width (plots, "wide"));
  g_assert_true (faint_assignment_plots_set_width (plots, "0.5"));
  faint_session_set_stage (window->session, FAINT_STAGE_LINES);
  g_assert_false (gtk_widget_get_visible (window->assignment_plots));
  window_test_close (window);
}

/* The selection is linked both ways. */
static void
test_selection (void)
{
  FaintWindow *window = demo_open (TRUE);
  FaintLoomisWoodView *view
      = faint_assignment_plots_get_view (FAINT_ASSIGNMENT_PLOTS (window->assignment_plots));
  guint id = window_test_line (window, 7)->id;
  FaintView shown;

  faint_loomis_wood_view_set_view (view, (FaintRange){ -0.01, 0.01 }, (FaintRange){ 70, 75 });
  faint_session_set_selected (window->session, id);
  shown = faint_loomis_wood_view_get_view (view);
  {
    int row;
    double offset;

    g_assert_true (faint_loomis_wood_place (faint_loomis_wood_view_get (view), id, &row, &offset));
    g_assert_true (faint_range_contains (shown.up, row));
    g_assert_true (faint_range_contains (shown.across, offset));
  }
  g_signal_emit_by_name (view, "line-chosen", window_test_line (window, 9)->id);
  g_assert_cmpuint (faint_session_get_selected (window->session), ==,
                    window_test_line (window, 9)->id);
  window_test_close (window);
}

static void
test_by_hand (void)
{
  FaintWindow *window = demo_open (FALSE);
  FaintLineAssignment *box = demo_part (window, FAINT_TYPE_LINE_ASSIGNMENT);
  g_autofree char *label = NULL;

  faint_session_set_selected (window->session, window_test_line (window, 3)->id);
  faint_line_assignment_enter (box, "an upper one", " J 4 ");
  g_assert_cmpstr (window_test_line (window, 3)->upper, ==, "an upper one");
  g_assert_cmpstr (window_test_line (window, 3)->lower, ==, "J 4");
  label = g_strdup_printf ("Assign Line %.3f", window_test_line (window, 3)->position.value);
  g_assert_cmpstr (faint_document_get_undo_label (window->document), ==, label);
  faint_line_assignment_remove (box);
  g_assert_cmpstr (window_test_line (window, 3)->upper, ==, "");
  window_test_act (window, "undo");
  window_test_act (window, "undo");
  g_assert_cmpuint (demo_n_labelled (window), ==, 0);
  window_test_close (window);
}

/* R(15) to R(19), chosen as a trace, are assigned by the J of the first. */
static void
test_trace (void)
{
  FaintWindow *window = demo_open (TRUE);
  FaintLoomisWoodView *view
      = faint_assignment_plots_get_view (FAINT_ASSIGNMENT_PLOTS (window->assignment_plots));
  FaintTraceAssignment *box = demo_part (window, FAINT_TYPE_TRACE_ASSIGNMENT);
  FaintLoomisWood *plot;
  FaintLoomisWoodPick picks[5];
  double offset;

  /* a width near their spacing puts each into a row of its own */
  g_assert_true (
      faint_assignment_plots_set_width (FAINT_ASSIGNMENT_PLOTS (window->assignment_plots), "0.72"));
  plot = faint_loomis_wood_view_get (view);
  for (guint i = 0, k = 0; k < 5; i++)
    {
      gsize index = N_LINES - 1 - i;

      if (*demo_truth[index][0] == '\0')
        continue;
      picks[4 - k].id = window_test_line (window, index)->id;
      g_assert_true (
          faint_loomis_wood_place (plot, picks[4 - k].id, &picks[4 - k].number, &offset));
      k++;
    }
  for (guint k = 1; k < 5; k++)
    g_assert_cmpint (picks[k].number, ==, picks[k - 1].number + 1);
  faint_loomis_wood_view_set_trace (view, picks, 5);
  faint_trace_assignment_set (box, FAINT_BRANCH_R, 490);
  g_assert_false (faint_trace_assignment_assign (box)); /* the levels end at J = 90 */
  g_assert_cmpuint (demo_n_labelled (window), ==, 0);
  faint_trace_assignment_set (box, FAINT_BRANCH_R, 15);
  g_signal_emit_by_name (view, "assign"); /* Enter */
  g_assert_cmpstr (faint_document_get_undo_label (window->document), ==, "Assign R(15) to R(19)");
  g_assert_cmpuint (demo_n_labelled (window), ==, 5);
  for (gsize i = 0; i < N_LINES; i++)
    if (*window_test_line (window, i)->upper)
      demo_assert_truth (window, i);
  window_test_act (window, "undo");
  g_assert_cmpuint (demo_n_labelled (window), ==, 0);
  window_test_close (window);
}

static gboolean
has_partners (FaintWindow *window)
{
  return faint_line_assignment_get_n_partners (demo_part (window, FAINT_TYPE_LINE_ASSIGNMENT)) > 0;
}

/* P(21) shares J' = 20 with R(19), the last line. */
static void
test_partner (void)
{
  FaintWindow *window = demo_open (TRUE);
  FaintLineAssignment *box = demo_part (window, FAINT_TYPE_LINE_ASSIGNMENT);
  gsize index = 0;

  while (!g_str_equal (demo_truth[index][1], "J21e") || !g_str_equal (demo_truth[index][0], "J20e"))
    index++;
  faint_session_set_selected (window->session, window_test_line (window, index)->id);
  window_test_wait (window, has_partners, "partners are listed");
  g_assert_true (faint_line_assignment_take_partner (box, 0));
  g_assert_cmpuint (demo_n_labelled (window), ==, 2);
  demo_assert_truth (window, index);
  demo_assert_truth (window, N_LINES - 1);
  window_test_close (window);
}

/* What cannot be read is said beside the button, and what was there stays. */
static void
test_bad_levels (void)
{
  FaintWindow *window = demo_open (TRUE);
  FaintAssignmentPane *pane = demo_part (window, FAINT_TYPE_ASSIGNMENT_PANE);
  FaintLevels *before = faint_assigner_get_levels (demo_assigner (window));
  g_autofree char *path = window_test_path ("bad.constants");

  g_assert_true (g_file_set_contents (path, "# molecule = bent\n", -1, NULL));
  g_assert_false (faint_assignment_pane_read_levels (pane, path));
  g_assert_true (faint_assigner_get_levels (demo_assigner (window)) == before);
  window_test_close (window);
}

/* A label is no reason to fit again: the fit stays current, and nothing runs. */
static void
test_fit_stays (void)
{
  FaintWindow *window = window_test_fitted ();
  g_autofree char *saved = window_test_path ("labelled.faintline");
  const char *const paths[] = { saved, NULL };
  FaintWindow *again;
  guint id = window_test_line (window, 0)->id;

  faint_assigner_set_labels (demo_assigner (window), id, "up", "down");
  g_assert_true (window_test_is_current (window));
  demo_save (window, saved);
  again = window_test_new ();
  faint_window_open (again, paths);
  window_test_wait (again, window_test_work_is_shown, "the analysis is loaded");
  g_assert_true (faint_analysis_fit_is_current (faint_document_get_analysis (again->document)));
  g_assert_cmpstr (window_test_line (again, 0)->upper, ==, "up");
  window_test_close (again);
  window_test_close (window);
}

static void
test_cancel (void)
{
  FaintWindow *window = demo_open (TRUE);

  window_test_act (window, "assign");
  window_test_act (window, "cancel");
  window_test_wait (window, window_test_is_idle, "cancelled");
  window_test_linger (300);
  g_assert_cmpuint (demo_n_labelled (window), ==, 0);
  g_assert_cmpstr (faint_document_get_undo_label (window->document), ==,
                   "Open Levels nitrous-oxide-ground.constants");
  window_test_close (window);
}

/* The window may go while a search runs. */
static void
test_close_while_searching (void)
{
  FaintWindow *window = demo_open (TRUE);

  window_test_act (window, "assign");
  window_test_close (window);
}

static void
test_names (void)
{
  FaintWindow *window = demo_open (TRUE);

  faint_session_set_selected (window->session, window_test_line (window, N_LINES - 1)->id);
  window_test_wait (window, has_partners, "partners are listed");
  demo_search (window);
  window_test_assert_named (GTK_WIDGET (window));
  window_test_close (window);
}

int
main (int argc, char **argv)
{
  int failed;

  gtk_test_init (&argc, &argv, NULL);
  gsl_set_error_handler_off ();
  window_test_begin ();
  g_test_add_func ("/window/assignment/row-at-first", test_row_at_first);
  g_test_add_func ("/window/assignment/needs-lines", test_needs_lines);
  g_test_add_func ("/window/assignment/search", test_search);
  g_test_add_func ("/window/assignment/save-and-load", test_save_and_load);
  g_test_add_func ("/window/assignment/plots", test_plots);
  g_test_add_func ("/window/assignment/selection", test_selection);
  g_test_add_func ("/window/assignment/by-hand", test_by_hand);
  g_test_add_func ("/window/assignment/trace", test_trace);
  g_test_add_func ("/window/assignment/partner", test_partner);
  g_test_add_func ("/window/assignment/bad-levels", test_bad_levels);
  g_test_add_func ("/window/assignment/fit-stays", test_fit_stays);
  g_test_add_func ("/window/assignment/cancel", test_cancel);
  g_test_add_func ("/window/assignment/close", test_close_while_searching);
  g_test_add_func ("/window/assignment/names", test_names);
  failed = g_test_run ();
  window_test_end ();
  return failed;
}

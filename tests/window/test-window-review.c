/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The stage Review: a claimed list with planted faults is opened and held against the sample. The
 * verdicts are those of the library called directly; the planted faults come from the scene.
 */
#include <gsl/gsl_errno.h>
#include <math.h>
#include <string.h>

#include "app/review/errors-view.h"
#include "app/review/review-pane.h"
#include "app/review/review-table.h"
#include "app/review/review-view.h"
#include "app/review/review-words.h"
#include "app/review/sign-off-window.h"
#include "faint-test.h"
#include "faint/simulate/scene.h"
#include "window-test.h"

/* Faults: line 1 is claimed half a width beside, line 3 is left out, one is claimed where there is
 * none. */
#define SHIFT 0.004

static FaintLineList *
truth_new (void)
{
  g_autofree char *path
      = g_build_filename (g_getenv ("FAINT_TEST_DATA"), "scenes", "ring.scene", NULL);
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintScene) scene = faint_scene_read (path, &error);

  g_assert_no_error (error);
  return faint_scene_truth (scene);
}

static FaintLine
claim_of (const FaintLine *truth, double shift)
{
  FaintLine line = faint_line_unknown ();

  line.position.value = truth->position.value + shift;
  line.position.u = line.position.u_noise = 1e-4;
  line.strength.value = truth->strength.value;
  line.strength.u = line.strength.u_noise = 0.02 * truth->strength.value;
  line.lorentz.value = truth->lorentz.value;
  line.lorentz.u = line.lorentz.u_noise = 0.05 * truth->lorentz.value;
  return line;
}

/* Free with g_free. */
static char *
claimed_list (void)
{
  g_autoptr (FaintLineList) truth = truth_new ();
  gsize n = faint_line_list_get_n (truth);
  g_autoptr (GArray) lines = g_array_new (FALSE, FALSE, sizeof (FaintLine));
  g_autoptr (FaintLineList) list = NULL;
  g_autoptr (GError) error = NULL;
  char *path = window_test_path ("claimed.csv");
  FaintLine invented;

  g_assert_cmpuint (n, >, 4);
  for (gsize i = 0; i < n; i++)
    {
      FaintLine line = claim_of (faint_line_list_get (truth, i), i == 1 ? SHIFT : 0.0);

      if (i != 3)
        g_array_append_val (lines, line);
    }
  invented = claim_of (faint_line_list_get (truth, 2), 0.0);
  invented.position.value = 0.5
                            * (faint_line_list_get (truth, 2)->position.value
                               + faint_line_list_get (truth, 3)->position.value);
  g_array_append_val (lines, invented);
  list = faint_line_list_new ((const FaintLine *)(gpointer)lines->data, lines->len);
  faint_list_file_write (list, NULL, path, FAINT_LIST_CSV, NULL, NULL, &error);
  g_assert_no_error (error);
  return path;
}

static gboolean
is_errors_view (GtkWidget *widget, gconstpointer data)
{
  return FAINT_IS_ERRORS_VIEW (widget);
}

static GtkWidget *
errors_of (FaintWindow *window)
{
  return window_test_find (window->review_pane, is_errors_view, NULL);
}

static FaintReview *
result_of (FaintWindow *window)
{
  return faint_reviewer_get_result (faint_reviewer_of (window->document));
}

static gboolean
is_shown (FaintWindow *window)
{
  return window_test_is_idle (window) && window->review_view != NULL;
}

static void
open_claimed (FaintWindow *window)
{
  g_autofree char *path = claimed_list ();

  g_assert_true (faint_review_pane_read_claimed (FAINT_REVIEW_PANE (window->review_pane), path));
}

static FaintWindow *
window_reviewed (void)
{
  FaintWindow *window = window_test_open ();

  g_assert_false (g_action_group_get_action_enabled (G_ACTION_GROUP (window), "review"));
  open_claimed (window);
  g_assert_true (g_action_group_get_action_enabled (G_ACTION_GROUP (window), "review"));
  window_test_act (window, "review");
  g_assert_cmpint (faint_session_get_stage (window->session), ==, FAINT_STAGE_REVIEW);
  window_test_wait (window, is_shown, "the review is shown");
  return window;
}

static guint
find_row (const FaintReview *review, FaintReviewVerdict verdict)
{
  for (guint i = 0; i < review->lines->len; i++)
    if (((const FaintReviewLine *)g_ptr_array_index (review->lines, i))->verdict == verdict)
      return i + 1;
  return 0;
}

static void
test_verdicts (void)
{
  FaintWindow *window = window_reviewed ();
  FaintReview *shown = result_of (window);
  const char *const paths[] = { window_test_sample () };
  g_autofree char *list = window_test_path ("claimed.csv");
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintAnalysis) analysis = faint_analysis_new (paths, 1, NULL, NULL, &error);
  g_autoptr (FaintListFile) claims = faint_list_file_read (list, &error);
  g_autoptr (FaintReview) want = NULL;
  FaintReviewOptions options;

  faint_review_options_init (&options);
  want = faint_review_run (analysis, claims->lines, NULL, &options, NULL, &error);
  g_assert_no_error (error);
  for (guint v = 0; v < FAINT_REVIEW_VERDICT_N; v++)
    g_assert_cmpuint (shown->counts[v], ==, want->counts[v]);
  /* what was planted is found */
  g_assert_cmpuint (find_row (shown, FAINT_REVIEW_DIFFERS), >, 0);
  g_assert_cmpuint (shown->counts[FAINT_REVIEW_NOT_SEEN], ==, 1);
  g_assert_cmpuint (shown->counts[FAINT_REVIEW_NOT_CLAIMED], ==, 1);
  g_assert_false (shown->passed);
  g_assert_cmpuint (faint_review_table_get_n_shown (FAINT_REVIEW_TABLE (window->review_table)), ==,
                    want->lines->len);
  /* lines and fit are left alone: the one step is that of the list */
  g_assert_cmpuint (window_test_n_lines (window), ==, 0);
  g_assert_null (faint_document_get_fit (window->document));
  g_assert_cmpstr (faint_document_get_undo_label (window->document), ==, "Open Claimed List");
  window_test_assert_named (window->review_pane);
  window_test_close (window);
}

/* Does the headless command say so many, "76 agree" or "1 not seen", of its claimed lines? */
static gboolean
headless_says (const char *printed, const char *words, gsize n)
{
  g_auto (GStrv) line = g_strsplit (strstr (printed, "claimed lines: ") + 15, "\n", 2);
  g_auto (GStrv) parts = g_strsplit_set (line[0], ",;.(", -1);
  g_autofree char *count = g_strdup_printf ("%zu %s", n, words);

  for (guint i = 0; parts[i]; i++)
    if (g_str_equal (g_strstrip (parts[i]), count))
      return TRUE;
  return FALSE;
}

static void
run_headless (const char *spectrum, const char *list, char **printed)
{
  g_autofree char *out = window_test_path ("headless");
  const char *const argv[] = {
    g_getenv ("FAINT_TEST_BATCH"), "review", spectrum, "--claimed", list, "--out", out, NULL
  };
  g_autoptr (GError) error = NULL;

  g_spawn_sync (NULL, (char **)argv, NULL, G_SPAWN_STDERR_TO_DEV_NULL, NULL, NULL, printed, NULL,
                NULL, &error);
  g_assert_no_error (error);
  g_assert_nonnull (strstr (*printed, "claimed lines:"));
}

/* The sample with planted faults that comes with the program, as docs/manual.md has it. */
static void
test_sample (void)
{
  const char *data = g_getenv ("FAINT_TEST_DATA");
  g_autofree char *spectrum = g_build_filename (data, "demo", "nitrous-oxide.comb", NULL);
  g_autofree char *list = g_build_filename (data, "review", "faults.csv", NULL);
  g_autofree char *printed = NULL;
  const char *const paths[] = { spectrum, NULL };
  FaintWindow *window = window_test_new ();
  FaintReview *review;

  run_headless (spectrum, list, &printed);
  faint_window_open (window, paths);
  window_test_wait (window, window_test_work_is_shown, "the demo spectrum");
  window_test_wait (window, window_test_is_idle, "it is read");
  g_assert_true (faint_review_pane_read_claimed (FAINT_REVIEW_PANE (window->review_pane), list));
  window_test_act (window, "review");
  window_test_wait (window, is_shown, "the review is shown");
  review = result_of (window);
  g_assert_true (
      g_str_has_prefix (gtk_label_get_text (GTK_LABEL (window->status_label)), "Reviewed: "));
  g_assert_cmpuint (review->counts[FAINT_REVIEW_AGREES], >, 50);
  g_assert_cmpuint (review->counts[FAINT_REVIEW_DIFFERS], >, 0);
  for (guint v = 0; v < FAINT_REVIEW_VERDICT_N; v++)
    g_assert_true (review->counts[v] == 0
                   || headless_says (printed, faint_review_verdict_words (v, review->counts[v]),
                                     review->counts[v]));
  window_test_close (window);
}

static gboolean is_signed;

static void
on_signed (GtkWidget *window, const char *path, gpointer data)
{
  is_signed = TRUE;
}

static gboolean
was_signed (FaintWindow *window)
{
  return is_signed;
}

static void
test_sign_off (void)
{
  FaintWindow *window = window_reviewed ();
  g_autofree char *path = window_test_path ("signed.pdf");
  g_autofree char *text = NULL;
  g_autoptr (GError) error = NULL;
  GtkWidget *signing;
  gsize length;

  g_assert_true (g_action_group_get_action_enabled (G_ACTION_GROUP (window), "sign-off"));
  signing = faint_sign_off_window_new (GTK_WINDOW (window), faint_reviewer_of (window->document));
  gtk_window_present (GTK_WINDOW (signing));
  window_test_assert_named (signing);
  faint_sign_off_window_enter (FAINT_SIGN_OFF_WINDOW (signing), "R. Viewer",
                               "Line 2 is half a width beside.");
  g_signal_connect (signing, "signed", G_CALLBACK (on_signed), NULL);
  faint_sign_off_window_write (FAINT_SIGN_OFF_WINDOW (signing), path);
  window_test_wait (window, was_signed, "the report is written");
  g_file_get_contents (path, &text, &length, &error);
  g_assert_no_error (error);
  g_assert_true (g_str_has_prefix (text, "%PDF"));
  g_assert_cmpuint (length, >, 20000);
  window_test_linger (100);
  window_test_close (window);
}

static void
test_plot (void)
{
  FaintWindow *window = window_reviewed ();
  FaintReview *review = result_of (window);
  FaintSpectrumFigure figure;
  FaintFit *claims = faint_analysis_get_fit_at (review->model, 0);
  const double *y;
  gsize n;

  faint_plot_get_figure (FAINT_PLOT (window->plot), &figure);
  g_assert_nonnull (figure.other);
  y = faint_pyramid_get_y (figure.other->model, &n);
  g_assert_cmpuint (n, ==, claims->spectrum->n);
  for (gsize t = 0; t < n; t++)
    g_assert_true (y[t] == claims->model[t] || isnan (claims->model[t]));
  g_assert_cmpuint (faint_line_list_get_n (figure.not_seen), ==, 1);
  g_assert_cmpuint (faint_line_list_get_n (figure.not_claimed), ==, 1);
  g_assert_cmpuint (faint_line_list_get_n (figure.given), ==,
                    faint_line_list_get_n (review->compared));
  /* and back to the document's own */
  faint_session_set_stage (window->session, FAINT_STAGE_LINES);
  window_test_linger (300);
  faint_plot_get_figure (FAINT_PLOT (window->plot), &figure);
  g_assert_null (figure.other);
  g_assert_null (figure.not_seen);
  g_assert_null (figure.given);
  g_assert_null (faint_plot_get_data (FAINT_PLOT (window->plot))->fit);
  faint_session_set_stage (window->session, FAINT_STAGE_REVIEW);
  window_test_wait (window, is_shown, "the review is shown again");
  window_test_close (window);
}

static void
test_selection (void)
{
  FaintWindow *window = window_reviewed ();
  FaintReviewTable *table = FAINT_REVIEW_TABLE (window->review_table);
  FaintReview *review = result_of (window);
  guint not_seen = find_row (review, FAINT_REVIEW_NOT_SEEN), all, chosen;
  double position, lower, upper;

  position = ((const FaintReviewLine *)g_ptr_array_index (review->lines, not_seen - 1))->position;
  faint_session_set_view (window->session, position + 1.0, position + 1.2);
  g_signal_emit_by_name (table, "line-chosen", not_seen);
  g_assert_cmpuint (faint_session_get_selected (window->session), ==, not_seen);
  faint_session_get_view (window->session, &lower, &upper);
  g_assert_cmpfloat (position, >=, lower);
  g_assert_cmpfloat (position, <=, upper);
  /* nothing of the document can be hit by what is selected here */
  g_assert_false (g_action_group_get_action_enabled (G_ACTION_GROUP (window), "remove-lines"));
  /* the filter leaves what stands out */
  all = faint_review_table_get_n_shown (table);
  faint_review_table_set_only_different (table, TRUE);
  chosen = faint_review_table_get_n_shown (table);
  g_assert_cmpuint (chosen, ==,
                    review->counts[FAINT_REVIEW_DIFFERS] + review->counts[FAINT_REVIEW_NOT_SEEN]
                        + review->counts[FAINT_REVIEW_NOT_CLAIMED]);
  g_assert_cmpuint (chosen, <, all);
  faint_session_set_stage (window->session, FAINT_STAGE_DATA);
  g_assert_cmpuint (faint_session_get_selected (window->session), ==, 0);
  window_test_close (window);
}

/* Saved and opened again the review is back when the stage is; choosing a list is a step that can
 * be undone. */
static void
test_saved (void)
{
  FaintWindow *window = window_reviewed (), *again;
  g_autofree char *path = window_test_path ("reviewed.faintline");
  const char *const paths[] = { path, NULL };
  gsize differs = result_of (window)->counts[FAINT_REVIEW_DIFFERS];
  g_autoptr (GError) error = NULL;

  faint_analysis_save (faint_document_get_analysis (window->document), path, &error);
  g_assert_no_error (error);
  faint_document_undo (window->document);
  g_assert_null (faint_reviewer_get_claimed (faint_reviewer_of (window->document)));
  g_assert_null (result_of (window));
  faint_document_redo (window->document);
  g_assert_nonnull (faint_reviewer_get_claimed (faint_reviewer_of (window->document)));
  window_test_close (window);
  again = window_test_new ();
  faint_window_open (again, paths);
  window_test_wait (again, window_test_work_is_shown, "the analysis");
  window_test_wait (again, window_test_is_idle, "it is read");
  g_assert_nonnull (faint_reviewer_get_claimed (faint_reviewer_of (again->document)));
  g_assert_null (faint_reviewer_get_problem (faint_reviewer_of (again->document)));
  g_assert_null (result_of (again));
  faint_session_set_stage (again->session, FAINT_STAGE_REVIEW);
  window_test_wait (again, is_shown, "the review is back");
  g_assert_cmpuint (result_of (again)->counts[FAINT_REVIEW_DIFFERS], ==, differs);
  window_test_close (again);
}

/* A list that is another now is told of, and reviewed only when asked. */
static void
test_list_changed (void)
{
  FaintWindow *window = window_reviewed (), *again;
  g_autofree char *path = window_test_path ("other.faintline");
  g_autofree char *list = window_test_path ("claimed.csv"), *text = NULL, *longer = NULL;
  const char *const paths[] = { path, NULL };
  g_autoptr (GError) error = NULL;

  faint_analysis_save (faint_document_get_analysis (window->document), path, &error);
  g_assert_no_error (error);
  window_test_close (window);
  g_file_get_contents (list, &text, NULL, &error);
  longer = g_strconcat (text, "\n", NULL);
  g_file_set_contents (list, longer, -1, &error);
  g_assert_no_error (error);
  again = window_test_new ();
  faint_window_open (again, paths);
  window_test_wait (again, window_test_work_is_shown, "the analysis");
  window_test_wait (again, window_test_is_idle, "it is read");
  g_assert_nonnull (strstr (faint_reviewer_get_problem (faint_reviewer_of (again->document)),
                            "claimed.csv has changed"));
  faint_session_set_stage (again->session, FAINT_STAGE_REVIEW);
  window_test_linger (300);
  g_assert_true (window_test_is_idle (again));
  g_assert_null (result_of (again));
  window_test_close (again);
}

static gboolean
errors_are_drawn (FaintWindow *window)
{
  double x, y;

  return faint_errors_view_find (FAINT_ERRORS_VIEW (errors_of (window)), 1, 0, &x, &y);
}

static gpointer
controller_of (GtkWidget *widget, GType type)
{
  g_autoptr (GListModel) all = gtk_widget_observe_controllers (widget);

  for (guint i = 0; i < g_list_model_get_n_items (all); i++)
    {
      g_autoptr (GObject) it = g_list_model_get_item (all, i);

      if (G_TYPE_CHECK_INSTANCE_TYPE (it, type))
        return it; /* the widget keeps it */
    }
  g_assert_not_reached ();
}

/* A point of the figure is its line: chosen by click and keys, marked when the line is. */
static void
test_points (void)
{
  FaintWindow *window = window_reviewed ();
  FaintReview *review = result_of (window);
  FaintErrorsView *view = FAINT_ERRORS_VIEW (errors_of (window));
  guint differs = find_row (review, FAINT_REVIEW_DIFFERS);
  const FaintReviewLine *line = g_ptr_array_index (review->lines, differs - 1);
  g_autofree char *position = g_strdup_printf ("%.5f", line->position), *text = NULL;
  gboolean handled;
  double x, y;

  window_test_wait (window, errors_are_drawn, "the figure is drawn");
  g_assert_true (faint_errors_view_find (view, differs, 0, &x, &y));
  text = faint_errors_view_describe_at (view, x + 2.0, y);
  g_assert_nonnull (strstr (text, position));
  g_assert_nonnull (strstr (text, "Position, Eₙ"));
  g_assert_null (faint_errors_view_describe_at (view, -100.0, -100.0));
  g_signal_emit_by_name (controller_of (GTK_WIDGET (view), GTK_TYPE_GESTURE_CLICK), "pressed", 1, x,
                         y);
  g_assert_cmpuint (faint_session_get_selected (window->session), ==, differs);
  g_signal_emit_by_name (controller_of (GTK_WIDGET (view), GTK_TYPE_EVENT_CONTROLLER_KEY),
                         "key-pressed", GDK_KEY_Left, 0, 0, &handled);
  g_assert_true (handled);
  g_assert_cmpuint (faint_session_get_selected (window->session), <, differs);
  g_assert_cmpuint (faint_session_get_selected (window->session), >, 0);
  g_signal_emit_by_name (controller_of (GTK_WIDGET (view), GTK_TYPE_EVENT_CONTROLLER_KEY),
                         "key-pressed", GDK_KEY_Right, 0, 0, &handled);
  g_assert_cmpuint (faint_session_get_selected (window->session), ==, differs);
  window_test_close (window);
}

static void
test_cancel (void)
{
  FaintWindow *window = window_test_open ();

  open_claimed (window);
  window_test_act (window, "review");
  g_assert_false (window_test_is_idle (window));
  window_test_act (window, "cancel");
  window_test_linger (1000);
  g_assert_null (result_of (window));
  g_assert_false (window_test_message_is_shown (window));
  window_test_close (window);
}

static void
test_bad_list (void)
{
  FaintWindow *window = window_test_open ();

  g_assert_false (faint_review_pane_read_claimed (FAINT_REVIEW_PANE (window->review_pane),
                                                  window_test_sample ()));
  g_assert_false (g_action_group_get_action_enabled (G_ACTION_GROUP (window), "review"));
  window_test_close (window);
}

int
main (int argc, char **argv)
{
  int failed;

  gtk_test_init (&argc, &argv, NULL);
  gsl_set_error_handler_off ();
  window_test_begin ();
  g_test_add_func ("/window/review/verdicts", test_verdicts);
  g_test_add_func ("/window/review/sample", test_sample);
  g_test_add_func ("/window/review/sign-off", test_sign_off);
  g_test_add_func ("/window/review/plot", test_plot);
  g_test_add_func ("/window/review/selection", test_selection);
  g_test_add_func ("/window/review/points", test_points);
  g_test_add_func ("/window/review/saved", test_saved);
  g_test_add_func ("/window/review/list-changed", test_list_changed);
  g_test_add_func ("/window/review/cancel", test_cancel);
  g_test_add_func ("/window/review/bad-list", test_bad_list);
  failed = g_test_run ();
  window_test_end ();
  return failed;
}

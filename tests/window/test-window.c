/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The window as a person uses it: open, find and fit, look, edit, undo, export, close. What is
 * expected comes from the library called directly, or from the scene's physics.
 */
#include <gsl/gsl_errno.h>
#include <string.h>

#include "app/help-window.h"
#include "app/line-editor.h"
#include "app/setup-field.h"
#include "faint-test.h"
#include "window-test.h"

static gboolean
is_field (GtkWidget *widget, gconstpointer key)
{
  return FAINT_IS_SETUP_FIELD (widget)
         && g_strcmp0 (faint_setup_field_get_key (FAINT_SETUP_FIELD (widget)), key) == 0;
}

static FaintSetupField *
field (FaintWindow *window, const char *key)
{
  GtkWidget *found = window_test_find (window->panes, is_field, key);

  g_assert_nonnull (found);
  return FAINT_SETUP_FIELD (found);
}

static const char *
shown_page (FaintWindow *window)
{
  return gtk_stack_get_visible_child_name (GTK_STACK (window->content));
}

static gboolean
message_is_shown (FaintWindow *window)
{
  return faint_message_bar_get_heading (FAINT_MESSAGE_BAR (window->message)) != NULL;
}

static gboolean
work_is_shown (FaintWindow *window)
{
  return strcmp (shown_page (window), "work") == 0;
}

static void
test_empty (void)
{
  FaintWindow *window = window_test_new ();
  GtkWidget *button = gtk_widget_get_first_child (window->samples);

  g_assert_cmpstr (shown_page (window), ==, "empty");
  g_assert_false (gtk_widget_get_visible (window->stages));
  g_assert_nonnull (button);
  g_signal_emit_by_name (button, "clicked");
  window_test_wait (window, work_is_shown, "the sample opens by a click");
  g_assert_true (gtk_widget_get_visible (window->stages));
  g_assert_false (faint_document_get_modified (window->document));
  window_test_wait (window, window_test_is_idle, "idle");
  window_test_close (window);
}

static void
test_open_what_is_not_there (void)
{
  FaintWindow *window = window_test_new ();
  const char *const paths[] = { "/nowhere/run-14.comb", NULL };
  const char *text;

  faint_window_open (window, paths);
  window_test_wait (window, message_is_shown, "an error in words");
  text = faint_message_bar_get_text (FAINT_MESSAGE_BAR (window->message));
  g_assert_nonnull (strstr (text, "/nowhere/run-14.comb"));
  g_assert_cmpstr (shown_page (window), ==, "empty");
  window_test_close (window);
}

static void
test_open_what_is_broken (void)
{
  FaintWindow *window = window_test_open ();
  g_autofree char *path = window_test_path ("broken.comb");
  const char *const paths[] = { path, NULL };

  g_file_set_contents (path, "# comb-table 1\n# columns = tooth transmission\n1 one\n", -1, NULL);
  faint_window_open (window, paths);
  window_test_wait (window, message_is_shown, "an error in words");
  g_assert_nonnull (
      strstr (faint_message_bar_get_text (FAINT_MESSAGE_BAR (window->message)), "line 3"));
  /* what was open stays open */
  g_assert_true (work_is_shown (window));
  window_test_close (window);
}

static void
test_find_and_fit (void)
{
  FaintWindow *window = window_test_fitted ();
  const char *const paths[] = { window_test_sample () };
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintAnalysis) analysis = faint_analysis_new (paths, 1, NULL, NULL, &error);
  g_autoptr (FaintFit) fit = NULL;

  g_assert_no_error (error);
  fit = faint_analysis_run (analysis, TRUE, NULL, &error);
  g_assert_no_error (error);
  g_assert_cmpuint (faint_line_list_get_n (fit->lines), >, 0);
  g_assert_cmpuint (window_test_n_lines (window), ==, faint_line_list_get_n (fit->lines));
  for (gsize i = 0; i < window_test_n_lines (window); i++)
    {
      const FaintLine *want = faint_line_list_get (fit->lines, i);

      /* same inputs, same bits */
      g_assert_cmpfloat (window_test_line (window, i)->position.value, ==, want->position.value);
      g_assert_cmpfloat (window_test_line (window, i)->strength.value, ==, want->strength.value);
    }
  g_assert_nonnull (faint_plot_get_data (FAINT_PLOT (window->plot))->fit);
  g_assert_cmpuint (faint_line_table_get_n_shown (FAINT_LINE_TABLE (window->table)), ==,
                    faint_line_list_get_n (fit->lines));
  g_assert_cmpstr (faint_document_get_undo_label (window->document), ==, "Find and Fit");
  window_test_close (window);
}

static void
test_cancel (void)
{
  FaintWindow *window = window_test_open ();

  window_test_act (window, "find-and-fit");
  g_assert_false (window_test_is_idle (window));
  window_test_act (window, "cancel");
  g_assert_true (window_test_is_idle (window));
  window_test_linger (1500);
  /* a normal ending: nothing changed, nothing said */
  g_assert_cmpuint (window_test_n_lines (window), ==, 0);
  g_assert_false (message_is_shown (window));
  g_assert_null (faint_document_get_undo_label (window->document));
  window_test_close (window);
}

static void
test_table_and_plot_are_linked (void)
{
  FaintWindow *window = window_test_fitted ();
  FaintLineTable *table = FAINT_LINE_TABLE (window->table);
  g_autoptr (GArray) selected = NULL;
  const FaintLine *line = window_test_line (window, 2);
  double lower, upper;

  faint_line_table_select_row (table, 2);
  g_assert_cmpuint (faint_session_get_selected (window->session), ==, line->id);

  faint_session_set_view (window->session, line->position.value - 0.01,
                          line->position.value + 0.01);
  faint_session_set_selected (window->session, window_test_line (window, 0)->id);
  selected = faint_line_table_get_selected (table);
  g_assert_cmpuint (selected->len, ==, 1);
  g_assert_cmpuint (g_array_index (selected, guint, 0), ==, window_test_line (window, 0)->id);
  /* the plot shows what is selected, at the same zoom */
  faint_session_get_view (window->session, &lower, &upper);
  g_assert_cmpfloat (window_test_line (window, 0)->position.value, >=, lower);
  g_assert_cmpfloat (window_test_line (window, 0)->position.value, <=, upper);
  faint_assert_near (upper - lower, 0.02, 1e-9, "sums of a few doubles near 7800");

  window_test_act (window, "next-line");
  g_assert_cmpuint (faint_session_get_selected (window->session), ==,
                    window_test_line (window, 1)->id);
  window_test_close (window);
}

static void
test_table_sorts_and_filters (void)
{
  FaintWindow *window = window_test_fitted ();
  FaintLineTable *table = FAINT_LINE_TABLE (window->table);
  const FaintLine *first = window_test_line (window, 0);
  g_autofree char *range
      = g_strdup_printf ("%.4f..%.4f", first->position.value - 1e-3, first->position.value + 1e-3);
  double last = INFINITY;
  g_autofree char *text = NULL;
  g_auto (GStrv) rows = NULL;

  faint_line_table_sort_by (table, FAINT_LINE_COLUMN_STRENGTH, GTK_SORT_DESCENDING);
  for (guint row = 0; row < faint_line_table_get_n_shown (table); row++)
    {
      const FaintLine *line
          = faint_document_get_line (window->document, faint_line_table_get_id (table, row));

      g_assert_cmpfloat (line->strength.value, <=, last);
      last = line->strength.value;
    }
  gtk_editable_set_text (GTK_EDITABLE (window->filter_entry), range);
  faint_line_table_set_filter (table, range);
  g_assert_cmpuint (faint_line_table_get_n_shown (table), ==, 1);
  g_assert_cmpuint (faint_line_table_get_id (table, 0), ==, first->id);
  text = faint_line_table_to_text (table);
  rows = g_strsplit (text, "\n", -1);
  g_assert_cmpuint (g_strv_length (rows), ==, 3); /* heads, the row, and what follows its end */
  g_assert_nonnull (strstr (rows[1], "\t"));
  window_test_close (window);
}

static void
test_edit_pressure (void)
{
  FaintWindow *window = window_test_fitted ();
  double pressure
      = faint_analysis_get_setup (faint_document_get_analysis (window->document))->pressure.value;
  FaintParameter before = window_test_line (window, 0)->strength, after;
  g_autofree char *text = g_strdup_printf ("%.17g Pa", 2 * pressure);

  g_assert_true (faint_setup_field_enter (field (window, "pressure"), text));
  g_assert_cmpstr (faint_document_get_undo_label (window->document), ==, "Edit Pressure");
  g_assert_false (window_test_is_current (window));
  window_test_wait (window, window_test_is_current, "the fit follows the edit");
  after = window_test_line (window, 0)->strength;
  /* the model knows strength times number density only, and that doubles with the pressure; both
   * fits end within a thousandth of u of the optimum, Lorentz widths are free */
  faint_assert_near (after.value, before.value / 2, 4e-3 * before.u_noise, "two fits' convergence");
  /* the fit belongs to the edit */
  g_assert_cmpstr (faint_document_get_undo_label (window->document), ==, "Edit Pressure");

  window_test_act (window, "undo");
  g_assert_cmpfloat (window_test_line (window, 0)->strength.value, ==, before.value);
  g_assert_true (window_test_is_current (window));
  g_assert_cmpstr (faint_document_get_redo_label (window->document), ==, "Edit Pressure");
  window_test_act (window, "redo");
  g_assert_cmpfloat (window_test_line (window, 0)->strength.value, ==, after.value);
  window_test_close (window);
}

static void
test_wrong_entry_is_said_beside_it (void)
{
  FaintWindow *window = window_test_open ();
  FaintAnalysis *before = faint_document_get_analysis (window->document);
  FaintSetupField *pressure = field (window, "pressure");

  g_assert_false (faint_setup_field_enter (pressure, "fast"));
  g_assert_nonnull (strstr (faint_setup_field_get_error (pressure), "fast"));
  g_assert_false (faint_setup_field_enter (pressure, "-1 hPa"));
  g_assert_nonnull (faint_setup_field_get_error (pressure));
  g_assert_true (faint_document_get_analysis (window->document) == before);
  g_assert_true (faint_setup_field_enter (pressure, "1.30(1) hPa"));
  g_assert_null (faint_setup_field_get_error (pressure));
  window_test_close (window);
}

static void
test_add_move_remove (void)
{
  FaintWindow *window = window_test_fitted ();
  gsize n = window_test_n_lines (window);
  double lower, upper, at;
  guint id;
  g_autofree char *label = NULL;

  faint_session_get_limits (window->session, &lower, &upper);
  at = lower + 0.37 * (upper - lower);
  g_signal_emit_by_name (window->plot, "add-line", at);
  g_assert_cmpuint (window_test_n_lines (window), ==, n + 1);
  id = faint_session_get_selected (window->session);
  g_assert_cmpfloat (faint_document_get_line (window->document, id)->position.value, ==, at);
  label = g_strdup_printf ("Add Line %.3f", at);
  g_assert_cmpstr (faint_document_get_undo_label (window->document), ==, label);

  g_signal_emit_by_name (window->plot, "line-moved", id, at + 0.01);
  g_assert_cmpfloat (faint_document_get_line (window->document, id)->position.value, ==, at + 0.01);

  window_test_act (window, "remove-lines");
  g_assert_cmpuint (window_test_n_lines (window), ==, n);
  g_assert_null (faint_document_get_line (window->document, id));

  window_test_act (window, "undo");
  window_test_act (window, "undo");
  window_test_act (window, "undo");
  g_assert_cmpuint (window_test_n_lines (window), ==, n);
  g_assert_true (window_test_is_current (window));
  window_test_close (window);
}

static gboolean
is_check (GtkWidget *widget, gconstpointer data)
{
  return GTK_IS_CHECK_BUTTON (widget);
}

static gboolean
is_editor (GtkWidget *widget, gconstpointer data)
{
  return FAINT_IS_LINE_EDITOR (widget);
}

static void
test_fix_position (void)
{
  FaintWindow *window = window_test_fitted ();
  GtkWidget *editor = window_test_find (window->panes, is_editor, NULL);
  GtkWidget *check = window_test_find (editor, is_check, NULL);
  guint id = window_test_line (window, 1)->id;
  double position = window_test_line (window, 1)->position.value;

  faint_session_set_selected (window->session, id);
  gtk_check_button_set_active (GTK_CHECK_BUTTON (check), TRUE);
  window_test_wait (window, window_test_is_current, "the fit follows");
  g_assert_cmpint (faint_document_get_line (window->document, id)->position.state, ==,
                   FAINT_STATE_FIXED);
  g_assert_cmpfloat (faint_document_get_line (window->document, id)->position.value, ==, position);
  g_assert_true (faint_document_get_line (window->document, id)->flags & FAINT_LINE_POSITION_FIXED);
  window_test_act (window, "undo");
  g_assert_cmpint (faint_document_get_line (window->document, id)->position.state, ==,
                   FAINT_STATE_FREE);
  g_assert_false (gtk_check_button_get_active (GTK_CHECK_BUTTON (check)));
  window_test_close (window);
}

static void
on_exported (GObject *source, GAsyncResult *result, gpointer data)
{
  g_autoptr (GError) error = NULL;

  faint_document_export_finish (FAINT_DOCUMENT (source), result, &error);
  g_assert_no_error (error);
  *(gboolean *)data = TRUE;
}

static char *
exported (FaintWindow *window, FaintExport what, const char *name, gsize *length)
{
  g_autofree char *path = window_test_path (name);
  g_autoptr (GError) error = NULL;
  gboolean done = FALSE;
  char *text = NULL;

  faint_document_export_async (window->document, what, path, on_exported, &done);
  while (!done)
    g_main_context_iteration (NULL, TRUE);
  g_file_get_contents (path, &text, length, &error);
  g_assert_no_error (error);
  return text;
}

static void
test_exports (void)
{
  FaintWindow *window = window_test_fitted ();
  FaintAnalysis *analysis = faint_document_get_analysis (window->document);
  gsize length;
  g_autofree char *csv = exported (window, FAINT_EXPORT_LINES, "lines.csv", &length);
  g_autofree char *comb = exported (window, FAINT_EXPORT_COMB_TABLE, "copy.comb", &length);
  g_autofree char *pdf = exported (window, FAINT_EXPORT_REPORT, "report.pdf", &length);
  g_autofree char *want_csv = faint_analysis_lines_csv (analysis, NULL);
  g_autofree char *want_comb
      = faint_comb_table_to_text (faint_analysis_get_spectrum (analysis), NULL);
  const char *rows = strstr (csv, "\nid,");
  const char *want_rows = strstr (want_csv, "\nid,");

  /* all but the preamble, which has the date */
  g_assert_nonnull (rows);
  g_assert_cmpstr (rows, ==, want_rows);
  g_assert_cmpstr (comb, ==, want_comb);
  g_assert_cmpint (strncmp (pdf, "%PDF-", 5), ==, 0);
  window_test_close (window);
}

static void
test_figure_export (void)
{
  FaintWindow *window = window_test_fitted ();
  static const char *const kinds[] = { "png", "svg", "pdf" };
  static const char *const marks[] = { "\x89PNG", "<?xml", "%PDF-" };
  g_autofree char *wrong = window_test_path ("figure.bmp");
  g_autoptr (GError) error = NULL;

  for (guint i = 0; i < G_N_ELEMENTS (kinds); i++)
    {
      g_autofree char *name = g_strdup_printf ("figure.%s", kinds[i]);
      g_autofree char *path = window_test_path (name);
      g_autofree char *bytes = NULL;

      _faint_window_write_figure (window, path, &error);
      g_assert_no_error (error);
      g_assert_true (g_file_get_contents (path, &bytes, NULL, NULL));
      g_assert_cmpint (strncmp (bytes, marks[i], strlen (marks[i])), ==, 0);
    }
  g_assert_false (_faint_window_write_figure (window, wrong, &error));
  g_assert_nonnull (strstr (error->message, "bmp"));
  window_test_close (window);
}

static void
on_saved (GObject *source, GAsyncResult *result, gpointer data)
{
  g_autoptr (GError) error = NULL;

  faint_document_save_finish (FAINT_DOCUMENT (source), result, &error);
  g_assert_no_error (error);
  *(gboolean *)data = TRUE;
}

static void
test_save_and_open_again (void)
{
  FaintWindow *window = window_test_fitted ();
  FaintWindow *again = window_test_new ();
  g_autofree char *path = window_test_path ("run.faintline");
  const char *const paths[] = { path, NULL };
  gboolean done = FALSE;

  g_assert_true (faint_document_get_modified (window->document));
  faint_document_save_async (window->document, path, on_saved, &done);
  while (!done)
    g_main_context_iteration (NULL, TRUE);
  g_assert_false (faint_document_get_modified (window->document));
  g_assert_cmpstr (faint_document_get_path (window->document), ==, path);

  faint_window_open (again, paths);
  window_test_wait (again, work_is_shown, "the analysis opens");
  g_assert_cmpstr (faint_document_get_path (again->document), ==, path);
  g_assert_cmpuint (window_test_n_lines (again), ==, window_test_n_lines (window));
  g_assert_cmpfloat (window_test_line (again, 0)->position.value, ==,
                     window_test_line (window, 0)->position.value);
  g_assert_true (window_test_is_current (again));
  window_test_act (window, "undo");
  g_assert_true (faint_document_get_modified (window->document));
  window_test_act (window, "redo");
  g_assert_false (faint_document_get_modified (window->document));
  window_test_close (again);
  window_test_close (window);
}

static GtkWidget *
find_dialog (FaintWindow *window)
{
  GListModel *toplevels = gtk_window_get_toplevels ();

  for (guint i = 0; i < g_list_model_get_n_items (toplevels); i++)
    {
      g_autoptr (GtkWidget) toplevel = g_list_model_get_item (toplevels, i);

      if (GTK_IS_MESSAGE_DIALOG (toplevel)
          && gtk_window_get_transient_for (GTK_WINDOW (toplevel)) == GTK_WINDOW (window))
        return toplevel;
    }
  return NULL;
}

static void
test_question_on_close (void)
{
  FaintWindow *window = window_test_fitted ();
  gpointer weak = window;

  g_object_add_weak_pointer (G_OBJECT (window), &weak);
  gtk_window_close (GTK_WINDOW (window));
  g_assert_nonnull (weak);
  g_assert_nonnull (find_dialog (window));
  gtk_dialog_response (GTK_DIALOG (find_dialog (window)), GTK_RESPONSE_CANCEL);
  window_test_linger (50);
  g_assert_nonnull (weak);
  g_assert_null (find_dialog (window));

  gtk_window_close (GTK_WINDOW (window));
  gtk_dialog_response (GTK_DIALOG (find_dialog (window)), GTK_RESPONSE_REJECT);
  for (guint i = 0; weak && i < 100; i++)
    window_test_linger (50);
  g_assert_null (weak);
}

static void
test_close_while_it_works (void)
{
  FaintWindow *window = window_test_open ();

  window_test_act (window, "find-and-fit");
  window_test_linger (50);
  window_test_close (window);
  window_test_linger (500);
}

static void
test_stages (void)
{
  FaintWindow *window = window_test_open ();
  static const char *const names[] = { "data", "cavity", "lines", "strengths" };

  for (guint i = 0; i < G_N_ELEMENTS (names); i++)
    {
      g_action_group_change_action_state (G_ACTION_GROUP (window), "stage",
                                          g_variant_new_string (names[i]));
      g_assert_cmpint (faint_session_get_stage (window->session), ==, i);
      g_assert_cmpstr (gtk_stack_get_visible_child_name (GTK_STACK (window->panes)), ==, names[i]);
      window_test_linger (100);
    }
  window_test_close (window);
}

static void
test_fold_table (void)
{
  FaintWindow *window = window_test_open ();

  g_action_group_activate_action (G_ACTION_GROUP (window), "table-shown", NULL);
  g_assert_false (gtk_widget_get_visible (window->table));
  window_test_linger (100);
  window_test_act (window, "filter");
  g_assert_true (gtk_widget_get_visible (window->table));
  window_test_linger (100);
  window_test_close (window);
}

static void
test_manual (void)
{
  FaintWindow *window = window_test_open ();
  GtkWidget *manual = faint_help_window_new (GTK_WINDOW (window), FAINT_STAGE_CAVITY);
  g_autofree char *text = faint_help_window_get_text (FAINT_HELP_WINDOW (manual));
  static const char *const headings[] = { "Safety", "Data", "Cavity", "Lines", "Strengths" };
  static const char *const cautions[] = { "Laser light", "toxic", "Vacuum", "High voltage" };

  gtk_window_present (GTK_WINDOW (manual));
  for (guint i = 0; i < G_N_ELEMENTS (headings); i++)
    g_assert_true (faint_help_window_show_section (FAINT_HELP_WINDOW (manual), headings[i]));
  for (guint i = 0; i < G_N_ELEMENTS (cautions); i++)
    g_assert_nonnull (strstr (text, cautions[i]));
  window_test_linger (100);
  window_test_act (window, "shortcuts");
  window_test_linger (200);
  window_test_close (window);
}

/* Kinds of widgets that a person acts on; their insides are GTK's. */
static gboolean
is_control (GtkWidget *widget)
{
  return GTK_IS_BUTTON (widget) || GTK_IS_ENTRY (widget) || GTK_IS_DROP_DOWN (widget)
         || GTK_IS_SPIN_BUTTON (widget) || GTK_IS_CHECK_BUTTON (widget)
         || GTK_IS_MENU_BUTTON (widget) || GTK_IS_SEARCH_ENTRY (widget)
         || GTK_IS_COLUMN_VIEW (widget) || FAINT_IS_PLOT (widget) || FAINT_IS_OVERVIEW (widget);
}

static void
assert_named (GtkWidget *widget)
{
  if (is_control (widget))
    {
      GtkAccessible *accessible = GTK_ACCESSIBLE (widget);

      if (!gtk_test_accessible_has_property (accessible, GTK_ACCESSIBLE_PROPERTY_LABEL)
          && !gtk_test_accessible_has_relation (accessible, GTK_ACCESSIBLE_RELATION_LABELLED_BY))
        {
          g_test_message ("%s (%s) has no name", G_OBJECT_TYPE_NAME (widget),
                          gtk_widget_get_tooltip_text (widget));
          g_test_fail ();
        }
      return;
    }
  if (GTK_IS_WINDOW_CONTROLS (widget))
    return;
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child;
       child = gtk_widget_get_next_sibling (child))
    assert_named (child);
}

static void
test_controls_have_names (void)
{
  FaintWindow *window = window_test_fitted ();

  assert_named (GTK_WIDGET (window));
  window_test_close (window);
}

int
main (int argc, char **argv)
{
  int status;

  gsl_set_error_handler_off ();
  gtk_test_init (&argc, &argv, NULL);
  window_test_begin ();

  g_test_add_func ("/window/empty", test_empty);
  g_test_add_func ("/window/open/not-there", test_open_what_is_not_there);
  g_test_add_func ("/window/open/broken", test_open_what_is_broken);
  g_test_add_func ("/window/find-and-fit", test_find_and_fit);
  g_test_add_func ("/window/cancel", test_cancel);
  g_test_add_func ("/window/table/linked", test_table_and_plot_are_linked);
  g_test_add_func ("/window/table/sorts-and-filters", test_table_sorts_and_filters);
  g_test_add_func ("/window/edit/pressure", test_edit_pressure);
  g_test_add_func ("/window/edit/wrong-entry", test_wrong_entry_is_said_beside_it);
  g_test_add_func ("/window/edit/add-move-remove", test_add_move_remove);
  g_test_add_func ("/window/edit/fix-position", test_fix_position);
  g_test_add_func ("/window/export/files", test_exports);
  g_test_add_func ("/window/export/figure", test_figure_export);
  g_test_add_func ("/window/save-and-open", test_save_and_open_again);
  g_test_add_func ("/window/close/question", test_question_on_close);
  g_test_add_func ("/window/close/while-it-works", test_close_while_it_works);
  g_test_add_func ("/window/stages", test_stages);
  g_test_add_func ("/window/fold-table", test_fold_table);
  g_test_add_func ("/window/manual", test_manual);
  g_test_add_func ("/window/controls-have-names", test_controls_have_names);
  status = g_test_run ();
  window_test_end ();
  return status;
}

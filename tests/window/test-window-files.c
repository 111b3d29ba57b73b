/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The window and its files: opening, what cannot be opened, foreign text, lists, exports, saving,
 * closing. Files are compared with what the library writes when called directly.
 */
#include <glib/gstdio.h>
#include <gsl/gsl_errno.h>
#include <string.h>

#include "app/data/import-window.h"
#include "app/window/record-window.h"
#include "app/document/recovery.h"
#include "faint-test.h"
#include "figure/report.h"
#include "window-test.h"

static void
test_empty (void)
{
  FaintWindow *window = window_test_new ();
  GtkWidget *button = gtk_widget_get_first_child (
      faint_start_page_get_samples (FAINT_START_PAGE (window->start_page)));

  g_assert_cmpstr (window_test_page (window), ==, "empty");
  g_assert_false (gtk_widget_get_visible (window->stages));
  g_assert_nonnull (button);
  g_signal_emit_by_name (button, "clicked");
  window_test_wait (window, window_test_work_is_shown, "the sample opens by a click");
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
  window_test_wait (window, window_test_message_is_shown, "an error in words");
  text = faint_message_bar_get_text (FAINT_MESSAGE_BAR (window->message));
  g_assert_nonnull (strstr (text, "/nowhere/run-14.comb"));
  g_assert_cmpstr (window_test_page (window), ==, "empty");
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
  window_test_wait (window, window_test_message_is_shown, "an error in words");
  g_assert_nonnull (
      strstr (faint_message_bar_get_text (FAINT_MESSAGE_BAR (window->message)), "line 3"));
  /* what was open stays open */
  g_assert_true (window_test_work_is_shown (window));
  window_test_close (window);
}

/* Whether the list of recent files offers @path. */
static gboolean
offers (FaintWindow *window, const char *path)
{
  GMenuModel *menu = gtk_menu_button_get_menu_model (GTK_MENU_BUTTON (window->recent_button));
  gboolean found = FALSE;

  for (int i = 0; i < g_menu_model_get_n_items (menu); i++)
    {
      g_autoptr (GVariant) target
          = g_menu_model_get_item_attribute_value (menu, i, "target", G_VARIANT_TYPE_STRING);

      found = found || (target && strcmp (g_variant_get_string (target, NULL), path) == 0);
    }
  return found;
}

/* Spectra and analyses, whatever their ending; not what was exported, nor what did not open. */
static void
test_recent (void)
{
  FaintWindow *window = window_test_open ();
  g_autofree char *report = window_test_path ("review.pdf");
  g_autofree char *uri = g_filename_to_uri (report, NULL, NULL);
  g_autofree char *text = window_test_path ("recent.txt");
  g_autofree char *broken = window_test_path ("recent-broken.dat");
  const char *const paths[] = { text, NULL };
  const char *const broken_paths[] = { broken, NULL };
  GString *rows = g_string_new ("wavenumber/cm-1,transmission\n");

  for (guint i = 0; i < 64; i++)
    g_string_append_printf (rows, "%.3f,0.%u\n", 6500 + 0.01 * i, 990 + i % 7);
  g_assert_true (g_file_set_contents (text, rows->str, -1, NULL));
  g_assert_true (g_file_set_contents (report, "%PDF", -1, NULL));
  g_assert_true (g_file_set_contents (broken, "# comb-table 1\nno\n", -1, NULL));
  g_string_free (rows, TRUE);
  faint_window_open (window, paths);
  window_test_linger (200);
  window_test_wait (window, window_test_is_idle, "the text opens");
  /* as the dialog for a file to write does by itself */
  gtk_recent_manager_add_item (gtk_recent_manager_get_default (), uri);
  faint_window_open (window, broken_paths);
  window_test_wait (window, window_test_message_is_shown, "an error in words");
  window_test_linger (300);
  _faint_window_fill_recent (window);
  g_assert_true (offers (window, window_test_sample ()));
  g_assert_true (offers (window, text));
  g_assert_false (offers (window, report));
  g_assert_false (offers (window, broken));
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
  g_autofree char *brief = exported (window, FAINT_EXPORT_REPORT_SHORT, "brief.pdf", &length);
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

/* Every format is exported and read again as what it is; what is lost is told. */
static void
test_list_formats (void)
{
  FaintWindow *window = window_test_fitted ();
  gsize n = faint_line_list_get_n (faint_document_get_lines (window->document)), length;

  for (guint i = 0; i < FAINT_LIST_N; i++)
    {
      g_autofree char *name
          = g_strdup_printf ("lines.%s", faint_list_format_suffix ((FaintListFormat)i));
      g_autofree char *text = exported (window, FAINT_EXPORT_LINES, name, &length);
      g_autoptr (GError) error = NULL;
      g_autoptr (FaintListFile) file = faint_list_file_parse (text, length, name, &error);

      g_assert_no_error (error);
      g_assert_cmpint (file->format, ==, i);
      g_assert_cmpuint (faint_line_list_get_n (file->lines), ==, n);
    }
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

/* What is selected or marked in the window is no part of the figure. */
static void
test_figure_without_marks (void)
{
  FaintWindow *window = window_test_fitted ();
  static const FaintSurfaceFormat formats[] = { FAINT_SURFACE_PNG, FAINT_SURFACE_SVG };

  for (guint i = 0; i < G_N_ELEMENTS (formats); i++)
    {
      const FaintLine *line = window_test_line (window, 0);
      g_autoptr (GError) error = NULL;
      g_autoptr (GBytes) plain = NULL, selected = NULL;
      double lower, upper;

      faint_session_set_selected (window->session, 0);
      plain = _faint_window_render_figure (window, formats[i], &error);
      g_assert_no_error (error);
      faint_session_get_view (window->session, &lower, &upper);
      faint_session_set_selected (window->session, line->id);
      faint_session_set_view (window->session, lower, upper);
      selected = _faint_window_render_figure (window, formats[i], &error);
      g_assert_no_error (error);
      g_assert_true (g_bytes_equal (plain, selected));
    }
  window_test_close (window);
}

/* Printed to a file, as a printer would get it; there is no printer here. */
static void
test_print (void)
{
  FaintWindow *window = window_test_fitted ();
  static const char *const names[] = { "printed-report.pdf", "printed-figure.pdf" };
  g_autofree char *reader = g_find_program_in_path ("pdfinfo");

  for (guint i = 0; i < G_N_ELEMENTS (names); i++)
    {
      g_autofree char *path = window_test_path (names[i]);
      g_autofree char *bytes = NULL, *said = NULL, *pages = NULL;
      guint wanted
          = i == 0 ? faint_report_count_pages (faint_document_get_analysis (window->document)) : 1;
      const char *command[] = { reader, path, NULL };

      _faint_window_print (window, i == 0 ? FAINT_PRINTED_REPORT : FAINT_PRINTED_FIGURE,
                           GTK_PRINT_OPERATION_ACTION_EXPORT, path);
      g_assert_true (g_file_get_contents (path, &bytes, NULL, NULL));
      g_assert_cmpint (strncmp (bytes, "%PDF-", 5), ==, 0);
      if (reader == NULL)
        continue;
      g_assert_true (g_spawn_sync (NULL, (char **)command, NULL, G_SPAWN_DEFAULT, NULL, NULL, &said,
                                   NULL, NULL, NULL));
      pages = g_strdup_printf ("Pages:           %u\n", wanted);
      g_assert_nonnull (strstr (said, pages));
      g_assert_nonnull (strstr (said, "(A4)"));
    }
  window_test_close (window);
}

static void
on_read (GObject *source, GAsyncResult *result, gpointer data)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (GInputStream) stream
      = gdk_clipboard_read_finish (GDK_CLIPBOARD (source), result, NULL, &error);
  char *begin = data;

  g_assert_no_error (error);
  g_input_stream_read_all (stream, begin, 5, NULL, NULL, &error);
  g_assert_no_error (error);
}

static void
test_copy_figure (void)
{
  FaintWindow *window = window_test_fitted ();
  GdkClipboard *clipboard = gtk_widget_get_clipboard (GTK_WIDGET (window));
  static const char *const types[] = { "image/png", "image/svg+xml" };
  static const char *const marks[] = { "\x89PNG", "<?xml" };

  window_test_act (window, "copy-figure");
  for (guint i = 0; i < G_N_ELEMENTS (types); i++)
    {
      const char *wanted[] = { types[i], NULL };
      char begin[6] = "";

      gdk_clipboard_read_async (clipboard, wanted, G_PRIORITY_DEFAULT, NULL, on_read, begin);
      while (begin[0] == '\0')
        g_main_context_iteration (NULL, TRUE);
      g_assert_cmpint (strncmp (begin, marks[i], strlen (marks[i])), ==, 0);
    }
  window_test_close (window);
}

/* An edit is told with its time; undone, its entry is gone; a fit that was asked for is told. */
static void
test_record (void)
{
  FaintWindow *window = window_test_fitted ();
  const FaintLine *line = window_test_line (window, 0);
  GtkWidget *record = faint_record_window_new (GTK_WINDOW (window), window->document);
  g_autofree char *before = faint_record_window_get_text (FAINT_RECORD_WINDOW (record));
  g_autofree char *moved = NULL, *undone = NULL;

  g_assert_nonnull (strstr (before, "lines found and fitted"));
  g_assert_true (
      g_regex_match_simple ("^\\d{4}-\\d\\d-\\d\\dT\\d\\d:\\d\\d:\\d\\dZ", before, 0, 0));
  faint_document_move_line (window->document, line->id, line->position.value + 0.001);
  moved = faint_record_window_get_text (FAINT_RECORD_WINDOW (record));
  g_assert_nonnull (strstr (moved, " moved from "));
  window_test_wait (window, window_test_is_current, "the fit that follows");
  faint_document_undo (window->document);
  undone = faint_record_window_get_text (FAINT_RECORD_WINDOW (record));
  g_assert_cmpstr (undone, ==, before);
  window_test_assert_named (record);
  gtk_window_destroy (GTK_WINDOW (record));
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
  window_test_wait (again, window_test_work_is_shown, "the analysis opens");
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

/* Its sum in the analysis is not that of the file: as if the file had changed since. */
static void
test_changed_input (void)
{
  FaintWindow *window = window_test_fitted ();
  FaintWindow *again = window_test_new ();
  g_autofree char *path = window_test_path ("changed.faintline");
  g_autofree char *text = NULL, *name = g_path_get_basename (window_test_sample ());
  const char *const paths[] = { path, NULL };
  gboolean done = FALSE;
  char *sum;

  faint_document_save_async (window->document, path, on_saved, &done);
  while (!done)
    g_main_context_iteration (NULL, TRUE);
  window_test_close (window);
  g_assert_true (g_file_get_contents (path, &text, NULL, NULL));
  sum = strstr (text, "sha256=");
  g_assert_nonnull (sum);
  sum += strlen ("sha256=");
  *sum = *sum == '0' ? '1' : '0';
  g_assert_true (g_file_set_contents (path, text, -1, NULL));

  faint_window_open (again, paths);
  window_test_wait (again, window_test_message_is_shown, "the change is told");
  g_assert_nonnull (strstr (faint_message_bar_get_text (FAINT_MESSAGE_BAR (again->message)), name));
  g_assert_cmpstr (gtk_label_get_text (GTK_LABEL (again->status_label)), ==,
                   "Changed since the last fit");
  g_assert_cmpuint (window_test_n_lines (again), >, 0);
  window_test_close (again);
}

static gboolean
find_import (FaintWindow *window)
{
  GListModel *toplevels = gtk_window_get_toplevels ();

  for (guint i = 0; i < g_list_model_get_n_items (toplevels); i++)
    {
      g_autoptr (GtkWidget) toplevel = g_list_model_get_item (toplevels, i);

      if (FAINT_IS_IMPORT_WINDOW (toplevel))
        {
          g_object_set_data (G_OBJECT (window), "import", toplevel);
          return TRUE;
        }
    }
  return FALSE;
}

static void
test_import_text (void)
{
  FaintWindow *window = window_test_new ();
  g_autofree char *path = window_test_path ("foreign.csv");
  const char *const paths[] = { path, NULL };
  GString *text = g_string_new ("where;how much\n");
  FaintImportWindow *import;
  g_autofree char *columns = NULL;

  for (guint i = 0; i < 100; i++)
    g_string_append_printf (text, "%.4f;0.%u\n", 7790 + 0.001 * i, 990 + i % 7);
  g_file_set_contents (path, text->str, -1, NULL);
  g_string_free (text, TRUE);

  faint_window_open (window, paths);
  window_test_wait (window, find_import, "the columns are asked for");
  import = g_object_get_data (G_OBJECT (window), "import");
  window_test_assert_named (GTK_WIDGET (import));
  columns = faint_import_window_get_columns (import);
  g_assert_cmpstr (columns, ==, "-,-");
  g_assert_true (faint_import_window_set_meaning (import, 0, "wavenumber/cm-1"));
  g_assert_true (faint_import_window_set_meaning (import, 1, "transmission"));
  g_assert_false (faint_import_window_set_meaning (import, 2, "transmission"));
  g_assert_false (faint_import_window_set_meaning (import, 1, "colour"));
  faint_import_window_accept (import);
  window_test_wait (window, window_test_work_is_shown, "the text opens");
  g_assert_cmpuint (faint_analysis_get_spectrum (faint_document_get_analysis (window->document))->n,
                    ==, 100);
  window_test_wait (window, window_test_is_idle, "idle");
  window_test_linger (200);
  window_test_close (window);
}

static void
on_lines_read (GObject *source, GAsyncResult *result, gpointer data)
{
  g_autoptr (GError) error = NULL;

  faint_document_read_lines_finish (FAINT_DOCUMENT (source), result, &error);
  g_assert_no_error (error);
  *(gboolean *)data = TRUE;
}

static void
test_read_lines (void)
{
  FaintWindow *window = window_test_open ();
  g_autofree char *path = window_test_path ("given.csv");
  gboolean done = FALSE;

  g_file_set_contents (path,
                       "position/cm-1,lower_energy/cm-1,upper,lower\n"
                       "7800.549760,37.7096,J8e,J9e\n7801.445086,30.1679,J7e,J8e\n",
                       -1, NULL);
  faint_document_read_lines_async (window->document, path, on_lines_read, &done);
  while (!done)
    g_main_context_iteration (NULL, TRUE);
  g_assert_cmpuint (window_test_n_lines (window), ==, 2);
  g_assert_cmpfloat (window_test_line (window, 1)->lower_energy, ==, 30.1679);
  g_assert_cmpstr (faint_document_get_undo_label (window->document), ==, "Read Line List");
  /* a fit of the given lines finds none besides, and makes a strength of each */
  window_test_act (window, "fit");
  window_test_wait (window, window_test_is_current, "the given lines are fitted");
  g_assert_cmpuint (window_test_n_lines (window), ==, 2);
  g_assert_cmpfloat (window_test_line (window, 0)->strength.value, >, 0);
  g_assert_cmpstr (window_test_line (window, 0)->upper, ==, "J8e");
  window_test_close (window);
}

static void
test_recover_unsaved (void)
{
  FaintWindow *window = window_test_fitted ();
  /* no process has this number: it is above what the system gives out */
  g_autofree char *path = g_build_filename (faint_recovery_folder (), "99999999-0.faintline", NULL);
  g_autofree char *fresh = faint_recovery_new_path ();
  FaintWindow *next;
  GtkWidget *button;
  gsize n = window_test_n_lines (window);
  g_autoptr (GError) error = NULL;

  faint_analysis_save (faint_document_get_analysis (window->document), path, &error);
  faint_analysis_save (faint_document_get_analysis (window->document), fresh, &error);
  g_assert_no_error (error);
  window_test_close (window);

  next = window_test_new ();
  button = gtk_widget_get_first_child (
      faint_start_page_get_leftovers (FAINT_START_PAGE (next->start_page)));
  g_assert_nonnull (button);
  /* that of this process, which runs, is not offered */
  g_assert_null (gtk_widget_get_next_sibling (button));
  g_signal_emit_by_name (button, "clicked");
  window_test_wait (next, window_test_work_is_shown, "the unsaved work opens");
  g_assert_cmpuint (window_test_n_lines (next), ==, n);
  g_assert_true (faint_document_get_modified (next->document));
  g_assert_null (faint_document_get_path (next->document));
  window_test_wait (next, window_test_is_idle, "idle");
  window_test_linger (200);
  window_test_close (next);
  /* given up: it is not offered again */
  g_assert_false (g_file_test (path, G_FILE_TEST_EXISTS));
  g_remove (fresh);
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
  g_test_add_func ("/window/open/recent", test_recent);
  g_test_add_func ("/window/export/files", test_exports);
  g_test_add_func ("/window/files/list-formats", test_list_formats);
  g_test_add_func ("/window/export/figure", test_figure_export);
  g_test_add_func ("/window/export/figure-without-marks", test_figure_without_marks);
  g_test_add_func ("/window/print", test_print);
  g_test_add_func ("/window/copy-figure", test_copy_figure);
  g_test_add_func ("/window/record", test_record);
  g_test_add_func ("/window/save-and-open", test_save_and_open_again);
  g_test_add_func ("/window/open/changed-input", test_changed_input);
  g_test_add_func ("/window/open/text-with-columns", test_import_text);
  g_test_add_func ("/window/read-lines", test_read_lines);
  g_test_add_func ("/window/recover-unsaved", test_recover_unsaved);
  g_test_add_func ("/window/close/question", test_question_on_close);
  status = g_test_run ();
  window_test_end ();
  return status;
}

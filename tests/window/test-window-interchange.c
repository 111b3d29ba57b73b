/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The window and files of other programs: which spectrum of a compound JCAMP-DX file is meant, what
 * is packed by gzip, what records of 160 columns state.
 */
#include <gsl/gsl_errno.h>
#include <string.h>

#include "app/data/block-window.h"
#include "app/lines/record-export-window.h"
#include "window-test.h"

#define RECORD_LENGTH 160

/* The only window of @type, besides the main one; NULL: none is shown. */
static gpointer
toplevel_of (GType type)
{
  GListModel *toplevels = gtk_window_get_toplevels ();

  for (guint i = 0; i < g_list_model_get_n_items (toplevels); i++)
    {
      g_autoptr (GtkWidget) toplevel = g_list_model_get_item (toplevels, i);

      if (G_TYPE_CHECK_INSTANCE_TYPE (toplevel, type))
        return toplevel;
    }
  return NULL;
}

static gboolean
block_is_asked (FaintWindow *window)
{
  return toplevel_of (FAINT_TYPE_BLOCK_WINDOW) != NULL;
}

static gboolean
record_is_asked (FaintWindow *window)
{
  return toplevel_of (FAINT_TYPE_RECORD_EXPORT_WINDOW) != NULL;
}

/* ---- JCAMP-DX */

/* One spectrum of @n points, of ordinates that a person may have to explain. */
static void
append_block (GString *text, const char *title, guint n, const char *y_unit, guint stated)
{
  g_string_append_printf (text,
                          "##TITLE= %s\n##JCAMP-DX= 4.24\n##XUNITS= 1/CM\n##YUNITS= %s\n"
                          "##FIRSTX= 7790\n##LASTX= %.3f\n##NPOINTS= %u\n"
                          "##XYDATA= (X++(Y..Y))\n",
                          title, y_unit, 7790 + 0.001 * (n - 1), stated);
  for (guint i = 0; i < n; i++)
    g_string_append_printf (text, "%.3f 0.%u\n", 7790 + 0.001 * i, 990 + i % 7);
  g_string_append (text, "##END=\n");
}

static FaintBlockWindow *
asked_about (FaintWindow *window, const char *name, const GString *text)
{
  g_autofree char *path = window_test_path (name);
  const char *const paths[] = { path, NULL };

  g_assert_true (g_file_set_contents (path, text->str, (gssize)text->len, NULL));
  faint_window_open (window, paths);
  window_test_wait (window, block_is_asked, "the spectrum is asked for");
  window_test_assert_named (toplevel_of (FAINT_TYPE_BLOCK_WINDOW));
  return toplevel_of (FAINT_TYPE_BLOCK_WINDOW);
}

static gsize
n_points (FaintWindow *window)
{
  return faint_analysis_get_spectrum (faint_document_get_analysis (window->document))->n;
}

static void
test_blocks (void)
{
  FaintWindow *window = window_test_new ();
  GString *text = g_string_new ("##TITLE= both\n##DATA TYPE= LINK\n##BLOCKS= 2\n");
  FaintBlockWindow *question;
  g_autofree char *first = NULL, *second = NULL, *columns = NULL;

  append_block (text, "nitrous oxide <b> \xc2\xb5", 50, "TRANSMITTANCE", 50);
  append_block (text, "the other one", 70, "ABSORBANCE", 70);
  g_string_append (text, "##END=\n");
  question = asked_about (window, "compound.dx", text);
  g_assert_cmpuint (faint_block_window_get_n_blocks (question), ==, 2);
  first = faint_block_window_get_words (question, 0);
  second = faint_block_window_get_words (question, 1);
  g_assert_cmpstr (first, ==,
                   "nitrous oxide <b> \xc2\xb5: 50 points, 7790 to 7790.049 1/CM, TRANSMITTANCE");
  g_assert_cmpstr (second, ==, "the other one: 70 points, 7790 to 7790.069 1/CM, ABSORBANCE");
  g_assert_false (faint_block_window_select (question, 2));
  g_assert_true (faint_block_window_select (question, 1));
  columns = faint_block_window_get_columns (question);
  g_assert_cmpstr (columns, ==, "block=2");
  faint_block_window_accept (question);
  window_test_wait (window, window_test_work_is_shown, "the second spectrum opens");
  g_assert_cmpuint (n_points (window), ==, 70);
  g_assert_false (block_is_asked (window));
  window_test_wait (window, window_test_is_idle, "idle");
  window_test_linger (200);
  window_test_close (window);
  g_string_free (text, TRUE);
}

/* A unit that is not known and a check that fails are asked about one after the other, each with
 * its reason; what was said before is kept. */
static void
test_damaged_block (void)
{
  FaintWindow *window = window_test_new ();
  GString *text = g_string_new (NULL);
  FaintBlockWindow *question;
  g_autofree char *columns = NULL;

  append_block (text, "one alone", 50, "ARBITRARY UNITS", 60);
  question = asked_about (window, "damaged.dx", text);
  g_assert_cmpuint (faint_block_window_get_n_blocks (question), ==, 1);
  faint_block_window_set_ordinates (question, "transmission");
  faint_block_window_accept (question);
  window_test_wait (window, block_is_asked, "the failed check is told");
  question = toplevel_of (FAINT_TYPE_BLOCK_WINDOW);
  columns = faint_block_window_get_columns (question);
  g_assert_cmpstr (columns, ==, "block=1,transmission");
  faint_block_window_set_unchecked (question, TRUE);
  faint_block_window_accept (question);
  window_test_wait (window, window_test_work_is_shown, "the spectrum opens");
  g_assert_cmpuint (n_points (window), ==, 50);
  window_test_wait (window, window_test_is_idle, "idle");
  window_test_linger (200);
  window_test_close (window);
  g_string_free (text, TRUE);
}

/* What no answer can mend is told and not asked. */
static void
test_other_unit (void)
{
  FaintWindow *window = window_test_new ();
  g_autoptr (GString) text = g_string_new (NULL);
  g_autofree char *path = window_test_path ("seconds.dx");
  const char *const paths[] = { path, NULL };

  append_block (text, "in seconds", 50, "TRANSMITTANCE", 50);
  g_string_replace (text, "1/CM", "SECONDS", 1);
  g_assert_true (g_file_set_contents (path, text->str, (gssize)text->len, NULL));
  faint_window_open (window, paths);
  window_test_wait (window, window_test_message_is_shown, "an error in words");
  g_assert_nonnull (
      strstr (faint_message_bar_get_text (FAINT_MESSAGE_BAR (window->message)), "SECONDS"));
  g_assert_false (block_is_asked (window));
  window_test_close (window);
}

/* ---- gzip */

static char *
pack (const char *path)
{
  char *packed = g_strconcat (path, ".gz", NULL);
  g_autoptr (GFile) from = g_file_new_for_path (path), to = g_file_new_for_path (packed);
  g_autoptr (GZlibCompressor) compressor = g_zlib_compressor_new (G_ZLIB_COMPRESSOR_FORMAT_GZIP, 6);
  g_autoptr (GError) error = NULL;
  g_autoptr (GFileInputStream) in = g_file_read (from, NULL, &error);
  g_autoptr (GFileOutputStream) out = NULL;
  g_autoptr (GOutputStream) packing = NULL;

  g_assert_no_error (error);
  out = g_file_replace (to, NULL, FALSE, G_FILE_CREATE_NONE, NULL, &error);
  g_assert_no_error (error);
  packing = g_converter_output_stream_new (G_OUTPUT_STREAM (out), G_CONVERTER (compressor));
  g_output_stream_splice (packing, G_INPUT_STREAM (in), G_OUTPUT_STREAM_SPLICE_CLOSE_TARGET, NULL,
                          &error);
  g_assert_no_error (error);
  return packed;
}

static gboolean
lines_are_shown (FaintWindow *window)
{
  return window_test_work_is_shown (window) && window_test_n_lines (window) > 0;
}

/* A packed analysis opens as what it is; saving asks for a name, so that no text gets the name of a
 * packed file. */
static void
test_packed_analysis (void)
{
  FaintWindow *window = window_test_fitted (), *again = window_test_new ();
  g_autofree char *path = window_test_path ("packed.faintline");
  g_autoptr (GError) error = NULL;
  g_autofree char *packed = NULL;
  const char *paths[2] = { NULL };
  gsize n = window_test_n_lines (window);

  g_assert_true (
      faint_analysis_save (faint_document_get_analysis (window->document), path, &error));
  g_assert_no_error (error);
  packed = pack (path);
  paths[0] = packed;
  faint_window_open (again, paths);
  window_test_wait (again, lines_are_shown, "the analysis opens with its lines");
  g_assert_cmpuint (window_test_n_lines (again), ==, n);
  g_assert_true (window_test_is_current (again));
  g_assert_null (faint_document_get_path (again->document));
  g_assert_false (faint_document_get_modified (again->document));
  window_test_wait (again, window_test_is_idle, "idle");
  window_test_close (again);
  window_test_close (window);
}

/* ---- records */

static gboolean
is_exported (FaintWindow *window)
{
  return strstr (gtk_label_get_text (GTK_LABEL (window->status_label)), " written to ") != NULL;
}

/* Numbers of molecule and isotopologue stand in every record, by the columns of Rothman et al., J.
 * Quant. Spectrosc. Radiat. Transfer 96, 139 (2005), table 1; wrong ones keep the button shut; what
 * was entered is there the next time. */
static void
test_record_options (void)
{
  FaintWindow *window = window_test_fitted ();
  g_autofree char *path = window_test_path ("lines.record");
  g_autofree char *text = NULL;
  FaintRecordExportWindow *question;
  gsize length, n = window_test_n_lines (window);

  _faint_window_export_list (window, path);
  g_assert_true (record_is_asked (window));
  question = toplevel_of (FAINT_TYPE_RECORD_EXPORT_WINDOW);
  window_test_assert_named (GTK_WIDGET (question));
  g_assert_null (faint_record_export_window_get_why (question));
  g_assert_true (faint_record_export_window_enter (question, "molecule_number", "100"));
  g_assert_nonnull (strstr (faint_record_export_window_get_why (question), "molecule_number"));
  faint_record_export_window_export (question);
  g_assert_false (g_file_test (path, G_FILE_TEST_EXISTS));
  g_assert_true (record_is_asked (window));
  g_assert_true (faint_record_export_window_enter (question, "molecule_number", " 4 "));
  g_assert_true (faint_record_export_window_enter (question, "isotopologue_number", "1"));
  g_assert_true (faint_record_export_window_enter (question, "natural_abundance", "1,5"));
  g_assert_nonnull (strstr (faint_record_export_window_get_why (question), "natural_abundance"));
  g_assert_true (faint_record_export_window_enter (question, "natural_abundance", "0,99033"));
  g_assert_true (faint_record_export_window_enter (question, "foreign_gas", "air"));
  g_assert_false (faint_record_export_window_enter (question, "colour", "1"));
  g_assert_null (faint_record_export_window_get_why (question));
  gtk_label_set_text (GTK_LABEL (window->status_label), "");
  faint_record_export_window_export (question);
  g_assert_false (record_is_asked (window));
  window_test_wait (window, is_exported, "the records are written");
  g_assert_true (g_file_get_contents (path, &text, &length, NULL));
  g_assert_cmpuint (length, ==, n * (RECORD_LENGTH + 1));
  for (gsize i = 0; i < n; i++)
    g_assert_cmpint (strncmp (text + i * (RECORD_LENGTH + 1), " 41", 3), ==, 0);

  _faint_window_export_list (window, path);
  question = toplevel_of (FAINT_TYPE_RECORD_EXPORT_WINDOW);
  g_assert_cmpstr (faint_record_export_window_get_text (question, "molecule_number"), ==, "4");
  g_assert_cmpstr (faint_record_export_window_get_text (question, "natural_abundance"), ==,
                   "0.99033");
  g_assert_cmpstr (faint_record_export_window_get_text (question, "partition_sum_296K"), ==, "");
  g_assert_cmpstr (faint_record_export_window_get_text (question, "foreign_gas"), ==, "air");
  gtk_window_destroy (GTK_WINDOW (question));
  window_test_wait (window, window_test_is_idle, "idle");
  window_test_close (window);
}

/* The conditions may name a file of partition sums: Q(296 K) of the file is proposed. */
static void
test_record_partition_sum (void)
{
  FaintWindow *window = window_test_open ();
  g_autofree char *sums = window_test_path ("sums.txt");
  g_autoptr (FaintSetup) setup = faint_document_copy_setup (window->document);
  g_autoptr (GError) error = NULL;
  GtkWidget *question;

  g_assert_true (g_file_set_contents (
      sums, "# columns = temperature/K Q\n280 4600\n296 4979.8\n310 5330\n325 5720\n", -1, NULL));
  g_assert_true (faint_setup_set (setup, "partition_sums", sums, NULL, &error));
  g_assert_no_error (error);
  question = faint_record_export_window_new (GTK_WINDOW (window), window->settings, setup);
  g_assert_cmpstr (faint_record_export_window_get_text (FAINT_RECORD_EXPORT_WINDOW (question),
                                                        "partition_sum_296K"),
                   ==, "4979.8");
  gtk_window_destroy (GTK_WINDOW (question));
  window_test_wait (window, window_test_is_idle, "idle");
  window_test_close (window);
}

int
main (int argc, char **argv)
{
  int status;

  gsl_set_error_handler_off ();
  gtk_test_init (&argc, &argv, NULL);
  window_test_begin ();
  g_test_add_func ("/window/interchange/blocks", test_blocks);
  g_test_add_func ("/window/interchange/damaged-block", test_damaged_block);
  g_test_add_func ("/window/interchange/other-unit", test_other_unit);
  g_test_add_func ("/window/interchange/packed-analysis", test_packed_analysis);
  g_test_add_func ("/window/interchange/record-options", test_record_options);
  g_test_add_func ("/window/interchange/record-partition-sum", test_record_partition_sum);
  status = g_test_run ();
  window_test_end ();
  return status;
}

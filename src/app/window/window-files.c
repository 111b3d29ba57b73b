/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Dialogs for files, saving, exporting, and the question on closing.
 */
#include "app/window/window-private.h"

#include <glib/gi18n.h>
#include <string.h>

#include "app/parts/file-names.h"
#include "app/lines/record-export-window.h"
#include "app/parts/kept-words.h"

static const char *const list_endings[] = { "csv", "record", "vot", "xml", "json", "gz", NULL };
static const char *const written_list_endings[] = { "csv", "record", "vot", "xml", "json", NULL };
static const char *const figure_endings[] = { "svg", "pdf", "png", NULL };
static const char *const report_endings[] = { "pdf", NULL };

#define PATH_KEY "faint-path"
#define HAS_FORMAT_KEY "faint-has-format" /* of a dialog that asks for the format */

/* What to do with the files that were chosen. */
typedef void (*Chosen) (FaintWindow *self, GListModel *files);

static gboolean
was_cancelled (const GError *error)
{
  return g_error_matches (error, G_IO_ERROR, G_IO_ERROR_CANCELLED);
}

/* Paths of @files; NULL, with words in the window, where one is not on this computer. */
static char **
local_paths (FaintWindow *self, GListModel *files)
{
  g_autoptr (GStrvBuilder) builder = g_strv_builder_new ();

  for (guint i = 0; i < g_list_model_get_n_items (files); i++)
    {
      g_autoptr (GFile) file = g_list_model_get_item (files, i);
      g_autofree char *path = g_file_get_path (file);

      if (path == NULL)
        {
          g_autofree char *uri = g_file_get_uri (file);

          faint_window_say (self, _ ("This place has no path on this computer"), uri);
          return NULL;
        }
      g_strv_builder_add (builder, path);
    }
  return g_strv_builder_end (builder);
}

static void
on_response (GtkNativeDialog *dialog, int response, FaintWindow *self)
{
  Chosen chosen = (Chosen)g_object_get_data (G_OBJECT (dialog), "faint-chosen");
  g_autoptr (GListModel) files = NULL;

  g_clear_pointer (&self->chosen_format, g_free);
  if (g_object_get_data (G_OBJECT (dialog), HAS_FORMAT_KEY))
    self->chosen_format
        = g_strdup (gtk_file_chooser_get_choice (GTK_FILE_CHOOSER (dialog), "format"));
  if (response == GTK_RESPONSE_ACCEPT)
    files = gtk_file_chooser_get_files (GTK_FILE_CHOOSER (dialog));
  else
    self->close_when_saved = FALSE;
  g_clear_object (&self->dialog);
  if (files && g_list_model_get_n_items (files) > 0)
    chosen (self, files);
}

static void
add_filter (GtkFileChooserNative *dialog, const char *name, const char *const *suffixes)
{
  g_autoptr (GtkFileFilter) filter = gtk_file_filter_new ();

  gtk_file_filter_set_name (filter, name);
  for (guint i = 0; suffixes[i]; i++)
    gtk_file_filter_add_suffix (filter, suffixes[i]);
  gtk_file_chooser_add_filter (GTK_FILE_CHOOSER (dialog), filter);
}

static void
add_filter_for_all (GtkFileChooserNative *dialog)
{
  g_autoptr (GtkFileFilter) filter = gtk_file_filter_new ();

  gtk_file_filter_set_name (filter, _ ("All files"));
  gtk_file_filter_add_pattern (filter, "*");
  gtk_file_chooser_add_filter (GTK_FILE_CHOOSER (dialog), filter);
}

static GtkFileChooserNative *
dialog_new (FaintWindow *self, const char *title, GtkFileChooserAction action, Chosen chosen)
{
  g_autofree char *folder = faint_settings_get_string (self->settings, "last-folder");

  g_clear_object (&self->dialog);
  self->dialog = gtk_file_chooser_native_new (title, GTK_WINDOW (self), action, NULL, NULL);
  gtk_native_dialog_set_modal (GTK_NATIVE_DIALOG (self->dialog), TRUE);
  g_object_set_data (G_OBJECT (self->dialog), "faint-chosen", (gpointer)chosen);
  g_signal_connect (self->dialog, "response", G_CALLBACK (on_response), self);
  if (*folder && g_file_test (folder, G_FILE_TEST_IS_DIR))
    {
      g_autoptr (GFile) file = g_file_new_for_path (folder);

      gtk_file_chooser_set_current_folder (GTK_FILE_CHOOSER (self->dialog), file, NULL);
    }
  return self->dialog;
}

static void
open_chosen (FaintWindow *self, GListModel *files)
{
  g_auto (GStrv) paths = local_paths (self, files);

  if (paths)
    faint_window_open (self, (const char *const *)paths);
}

void
_faint_window_choose_open (FaintWindow *self)
{
  static const char *const spectra[] = { "comb", "faintline", "comb.gz", "faintline.gz", NULL };
  static const char *const texts[]
      = { "txt", "csv", "tsv", "dat", "txt.gz", "csv.gz", "tsv.gz", "dat.gz", NULL };
  static const char *const jcamp[] = { "jdx", "dx", "jcamp", "jdx.gz", "dx.gz", "jcamp.gz", NULL };
  GtkFileChooserNative *dialog
      = dialog_new (self, _ ("Open"), GTK_FILE_CHOOSER_ACTION_OPEN, open_chosen);

  gtk_file_chooser_set_select_multiple (GTK_FILE_CHOOSER (dialog), TRUE);
  add_filter (dialog, _ ("Comb tables and analyses"), spectra);
  add_filter (dialog, _ ("Text with columns"), texts);
  add_filter (dialog, _ ("JCAMP-DX spectra"), jcamp);
  add_filter_for_all (dialog);
  gtk_native_dialog_show (GTK_NATIVE_DIALOG (dialog));
}

static void
on_saved (GObject *source, GAsyncResult *result, gpointer data)
{
  g_autoptr (FaintWindow) self = data;
  g_autoptr (GError) error = NULL;
  gboolean close = self->close_when_saved;

  self->close_when_saved = FALSE;
  if (!faint_document_save_finish (FAINT_DOCUMENT (source), result, &error))
    {
      if (!was_cancelled (error) && self->document)
        faint_window_say (self, _ ("The analysis was not saved"), error->message);
      return;
    }
  if (self->document == NULL)
    return;
  _faint_window_remember (self, faint_document_get_path (self->document));
  _faint_window_tell_saved (self);
  if (close)
    gtk_window_close (GTK_WINDOW (self));
}

/* The dialog asked about the file @chosen; where another one, @path, is meant that is there
 * already, it is not replaced unasked. */
static gboolean
may_write (FaintWindow *self, const char *chosen, const char *path)
{
  if (strcmp (chosen, path) == 0 || !g_file_test (path, G_FILE_TEST_EXISTS))
    return TRUE;
  faint_window_say (self, _ ("A file of this name is there already"), path);
  return FALSE;
}

/* The path that was chosen, with its ending; NULL with words in the window. */
static char *
chosen_path (FaintWindow *self, GListModel *files, const char *ending)
{
  g_auto (GStrv) paths = local_paths (self, files);
  g_autofree char *path = paths != NULL ? faint_file_name_with_ending (paths[0], ending) : NULL;

  return path != NULL && may_write (self, paths[0], path) ? g_steal_pointer (&path) : NULL;
}

/* The same of a file that has one of several formats: by the ending of its name, else as chosen. */
static char *
path_in_format (FaintWindow *self, GListModel *files, const char *const *endings,
                const char *chosen)
{
  g_auto (GStrv) paths = local_paths (self, files);
  g_autoptr (GError) error = NULL;
  g_autofree char *path
      = paths != NULL ? faint_file_name_in_format (paths[0], endings, chosen, &error) : NULL;

  if (error != NULL)
    faint_window_say (self, _ ("Nothing was exported"), error->message);
  return path != NULL && may_write (self, paths[0], path) ? g_steal_pointer (&path) : NULL;
}

static void
save_to (FaintWindow *self, const char *path)
{
  faint_message_bar_hide (FAINT_MESSAGE_BAR (self->message));
  faint_document_save_async (self->document, path, on_saved, g_object_ref (self));
}

static void
save_chosen (FaintWindow *self, GListModel *files)
{
  g_autofree char *path = chosen_path (self, files, "faintline");

  if (path != NULL)
    save_to (self, path);
}

/* "run-14" of "/home/me/run-14.comb" */
static char *
stem (FaintWindow *self)
{
  FaintAnalysis *analysis = faint_document_get_analysis (self->document);
  const char *path = faint_document_get_path (self->document);
  gsize n = 0;
  const FaintAnalysisInput *inputs = faint_analysis_get_inputs (analysis, &n);
  g_autofree char *base = NULL;
  char *dot;

  if (path == NULL && n > 0)
    path = inputs[0].path;
  base = g_path_get_basename (path ? path : "spectrum");
  if (g_str_has_suffix (base, ".gz"))
    base[strlen (base) - strlen (".gz")] = '\0';
  dot = strrchr (base, '.');
  if (dot && dot != base)
    *dot = '\0';
  return g_steal_pointer (&base);
}

static void
choose_save (FaintWindow *self, const char *title, const char *suffix, const char *filter,
             Chosen chosen)
{
  const char *const suffixes[] = { suffix, NULL };
  g_autofree char *name = stem (self);
  g_autofree char *file = g_strdup_printf ("%s.%s", name, suffix);
  GtkFileChooserNative *dialog = dialog_new (self, title, GTK_FILE_CHOOSER_ACTION_SAVE, chosen);

  gtk_file_chooser_set_current_name (GTK_FILE_CHOOSER (dialog), file);
  add_filter (dialog, filter, suffixes);
  add_filter_for_all (dialog);
  gtk_native_dialog_show (GTK_NATIVE_DIALOG (dialog));
}

void
_faint_window_save_as (FaintWindow *self)
{
  choose_save (self, _ ("Save Analysis"), "faintline", _ ("Analyses"), save_chosen);
}

void
_faint_window_save (FaintWindow *self)
{
  const char *path = faint_document_get_path (self->document);

  if (path)
    save_to (self, path);
  else
    _faint_window_save_as (self);
}

static void
say_remarks (FaintWindow *self, const char *heading, GAsyncResult *result)
{
  const GPtrArray *remarks = faint_document_get_remarks (result);
  g_autoptr (GString) text = g_string_new (NULL);

  for (guint i = 0; i < remarks->len; i++)
    {
      const FaintWarning *remark = g_ptr_array_index (remarks, i);
      g_autofree char *words = faint_shown_words (remark->text);

      /* that a list has not what each source contributes is no news: the analysis has it */
      if (strcmp (remark->code, "contributions") != 0)
        g_string_append_printf (text, "%s%s", text->len > 0 ? "\n" : "", words);
    }
  if (text->len > 0 && self->document)
    faint_window_say (self, heading, text->str);
}

static void
on_lines_read (GObject *source, GAsyncResult *result, gpointer data)
{
  g_autoptr (FaintWindow) self = data;
  g_autoptr (GError) error = NULL;

  if (faint_document_read_lines_finish (FAINT_DOCUMENT (source), result, &error))
    say_remarks (self, _ ("The lines were read, but not all that the file says"), result);
  else if (!was_cancelled (error) && self->document)
    faint_window_say (self, _ ("No lines were read"), error->message);
}

static void
list_chosen (FaintWindow *self, GListModel *files)
{
  g_auto (GStrv) paths = local_paths (self, files);

  if (paths)
    faint_document_read_lines_async (self->document, paths[0], on_lines_read, g_object_ref (self));
}

void
_faint_window_choose_lines (FaintWindow *self)
{
  GtkFileChooserNative *dialog
      = dialog_new (self, _ ("Read Line List"), GTK_FILE_CHOOSER_ACTION_OPEN, list_chosen);

  add_filter (dialog, _ ("Line lists"), list_endings);
  add_filter_for_all (dialog);
  gtk_native_dialog_show (GTK_NATIVE_DIALOG (dialog));
}

typedef struct
{
  FaintWindow *window;
  FaintExport what;
  char *path;
} Export;

static void
on_exported (GObject *source, GAsyncResult *result, gpointer data)
{
  g_autofree Export *done = data;
  g_autoptr (FaintWindow) self = done->window;
  g_autofree char *path = done->path;
  g_autoptr (GError) error = NULL;

  if (faint_document_export_finish (FAINT_DOCUMENT (source), result, &error))
    {
      if (self->document)
        _faint_window_tell_exported (self, done->what, path);
      say_remarks (self, _ ("Exported, but not all of it has a place in this format"), result);
    }
  else if (!was_cancelled (error) && self->document)
    faint_window_say (self, _ ("Nothing was exported"), error->message);
}

void
_faint_window_export (FaintWindow *self, FaintExport what, const char *path)
{
  Export *job = g_new (Export, 1);

  *job = (Export){ g_object_ref (self), what, g_strdup (path) };
  faint_document_export_async (self->document, what, path, on_exported, job);
}

static void
export_list (FaintWindow *self, const char *path)
{
  _faint_window_export (self, FAINT_EXPORT_LINES, path);
}

static void
on_record_options (FaintRecordExportWindow *question, const FaintRecordOptions *options,
                   FaintWindow *self)
{
  faint_document_set_record_options (self->document, options);
  export_list (self, g_object_get_data (G_OBJECT (question), PATH_KEY));
}

void
_faint_window_export_list (FaintWindow *self, const char *path)
{
  GtkWidget *question;

  if (faint_file_name_list_format (path, FAINT_LIST_CSV) != FAINT_LIST_RECORD)
    {
      export_list (self, path);
      return;
    }
  question = faint_record_export_window_new (GTK_WINDOW (self), self->settings,
                                             faint_document_get_setup (self->document));
  g_object_set_data_full (G_OBJECT (question), PATH_KEY, g_strdup (path), g_free);
  g_signal_connect_object (question, "export", G_CALLBACK (on_record_options), self, 0);
  gtk_window_present (GTK_WINDOW (question));
}

static void
lines_chosen (FaintWindow *self, GListModel *files)
{
  FaintListFormat format = FAINT_LIST_CSV;
  g_autofree char *path = NULL;

  faint_list_format_from_name (self->chosen_format, &format);
  path = path_in_format (self, files, written_list_endings, faint_list_format_suffix (format));
  if (path != NULL)
    _faint_window_export_list (self, path);
}

/* A dialog cannot change a name while a format is chosen in it, nor the other way round: so the
 * name has no ending at first, and the choice says that one in the name counts before it. */
static void
ask_format (GtkFileChooserNative *dialog, const char **names, const char **words)
{
  g_object_set_data (G_OBJECT (dialog), HAS_FORMAT_KEY, GINT_TO_POINTER (TRUE));
  gtk_file_chooser_add_choice (GTK_FILE_CHOOSER (dialog), "format",
                               _ ("Format, unless the name has an ending"), names, words);
  gtk_file_chooser_set_choice (GTK_FILE_CHOOSER (dialog), "format", names[0]);
}

static void
choose_list (FaintWindow *self)
{
  const char *names[FAINT_LIST_N + 1] = { NULL };
  g_autofree char *name = stem (self);
  g_autofree char *file = g_strconcat (name, "-lines", NULL);
  GtkFileChooserNative *dialog
      = dialog_new (self, _ ("Export Line List"), GTK_FILE_CHOOSER_ACTION_SAVE, lines_chosen);
  const char *words[] = { "CSV", _ ("Record of 160 columns"), "VOTable", "JSON", NULL };

  for (guint i = 0; i < FAINT_LIST_N; i++)
    names[i] = faint_list_format_name ((FaintListFormat)i);
  gtk_file_chooser_set_current_name (GTK_FILE_CHOOSER (dialog), file);
  add_filter (dialog, _ ("Line lists"), list_endings);
  add_filter_for_all (dialog);
  ask_format (dialog, names, words);
  gtk_native_dialog_show (GTK_NATIVE_DIALOG (dialog));
}

static void
comb_table_chosen (FaintWindow *self, GListModel *files)
{
  g_autofree char *path = chosen_path (self, files, "comb");

  if (path != NULL)
    _faint_window_export (self, FAINT_EXPORT_COMB_TABLE, path);
}

static void
write_report (FaintWindow *self, GListModel *files, FaintExport what)
{
  g_autoptr (GPtrArray) bands = _faint_window_bands (self);
  g_autofree char *path = path_in_format (self, files, report_endings, "pdf");

  if (path == NULL)
    return;
  faint_document_set_bands (self->document, bands);
  _faint_window_export (self, what, path);
}

static void
report_chosen (FaintWindow *self, GListModel *files)
{
  write_report (self, files, FAINT_EXPORT_REPORT);
}

static void
report_short_chosen (FaintWindow *self, GListModel *files)
{
  write_report (self, files, FAINT_EXPORT_REPORT_SHORT);
}

static void
figure_chosen (FaintWindow *self, GListModel *files)
{
  const char *chosen = self->chosen_format != NULL ? self->chosen_format : figure_endings[0];
  g_autofree char *path = path_in_format (self, files, figure_endings, chosen);
  g_autoptr (GError) error = NULL;

  if (path == NULL)
    return;
  if (_faint_window_write_figure (self, path, &error))
    _faint_window_tell_figure (self, path);
  else
    faint_window_say (self, _ ("Nothing was exported"), error->message);
}

void
_faint_window_choose_export (FaintWindow *self, FaintExport what)
{
  switch (what)
    {
    case FAINT_EXPORT_LINES:
      choose_list (self);
      break;
    case FAINT_EXPORT_COMB_TABLE:
      choose_save (self, _ ("Export Comb Table"), "comb", _ ("Comb tables"), comb_table_chosen);
      break;
    case FAINT_EXPORT_REPORT:
      choose_save (self, _ ("Export Report"), "pdf", _ ("PDF"), report_chosen);
      break;
    case FAINT_EXPORT_REPORT_SHORT:
      choose_save (self, _ ("Export Short Report"), "pdf", _ ("PDF"), report_short_chosen);
      break;
    }
}

void
_faint_window_choose_figure (FaintWindow *self)
{
  g_autofree char *name = stem (self);
  /* what looks like an ending of another kind is not taken for one before this */
  g_autofree char *file
      = faint_file_name_has_ending (name) ? g_strconcat (name, ".svg", NULL) : g_strdup (name);
  const char *words[] = { "SVG", "PDF", "PNG", NULL };
  GtkFileChooserNative *dialog
      = dialog_new (self, _ ("Export Figure"), GTK_FILE_CHOOSER_ACTION_SAVE, figure_chosen);

  gtk_file_chooser_set_current_name (GTK_FILE_CHOOSER (dialog), file);
  add_filter (dialog, _ ("SVG, PDF or PNG"), figure_endings);
  ask_format (dialog, (const char **)figure_endings, words);
  gtk_native_dialog_show (GTK_NATIVE_DIALOG (dialog));
}

static void
on_question (GtkDialog *dialog, int response, FaintWindow *self)
{
  /* the dialog outlives its response, and this window may not */
  gtk_window_set_transient_for (GTK_WINDOW (dialog), NULL);
  gtk_window_destroy (GTK_WINDOW (dialog));
  if (response == GTK_RESPONSE_REJECT)
    {
      self->close_anyway = TRUE;
      gtk_window_close (GTK_WINDOW (self));
    }
  else if (response == GTK_RESPONSE_ACCEPT)
    {
      self->close_when_saved = TRUE;
      _faint_window_save (self);
    }
}

gboolean
_faint_window_may_close (FaintWindow *self)
{
  g_autofree char *title = NULL;
  GtkWidget *dialog;

  if (self->close_anyway || !faint_document_get_modified (self->document))
    return TRUE;
  title = faint_document_get_title (self->document);
  dialog = gtk_message_dialog_new (
      GTK_WINDOW (self), GTK_DIALOG_MODAL | GTK_DIALOG_DESTROY_WITH_PARENT, GTK_MESSAGE_QUESTION,
      GTK_BUTTONS_NONE, "%s", _ ("Save the changes before closing?"));
  gtk_message_dialog_format_secondary_text (
      GTK_MESSAGE_DIALOG (dialog), _ ("The analysis of “%s” has changes that are not saved."),
      title);
  gtk_widget_add_css_class (
      gtk_dialog_add_button (GTK_DIALOG (dialog), _ ("Close _Without Saving"), GTK_RESPONSE_REJECT),
      "destructive-action");
  gtk_dialog_add_button (GTK_DIALOG (dialog), _ ("_Cancel"), GTK_RESPONSE_CANCEL);
  gtk_dialog_add_button (GTK_DIALOG (dialog), _ ("_Save"), GTK_RESPONSE_ACCEPT);
  gtk_dialog_set_default_response (GTK_DIALOG (dialog), GTK_RESPONSE_ACCEPT);
  g_signal_connect (dialog, "response", G_CALLBACK (on_question), self);
  gtk_window_present (GTK_WINDOW (dialog));
  return FALSE;
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Dialogs for files, saving, exporting, and the question on closing.
 */
#include "window-private.h"

#include <glib/gi18n.h>

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
  static const char *const spectra[] = { "comb", "faintline", NULL };
  static const char *const texts[] = { "txt", "csv", "tsv", "dat", "jdx", "dx", NULL };
  GtkFileChooserNative *dialog
      = dialog_new (self, _ ("Open"), GTK_FILE_CHOOSER_ACTION_OPEN, open_chosen);

  gtk_file_chooser_set_select_multiple (GTK_FILE_CHOOSER (dialog), TRUE);
  add_filter (dialog, _ ("Comb tables and analyses"), spectra);
  add_filter (dialog, _ ("Text with columns"), texts);
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
  if (close)
    gtk_window_close (GTK_WINDOW (self));
}

/* @path with its ending, if it has none. */
static char *
with_suffix (const char *path, const char *suffix)
{
  g_autofree char *base = g_path_get_basename (path);

  return strchr (base, '.') ? g_strdup (path) : g_strconcat (path, suffix, NULL);
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
  g_auto (GStrv) paths = local_paths (self, files);
  g_autofree char *path = NULL;

  if (paths == NULL)
    return;
  path = with_suffix (paths[0], ".faintline");
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
on_lines_read (GObject *source, GAsyncResult *result, gpointer data)
{
  g_autoptr (FaintWindow) self = data;
  g_autoptr (GError) error = NULL;

  if (!faint_document_read_lines_finish (FAINT_DOCUMENT (source), result, &error)
      && !was_cancelled (error) && self->document)
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
  static const char *const suffixes[] = { "csv", NULL };
  GtkFileChooserNative *dialog
      = dialog_new (self, _ ("Read Line List"), GTK_FILE_CHOOSER_ACTION_OPEN, list_chosen);

  add_filter (dialog, _ ("Line lists"), suffixes);
  add_filter_for_all (dialog);
  gtk_native_dialog_show (GTK_NATIVE_DIALOG (dialog));
}

static void
on_exported (GObject *source, GAsyncResult *result, gpointer data)
{
  g_autoptr (FaintWindow) self = data;
  g_autoptr (GError) error = NULL;

  if (faint_document_export_finish (FAINT_DOCUMENT (source), result, &error))
    {
      if (self->document)
        gtk_label_set_text (GTK_LABEL (self->status_label), _ ("Exported"));
    }
  else if (!was_cancelled (error) && self->document)
    faint_window_say (self, _ ("Nothing was exported"), error->message);
}

static void
export_chosen (FaintWindow *self, GListModel *files, FaintExport what, const char *suffix)
{
  g_auto (GStrv) paths = local_paths (self, files);
  g_autofree char *path = NULL;

  if (paths == NULL)
    return;
  path = with_suffix (paths[0], suffix);
  faint_document_export_async (self->document, what, path, on_exported, g_object_ref (self));
}

static void
lines_chosen (FaintWindow *self, GListModel *files)
{
  export_chosen (self, files, FAINT_EXPORT_LINES, ".csv");
}

static void
comb_table_chosen (FaintWindow *self, GListModel *files)
{
  export_chosen (self, files, FAINT_EXPORT_COMB_TABLE, ".comb");
}

static void
report_chosen (FaintWindow *self, GListModel *files)
{
  export_chosen (self, files, FAINT_EXPORT_REPORT, ".pdf");
}

static void
figure_chosen (FaintWindow *self, GListModel *files)
{
  g_auto (GStrv) paths = local_paths (self, files);
  g_autofree char *path = NULL;
  g_autoptr (GError) error = NULL;

  if (paths == NULL)
    return;
  path = with_suffix (paths[0], ".pdf");
  if (!_faint_window_write_figure (self, path, &error))
    faint_window_say (self, _ ("Nothing was exported"), error->message);
}

void
_faint_window_choose_export (FaintWindow *self, FaintExport what)
{
  switch (what)
    {
    case FAINT_EXPORT_LINES:
      choose_save (self, _ ("Export Line List"), "csv", _ ("Line lists"), lines_chosen);
      break;
    case FAINT_EXPORT_COMB_TABLE:
      choose_save (self, _ ("Export Comb Table"), "comb", _ ("Comb tables"), comb_table_chosen);
      break;
    case FAINT_EXPORT_REPORT:
      choose_save (self, _ ("Export Report"), "pdf", _ ("PDF"), report_chosen);
      break;
    }
}

void
_faint_window_choose_figure (FaintWindow *self)
{
  static const char *const kinds[] = { "png", "svg", "pdf", NULL };
  g_autofree char *name = stem (self);
  g_autofree char *file = g_strdup_printf ("%s.svg", name);
  GtkFileChooserNative *dialog
      = dialog_new (self, _ ("Export Figure"), GTK_FILE_CHOOSER_ACTION_SAVE, figure_chosen);

  gtk_file_chooser_set_current_name (GTK_FILE_CHOOSER (dialog), file);
  add_filter (dialog, _ ("PNG, SVG or PDF, by the name's ending"), kinds);
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
  gtk_dialog_add_button (GTK_DIALOG (dialog), _ ("Close _Without Saving"), GTK_RESPONSE_REJECT);
  gtk_dialog_add_button (GTK_DIALOG (dialog), _ ("_Cancel"), GTK_RESPONSE_CANCEL);
  gtk_dialog_add_button (GTK_DIALOG (dialog), _ ("_Save"), GTK_RESPONSE_ACCEPT);
  gtk_dialog_set_default_response (GTK_DIALOG (dialog), GTK_RESPONSE_ACCEPT);
  g_signal_connect (dialog, "response", G_CALLBACK (on_question), self);
  gtk_window_present (GTK_WINDOW (dialog));
  return FALSE;
}

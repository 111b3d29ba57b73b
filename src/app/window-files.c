/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Files: dialogs, opening, saving, exporting, recent ones, samples, and the question on closing.
 */
#include "window-private.h"

#include <glib/gi18n.h>

#include "samples.h"

#define MAX_RECENT 8

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
remember (FaintWindow *self, const char *path)
{
  g_autofree char *uri = g_filename_to_uri (path, NULL, NULL);
  g_autofree char *folder = g_path_get_dirname (path);

  faint_settings_set_string (self->settings, "last-folder", folder);
  if (uri)
    gtk_recent_manager_add_item (gtk_recent_manager_get_default (), uri);
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
on_opened (GObject *source, GAsyncResult *result, gpointer data)
{
  g_autoptr (FaintWindow) self = data;
  g_autoptr (GError) error = NULL;

  if (!faint_document_open_finish (FAINT_DOCUMENT (source), result, &error)
      && !was_cancelled (error) && self->document)
    faint_window_say (self, _ ("This could not be opened"), error->message);
}

static void
open_here (FaintWindow *self, const char *const *paths)
{
  faint_message_bar_hide (FAINT_MESSAGE_BAR (self->message));
  remember (self, paths[0]);
  faint_document_open_async (self->document, paths, NULL, on_opened, g_object_ref (self));
}

void
faint_window_open (FaintWindow *self, const char *const *paths)
{
  g_return_if_fail (FAINT_IS_WINDOW (self));
  g_return_if_fail (paths && paths[0]);

  if (faint_document_get_modified (self->document))
    {
      GtkWidget *other
          = faint_window_new (gtk_window_get_application (GTK_WINDOW (self)), self->settings);

      gtk_window_present (GTK_WINDOW (other));
      open_here (FAINT_WINDOW (other), paths);
    }
  else
    open_here (self, paths);
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
  remember (self, faint_document_get_path (self->document));
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
on_exported (GObject *source, GAsyncResult *result, gpointer data)
{
  g_autoptr (FaintWindow) self = data;
  g_autoptr (GError) error = NULL;

  if (!faint_document_export_finish (FAINT_DOCUMENT (source), result, &error)
      && !was_cancelled (error) && self->document)
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

static void
on_sample (GtkButton *button, FaintWindow *self)
{
  const char *const paths[] = { g_object_get_data (G_OBJECT (button), "faint-path"), NULL };

  faint_window_open (self, paths);
}

static GtkWidget *
sample_button_new (FaintWindow *self, const FaintSample *sample)
{
  GtkWidget *button = gtk_button_new ();
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 2);
  g_autofree char *base = g_path_get_basename (sample->path);
  GtkWidget *title = gtk_label_new (sample->title);
  GtkWidget *name = gtk_label_new (base);

  gtk_label_set_xalign (GTK_LABEL (title), 0);
  gtk_label_set_xalign (GTK_LABEL (name), 0);
  gtk_label_set_ellipsize (GTK_LABEL (title), PANGO_ELLIPSIZE_END);
  gtk_widget_add_css_class (name, "note");
  gtk_box_append (GTK_BOX (box), title);
  gtk_box_append (GTK_BOX (box), name);
  gtk_button_set_child (GTK_BUTTON (button), box);
  gtk_widget_add_css_class (button, "flat");
  gtk_widget_add_css_class (button, "sample");
  gtk_accessible_update_property (GTK_ACCESSIBLE (button), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  sample->title, -1);
  g_object_set_data_full (G_OBJECT (button), "faint-path", g_strdup (sample->path), g_free);
  g_signal_connect (button, "clicked", G_CALLBACK (on_sample), self);
  return button;
}

void
_faint_window_fill_samples (FaintWindow *self)
{
  g_autoptr (GPtrArray) samples = faint_samples_find ();

  gtk_widget_set_visible (self->samples_heading, samples->len > 0);
  for (guint i = 0; i < samples->len; i++)
    gtk_box_append (GTK_BOX (self->samples),
                    sample_button_new (self, g_ptr_array_index (samples, i)));
}

static gboolean
is_ours (GtkRecentInfo *info)
{
  const char *uri = gtk_recent_info_get_uri (info);

  return gtk_recent_info_is_local (info) && gtk_recent_info_exists (info)
         && (gtk_recent_info_has_application (info, g_get_application_name ())
             || g_str_has_suffix (uri, ".comb") || g_str_has_suffix (uri, ".faintline"));
}

static int
newer (gconstpointer a, gconstpointer b)
{
  return g_date_time_compare (gtk_recent_info_get_modified ((GtkRecentInfo *)b),
                              gtk_recent_info_get_modified ((GtkRecentInfo *)a));
}

void
_faint_window_fill_recent (FaintWindow *self)
{
  g_autoptr (GMenu) menu = g_menu_new ();
  GList *items
      = g_list_sort (gtk_recent_manager_get_items (gtk_recent_manager_get_default ()), newer);
  guint n = 0;

  for (GList *l = items; l && n < MAX_RECENT; l = l->next)
    {
      g_autofree char *path = NULL;
      g_autoptr (GMenuItem) item = NULL;
      g_autofree char *label = NULL;
      g_auto (GStrv) parts = NULL;

      if (!is_ours (l->data))
        continue;
      path = g_filename_from_uri (gtk_recent_info_get_uri (l->data), NULL, NULL);
      if (path == NULL)
        continue;
      /* an underscore in a name is no mnemonic */
      parts = g_strsplit (gtk_recent_info_get_display_name (l->data), "_", -1);
      label = g_strjoinv ("__", parts);
      item = g_menu_item_new (label, NULL);
      g_menu_item_set_action_and_target (item, "win.open-path", "s", path);
      g_menu_append_item (menu, item);
      n++;
    }
  g_list_free_full (items, (GDestroyNotify)gtk_recent_info_unref);
  if (n == 0)
    g_menu_append (menu, _ ("Nothing opened yet"), "win.nothing");
  gtk_menu_button_set_menu_model (GTK_MENU_BUTTON (self->recent_button), G_MENU_MODEL (menu));
}

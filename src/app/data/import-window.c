/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A grid: heads, a list of meanings for each column, the first rows; beside it the conditions,
 * below it what comes of them.
 */
#include "app/data/import-window.h"

#include <glib/gi18n.h>
#include <string.h>

#include "faint/analysis/analysis.h"
#include "faint/base/text.h"
#include "app/data/import-summary.h"
#include "app/parts/pane.h"

/* A choice is followed by a reading after this long without another, ms. */
#define READ_DELAY 150
#define SKIP "-"

struct _FaintImportWindow
{
  GtkWindow parent;

  char *path;
  GPtrArray *meanings;  /* GtkDropDown, one a column */
  GtkWidget *suggested; /* says that some are suggestions */
  GtkWidget *grid;
  GtkWidget *why, *open;
  GtkWidget *conditions, *summary;
  guint read_source;
  GCancellable *reading; /* what runs now, or NULL */
  gboolean stated;       /* a person chose or typed something here */
};

enum
{
  MAPPED,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (FaintImportWindow, faint_import_window, GTK_TYPE_WINDOW)

typedef struct
{
  FaintImportWindow *window;
  GCancellable *cancellable;
} Reading;

static void
on_read (GObject *source, GAsyncResult *result, gpointer data)
{
  Reading *reading = data;
  FaintImportWindow *self = reading->window;
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintImportReading) read = faint_import_read_finish (result, &error);

  /* another one has taken its place, or the window is closed */
  if (self->reading == reading->cancellable)
    {
      g_clear_object (&self->reading);
      if (read)
        faint_import_summary_set_reading (FAINT_IMPORT_SUMMARY (self->summary), read);
      else if (self->stated)
        faint_import_summary_set_error (FAINT_IMPORT_SUMMARY (self->summary), error->message);
      else
        faint_import_summary_set_waiting (FAINT_IMPORT_SUMMARY (self->summary), error->message);
      gtk_widget_set_sensitive (self->open, read != NULL);
    }
  g_object_unref (reading->window);
  g_object_unref (reading->cancellable);
  g_free (reading);
}

static void
stop_reading (FaintImportWindow *self)
{
  g_clear_handle_id (&self->read_source, g_source_remove);
  if (self->reading)
    g_cancellable_cancel (self->reading);
  g_clear_object (&self->reading);
}

static gboolean
is_meant (FaintImportWindow *self)
{
  for (guint i = 0; i < self->meanings->len; i++)
    if (gtk_drop_down_get_selected (g_ptr_array_index (self->meanings, i)) != 0)
      return TRUE;
  return FALSE;
}

static gboolean
read_now (gpointer data)
{
  FaintImportWindow *self = data;
  Reading *reading;
  g_autofree char *columns = faint_import_window_get_columns (self);
  g_auto (GStrv) settings = faint_import_settings_of (
      faint_import_conditions_get_setup (FAINT_IMPORT_CONDITIONS (self->conditions)));

  self->read_source = 0;
  if (!is_meant (self))
    return G_SOURCE_REMOVE;
  self->reading = g_cancellable_new ();
  reading = g_new (Reading, 1);
  *reading = (Reading){ g_object_ref (self), g_object_ref (self->reading) };
  faint_import_read_async (self->path, columns, (const char *const *)settings, self->reading,
                           on_read, reading);
  return G_SOURCE_REMOVE;
}

/* Once the choices rest. */
static void
read_soon (FaintImportWindow *self)
{
  if (self->path == NULL)
    return;
  stop_reading (self);
  gtk_widget_set_visible (self->why, FALSE);
  faint_import_summary_set_busy (FAINT_IMPORT_SUMMARY (self->summary));
  self->read_source = g_timeout_add (READ_DELAY, read_now, self);
}

/* A meaning or a condition; not while the window is being filled. */
static void
on_stated (FaintImportWindow *self)
{
  if (self->path != NULL)
    self->stated = TRUE;
  read_soon (self);
}

static const char *
meaning_at (guint position)
{
  return position == 0 ? SKIP : faint_column_meanings ()[position - 1];
}

static guint
position_of (const char *meaning)
{
  const char *const *meanings = faint_column_meanings ();

  for (guint i = 0; meanings[i]; i++)
    if (strcmp (meanings[i], meaning) == 0)
      return i + 1;
  return strcmp (meaning, SKIP) == 0 ? 0 : GTK_INVALID_LIST_POSITION;
}

static GtkWidget *
cell_new (const char *text, const char *css_class)
{
  GtkWidget *label = gtk_label_new (text);

  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_label_set_ellipsize (GTK_LABEL (label), PANGO_ELLIPSIZE_END);
  gtk_label_set_max_width_chars (GTK_LABEL (label), 20);
  gtk_widget_add_css_class (label, css_class);
  return label;
}

static GtkWidget *
meaning_list_new (FaintImportWindow *self, guint column, const char *meaning)
{
  GtkStringList *names = gtk_string_list_new (NULL);
  const char *const *meanings = faint_column_meanings ();
  g_autofree char *name = g_strdup_printf (_ ("Meaning of column %u"), column + 1);
  GtkWidget *list;

  gtk_string_list_append (names, _ ("Skip"));
  for (guint i = 0; meanings[i]; i++)
    gtk_string_list_append (names, meanings[i]);
  list = gtk_drop_down_new (G_LIST_MODEL (names), NULL);
  gtk_accessible_update_property (GTK_ACCESSIBLE (list), GTK_ACCESSIBLE_PROPERTY_LABEL, name, -1);
  gtk_drop_down_set_selected (GTK_DROP_DOWN (list), position_of (meaning ? meaning : SKIP));
  g_signal_connect_object (list, "notify::selected", G_CALLBACK (on_stated), self,
                           G_CONNECT_SWAPPED);
  return list;
}

/* Another meaning was chosen: that is nobody's suggestion. */
static void
on_other_meaning (GtkDropDown *list, GParamSpec *pspec, GtkWidget *mark)
{
  gtk_widget_set_visible (mark, FALSE);
  gtk_accessible_reset_property (GTK_ACCESSIBLE (list), GTK_ACCESSIBLE_PROPERTY_DESCRIPTION);
}

/* Says below the list of @column that what it shows is a suggestion, and why. */
static void
mark_suggestion (FaintImportWindow *self, const FaintDelimitedPreview *preview, guint column)
{
  GtkWidget *list = g_ptr_array_index (self->meanings, column);
  GtkWidget *mark = gtk_label_new (_ ("Suggestion: please check"));
  char from[G_ASCII_DTOSTR_BUF_SIZE], to[G_ASCII_DTOSTR_BUF_SIZE];
  g_autofree char *reason = NULL;

  g_ascii_formatd (from, sizeof from, "%.6g", preview->lowest[column]);
  g_ascii_formatd (to, sizeof to, "%.6g", preview->highest[column]);
  /* Translators: the head of a column and the range of its numbers */
  reason = g_strdup_printf (_ ("Suggested by the head “%s” and numbers from %s to %s"),
                            (char *)g_ptr_array_index (preview->heads, column), from, to);
  gtk_label_set_xalign (GTK_LABEL (mark), 0);
  gtk_widget_add_css_class (mark, "note");
  gtk_widget_set_tooltip_text (mark, reason);
  gtk_accessible_update_property (GTK_ACCESSIBLE (list), GTK_ACCESSIBLE_PROPERTY_DESCRIPTION,
                                  reason, -1);
  g_signal_connect_object (list, "notify::selected", G_CALLBACK (on_other_meaning), mark, 0);
  gtk_grid_attach (GTK_GRID (self->grid), mark, (int)column, 2, 1, 1);
  gtk_widget_set_visible (self->suggested, TRUE);
}

/* @tried: a map was tried before and goes over all suggestions. */
static void
fill (FaintImportWindow *self, const FaintDelimitedPreview *preview, gboolean tried)
{
  g_autofree const char **meanings = faint_delimited_suggest (preview);

  for (guint column = 0; column < preview->n_columns; column++)
    {
      const char *head
          = column < preview->heads->len ? g_ptr_array_index (preview->heads, column) : NULL;
      g_autofree char *number = g_strdup_printf (_ ("Column %u"), column + 1);
      GtkWidget *list = meaning_list_new (self, column, tried ? NULL : meanings[column]);

      g_ptr_array_add (self->meanings, list);
      if (!tried && meanings[column] && g_strcmp0 (meanings[column], head) != 0)
        mark_suggestion (self, preview, column);
      gtk_grid_attach (GTK_GRID (self->grid), cell_new (head ? head : number, "section"),
                       (int)column, 0, 1, 1);
      gtk_grid_attach (GTK_GRID (self->grid), list, (int)column, 1, 1, 1);
    }
  for (guint row = 0; row < preview->rows->len; row++)
    {
      char **fields = g_ptr_array_index (preview->rows, row);

      for (guint column = 0; fields[column] && column < preview->n_columns; column++)
        gtk_grid_attach (GTK_GRID (self->grid), cell_new (fields[column], "numeric"), (int)column,
                         (int)row + 3, 1, 1);
    }
}

static void
on_open (GtkButton *button, FaintImportWindow *self)
{
  faint_import_window_accept (self);
}

static GtkWidget *
build_header (FaintImportWindow *self)
{
  GtkWidget *header = gtk_header_bar_new ();
  GtkWidget *cancel = faint_pane_button (_ ("_Cancel"), "window.close");

  self->open = faint_pane_button (_ ("_Open"), NULL);
  gtk_header_bar_set_show_title_buttons (GTK_HEADER_BAR (header), FALSE);
  gtk_widget_add_css_class (self->open, "suggested-action");
  g_signal_connect (self->open, "clicked", G_CALLBACK (on_open), self);
  gtk_header_bar_pack_start (GTK_HEADER_BAR (header), cancel);
  gtk_header_bar_pack_end (GTK_HEADER_BAR (header), self->open);
  return header;
}

static void
on_question (GtkDialog *dialog, int response, FaintImportWindow *self)
{
  /* the dialog outlives its response, and this window may not */
  gtk_window_set_transient_for (GTK_WINDOW (dialog), NULL);
  gtk_window_destroy (GTK_WINDOW (dialog));
  if (response == GTK_RESPONSE_REJECT)
    gtk_window_destroy (GTK_WINDOW (self));
}

/* What was stated here is nowhere else yet. */
static gboolean
faint_import_window_close_request (GtkWindow *window)
{
  FaintImportWindow *self = FAINT_IMPORT_WINDOW (window);
  GtkWidget *dialog, *discard;

  /* what is still in an entry is taken, or cannot be read and would be lost, too */
  if (!faint_import_conditions_commit (FAINT_IMPORT_CONDITIONS (self->conditions)))
    self->stated = TRUE;
  if (!self->stated)
    return GTK_WINDOW_CLASS (faint_import_window_parent_class)->close_request (window);
  dialog = gtk_message_dialog_new (window, GTK_DIALOG_MODAL | GTK_DIALOG_DESTROY_WITH_PARENT,
                                   GTK_MESSAGE_QUESTION, GTK_BUTTONS_NONE, "%s",
                                   _ ("Discard what was entered here?"));
  gtk_message_dialog_format_secondary_text (
      GTK_MESSAGE_DIALOG (dialog), "%s",
      _ ("The meanings of the columns and the conditions are kept only once the text is open."));
  gtk_dialog_add_button (GTK_DIALOG (dialog), _ ("_Cancel"), GTK_RESPONSE_CANCEL);
  discard = gtk_dialog_add_button (GTK_DIALOG (dialog), _ ("_Discard"), GTK_RESPONSE_REJECT);
  gtk_widget_add_css_class (discard, "destructive-action");
  gtk_dialog_set_default_response (GTK_DIALOG (dialog), GTK_RESPONSE_CANCEL);
  g_signal_connect (dialog, "response", G_CALLBACK (on_question), self);
  gtk_window_present (GTK_WINDOW (dialog));
  return GDK_EVENT_STOP;
}

static void
faint_import_window_dispose (GObject *object)
{
  FaintImportWindow *self = FAINT_IMPORT_WINDOW (object);

  stop_reading (self);
  g_clear_pointer (&self->path, g_free);
  g_clear_pointer (&self->meanings, g_ptr_array_unref);
  G_OBJECT_CLASS (faint_import_window_parent_class)->dispose (object);
}

static void
faint_import_window_class_init (FaintImportWindowClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = faint_import_window_dispose;
  GTK_WINDOW_CLASS (klass)->close_request = faint_import_window_close_request;

  signals[MAPPED] = g_signal_new ("mapped", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0, NULL,
                                  NULL, NULL, G_TYPE_NONE, 2, G_TYPE_STRING, G_TYPE_STRV);
  gtk_widget_class_add_binding_action (GTK_WIDGET_CLASS (klass), GDK_KEY_Escape, 0, "window.close",
                                       NULL);
}

static GtkWidget *
build_columns (FaintImportWindow *self)
{
  GtkWidget *scrolled = gtk_scrolled_window_new ();

  self->grid = gtk_grid_new ();
  gtk_grid_set_row_spacing (GTK_GRID (self->grid), 6);
  gtk_grid_set_column_spacing (GTK_GRID (self->grid), 18);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (scrolled), self->grid);
  gtk_scrolled_window_set_policy (GTK_SCROLLED_WINDOW (scrolled), GTK_POLICY_AUTOMATIC,
                                  GTK_POLICY_NEVER);
  return scrolled;
}

static GtkWidget *
build_left (FaintImportWindow *self)
{
  GtkWidget *box = faint_pane_box_new ();
  GtkWidget *what = gtk_label_new (_ ("Say what the columns are: an axis, and the transmission or "
                                      "signal and reference. What is not stated at the right stays "
                                      "open and can be stated later."));

  gtk_label_set_xalign (GTK_LABEL (what), 0);
  gtk_label_set_wrap (GTK_LABEL (what), TRUE);
  self->why = cell_new (NULL, "error");
  gtk_label_set_ellipsize (GTK_LABEL (self->why), PANGO_ELLIPSIZE_NONE);
  gtk_label_set_max_width_chars (GTK_LABEL (self->why), 90);
  gtk_label_set_wrap (GTK_LABEL (self->why), TRUE);
  self->summary = faint_import_summary_new ();
  gtk_box_append (GTK_BOX (box), what);
  gtk_box_append (GTK_BOX (box), build_columns (self));
  self->suggested
      = cell_new (_ ("Meanings marked as a suggestion follow from the head and the range "
                     "of the numbers; the file does not state them. Opening confirms "
                     "them."),
                  "note");
  gtk_label_set_ellipsize (GTK_LABEL (self->suggested), PANGO_ELLIPSIZE_NONE);
  gtk_label_set_max_width_chars (GTK_LABEL (self->suggested), 90);
  gtk_label_set_wrap (GTK_LABEL (self->suggested), TRUE);
  gtk_widget_set_visible (self->suggested, FALSE);
  gtk_box_append (GTK_BOX (box), self->suggested);
  gtk_box_append (GTK_BOX (box), self->why);
  gtk_box_append (GTK_BOX (box), self->summary);
  return box;
}

static void
faint_import_window_init (FaintImportWindow *self)
{
  self->meanings = g_ptr_array_new ();
  self->conditions = faint_import_conditions_new ();
  g_signal_connect_object (self->conditions, "changed", G_CALLBACK (on_stated), self,
                           G_CONNECT_SWAPPED);
  gtk_window_set_child (GTK_WINDOW (self),
                        faint_import_paned_new (build_left (self), self->conditions));
  gtk_window_set_titlebar (GTK_WINDOW (self), build_header (self));
  gtk_window_set_modal (GTK_WINDOW (self), TRUE);
  gtk_window_set_default_size (GTK_WINDOW (self), 1060, 760);
}

gboolean
faint_import_may_help (const char *path)
{
  return g_file_test (path, G_FILE_TEST_IS_REGULAR) && !faint_analysis_is_file (path)
         && !faint_text_begins_with (path, "# comb-table") && !faint_text_begins_with (path, "##");
}

/* What was tried before goes over what the file states itself. */
static void
fill_conditions (FaintImportWindow *self, const FaintImportLook *look, const char *const *settings)
{
  FaintReadOptions options = { .settings = settings };
  g_autoptr (FaintSetup) setup = faint_setup_copy (look->setup);

  if (settings && !faint_setup_apply (setup, &options, NULL))
    g_warn_if_reached ();
  faint_import_conditions_set_setup (FAINT_IMPORT_CONDITIONS (self->conditions), setup);
}

GtkWidget *
faint_import_window_new (GtkWindow *parent, const char *path, FaintImportLook *look,
                         const char *columns, const char *const *settings, const char *why)
{
  g_autoptr (FaintImportLook) taken = look;
  g_auto (GStrv) tried = g_strsplit (columns ? columns : "", ",", -1);
  g_autofree char *base = g_path_get_basename (path);
  FaintImportWindow *self;

  g_return_val_if_fail (look != NULL, NULL);
  self = g_object_new (FAINT_TYPE_IMPORT_WINDOW, "transient-for", parent, "destroy-with-parent",
                       TRUE, "title", base, NULL);
  fill (self, taken->preview, columns != NULL);
  fill_conditions (self, taken, settings);
  for (guint i = 0; tried[i]; i++)
    faint_import_window_set_meaning (self, i, tried[i]);
  self->path = g_strdup (path);
  self->stated = columns != NULL;
  gtk_widget_set_sensitive (self->open, FALSE);
  read_soon (self);
  gtk_label_set_text (GTK_LABEL (self->why), why ? why : "");
  gtk_widget_set_visible (self->why, why != NULL);
  return GTK_WIDGET (self);
}

char *
faint_import_window_get_columns (FaintImportWindow *self)
{
  GString *columns = g_string_new (NULL);

  g_return_val_if_fail (FAINT_IS_IMPORT_WINDOW (self), NULL);
  for (guint i = 0; i < self->meanings->len; i++)
    {
      GtkDropDown *list = g_ptr_array_index (self->meanings, i);

      g_string_append_printf (columns, "%s%s", i > 0 ? "," : "",
                              meaning_at (gtk_drop_down_get_selected (list)));
    }
  return g_string_free (columns, FALSE);
}

gboolean
faint_import_window_set_meaning (FaintImportWindow *self, guint column, const char *meaning)
{
  guint position = position_of (meaning);

  g_return_val_if_fail (FAINT_IS_IMPORT_WINDOW (self), FALSE);
  if (column >= self->meanings->len || position == GTK_INVALID_LIST_POSITION)
    return FALSE;
  gtk_drop_down_set_selected (g_ptr_array_index (self->meanings, column), position);
  return TRUE;
}

FaintImportConditions *
faint_import_window_get_conditions (FaintImportWindow *self)
{
  g_return_val_if_fail (FAINT_IS_IMPORT_WINDOW (self), NULL);
  return FAINT_IMPORT_CONDITIONS (self->conditions);
}

char *
faint_import_window_get_summary (FaintImportWindow *self)
{
  g_return_val_if_fail (FAINT_IS_IMPORT_WINDOW (self), NULL);
  if (self->reading || self->read_source)
    return NULL;
  return faint_import_summary_get_text (FAINT_IMPORT_SUMMARY (self->summary));
}

void
faint_import_window_accept (FaintImportWindow *self)
{
  FaintImportConditions *conditions;
  g_autofree char *columns = NULL;
  g_auto (GStrv) settings = NULL;

  g_return_if_fail (FAINT_IS_IMPORT_WINDOW (self));
  conditions = FAINT_IMPORT_CONDITIONS (self->conditions);
  if (!faint_import_conditions_commit (conditions))
    return;
  stop_reading (self);
  columns = faint_import_window_get_columns (self);
  settings = faint_import_settings_of (faint_import_conditions_get_setup (conditions));
  g_object_ref (self);
  g_signal_emit (self, signals[MAPPED], 0, columns, settings);
  gtk_window_destroy (GTK_WINDOW (self));
  g_object_unref (self);
}

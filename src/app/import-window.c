/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A grid: heads, a list of meanings for each column, the first rows.
 */
#include "import-window.h"

#include <glib/gi18n.h>
#include <string.h>

#include "faint/analysis/analysis.h"
#include "faint/spectrum/delimited.h"
#include "pane.h"

#define MAX_ROWS 12
#define SKIP "-"

struct _FaintImportWindow
{
  GtkWindow parent;

  GPtrArray *meanings; /* GtkDropDown, one a column */
  GtkWidget *grid;
  GtkWidget *why;
};

enum
{
  MAPPED,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (FaintImportWindow, faint_import_window, GTK_TYPE_WINDOW)

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
meaning_list_new (guint column, const char *head)
{
  GtkStringList *names = gtk_string_list_new (NULL);
  const char *const *meanings = faint_column_meanings ();
  guint position = head ? position_of (head) : 0;
  g_autofree char *name = g_strdup_printf (_ ("Meaning of column %u"), column + 1);
  GtkWidget *list;

  gtk_string_list_append (names, _ ("Skip"));
  for (guint i = 0; meanings[i]; i++)
    gtk_string_list_append (names, meanings[i]);
  list = gtk_drop_down_new (G_LIST_MODEL (names), NULL);
  gtk_accessible_update_property (GTK_ACCESSIBLE (list), GTK_ACCESSIBLE_PROPERTY_LABEL, name, -1);
  gtk_drop_down_set_selected (GTK_DROP_DOWN (list),
                              position == GTK_INVALID_LIST_POSITION ? 0 : position);
  return list;
}

static void
fill (FaintImportWindow *self, const FaintDelimitedPreview *preview)
{
  for (guint column = 0; column < preview->n_columns; column++)
    {
      const char *head
          = column < preview->heads->len ? g_ptr_array_index (preview->heads, column) : NULL;
      g_autofree char *number = g_strdup_printf (_ ("Column %u"), column + 1);
      GtkWidget *list = meaning_list_new (column, head);

      g_ptr_array_add (self->meanings, list);
      gtk_grid_attach (GTK_GRID (self->grid), cell_new (head ? head : number, "section"),
                       (int)column, 0, 1, 1);
      gtk_grid_attach (GTK_GRID (self->grid), list, (int)column, 1, 1, 1);
    }
  for (guint row = 0; row < preview->rows->len; row++)
    {
      char **fields = g_ptr_array_index (preview->rows, row);

      for (guint column = 0; fields[column] && column < preview->n_columns; column++)
        gtk_grid_attach (GTK_GRID (self->grid), cell_new (fields[column], "numeric"), (int)column,
                         (int)row + 2, 1, 1);
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
  GtkWidget *open = faint_pane_button (_ ("_Open"), NULL);

  gtk_header_bar_set_show_title_buttons (GTK_HEADER_BAR (header), FALSE);
  gtk_widget_add_css_class (open, "suggested-action");
  g_signal_connect (open, "clicked", G_CALLBACK (on_open), self);
  gtk_header_bar_pack_start (GTK_HEADER_BAR (header), cancel);
  gtk_header_bar_pack_end (GTK_HEADER_BAR (header), open);
  return header;
}

static void
faint_import_window_dispose (GObject *object)
{
  FaintImportWindow *self = FAINT_IMPORT_WINDOW (object);

  g_clear_pointer (&self->meanings, g_ptr_array_unref);
  G_OBJECT_CLASS (faint_import_window_parent_class)->dispose (object);
}

static void
faint_import_window_class_init (FaintImportWindowClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = faint_import_window_dispose;

  signals[MAPPED] = g_signal_new ("mapped", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0, NULL,
                                  NULL, NULL, G_TYPE_NONE, 1, G_TYPE_STRING);
  gtk_widget_class_add_binding_action (GTK_WIDGET_CLASS (klass), GDK_KEY_Escape, 0, "window.close",
                                       NULL);
}

static void
faint_import_window_init (FaintImportWindow *self)
{
  GtkWidget *box = faint_pane_box_new ();
  GtkWidget *scrolled = gtk_scrolled_window_new ();
  GtkWidget *what = gtk_label_new (_ ("Say what the columns are: an axis, and the transmission or "
                                      "signal and reference. Gas and cavity are stated "
                                      "afterwards, in their stages."));

  self->meanings = g_ptr_array_new ();
  self->why = cell_new (NULL, "error");
  gtk_label_set_ellipsize (GTK_LABEL (self->why), PANGO_ELLIPSIZE_NONE);
  gtk_label_set_max_width_chars (GTK_LABEL (self->why), 90);
  gtk_label_set_wrap (GTK_LABEL (self->why), TRUE);
  gtk_label_set_xalign (GTK_LABEL (what), 0);
  gtk_label_set_wrap (GTK_LABEL (what), TRUE);
  self->grid = gtk_grid_new ();
  gtk_grid_set_row_spacing (GTK_GRID (self->grid), 6);
  gtk_grid_set_column_spacing (GTK_GRID (self->grid), 18);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (scrolled), self->grid);
  gtk_widget_set_vexpand (scrolled, TRUE);
  gtk_box_append (GTK_BOX (box), what);
  gtk_box_append (GTK_BOX (box), scrolled);
  gtk_box_append (GTK_BOX (box), self->why);
  gtk_window_set_child (GTK_WINDOW (self), box);
  gtk_window_set_titlebar (GTK_WINDOW (self), build_header (self));
  gtk_window_set_modal (GTK_WINDOW (self), TRUE);
  gtk_window_set_default_size (GTK_WINDOW (self), 820, 540);
}

gboolean
faint_import_may_help (const char *path)
{
  static const char mark[] = "# comb-table";
  g_autoptr (GFile) file = g_file_new_for_path (path);
  g_autoptr (GFileInputStream) stream = g_file_read (file, NULL, NULL);
  char first[sizeof mark] = "";

  return stream && !faint_analysis_is_file (path)
         && g_input_stream_read (G_INPUT_STREAM (stream), first, sizeof mark - 1, NULL, NULL) > 0
         && strcmp (first, mark) != 0 && !g_str_has_prefix (first, "##");
}

GtkWidget *
faint_import_window_new (GtkWindow *parent, const char *path, const char *columns, const char *why,
                         GError **error)
{
  g_auto (GStrv) tried = g_strsplit (columns ? columns : "", ",", -1);
  g_autoptr (FaintDelimitedPreview) preview = faint_delimited_preview (path, MAX_ROWS, error);
  g_autofree char *base = g_path_get_basename (path);
  FaintImportWindow *self;

  if (preview == NULL)
    return NULL;
  self = g_object_new (FAINT_TYPE_IMPORT_WINDOW, "transient-for", parent, "destroy-with-parent",
                       TRUE, "title", base, NULL);
  gtk_label_set_text (GTK_LABEL (self->why), why ? why : "");
  gtk_widget_set_visible (self->why, why != NULL);
  fill (self, preview);
  for (guint i = 0; tried[i]; i++)
    faint_import_window_set_meaning (self, i, tried[i]);
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

void
faint_import_window_accept (FaintImportWindow *self)
{
  g_autofree char *columns = NULL;

  g_return_if_fail (FAINT_IS_IMPORT_WINDOW (self));
  columns = faint_import_window_get_columns (self);
  g_object_ref (self);
  g_signal_emit (self, signals[MAPPED], 0, columns);
  gtk_window_destroy (GTK_WINDOW (self));
  g_object_unref (self);
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A list of the file's spectra, and under it what else the reader can be told.
 */
#include "app/data/block-window.h"

#include <glib/gi18n.h>
#include <math.h>
#include <string.h>

#include "faint/base/text.h"
#include "faint/spectrum/jcamp.h"
#include "app/parts/pane.h"

/* Characters of a title or a unit that are shown. */
#define MOST_SHOWN 100

struct _FaintBlockWindow
{
  GtkWindow parent;

  GPtrArray *summaries; /* FaintJcampSummary */
  GtkWidget *what, *list, *ordinates, *unchecked, *why;
};

enum
{
  MAPPED,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (FaintBlockWindow, faint_block_window, GTK_TYPE_WINDOW)

/* In the order of the list; the first is no word of a map. */
static const char *const ordinate_words[] = { NULL, "transmission", "absorbance" };

/* "103 points, 7750.25 to 7751.0966 1/CM, TRANSMITTANCE" */
static char *
details_of (const FaintJcampSummary *summary)
{
  g_autoptr (GString) text = g_string_new (NULL);
  g_autofree char *x_unit = faint_text_quote (summary->x_unit, -1, MOST_SHOWN);
  g_autofree char *y_unit = faint_text_quote (summary->y_unit, -1, MOST_SHOWN);
  char first[G_ASCII_DTOSTR_BUF_SIZE], last[G_ASCII_DTOSTR_BUF_SIZE];

  if (!isnan (summary->n_points))
    {
      gulong n = (gulong)summary->n_points;

      g_string_append_printf (text, ngettext ("%lu point", "%lu points", n), n);
    }
  if (!isnan (summary->first_x + summary->last_x))
    {
      g_ascii_formatd (first, sizeof first, "%.10g", summary->first_x);
      g_ascii_formatd (last, sizeof last, "%.10g", summary->last_x);
      if (text->len > 0)
        g_string_append (text, ", ");
      /* first and last abscissa, and their unit */
      g_string_append_printf (text, _ ("%s to %s %s"), first, last, x_unit);
    }
  if (*y_unit != '\0')
    g_string_append_printf (text, "%s%s", text->len > 0 ? ", " : "", y_unit);
  return g_string_free (g_steal_pointer (&text), FALSE);
}

static GtkWidget *
label_new (const char *text, const char *css_class)
{
  GtkWidget *label = gtk_label_new (text);

  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_wrap_mode (GTK_LABEL (label), PANGO_WRAP_WORD_CHAR);
  if (css_class != NULL)
    gtk_widget_add_css_class (label, css_class);
  return label;
}

static void
add_row (FaintBlockWindow *self, const FaintJcampSummary *summary)
{
  g_autofree char *title = faint_text_quote (summary->title, -1, MOST_SHOWN);
  g_autofree char *details = details_of (summary);
  g_autofree char *name = g_strdup_printf ("%s: %s", title, details);
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 3);
  GtkWidget *row = gtk_list_box_row_new ();

  gtk_widget_add_css_class (box, "sample");
  gtk_box_append (GTK_BOX (box), label_new (title, "heading"));
  gtk_box_append (GTK_BOX (box), label_new (details, "note"));
  gtk_list_box_row_set_child (GTK_LIST_BOX_ROW (row), box);
  gtk_accessible_update_property (GTK_ACCESSIBLE (row), GTK_ACCESSIBLE_PROPERTY_LABEL, name, -1);
  gtk_list_box_append (GTK_LIST_BOX (self->list), row);
}

/* What was tried stands in the window again. */
static void
take_map (FaintBlockWindow *self, const char *columns)
{
  g_auto (GStrv) words = g_strsplit (columns ? columns : "", ",", -1);

  faint_block_window_select (self, 0);
  for (char **word = words; *word != NULL; word++)
    if (g_str_has_prefix (*word, "block="))
      faint_block_window_select (self, (guint)MAX (atoi (*word + strlen ("block=")), 1) - 1);
    else if (strcmp (*word, "unchecked") == 0)
      faint_block_window_set_unchecked (self, TRUE);
    else
      faint_block_window_set_ordinates (self, *word);
}

static void
on_open (FaintBlockWindow *self)
{
  faint_block_window_accept (self);
}

static GtkWidget *
build_header (FaintBlockWindow *self)
{
  GtkWidget *header = gtk_header_bar_new ();
  GtkWidget *open = faint_pane_button (_ ("_Open"), NULL);

  gtk_header_bar_set_show_title_buttons (GTK_HEADER_BAR (header), FALSE);
  gtk_widget_add_css_class (open, "suggested-action");
  g_signal_connect_swapped (open, "clicked", G_CALLBACK (on_open), self);
  gtk_header_bar_pack_start (GTK_HEADER_BAR (header),
                             faint_pane_button (_ ("_Cancel"), "window.close"));
  gtk_header_bar_pack_end (GTK_HEADER_BAR (header), open);
  return header;
}

static void
faint_block_window_dispose (GObject *object)
{
  FaintBlockWindow *self = FAINT_BLOCK_WINDOW (object);

  g_clear_pointer (&self->summaries, g_ptr_array_unref);
  G_OBJECT_CLASS (faint_block_window_parent_class)->dispose (object);
}

static void
faint_block_window_class_init (FaintBlockWindowClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = faint_block_window_dispose;
  signals[MAPPED] = g_signal_new ("mapped", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0, NULL,
                                  NULL, NULL, G_TYPE_NONE, 1, G_TYPE_STRING);
  gtk_widget_class_add_binding_action (GTK_WIDGET_CLASS (klass), GDK_KEY_Escape, 0, "window.close",
                                       NULL);
}

static GtkWidget *
options_new (FaintBlockWindow *self)
{
  const char *const words[]
      = { _ ("As their unit says"), _ ("Transmission"), _ ("Decadic absorbance"), NULL };
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 6);
  GtkWidget *grid = faint_pane_section (box, _ ("Where the file does not say enough"));

  self->ordinates = gtk_drop_down_new_from_strings (words);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->ordinates), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  _ ("Ordinates are"), -1);
  faint_pane_row (grid, _ ("Ordinates are"), self->ordinates);
  self->unchecked
      = gtk_check_button_new_with_label (_ ("Read on where the file contradicts itself"));
  faint_pane_wide (grid, self->unchecked);
  return box;
}

static void
faint_block_window_init (FaintBlockWindow *self)
{
  GtkWidget *box = faint_pane_box_new ();
  GtkWidget *scrolled = gtk_scrolled_window_new ();

  self->what = label_new (NULL, NULL);
  self->why = label_new (NULL, "error");
  self->list = gtk_list_box_new ();
  gtk_list_box_set_selection_mode (GTK_LIST_BOX (self->list), GTK_SELECTION_BROWSE);
  gtk_list_box_set_activate_on_single_click (GTK_LIST_BOX (self->list), FALSE);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->list), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  _ ("Spectra of the file"), -1);
  g_signal_connect_swapped (self->list, "row-activated", G_CALLBACK (on_open), self);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (scrolled), self->list);
  gtk_scrolled_window_set_has_frame (GTK_SCROLLED_WINDOW (scrolled), TRUE);
  gtk_widget_set_vexpand (scrolled, TRUE);
  gtk_box_append (GTK_BOX (box), self->what);
  gtk_box_append (GTK_BOX (box), scrolled);
  gtk_box_append (GTK_BOX (box), options_new (self));
  gtk_box_append (GTK_BOX (box), self->why);
  gtk_window_set_child (GTK_WINDOW (self), box);
  gtk_window_set_titlebar (GTK_WINDOW (self), build_header (self));
  gtk_window_set_modal (GTK_WINDOW (self), TRUE);
  gtk_window_set_default_size (GTK_WINDOW (self), 560, 480);
}

gboolean
faint_block_may_help (const char *path, const GError *error)
{
  return g_error_matches (error, FAINT_JCAMP_ERROR, FAINT_JCAMP_ERROR_UNTOLD)
         && faint_text_begins_with (path, "##");
}

GtkWidget *
faint_block_window_new (GtkWindow *parent, const char *path, const char *columns, const char *why,
                        GError **error)
{
  g_autoptr (GPtrArray) summaries = faint_jcamp_summaries (path, error);
  g_autofree char *base = g_path_get_basename (path);
  FaintBlockWindow *self;
  gboolean is_choice;

  if (summaries == NULL)
    return NULL;
  is_choice = columns == NULL && summaries->len > 1;
  self = g_object_new (FAINT_TYPE_BLOCK_WINDOW, "transient-for", parent, "destroy-with-parent",
                       TRUE, "title", base, NULL);
  self->summaries = g_steal_pointer (&summaries);
  gtk_label_set_text (GTK_LABEL (self->what),
                      self->summaries->len > 1
                          ? _ ("This file holds several spectra. Choose the one to open.")
                          : _ ("This file needs more to be told before it can be read."));
  gtk_label_set_text (GTK_LABEL (self->why), !is_choice && why ? why : "");
  gtk_widget_set_visible (self->why, !is_choice && why != NULL);
  for (guint i = 0; i < self->summaries->len; i++)
    add_row (self, g_ptr_array_index (self->summaries, i));
  take_map (self, columns);
  return GTK_WIDGET (self);
}

guint
faint_block_window_get_n_blocks (FaintBlockWindow *self)
{
  g_return_val_if_fail (FAINT_IS_BLOCK_WINDOW (self), 0);
  return self->summaries->len;
}

char *
faint_block_window_get_words (FaintBlockWindow *self, guint row)
{
  GtkListBoxRow *list_row;
  GtkWidget *title, *details;

  g_return_val_if_fail (FAINT_IS_BLOCK_WINDOW (self), NULL);
  list_row = gtk_list_box_get_row_at_index (GTK_LIST_BOX (self->list), (int)row);
  g_return_val_if_fail (list_row != NULL, NULL);
  title = gtk_widget_get_first_child (gtk_list_box_row_get_child (list_row));
  details = gtk_widget_get_next_sibling (title);
  return g_strdup_printf ("%s: %s", gtk_label_get_text (GTK_LABEL (title)),
                          gtk_label_get_text (GTK_LABEL (details)));
}

char *
faint_block_window_get_columns (FaintBlockWindow *self)
{
  GtkListBoxRow *row;
  guint ordinates;
  GString *columns;

  g_return_val_if_fail (FAINT_IS_BLOCK_WINDOW (self), NULL);
  row = gtk_list_box_get_selected_row (GTK_LIST_BOX (self->list));
  ordinates = gtk_drop_down_get_selected (GTK_DROP_DOWN (self->ordinates));
  columns = g_string_new (NULL);
  g_string_append_printf (columns, "block=%d",
                          row != NULL ? gtk_list_box_row_get_index (row) + 1 : 1);
  if (ordinates > 0 && ordinates < G_N_ELEMENTS (ordinate_words))
    g_string_append_printf (columns, ",%s", ordinate_words[ordinates]);
  if (gtk_check_button_get_active (GTK_CHECK_BUTTON (self->unchecked)))
    g_string_append (columns, ",unchecked");
  return g_string_free (columns, FALSE);
}

gboolean
faint_block_window_select (FaintBlockWindow *self, guint row)
{
  GtkListBoxRow *list_row;

  g_return_val_if_fail (FAINT_IS_BLOCK_WINDOW (self), FALSE);
  list_row = gtk_list_box_get_row_at_index (GTK_LIST_BOX (self->list), (int)row);
  if (list_row == NULL)
    return FALSE;
  gtk_list_box_select_row (GTK_LIST_BOX (self->list), list_row);
  return TRUE;
}

void
faint_block_window_set_ordinates (FaintBlockWindow *self, const char *ordinates)
{
  g_return_if_fail (FAINT_IS_BLOCK_WINDOW (self));
  for (guint i = 0; i < G_N_ELEMENTS (ordinate_words); i++)
    if (g_strcmp0 (ordinate_words[i], ordinates) == 0)
      gtk_drop_down_set_selected (GTK_DROP_DOWN (self->ordinates), i);
}

void
faint_block_window_set_unchecked (FaintBlockWindow *self, gboolean unchecked)
{
  g_return_if_fail (FAINT_IS_BLOCK_WINDOW (self));
  gtk_check_button_set_active (GTK_CHECK_BUTTON (self->unchecked), unchecked);
}

void
faint_block_window_accept (FaintBlockWindow *self)
{
  g_autofree char *columns = NULL;

  g_return_if_fail (FAINT_IS_BLOCK_WINDOW (self));
  columns = faint_block_window_get_columns (self);
  g_object_ref (self);
  g_signal_emit (self, signals[MAPPED], 0, columns);
  gtk_window_destroy (GTK_WINDOW (self));
  g_object_unref (self);
}

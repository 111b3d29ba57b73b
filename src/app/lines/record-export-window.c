/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A row for each key, with a hint under it; every change is checked by the library, whose words
 * take the place of the hint where an entry is wrong.
 */
#include "app/lines/record-export-window.h"

#include <glib/gi18n.h>
#include <string.h>

#include "faint/base/units.h"
#include "faint/strength/partition.h"
#include "app/parts/pane.h"

#define REMEMBERED "record-options"
#define FOREIGN_GAS "foreign_gas"

/* In their order in the window; the last, the foreign gas, is a list. */
static const struct
{
  const char *key, *name, *hint;
} rows[] = {
  { "molecule_number", N_ ("Number of the molecule"), N_ ("1 to 99; nitrous oxide is 4") },
  { "isotopologue_number", N_ ("Number of the isotopologue"),
    N_ ("1 to 9, by falling abundance; the main one is 1") },
  { "natural_abundance", N_ ("Natural abundance"), N_ ("Of the isotopologue, above 0, at most 1") },
  { "partition_sum_296K", N_ ("Partition sum Q(296 K)"), N_ ("For the Einstein coefficients") },
  { "degeneracy_factor", N_ ("Weight of a level over 2J+1"),
    N_ ("As the partition sum counts it; 1 without spin weights") },
};

struct _FaintRecordExportWindow
{
  GtkWindow parent;

  FaintSettings *settings; /* borrowed */
  FaintRecordOptions options;
  GtkWidget *entries[G_N_ELEMENTS (rows)], *notes[G_N_ELEMENTS (rows)];
  GtkWidget *foreign_gas, *button;
  char *why; /* the first entry that is wrong is so; NULL: all are right */
};

enum
{
  EXPORT,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (FaintRecordExportWindow, faint_record_export_window, GTK_TYPE_WINDOW)

/* What is typed, without blanks around it and with a decimal point. Free with g_free. */
static char *
text_of (FaintRecordExportWindow *self, gsize row)
{
  char *text = g_strstrip (g_strdup (gtk_editable_get_text (GTK_EDITABLE (self->entries[row]))));

  return g_strdelimit (text, ",", '.');
}

static gboolean
is_air (FaintRecordExportWindow *self)
{
  return gtk_drop_down_get_selected (GTK_DROP_DOWN (self->foreign_gas)) == 1;
}

/* One entry into the options. */
static void
check_entry (FaintRecordExportWindow *self, gsize row)
{
  GtkWidget *entry = self->entries[row], *note = self->notes[row];
  g_autofree char *text = text_of (self, row);
  g_autoptr (GError) error = NULL;
  gboolean right
      = *text == '\0' || faint_record_options_set (&self->options, rows[row].key, text, &error);

  gtk_label_set_text (GTK_LABEL (note), right ? _ (rows[row].hint) : error->message);
  if (right)
    {
      gtk_widget_remove_css_class (entry, "error");
      gtk_widget_remove_css_class (note, "error");
    }
  else
    {
      gtk_widget_add_css_class (entry, "error");
      gtk_widget_add_css_class (note, "error");
    }
  gtk_accessible_update_state (GTK_ACCESSIBLE (entry), GTK_ACCESSIBLE_STATE_INVALID,
                               right ? GTK_ACCESSIBLE_INVALID_FALSE : GTK_ACCESSIBLE_INVALID_TRUE,
                               -1);
  gtk_accessible_update_property (GTK_ACCESSIBLE (entry), GTK_ACCESSIBLE_PROPERTY_DESCRIPTION,
                                  gtk_label_get_text (GTK_LABEL (note)), -1);
  if (!right && self->why == NULL)
    self->why = g_strdup (error->message);
}

static void
check (FaintRecordExportWindow *self)
{
  g_clear_pointer (&self->why, g_free);
  faint_record_options_init (&self->options);
  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    check_entry (self, i);
  self->options.foreign_is_air = is_air (self);
  gtk_widget_set_sensitive (self->button, self->why == NULL);
}

/* "molecule_number=4;isotopologue_number=1" */
static void
remember (FaintRecordExportWindow *self)
{
  g_autoptr (GString) text = g_string_new (NULL);

  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_autofree char *value = text_of (self, i);

      if (*value != '\0')
        g_string_append_printf (text, "%s=%s;", rows[i].key, value);
    }
  if (is_air (self))
    g_string_append (text, FOREIGN_GAS "=air;");
  faint_settings_set_string (self->settings, REMEMBERED, text->str);
}

static void
recall (FaintRecordExportWindow *self)
{
  g_autofree char *text = faint_settings_get_string (self->settings, REMEMBERED);
  g_auto (GStrv) parts = g_strsplit (text, ";", -1);

  for (char **part = parts; *part != NULL; part++)
    {
      char *value = strchr (*part, '=');

      if (value == NULL)
        continue;
      *value = '\0';
      faint_record_export_window_enter (self, *part, value + 1);
    }
}

/* The partition sum of the file that the conditions name. */
static void
take_partition_sum (FaintRecordExportWindow *self, FaintSetup *setup)
{
  g_autofree char *path = setup != NULL ? faint_setup_get (setup, "partition_sums") : NULL;
  g_autoptr (FaintPartition) sums = path != NULL ? faint_partition_read (path, NULL) : NULL;
  char text[G_ASCII_DTOSTR_BUF_SIZE];
  double sum;

  if (*faint_record_export_window_get_text (self, "partition_sum_296K") != '\0' || sums == NULL
      || !faint_partition_sum (sums, FAINT_REFERENCE_TEMPERATURE_K, &sum, NULL))
    return;
  g_ascii_formatd (text, sizeof text, "%.8g", sum);
  faint_record_export_window_enter (self, "partition_sum_296K", text);
}

static void
on_changed (FaintRecordExportWindow *self)
{
  check (self);
}

static void
on_clicked (FaintRecordExportWindow *self)
{
  faint_record_export_window_export (self);
}

static void
add_entry (FaintRecordExportWindow *self, GtkWidget *grid, gsize row)
{
  GtkWidget *entry = gtk_entry_new ();

  self->entries[row] = entry;
  gtk_entry_set_activates_default (GTK_ENTRY (entry), TRUE);
  gtk_entry_set_placeholder_text (GTK_ENTRY (entry), _ ("not stated"));
  gtk_accessible_update_property (GTK_ACCESSIBLE (entry), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  _ (rows[row].name), -1);
  faint_pane_row (grid, _ (rows[row].name), entry);
  self->notes[row] = faint_pane_note (grid, _ (rows[row].hint));
  g_signal_connect_swapped (entry, "changed", G_CALLBACK (on_changed), self);
}

static GtkWidget *
foreign_gas_new (FaintRecordExportWindow *self)
{
  const char *const words[] = { _ ("Another gas, or none"), _ ("Air"), NULL };
  GtkWidget *list = gtk_drop_down_new_from_strings (words);

  gtk_accessible_update_property (GTK_ACCESSIBLE (list), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  _ ("Foreign gas"), -1);
  g_signal_connect_swapped (list, "notify::selected", G_CALLBACK (on_changed), self);
  return list;
}

static GtkWidget *
build_header (FaintRecordExportWindow *self)
{
  GtkWidget *header = gtk_header_bar_new ();

  self->button = faint_pane_button (_ ("_Export"), NULL);
  gtk_header_bar_set_show_title_buttons (GTK_HEADER_BAR (header), FALSE);
  gtk_widget_add_css_class (self->button, "suggested-action");
  g_signal_connect_swapped (self->button, "clicked", G_CALLBACK (on_clicked), self);
  gtk_header_bar_pack_start (GTK_HEADER_BAR (header),
                             faint_pane_button (_ ("_Cancel"), "window.close"));
  gtk_header_bar_pack_end (GTK_HEADER_BAR (header), self->button);
  return header;
}

static void
faint_record_export_window_finalize (GObject *object)
{
  g_free (FAINT_RECORD_EXPORT_WINDOW (object)->why);
  G_OBJECT_CLASS (faint_record_export_window_parent_class)->finalize (object);
}

static void
faint_record_export_window_class_init (FaintRecordExportWindowClass *klass)
{
  G_OBJECT_CLASS (klass)->finalize = faint_record_export_window_finalize;
  signals[EXPORT] = g_signal_new ("export", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0, NULL,
                                  NULL, NULL, G_TYPE_NONE, 1, G_TYPE_POINTER);
  gtk_widget_class_add_binding_action (GTK_WIDGET_CLASS (klass), GDK_KEY_Escape, 0, "window.close",
                                       NULL);
}

static void
faint_record_export_window_init (FaintRecordExportWindow *self)
{
  GtkWidget *box = faint_pane_box_new ();
  GtkWidget *grid = faint_pane_section (box, _ ("What the records state beside the lines"));

  faint_record_options_init (&self->options);
  gtk_window_set_titlebar (GTK_WINDOW (self), build_header (self));
  faint_pane_note (grid, _ ("What is left empty stays blank in every record, and so does what "
                            "follows from it."));
  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    add_entry (self, grid, i);
  self->foreign_gas = foreign_gas_new (self);
  faint_pane_row (grid, _ ("Foreign gas"), self->foreign_gas);
  faint_pane_note (grid, _ ("Records hold broadening and shift by air alone"));
  gtk_window_set_child (GTK_WINDOW (self), box);
  gtk_window_set_default_widget (GTK_WINDOW (self), self->button);
  gtk_window_set_title (GTK_WINDOW (self), _ ("Records of 160 Columns"));
  gtk_window_set_default_size (GTK_WINDOW (self), 440, -1);
  gtk_window_set_modal (GTK_WINDOW (self), TRUE);
  check (self);
}

GtkWidget *
faint_record_export_window_new (GtkWindow *parent, FaintSettings *settings, FaintSetup *setup)
{
  FaintRecordExportWindow *self = g_object_new (FAINT_TYPE_RECORD_EXPORT_WINDOW, "transient-for",
                                                parent, "destroy-with-parent", TRUE, NULL);

  self->settings = settings;
  recall (self);
  take_partition_sum (self, setup);
  return GTK_WIDGET (self);
}

static int
row_of (const char *key)
{
  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    if (strcmp (rows[i].key, key) == 0)
      return (int)i;
  return -1;
}

gboolean
faint_record_export_window_enter (FaintRecordExportWindow *self, const char *key, const char *text)
{
  int row = row_of (key);

  g_return_val_if_fail (FAINT_IS_RECORD_EXPORT_WINDOW (self), FALSE);
  if (row >= 0)
    gtk_editable_set_text (GTK_EDITABLE (self->entries[row]), text);
  else if (strcmp (key, FOREIGN_GAS) == 0)
    gtk_drop_down_set_selected (GTK_DROP_DOWN (self->foreign_gas), strcmp (text, "air") == 0);
  else
    return FALSE;
  return TRUE;
}

const char *
faint_record_export_window_get_text (FaintRecordExportWindow *self, const char *key)
{
  int row = row_of (key);

  g_return_val_if_fail (FAINT_IS_RECORD_EXPORT_WINDOW (self), "");
  if (row < 0)
    return is_air (self) ? "air" : "other";
  return gtk_editable_get_text (GTK_EDITABLE (self->entries[row]));
}

const char *
faint_record_export_window_get_why (FaintRecordExportWindow *self)
{
  g_return_val_if_fail (FAINT_IS_RECORD_EXPORT_WINDOW (self), NULL);
  return self->why;
}

void
faint_record_export_window_export (FaintRecordExportWindow *self)
{
  g_return_if_fail (FAINT_IS_RECORD_EXPORT_WINDOW (self));
  if (!gtk_widget_get_sensitive (self->button))
    return;
  remember (self);
  g_object_ref (self);
  g_signal_emit (self, signals[EXPORT], 0, &self->options);
  gtk_window_destroy (GTK_WINDOW (self));
  g_object_unref (self);
}

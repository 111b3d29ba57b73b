/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/data/excluded-list.h"

#include <glib/gi18n.h>
#include <math.h>

#include "app/parts/pane.h"

#define NUMBER_KEY "faint-number" /* of a range, on its buttons */
/* A range is shown with this many times its width around it. */
#define AROUND 3.0

struct _FaintExcludedList
{
  GtkBox parent;

  FaintDocument *document;
  FaintSession *session;
  GtkWidget *rows; /* GtkBox */
  GtkWidget *entry, *error;
};

G_DEFINE_FINAL_TYPE (FaintExcludedList, faint_excluded_list, GTK_TYPE_BOX)

static const FaintSetupRange *
range_at (FaintExcludedList *self, guint i)
{
  const FaintSetup *setup = faint_document_get_setup (self->document);

  return setup && setup->excluded && i < setup->excluded->len
             ? &g_array_index (setup->excluded, FaintSetupRange, i)
             : NULL;
}

static void
say (FaintExcludedList *self, const char *message)
{
  faint_pane_show_error (self->error, self->entry, message);
}

static void
on_show (GtkButton *button, FaintExcludedList *self)
{
  const FaintSetupRange *range
      = range_at (self, GPOINTER_TO_UINT (g_object_get_data (G_OBJECT (button), NUMBER_KEY)));
  double around;

  if (range == NULL)
    return;
  around = AROUND * (range->upper - range->lower);
  faint_session_set_view (self->session, range->lower - around, range->upper + around);
}

static void
on_remove (GtkButton *button, FaintExcludedList *self)
{
  faint_excluded_list_remove (self,
                              GPOINTER_TO_UINT (g_object_get_data (G_OBJECT (button), NUMBER_KEY)));
}

static guint
count_teeth (const FaintSpectrum *spectrum, const FaintSetupRange *range)
{
  gsize first = faint_spectrum_index (spectrum, range->lower), end = first;

  while (end < spectrum->n && spectrum->wavenumber[end] <= range->upper)
    end++;
  return (guint)(end - first);
}

/* A tenth of the spacing tells teeth apart. */
static char *
place_of_tooth (double wavenumber, double spacing)
{
  char text[G_ASCII_DTOSTR_BUF_SIZE], format[16];
  int decimals = spacing > 0 ? (int)ceil (-log10 (spacing / 10)) : 6;

  g_snprintf (format, sizeof format, "%%.%df", CLAMP (decimals, 0, 12));
  return g_strdup (g_ascii_formatd (text, sizeof text, format, wavenumber));
}

/* "7790.100 – 7790.120 cm⁻¹: 14 teeth" */
static char *
range_in_words (const FaintSpectrum *spectrum, const FaintSetupRange *range)
{
  double spacing = (spectrum->wavenumber[spectrum->n - 1] - spectrum->wavenumber[0])
                   / (double)MAX (spectrum->n - 1, 1);
  g_autofree char *lower = place_of_tooth (range->lower, spacing);
  g_autofree char *upper = place_of_tooth (range->upper, spacing);
  guint n = count_teeth (spectrum, range);

  /* Translators: the ends of a range, and the teeth in it */
  return g_strdup_printf (ngettext ("%s – %s cm⁻¹: %u tooth", "%s – %s cm⁻¹: %u teeth", n), lower,
                          upper, n);
}

static void
append_row (FaintExcludedList *self, const FaintSpectrum *spectrum, guint i)
{
  g_autofree char *words = range_in_words (spectrum, range_at (self, i));
  g_autofree char *removal = g_strdup_printf (_ ("Take back %s"), words);
  g_autofree char *lower = faint_format_double (range_at (self, i)->lower);
  g_autofree char *upper = faint_format_double (range_at (self, i)->upper);
  g_autofree char *tooltip
      = g_strdup_printf ("%s – %s cm⁻¹\n%s", lower, upper, _ ("Show this range"));
  GtkWidget *row = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6);
  GtkWidget *show = gtk_button_new_with_label (words);
  GtkWidget *remove = gtk_button_new_from_icon_name ("list-remove-symbolic");
  GtkWidget *label = gtk_button_get_child (GTK_BUTTON (show));

  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_label_set_ellipsize (GTK_LABEL (label), PANGO_ELLIPSIZE_END);
  gtk_widget_set_hexpand (show, TRUE);
  gtk_widget_add_css_class (show, "flat");
  gtk_widget_add_css_class (show, "numeric");
  gtk_widget_set_tooltip_text (show, tooltip);
  gtk_widget_add_css_class (remove, "flat");
  gtk_widget_set_tooltip_text (remove, _ ("Take these teeth back into the fits"));
  gtk_accessible_update_property (GTK_ACCESSIBLE (remove), GTK_ACCESSIBLE_PROPERTY_LABEL, removal,
                                  -1);
  g_object_set_data (G_OBJECT (show), NUMBER_KEY, GUINT_TO_POINTER (i));
  g_object_set_data (G_OBJECT (remove), NUMBER_KEY, GUINT_TO_POINTER (i));
  g_signal_connect (show, "clicked", G_CALLBACK (on_show), self);
  g_signal_connect (remove, "clicked", G_CALLBACK (on_remove), self);
  gtk_box_append (GTK_BOX (row), show);
  gtk_box_append (GTK_BOX (row), remove);
  gtk_box_append (GTK_BOX (self->rows), row);
}

static void
update (FaintExcludedList *self)
{
  const FaintSpectrum *spectrum = faint_document_get_spectrum (self->document);

  faint_pane_empty (self->rows);
  for (guint i = 0; spectrum && range_at (self, i); i++)
    append_row (self, spectrum, i);
  gtk_widget_set_visible (self->rows, range_at (self, 0) != NULL);
  gtk_widget_set_sensitive (self->entry, spectrum != NULL);
  say (self, NULL);
}

static void
on_changed (FaintDocument *document, guint change, FaintExcludedList *self)
{
  if (change & (FAINT_CHANGE_SETUP | FAINT_CHANGE_OPENED | FAINT_CHANGE_SPECTRUM))
    update (self);
}

static void
on_activate (GtkEntry *entry, FaintExcludedList *self)
{
  g_autofree char *text = g_strdup (gtk_editable_get_text (GTK_EDITABLE (entry)));

  if (faint_excluded_list_add (self, text))
    {
      gtk_editable_set_text (GTK_EDITABLE (entry), "");
      faint_pane_forget_typing (GTK_WIDGET (entry));
    }
}

static void
on_add (GtkButton *button, FaintExcludedList *self)
{
  on_activate (GTK_ENTRY (self->entry), self);
}

/* The tooth nearest to a single place. */
static GArray *
tooth_at (const FaintSpectrum *spectrum, double wavenumber)
{
  GArray *ranges = g_array_new (FALSE, FALSE, sizeof (FaintSetupRange));
  gsize i = faint_spectrum_index (spectrum, wavenumber);
  FaintSetupRange range;

  i = MIN (i, spectrum->n - 1);
  if (i > 0 && wavenumber - spectrum->wavenumber[i - 1] < spectrum->wavenumber[i] - wavenumber)
    i--;
  range.lower = range.upper = spectrum->wavenumber[i];
  g_array_append_val (ranges, range);
  return ranges;
}

/* With or without the unit, which is always the same. */
static GArray *
parse (const FaintSpectrum *spectrum, const char *text, GError **error)
{
  g_autofree char *trimmed = g_strstrip (g_strdup (text));
  g_auto (GStrv) parts = g_strsplit (trimmed, "cm⁻¹", -1);
  g_autofree char *plain = g_strstrip (g_strjoinv ("cm-1", parts));
  g_autofree char *with_unit = NULL;
  char *end;
  double single;

  if (g_str_has_suffix (plain, "cm-1"))
    plain[strlen (plain) - strlen ("cm-1")] = '\0';
  g_strchomp (plain);
  single = g_ascii_strtod (plain, &end);
  if (end != plain && *end == '\0' && single >= spectrum->wavenumber[0]
      && single <= spectrum->wavenumber[spectrum->n - 1])
    return tooth_at (spectrum, single);
  with_unit = g_strconcat (plain, " cm-1", NULL);
  return faint_setup_ranges_parse (with_unit, error);
}

gboolean
faint_excluded_list_add (FaintExcludedList *self, const char *text)
{
  const FaintSpectrum *spectrum;
  g_autoptr (GArray) ranges = NULL;
  g_autoptr (GError) error = NULL;
  gsize n = 0;

  g_return_val_if_fail (FAINT_IS_EXCLUDED_LIST (self), FALSE);
  spectrum = faint_document_get_spectrum (self->document);
  if (spectrum == NULL)
    return FALSE;
  ranges = parse (spectrum, text, &error);
  if (ranges == NULL)
    {
      say (self, error->message);
      return FALSE;
    }
  for (guint i = 0; i < ranges->len; i++)
    {
      FaintSetupRange range = g_array_index (ranges, FaintSetupRange, i);

      n += faint_document_exclude_teeth (self->document, range.lower, range.upper, TRUE);
    }
  say (self, n > 0 ? NULL : _ ("No tooth lies there that is not excluded already."));
  return n > 0;
}

void
faint_excluded_list_remove (FaintExcludedList *self, guint i)
{
  const FaintSetupRange *found;
  FaintSetupRange range;
  g_autoptr (FaintSetup) setup = NULL;
  g_autoptr (GArray) left = g_array_new (FALSE, FALSE, sizeof (FaintSetupRange));
  g_autofree char *text = NULL;

  g_return_if_fail (FAINT_IS_EXCLUDED_LIST (self));
  found = range_at (self, i);
  if (found == NULL)
    return;
  range = *found;
  if (faint_document_exclude_teeth (self->document, range.lower, range.upper, FALSE) > 0)
    return;
  /* a range that the file states, but where there are no teeth */
  for (guint k = 0; range_at (self, k); k++)
    if (k != i)
      g_array_append_val (left, *range_at (self, k));
  setup = faint_document_copy_setup (self->document);
  text = faint_setup_ranges_to_text (left);
  if (!faint_setup_set (setup, "excluded", text, NULL, NULL)
      || !faint_document_edit_setup (self->document, setup, _ ("Take Back a Range"), NULL))
    g_warn_if_reached ();
}

const char *
faint_excluded_list_get_error (FaintExcludedList *self)
{
  g_return_val_if_fail (FAINT_IS_EXCLUDED_LIST (self), NULL);
  return gtk_widget_get_visible (self->error) ? gtk_label_get_text (GTK_LABEL (self->error)) : NULL;
}

static void
faint_excluded_list_dispose (GObject *object)
{
  g_clear_object (&FAINT_EXCLUDED_LIST (object)->document);
  g_clear_object (&FAINT_EXCLUDED_LIST (object)->session);
  G_OBJECT_CLASS (faint_excluded_list_parent_class)->dispose (object);
}

static void
faint_excluded_list_class_init (FaintExcludedListClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = faint_excluded_list_dispose;
}

static void
on_taken_back (gpointer data)
{
  say (data, NULL);
}

static void
faint_excluded_list_init (FaintExcludedList *self)
{
  GtkWidget *line = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6);
  GtkWidget *add = gtk_button_new_from_icon_name ("list-add-symbolic");

  gtk_orientable_set_orientation (GTK_ORIENTABLE (self), GTK_ORIENTATION_VERTICAL);
  gtk_box_set_spacing (GTK_BOX (self), 6);
  self->rows = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  gtk_box_append (GTK_BOX (self), self->rows);
  self->entry = gtk_entry_new ();
  gtk_widget_set_hexpand (self->entry, TRUE);
  gtk_entry_set_placeholder_text (GTK_ENTRY (self->entry), "7790.10..7790.12 cm⁻¹");
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->entry), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  _ ("Range to exclude"), -1);
  g_signal_connect (self->entry, "activate", G_CALLBACK (on_activate), self);
  faint_pane_escape_takes_back (self->entry, on_taken_back, self);
  gtk_widget_set_tooltip_text (add, _ ("Exclude the teeth of this range"));
  gtk_accessible_update_property (GTK_ACCESSIBLE (add), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  _ ("Exclude the teeth of this range"), -1);
  g_signal_connect (add, "clicked", G_CALLBACK (on_add), self);
  gtk_box_append (GTK_BOX (line), self->entry);
  gtk_box_append (GTK_BOX (line), add);
  gtk_box_append (GTK_BOX (self), line);
  self->error = gtk_label_new (NULL);
  gtk_label_set_xalign (GTK_LABEL (self->error), 0);
  gtk_label_set_wrap (GTK_LABEL (self->error), TRUE);
  gtk_label_set_max_width_chars (GTK_LABEL (self->error), 36);
  gtk_widget_add_css_class (self->error, "error");
  gtk_widget_add_css_class (self->error, "note");
  gtk_box_append (GTK_BOX (self), self->error);
}

GtkWidget *
faint_excluded_list_new (FaintDocument *document, FaintSession *session)
{
  FaintExcludedList *self = g_object_new (FAINT_TYPE_EXCLUDED_LIST, NULL);

  self->document = g_object_ref (document);
  self->session = g_object_ref (session);
  g_signal_connect_object (document, "changed", G_CALLBACK (on_changed), self, 0);
  update (self);
  return GTK_WIDGET (self);
}

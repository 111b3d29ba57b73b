/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The toolkit's spin button with a reader of its own.
 */
#include "app/parts/number-spin.h"

#include <glib/gi18n.h>
#include <string.h>

#include "app/parts/pane.h"

#define WORDS_KEY "faint-number-spin-words"

static char *
in_digits (GtkSpinButton *spin, double value)
{
  char text[G_ASCII_DTOSTR_BUF_SIZE], format[16];

  g_snprintf (format, sizeof format, "%%.%uf", gtk_spin_button_get_digits (spin));
  return g_strdup (g_ascii_formatd (text, sizeof text, format, value));
}

/* "3", "0.999999": a limit may have more digits than are shown. */
static char *
limit_in_words (double value)
{
  char text[G_ASCII_DTOSTR_BUF_SIZE];

  return g_strdup (g_ascii_formatd (text, sizeof text, "%.6g", value));
}

static gboolean
read_number (GtkSpinButton *spin, const char *text, double *value)
{
  double least, most;
  char *end;

  /* "1.000" may be meant for a thousand */
  if (gtk_spin_button_get_digits (spin) == 0 && text[strspn (text, "+-0123456789")] != '\0')
    return FALSE;
  *value = g_ascii_strtod (text, &end);
  gtk_spin_button_get_range (spin, &least, &most);
  return end != text && *end == '\0' && *value >= least && *value <= most;
}

static char *
refusal (GtkSpinButton *spin, const char *text)
{
  double least, most;
  g_autofree char *from = NULL, *to = NULL;

  gtk_spin_button_get_range (spin, &least, &most);
  from = limit_in_words (least);
  to = limit_in_words (most);
  return g_strdup_printf (
      gtk_spin_button_get_digits (spin) > 0
          /* Translators: what was typed, and the least and the largest number */
          ? _ ("“%s” is not taken: a number from %s to %s was expected, with a decimal point.")
          : _ ("“%s” is not taken: a whole number from %s to %s was expected."),
      text, from, to);
}

/* What is shown is the number that it has, whatever digits are not shown. */
static int
on_input (GtkSpinButton *spin, double *value, GtkWidget *words)
{
  g_autofree char *text = g_strstrip (g_strdup (gtk_editable_get_text (GTK_EDITABLE (spin))));
  double current = gtk_spin_button_get_value (spin);
  g_autofree char *shown = in_digits (spin, current);
  g_autofree char *why = NULL;

  if (g_strcmp0 (text, shown) == 0)
    *value = current;
  else if (!read_number (spin, text, value))
    {
      why = refusal (spin, text);
      *value = current;
    }
  faint_pane_show_error (words, GTK_WIDGET (spin), why);
  return TRUE;
}

static gboolean
on_output (GtkSpinButton *spin, gpointer data)
{
  g_autofree char *text = in_digits (spin, gtk_spin_button_get_value (spin));

  if (g_strcmp0 (text, gtk_editable_get_text (GTK_EDITABLE (spin))) != 0)
    gtk_editable_set_text (GTK_EDITABLE (spin), text);
  return TRUE;
}

/* Escape takes back what is typed. */
static gboolean
on_key (GtkEventControllerKey *controller, guint keyval, guint keycode, GdkModifierType state,
        GtkSpinButton *spin)
{
  g_autofree char *text = in_digits (spin, gtk_spin_button_get_value (spin));

  if (keyval != GDK_KEY_Escape
      || g_strcmp0 (text, gtk_editable_get_text (GTK_EDITABLE (spin))) == 0)
    return GDK_EVENT_PROPAGATE;
  gtk_editable_set_text (GTK_EDITABLE (spin), text);
  faint_pane_show_error (faint_number_spin_get_words (GTK_WIDGET (spin)), GTK_WIDGET (spin), NULL);
  return GDK_EVENT_STOP;
}

GtkWidget *
faint_number_spin_new (const char *name, double least, double most, double step, guint digits)
{
  GtkWidget *spin = gtk_spin_button_new_with_range (least, most, step);
  GtkWidget *words = gtk_label_new (NULL);
  GtkEventController *keys = gtk_event_controller_key_new ();

  gtk_label_set_wrap (GTK_LABEL (words), TRUE);
  gtk_label_set_xalign (GTK_LABEL (words), 0);
  gtk_label_set_max_width_chars (GTK_LABEL (words), 24);
  gtk_widget_add_css_class (words, "error");
  gtk_widget_add_css_class (words, "caption");
  gtk_widget_set_visible (words, FALSE);
  g_object_set_data_full (G_OBJECT (spin), WORDS_KEY, g_object_ref_sink (words), g_object_unref);
  gtk_accessible_update_property (GTK_ACCESSIBLE (spin), GTK_ACCESSIBLE_PROPERTY_LABEL, name, -1);
  g_signal_connect (spin, "input", G_CALLBACK (on_input), words);
  g_signal_connect (spin, "output", G_CALLBACK (on_output), NULL);
  g_signal_connect (keys, "key-pressed", G_CALLBACK (on_key), spin);
  gtk_widget_add_controller (spin, keys);
  gtk_spin_button_set_digits (GTK_SPIN_BUTTON (spin), digits);
  /* which would swallow a comma and make "3,5" 35 */
  gtk_spin_button_set_numeric (GTK_SPIN_BUTTON (spin), FALSE);
  gtk_spin_button_update (GTK_SPIN_BUTTON (spin));
  return spin;
}

GtkWidget *
faint_number_spin_get_words (GtkWidget *spin)
{
  return g_object_get_data (G_OBJECT (spin), WORDS_KEY);
}

GtkWidget *
faint_number_spin_with_words (GtkWidget *spin)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);

  gtk_widget_set_hexpand (spin, TRUE);
  gtk_box_append (GTK_BOX (box), spin);
  gtk_box_append (GTK_BOX (box), faint_number_spin_get_words (spin));
  return box;
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/window/go-to.h"

#include <glib/gi18n.h>
#include <math.h>
#include <string.h>

typedef struct
{
  GtkWidget *popover, *entry, *note;
  FaintAxisUnit unit;
  char *limits;
  FaintGoTo go;
  gpointer data;
} Ask;

static const struct
{
  const char *suffix;
  FaintAxisUnitKind kind;
} units[] = {
  { "cm-1", FAINT_AXIS_UNIT_WAVENUMBER },
  { "cm⁻¹", FAINT_AXIS_UNIT_WAVENUMBER },
  { "THz", FAINT_AXIS_UNIT_THZ },
  { "nm", FAINT_AXIS_UNIT_WAVELENGTH },
};

/* GHz and MHz count from the axis's origin, so they mean the axis's own unit or nothing. */
static gboolean
unit_of (const char *suffix, const FaintAxisUnit *axis, FaintAxisUnit *unit)
{
  *unit = *axis;
  if (*suffix == '\0' || strcmp (suffix, faint_axis_unit_symbol (axis->kind)) == 0)
    return TRUE;
  for (gsize i = 0; i < G_N_ELEMENTS (units); i++)
    if (strcmp (suffix, units[i].suffix) == 0)
      {
        *unit = (FaintAxisUnit){ .kind = units[i].kind };
        return TRUE;
      }
  return FALSE;
}

gboolean
faint_go_to_parse (const char *text, const FaintAxisUnit *axis, double *wavenumber)
{
  g_auto (GStrv) parts = g_strsplit (text, "−", -1); /* the true minus sign */
  g_autofree char *plain = g_strstrip (g_strjoinv ("-", parts));
  FaintAxisUnit unit;
  double value;
  char *end;

  g_strdelimit (plain, ",", '.');
  value = g_ascii_strtod (plain, &end);
  if (end == plain || !isfinite (value) || !unit_of (g_strstrip (end), axis, &unit))
    return FALSE;
  *wavenumber = faint_axis_unit_wavenumber (&unit, value);
  return isfinite (*wavenumber);
}

static void
ask_free (gpointer data, GClosure *closure)
{
  Ask *ask = data;

  g_free (ask->limits);
  g_free (ask);
}

static void
say (Ask *ask, const char *text)
{
  gtk_widget_add_css_class (ask->entry, "error");
  gtk_label_set_text (GTK_LABEL (ask->note), text);
}

static void
on_activate (GtkEntry *entry, Ask *ask)
{
  double wavenumber;

  if (!faint_go_to_parse (gtk_editable_get_text (GTK_EDITABLE (entry)), &ask->unit, &wavenumber))
    say (ask, _ ("A number was expected."));
  else if (ask->go (wavenumber, ask->data))
    gtk_popover_popdown (GTK_POPOVER (ask->popover));
  else
    say (ask, ask->limits);
}

static gboolean
unparent (gpointer popover)
{
  if (gtk_widget_get_parent (popover))
    gtk_widget_unparent (popover);
  return G_SOURCE_REMOVE;
}

/* Not while it still tells of it. */
static void
on_closed (GtkPopover *popover, gpointer data)
{
  g_idle_add_full (G_PRIORITY_DEFAULT_IDLE, unparent, g_object_ref (popover), g_object_unref);
}

static GtkWidget *
content (Ask *ask)
{
  const char *symbol = faint_axis_unit_symbol (ask->unit.kind);
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 6);
  g_autofree char *words = *symbol != '\0' ? g_strdup_printf (_ ("Go to position/%s"), symbol)
                                           : g_strdup (_ ("Go to tooth"));
  GtkWidget *label = gtk_label_new (words);

  ask->entry = gtk_entry_new ();
  ask->note = gtk_label_new (ask->limits);
  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_label_set_xalign (GTK_LABEL (ask->note), 0);
  gtk_widget_add_css_class (ask->note, "note");
  gtk_editable_set_width_chars (GTK_EDITABLE (ask->entry), 20);
  gtk_accessible_update_property (GTK_ACCESSIBLE (ask->entry), GTK_ACCESSIBLE_PROPERTY_LABEL, words,
                                  -1);
  gtk_box_append (GTK_BOX (box), label);
  gtk_box_append (GTK_BOX (box), ask->entry);
  gtk_box_append (GTK_BOX (box), ask->note);
  g_signal_connect_data (ask->entry, "activate", G_CALLBACK (on_activate), ask, ask_free, 0);
  return box;
}

void
faint_go_to_ask (GtkWidget *parent, const FaintAxisUnit *unit, const char *limits, FaintGoTo go,
                 gpointer data)
{
  Ask *ask = g_new0 (Ask, 1);

  ask->unit = *unit;
  ask->limits = g_strdup_printf (_ ("The spectrum holds %s."), limits);
  ask->go = go;
  ask->data = data;
  ask->popover = gtk_popover_new ();
  gtk_popover_set_child (GTK_POPOVER (ask->popover), content (ask));
  gtk_widget_set_parent (ask->popover, parent);
  g_signal_connect (ask->popover, "closed", G_CALLBACK (on_closed), NULL);
  g_signal_connect_object (parent, "destroy", G_CALLBACK (unparent), ask->popover,
                           G_CONNECT_SWAPPED);
  gtk_popover_popup (GTK_POPOVER (ask->popover));
  gtk_widget_grab_focus (ask->entry);
}

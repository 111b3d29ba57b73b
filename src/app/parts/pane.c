/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Grids and labels, the same in every pane.
 */
#include "app/parts/pane.h"

#include <math.h>

#include "app/parts/quantity-text.h"
#include "faint/base/quantity.h"

#define ROW_KEY "faint-rows"
#define TAKEN_KEY "faint-taken" /* text of an entry that is no longer typing */
#define NAME_KEY "faint-name"   /* label of a read-out */

static int
next_row (GtkWidget *grid)
{
  int row = GPOINTER_TO_INT (g_object_get_data (G_OBJECT (grid), ROW_KEY));

  g_object_set_data (G_OBJECT (grid), ROW_KEY, GINT_TO_POINTER (row + 1));
  return row;
}

/* "_Find" is read as "Find". */
static char *
without_mnemonic (const char *text)
{
  GString *plain = g_string_new (NULL);

  for (const char *p = text; *p; p++)
    if (*p != '_')
      g_string_append_c (plain, *p);
  return g_string_free (plain, FALSE);
}

void
faint_pane_prepare (GtkBox *box)
{
  gtk_orientable_set_orientation (GTK_ORIENTABLE (box), GTK_ORIENTATION_VERTICAL);
  gtk_box_set_spacing (box, 18);
  gtk_widget_add_css_class (GTK_WIDGET (box), "pane");
}

GtkWidget *
faint_pane_box_new (void)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);

  faint_pane_prepare (GTK_BOX (box));
  return box;
}

/* While nothing is typed that was not taken the keys of undo and redo belong to the window: the
 * entry of the toolkit (GTK 4.8) keeps them even where it has nothing to undo. */
static gboolean
on_undo_key (GtkEventControllerKey *controller, guint keyval, guint keycode, GdkModifierType state,
             gpointer data)
{
  GtkWidget *entry = gtk_event_controller_get_widget (GTK_EVENT_CONTROLLER (controller));
  const char *taken = g_object_get_data (G_OBJECT (entry), TAKEN_KEY);
  gboolean redo = (state & GDK_SHIFT_MASK) != 0;

  if (!(state & GDK_CONTROL_MASK) || gdk_keyval_to_lower (keyval) != GDK_KEY_z
      || g_strcmp0 (taken, gtk_editable_get_text (GTK_EDITABLE (entry))) != 0)
    return GDK_EVENT_PROPAGATE;
  gtk_widget_activate_action (entry, redo ? "win.redo" : "win.undo", NULL);
  return GDK_EVENT_STOP;
}

void
faint_pane_forget_typing (GtkWidget *entry)
{
  if (g_object_get_data (G_OBJECT (entry), TAKEN_KEY) == NULL)
    {
      GtkEventController *keys = gtk_event_controller_key_new ();

      gtk_event_controller_set_propagation_phase (keys, GTK_PHASE_CAPTURE);
      g_signal_connect (keys, "key-pressed", G_CALLBACK (on_undo_key), NULL);
      gtk_widget_add_controller (entry, keys);
    }
  g_object_set_data_full (G_OBJECT (entry), TAKEN_KEY,
                          g_strdup (gtk_editable_get_text (GTK_EDITABLE (entry))), g_free);
  /* the toolkit forgets what could be undone when nothing is to be undone */
  gtk_editable_set_enable_undo (GTK_EDITABLE (entry), FALSE);
  gtk_editable_set_enable_undo (GTK_EDITABLE (entry), TRUE);
}

void
faint_pane_empty (GtkWidget *box)
{
  GtkWidget *child;

  while ((child = gtk_widget_get_first_child (box)))
    gtk_box_remove (GTK_BOX (box), child);
}

typedef struct
{
  void (*then) (gpointer data);
  gpointer data;
} TakeBack;

static gboolean
on_escape_key (GtkEventControllerKey *controller, guint keyval, guint keycode,
               GdkModifierType state, TakeBack *back)
{
  GtkWidget *entry = gtk_event_controller_get_widget (GTK_EVENT_CONTROLLER (controller));
  const char *taken = g_object_get_data (G_OBJECT (entry), TAKEN_KEY);
  g_autofree char *text = g_strdup (taken ? taken : "");

  if (keyval != GDK_KEY_Escape
      || g_strcmp0 (text, gtk_editable_get_text (GTK_EDITABLE (entry))) == 0)
    return GDK_EVENT_PROPAGATE;
  gtk_editable_set_text (GTK_EDITABLE (entry), text);
  faint_pane_forget_typing (entry);
  if (back->then)
    back->then (back->data);
  return GDK_EVENT_STOP;
}

static void
take_back_free (gpointer back, GClosure *closure)
{
  g_free (back);
}

void
faint_pane_escape_takes_back (GtkWidget *entry, void (*then) (gpointer data), gpointer data)
{
  GtkEventController *keys = gtk_event_controller_key_new ();
  TakeBack *back = g_new (TakeBack, 1);

  *back = (TakeBack){ then, data };
  g_signal_connect_data (keys, "key-pressed", G_CALLBACK (on_escape_key), back, take_back_free, 0);
  gtk_widget_add_controller (entry, keys);
}

GtkWidget *
faint_pane_section (GtkWidget *box, const char *heading)
{
  GtkWidget *section = gtk_box_new (GTK_ORIENTATION_VERTICAL, 8);
  GtkWidget *label = gtk_label_new (heading);
  GtkWidget *grid = gtk_grid_new ();

  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_widget_add_css_class (label, "section");
  gtk_grid_set_row_spacing (GTK_GRID (grid), 6);
  gtk_grid_set_column_spacing (GTK_GRID (grid), 12);
  gtk_accessible_update_property (GTK_ACCESSIBLE (grid), GTK_ACCESSIBLE_PROPERTY_LABEL, heading,
                                  -1);
  gtk_box_append (GTK_BOX (section), label);
  gtk_box_append (GTK_BOX (section), grid);
  gtk_box_append (GTK_BOX (box), section);
  return grid;
}

GtkWidget *
faint_pane_row (GtkWidget *grid, const char *name, GtkWidget *widget)
{
  GtkWidget *label = gtk_label_new (name);
  int row = next_row (grid);

  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_width_chars (GTK_LABEL (label), 16);
  gtk_label_set_max_width_chars (GTK_LABEL (label), 16);
  gtk_widget_add_css_class (label, "row-name");
  gtk_label_set_mnemonic_widget (GTK_LABEL (label), widget);
  gtk_widget_set_hexpand (widget, TRUE);
  gtk_grid_attach (GTK_GRID (grid), label, 0, row, 1, 1);
  gtk_grid_attach (GTK_GRID (grid), widget, 1, row, 1, 1);
  return label;
}

void
faint_pane_wide (GtkWidget *grid, GtkWidget *widget)
{
  gtk_widget_set_hexpand (widget, TRUE);
  gtk_grid_attach (GTK_GRID (grid), widget, 0, next_row (grid), 2, 1);
}

GtkWidget *
faint_pane_value (GtkWidget *grid, const char *name)
{
  GtkWidget *value = gtk_label_new ("–");

  gtk_label_set_xalign (GTK_LABEL (value), 0);
  gtk_label_set_selectable (GTK_LABEL (value), TRUE);
  gtk_label_set_wrap (GTK_LABEL (value), TRUE);
  gtk_label_set_wrap_mode (GTK_LABEL (value), PANGO_WRAP_WORD_CHAR);
  gtk_label_set_max_width_chars (GTK_LABEL (value), 20);
  gtk_widget_add_css_class (value, "numeric");
  /* "0.41542(75)" keeps its order where words run from right to left, and its side */
  gtk_widget_set_direction (value, GTK_TEXT_DIR_LTR);
  if (gtk_widget_get_default_direction () == GTK_TEXT_DIR_RTL)
    gtk_label_set_xalign (GTK_LABEL (value), 1);
  /* a read-out is no stop on the way of the Tab key */
  gtk_widget_set_can_focus (value, FALSE);
  g_object_set_data (G_OBJECT (value), NAME_KEY, faint_pane_row (grid, name, value));
  return value;
}

void
faint_pane_set_name (GtkWidget *value, const char *name)
{
  gtk_label_set_text (GTK_LABEL (g_object_get_data (G_OBJECT (value), NAME_KEY)), name);
}

void
faint_pane_show_row (GtkWidget *value, gboolean shown)
{
  GtkWidget *name = g_object_get_data (G_OBJECT (value), NAME_KEY);

  gtk_widget_set_visible (value, shown);
  gtk_widget_set_visible (name, shown);
}

void
faint_pane_unfolds (GtkWidget *expander, GtkWidget *widget)
{
  g_object_bind_property (expander, "expanded", widget, "visible", G_BINDING_SYNC_CREATE);
}

GtkWidget *
faint_pane_note (GtkWidget *grid, const char *text)
{
  GtkWidget *label = gtk_label_new (text);

  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_max_width_chars (GTK_LABEL (label), 36);
  gtk_widget_add_css_class (label, "note");
  faint_pane_wide (grid, label);
  return label;
}

GtkWidget *
faint_pane_button (const char *mnemonic, const char *action)
{
  GtkWidget *button = gtk_button_new_with_mnemonic (mnemonic);
  g_autofree char *name = without_mnemonic (mnemonic);

  gtk_actionable_set_action_name (GTK_ACTIONABLE (button), action);
  gtk_accessible_update_property (GTK_ACCESSIBLE (button), GTK_ACCESSIBLE_PROPERTY_LABEL, name, -1);
  return button;
}

void
faint_pane_set_value (GtkWidget *label, const char *text)
{
  gtk_label_set_text (GTK_LABEL (label), text && *text ? text : "–");
}

void
faint_pane_set_number (GtkWidget *label, const char *format, double value, const char *unit)
{
  char digits[G_ASCII_DTOSTR_BUF_SIZE];
  g_autofree char *number = NULL, *text = NULL;

  if (!isfinite (value))
    {
      faint_pane_set_value (label, NULL);
      return;
    }
  number = faint_true_minus (g_strdup (g_ascii_formatd (digits, sizeof digits, format, value)));
  text = *unit ? g_strdup_printf ("%s %s", number, unit) : g_strdup (number);
  faint_pane_set_value (label, text);
}

void
faint_pane_set_measured (GtkWidget *label, double value, double u, const char *unit)
{
  g_autofree char *number = NULL;
  g_autofree char *text = NULL;

  if (!isfinite (value))
    {
      faint_pane_set_value (label, NULL);
      return;
    }
  if (!(u > 0))
    {
      faint_pane_set_number (label, "%.8g", value, unit);
      return;
    }
  number = faint_true_minus (faint_format_concise (value, u));
  text = *unit ? g_strdup_printf ("%s %s", number, unit) : g_strdup (number);
  faint_pane_set_value (label, text);
}

void
faint_pane_show_error (GtkWidget *label, GtkWidget *entry, const char *message)
{
  gtk_label_set_text (GTK_LABEL (label), message ? message : "");
  gtk_widget_set_visible (label, message != NULL);
  if (message)
    gtk_widget_add_css_class (entry, "error");
  else
    gtk_widget_remove_css_class (entry, "error");
  gtk_accessible_update_state (GTK_ACCESSIBLE (entry), GTK_ACCESSIBLE_STATE_INVALID,
                               message ? GTK_ACCESSIBLE_INVALID_TRUE : GTK_ACCESSIBLE_INVALID_FALSE,
                               -1);
  gtk_accessible_update_property (GTK_ACCESSIBLE (entry), GTK_ACCESSIBLE_PROPERTY_DESCRIPTION,
                                  message ? message : "", -1);
}

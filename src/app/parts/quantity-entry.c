/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * An entry, a label for errors, and the rule when to tell.
 */
#include "app/parts/quantity-entry.h"

#include <glib/gi18n.h>

#include "app/parts/pane.h"
#include "app/parts/quantity-text.h"

#include <math.h>

/* Units that an empty entry names, and one more. */
#define MOST_UNITS 4

struct _FaintQuantityEntry
{
  GtkWidget parent;

  FaintDimension dimension;
  gboolean in_short;
  guint most, shown;      /* digits where the uncertainty is not known */
  FaintQuantity quantity; /* as set by the owner */
  FaintQuantity entered;  /* as last committed */
  GtkWidget *entry;
  GtkWidget *error;
};

enum
{
  COMMITTED,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (FaintQuantityEntry, faint_quantity_entry, GTK_TYPE_WIDGET)

static const char *
shown_text (FaintQuantityEntry *self)
{
  return gtk_editable_get_text (GTK_EDITABLE (self->entry));
}

static char *
text_of_quantity (FaintQuantityEntry *self)
{
  if (self->most > 0 && faint_quantity_is_known (self->quantity)
      && !(self->quantity.u > 0 && isfinite (self->quantity.u)))
    return faint_quantity_in_digits (self->quantity, self->most, self->shown);
  return self->in_short ? faint_quantity_in_short (self->quantity)
                        : faint_quantity_in_words (self->quantity);
}

static void
show_quantity (FaintQuantityEntry *self)
{
  g_autofree char *text = text_of_quantity (self);

  if (g_strcmp0 (text, shown_text (self)) != 0)
    gtk_editable_set_text (GTK_EDITABLE (self->entry), text);
  faint_pane_forget_typing (self->entry);
}

static void
on_activate (GtkEntry *entry, FaintQuantityEntry *self)
{
  faint_quantity_entry_commit (self);
}

static void
on_leave (GtkEventControllerFocus *controller, FaintQuantityEntry *self)
{
  if (self->entry)
    faint_quantity_entry_commit (self);
}

static gboolean
on_key (GtkEventControllerKey *controller, guint keyval, guint keycode, GdkModifierType state,
        FaintQuantityEntry *self)
{
  g_autofree char *text = text_of_quantity (self);

  if (keyval != GDK_KEY_Escape || g_strcmp0 (text, shown_text (self)) == 0)
    return GDK_EVENT_PROPAGATE;
  show_quantity (self);
  faint_quantity_entry_set_error (self, NULL);
  return GDK_EVENT_STOP;
}

static void
faint_quantity_entry_dispose (GObject *object)
{
  FaintQuantityEntry *self = FAINT_QUANTITY_ENTRY (object);

  g_clear_pointer (&self->entry, gtk_widget_unparent);
  g_clear_pointer (&self->error, gtk_widget_unparent);
  G_OBJECT_CLASS (faint_quantity_entry_parent_class)->dispose (object);
}

static void
faint_quantity_entry_class_init (FaintQuantityEntryClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = faint_quantity_entry_dispose;

  signals[COMMITTED] = g_signal_new ("committed", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0,
                                     NULL, NULL, NULL, G_TYPE_NONE, 0);

  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BOX_LAYOUT);
  gtk_widget_class_set_css_name (widget_class, "quantity");
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_GROUP);
}

static void
faint_quantity_entry_init (FaintQuantityEntry *self)
{
  GtkLayoutManager *layout = gtk_widget_get_layout_manager (GTK_WIDGET (self));
  GtkEventController *focus = gtk_event_controller_focus_new ();
  GtkEventController *key = gtk_event_controller_key_new ();

  gtk_orientable_set_orientation (GTK_ORIENTABLE (layout), GTK_ORIENTATION_VERTICAL);
  self->quantity = self->entered = FAINT_QUANTITY_UNKNOWN;

  self->entry = gtk_entry_new ();
  gtk_widget_set_hexpand (self->entry, TRUE);
  gtk_editable_set_width_chars (GTK_EDITABLE (self->entry), 12);
  gtk_widget_add_css_class (self->entry, "numeric");
  /* a bare number has no direction of its own: "12000(60)" would turn round among words that run
   * from right to left */
  gtk_widget_set_direction (GTK_WIDGET (gtk_editable_get_delegate (GTK_EDITABLE (self->entry))),
                            GTK_TEXT_DIR_LTR);
  gtk_widget_set_parent (self->entry, GTK_WIDGET (self));
  g_signal_connect (self->entry, "activate", G_CALLBACK (on_activate), self);
  g_signal_connect (focus, "leave", G_CALLBACK (on_leave), self);
  gtk_widget_add_controller (self->entry, focus);
  g_signal_connect (key, "key-pressed", G_CALLBACK (on_key), self);
  gtk_widget_add_controller (self->entry, key);

  self->error = gtk_label_new (NULL);
  gtk_label_set_wrap (GTK_LABEL (self->error), TRUE);
  gtk_label_set_xalign (GTK_LABEL (self->error), 0);
  gtk_label_set_max_width_chars (GTK_LABEL (self->error), 24);
  gtk_widget_add_css_class (self->error, "error");
  gtk_widget_add_css_class (self->error, "caption");
  gtk_widget_set_visible (self->error, FALSE);
  gtk_widget_set_parent (self->error, GTK_WIDGET (self));
}

GtkWidget *
faint_quantity_entry_new (const char *name, FaintDimension dimension)
{
  FaintQuantityEntry *self = g_object_new (FAINT_TYPE_QUANTITY_ENTRY, NULL);

  self->dimension = dimension;
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->entry), GTK_ACCESSIBLE_PROPERTY_LABEL, name,
                                  -1);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_LABEL, name, -1);
  return GTK_WIDGET (self);
}

void
faint_quantity_entry_set_short (FaintQuantityEntry *self, gboolean in_short)
{
  g_return_if_fail (FAINT_IS_QUANTITY_ENTRY (self));
  self->in_short = in_short;
  show_quantity (self);
}

void
faint_quantity_entry_set_digits (FaintQuantityEntry *self, guint most, guint shown)
{
  g_return_if_fail (FAINT_IS_QUANTITY_ENTRY (self));
  if (most == self->most && shown == self->shown)
    return;
  self->most = most;
  self->shown = shown;
  show_quantity (self);
}

void
faint_quantity_entry_set_dimension (FaintQuantityEntry *self, FaintDimension dimension)
{
  g_return_if_fail (FAINT_IS_QUANTITY_ENTRY (self));
  self->dimension = dimension;
}

void
faint_quantity_entry_set (FaintQuantityEntry *self, FaintQuantity quantity)
{
  g_return_if_fail (FAINT_IS_QUANTITY_ENTRY (self));
  self->quantity = self->entered = quantity;
  show_quantity (self);
  faint_quantity_entry_set_error (self, NULL);
}

FaintQuantity
faint_quantity_entry_get (FaintQuantityEntry *self)
{
  g_return_val_if_fail (FAINT_IS_QUANTITY_ENTRY (self), FAINT_QUANTITY_UNKNOWN);
  return self->entered;
}

void
faint_quantity_entry_set_error (FaintQuantityEntry *self, const char *message)
{
  g_return_if_fail (FAINT_IS_QUANTITY_ENTRY (self));
  gtk_label_set_text (GTK_LABEL (self->error), message ? message : "");
  gtk_widget_set_visible (self->error, message != NULL);
  if (message)
    gtk_widget_add_css_class (self->entry, "error");
  else
    gtk_widget_remove_css_class (self->entry, "error");
  gtk_accessible_update_state (GTK_ACCESSIBLE (self->entry), GTK_ACCESSIBLE_STATE_INVALID,
                               message ? GTK_ACCESSIBLE_INVALID_TRUE : GTK_ACCESSIBLE_INVALID_FALSE,
                               -1);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->entry), GTK_ACCESSIBLE_PROPERTY_DESCRIPTION,
                                  message ? message : "", -1);
}

const char *
faint_quantity_entry_get_error (FaintQuantityEntry *self)
{
  g_return_val_if_fail (FAINT_IS_QUANTITY_ENTRY (self), NULL);
  return gtk_widget_get_visible (self->error) ? gtk_label_get_text (GTK_LABEL (self->error)) : NULL;
}

GtkWidget *
faint_quantity_entry_get_entry (FaintQuantityEntry *self)
{
  g_return_val_if_fail (FAINT_IS_QUANTITY_ENTRY (self), NULL);
  return self->entry;
}

void
faint_quantity_entry_commit (FaintQuantityEntry *self)
{
  g_autofree char *before = NULL;
  g_autoptr (GError) error = NULL;
  FaintQuantity quantity;

  g_return_if_fail (FAINT_IS_QUANTITY_ENTRY (self));
  before = text_of_quantity (self);
  if (g_strcmp0 (before, shown_text (self)) == 0)
    {
      faint_quantity_entry_set_error (self, NULL);
      return;
    }
  if (!faint_quantity_from_words (shown_text (self), self->dimension, self->quantity.unit,
                                  &quantity, &error))
    {
      faint_quantity_entry_set_error (self, error->message);
      return;
    }
  faint_quantity_entry_set_error (self, NULL);
  if (faint_quantity_same (quantity, self->quantity))
    {
      show_quantity (self);
      return;
    }
  self->entered = quantity;
  faint_pane_forget_typing (self->entry);
  g_signal_emit (self, signals[COMMITTED], 0);
}

/* "hPa, kPa, bar…": more would not fit. */
static char *
first_units (FaintQuantityEntry *self, gsize most)
{
  const FaintUnit *units[MOST_UNITS];
  gsize n = faint_units_of (self->dimension, units, MOST_UNITS);
  GString *names = g_string_new (NULL);

  for (gsize i = 0; i < MIN (n, most); i++)
    g_string_append_printf (names, "%s%s", i > 0 ? ", " : "", units[i]->name);
  if (n > most)
    g_string_append (names, "…");
  return g_string_free (names, FALSE);
}

void
faint_quantity_entry_set_needed (FaintQuantityEntry *self, gboolean needed)
{
  g_autofree char *units = NULL, *text = NULL;

  g_return_if_fail (FAINT_IS_QUANTITY_ENTRY (self));
  units = first_units (self, needed ? 2 : MOST_UNITS - 1);
  if (self->dimension == FAINT_DIMENSION_NUMBER)
    text = g_strdup (needed ? _ ("needed, as 1.23(4)") : _ ("number, or 0.98(1)"));
  else
    /* Translators: in an empty entry; names of units. "needed": without it there is no fit */
    text = g_strdup_printf (needed ? _ ("needed, in %s") : _ ("in %s"), units);
  gtk_entry_set_placeholder_text (GTK_ENTRY (self->entry), text);
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The table of keys decides which control it is.
 */
#include "app/data/setup-field.h"

#include <glib/gi18n.h>

#include "app/parts/chosen-path.h"
#include "app/document/needed-conditions.h"
#include "app/parts/pane.h"
#include "app/parts/quantity-entry.h"

#define MAX_CHOICES 8

struct _FaintSetupField
{
  GtkWidget parent;

  FaintDocument *document;
  const FaintSetupKey *key;
  char *name;
  char **choices; /* NULL-terminated, of a choice */
  GtkWidget *row; /* holds the control */
  GtkWidget *control;
  GtkWidget *clear; /* of a file */
  GtkWidget *error;
  GtkFileChooserNative *dialog;
  gboolean filling; /* the control is being set from the document */
};

G_DEFINE_FINAL_TYPE (FaintSetupField, faint_setup_field, GTK_TYPE_WIDGET)

static const struct
{
  const char *choice, *words;
} choice_words[] = {
  { "power", N_ ("Power transmission") },
  { "amplitude", N_ ("Field amplitude") },
  { "field", N_ ("Complex field") },
  { "", N_ ("Not stated") },
  { "standing-wave", N_ ("Two mirrors, standing wave") },
  { "ring", N_ ("Ring") },
  { "none", N_ ("No cavity, single pass") },
  { "locked", N_ ("Comb locked to the modes") },
  { "swept", N_ ("Comb swept over the modes") },
};

const char *
faint_setup_choice_in_words (const char *choice)
{
  for (guint i = 0; i < G_N_ELEMENTS (choice_words); i++)
    if (g_strcmp0 (choice_words[i].choice, choice) == 0)
      return _ (choice_words[i].words);
  return choice;
}

static const FaintSetup *
setup_of (FaintSetupField *self)
{
  return faint_document_get_setup (self->document);
}

static FaintQuantity
quantity_of (FaintSetupField *self)
{
  const FaintSetup *setup = setup_of (self);
  FaintQuantity quantity = FAINT_QUANTITY_UNKNOWN;
  g_autofree char *u_key = g_strdup_printf ("u(%s)", self->key->key);
  g_autofree char *text = setup ? faint_setup_get (setup, self->key->key) : NULL;
  g_autofree char *u_text = setup ? faint_setup_get (setup, u_key) : NULL;

  if (text == NULL || !faint_quantity_parse (text, self->key->dimension, &quantity, NULL))
    return FAINT_QUANTITY_UNKNOWN;
  if (u_text)
    faint_quantity_parse_u (u_text, self->key->dimension, &quantity, NULL);
  return quantity;
}

static void
show_error (FaintSetupField *self, const char *message)
{
  if (FAINT_IS_QUANTITY_ENTRY (self->control))
    {
      faint_quantity_entry_set_error (FAINT_QUANTITY_ENTRY (self->control), message);
      return;
    }
  gtk_label_set_text (GTK_LABEL (self->error), message ? message : "");
  gtk_widget_set_visible (self->error, message != NULL);
}

static void
show_choice (FaintSetupField *self, const char *text)
{
  guint position = GTK_INVALID_LIST_POSITION;

  for (guint i = 0; self->choices[i]; i++)
    if (strcmp (self->choices[i], text ? text : "") == 0)
      position = i;
  gtk_drop_down_set_selected (GTK_DROP_DOWN (self->control), position);
}

static void
show_file (FaintSetupField *self, const char *text)
{
  g_autofree char *base = text && *text ? g_path_get_basename (text) : NULL;

  gtk_button_set_label (GTK_BUTTON (self->control), base ? base : _ ("Choose a File…"));
  gtk_widget_set_tooltip_text (self->control, text);
  gtk_widget_set_visible (self->clear, base != NULL);
}

/* What a fit needs and nobody has stated. */
static void
mark_needed (FaintSetupField *self, const FaintSetup *setup)
{
  gboolean needed = setup && faint_condition_is_missing (setup, self->key->key);

  if (needed)
    gtk_widget_add_css_class (GTK_WIDGET (self), "needed");
  else
    gtk_widget_remove_css_class (GTK_WIDGET (self), "needed");
  if (FAINT_IS_QUANTITY_ENTRY (self->control))
    faint_quantity_entry_set_needed (FAINT_QUANTITY_ENTRY (self->control), needed);
}

static void
update_control (FaintSetupField *self)
{
  const FaintSetup *setup = setup_of (self);
  g_autofree char *text = setup ? faint_setup_get (setup, self->key->key) : NULL;

  gtk_widget_set_sensitive (self->control, setup != NULL);
  self->filling = TRUE;
  switch (self->key->kind)
    {
    case FAINT_SETUP_KIND_QUANTITY:
      faint_quantity_entry_set (FAINT_QUANTITY_ENTRY (self->control), quantity_of (self));
      break;
    case FAINT_SETUP_KIND_CHOICE:
      show_choice (self, text);
      break;
    case FAINT_SETUP_KIND_TEXT:
    case FAINT_SETUP_KIND_RANGES:
      if (g_strcmp0 (gtk_editable_get_text (GTK_EDITABLE (self->control)), text ? text : "") != 0)
        gtk_editable_set_text (GTK_EDITABLE (self->control), text ? text : "");
      faint_pane_forget_typing (self->control);
      break;
    case FAINT_SETUP_KIND_FILE:
      show_file (self, text);
      break;
    }
  self->filling = FALSE;
  show_error (self, NULL);
  mark_needed (self, setup);
}

/* Sets key and, for a quantity, its uncertainty, in a copy of the setup; hands it over. */
static gboolean
apply (FaintSetupField *self, const char *text, const char *u_text)
{
  g_autoptr (FaintSetup) setup = faint_document_copy_setup (self->document);
  g_autofree char *u_key = g_strdup_printf ("u(%s)", self->key->key);
  /* Translators: a step that can be undone; %s is a quantity: "Edit Pressure" */
  g_autofree char *label = g_strdup_printf (_ ("Edit %s"), self->name);
  g_autoptr (GError) error = NULL;

  if (setup == NULL)
    return FALSE;
  if (!faint_setup_set (setup, self->key->key, text, NULL, &error)
      || (u_text && !faint_setup_set (setup, u_key, u_text, NULL, &error))
      || !faint_document_edit_setup (self->document, setup, label, &error))
    {
      show_error (self, error->message);
      return FALSE;
    }
  return TRUE;
}

static gboolean
apply_quantity (FaintSetupField *self, FaintQuantity quantity)
{
  g_autofree char *text = faint_quantity_to_text (quantity);
  g_autofree char *u_text = faint_quantity_u_to_text (quantity);

  return apply (self, text, u_text);
}

static void
on_changed (FaintDocument *document, guint change, FaintSetupField *self)
{
  if (self->control && (change & (FAINT_CHANGE_SETUP | FAINT_CHANGE_OPENED)))
    update_control (self);
}

static void
on_committed (FaintQuantityEntry *entry, FaintSetupField *self)
{
  apply_quantity (self, faint_quantity_entry_get (entry));
}

static void
on_selected (GtkDropDown *drop_down, GParamSpec *pspec, FaintSetupField *self)
{
  guint position = gtk_drop_down_get_selected (drop_down);

  if (!self->filling && position != GTK_INVALID_LIST_POSITION)
    apply (self, self->choices[position], NULL);
}

static void
commit_text (FaintSetupField *self)
{
  const char *text = gtk_editable_get_text (GTK_EDITABLE (self->control));
  const FaintSetup *setup = setup_of (self);
  g_autofree char *before = setup ? faint_setup_get (setup, self->key->key) : NULL;

  if (!self->filling && g_strcmp0 (text, before ? before : "") != 0)
    apply (self, text, NULL);
}

static void
on_text_activate (GtkEntry *entry, FaintSetupField *self)
{
  commit_text (self);
}

static void
on_text_leave (GtkEventControllerFocus *controller, FaintSetupField *self)
{
  if (self->control)
    commit_text (self);
}

static void
on_file_response (GtkNativeDialog *dialog, int response, FaintSetupField *self)
{
  const char *said;
  g_autofree char *path = faint_chosen_path (dialog, response, &said);

  if (path != NULL)
    apply (self, path, NULL);
  else if (said != NULL)
    show_error (self, said);
  g_clear_object (&self->dialog);
}

static void
on_file_clicked (GtkButton *button, FaintSetupField *self)
{
  GtkWindow *window = GTK_WINDOW (gtk_widget_get_root (GTK_WIDGET (self)));

  if (self->dialog)
    return;
  self->dialog
      = gtk_file_chooser_native_new (self->name, window, GTK_FILE_CHOOSER_ACTION_OPEN, NULL, NULL);
  g_signal_connect (self->dialog, "response", G_CALLBACK (on_file_response), self);
  gtk_native_dialog_show (GTK_NATIVE_DIALOG (self->dialog));
}

static void
on_clear_clicked (GtkButton *button, FaintSetupField *self)
{
  apply (self, "", NULL);
}

static GtkWidget *
drop_down_new (FaintSetupField *self)
{
  const char *words[MAX_CHOICES + 1] = { NULL };
  GtkWidget *drop_down;

  /* of the geometry nothing is assumed; the others have a usual choice */
  g_autofree char *choices = g_str_equal (self->key->key, "cavity")
                                 ? g_strconcat ("|", self->key->choices, NULL)
                                 : g_strdup (self->key->choices);

  self->choices = g_strsplit (choices, "|", MAX_CHOICES);
  for (guint i = 0; self->choices[i]; i++)
    words[i] = faint_setup_choice_in_words (g_strstrip (self->choices[i]));
  drop_down = gtk_drop_down_new_from_strings (words);
  g_signal_connect (drop_down, "notify::selected", G_CALLBACK (on_selected), self);
  return drop_down;
}

static void
on_text_taken_back (gpointer data)
{
  show_error (data, NULL);
}

static GtkWidget *
text_entry_new (FaintSetupField *self)
{
  GtkWidget *entry = gtk_entry_new ();
  GtkEventController *focus = gtk_event_controller_focus_new ();

  g_signal_connect (entry, "activate", G_CALLBACK (on_text_activate), self);
  faint_pane_escape_takes_back (entry, on_text_taken_back, self);
  g_signal_connect (focus, "leave", G_CALLBACK (on_text_leave), self);
  gtk_widget_add_controller (entry, focus);
  return entry;
}

static GtkWidget *
file_button_new (FaintSetupField *self)
{
  GtkWidget *button = gtk_button_new_with_label ("");

  gtk_label_set_ellipsize (GTK_LABEL (gtk_button_get_child (GTK_BUTTON (button))),
                           PANGO_ELLIPSIZE_MIDDLE);
  g_signal_connect (button, "clicked", G_CALLBACK (on_file_clicked), self);
  return button;
}

static void
add_error_label (FaintSetupField *self)
{
  self->error = gtk_label_new (NULL);
  gtk_label_set_wrap (GTK_LABEL (self->error), TRUE);
  gtk_label_set_xalign (GTK_LABEL (self->error), 0);
  gtk_label_set_max_width_chars (GTK_LABEL (self->error), 24);
  gtk_widget_add_css_class (self->error, "error");
  gtk_widget_add_css_class (self->error, "caption");
  gtk_widget_set_visible (self->error, FALSE);
  gtk_widget_set_parent (self->error, GTK_WIDGET (self));
}

static void
add_clear_button (FaintSetupField *self)
{
  g_autofree char *name = g_strdup_printf (_ ("Forget %s"), self->name);

  self->clear = gtk_button_new_from_icon_name ("edit-clear-symbolic");
  gtk_widget_set_tooltip_text (self->clear, name);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->clear), GTK_ACCESSIBLE_PROPERTY_LABEL, name,
                                  -1);
  g_signal_connect (self->clear, "clicked", G_CALLBACK (on_clear_clicked), self);
  gtk_box_append (GTK_BOX (self->row), self->clear);
}

static void
build (FaintSetupField *self)
{
  switch (self->key->kind)
    {
    case FAINT_SETUP_KIND_QUANTITY:
      self->control = faint_quantity_entry_new (self->name, self->key->dimension);
      g_signal_connect (self->control, "committed", G_CALLBACK (on_committed), self);
      break;
    case FAINT_SETUP_KIND_CHOICE:
      self->control = drop_down_new (self);
      break;
    case FAINT_SETUP_KIND_TEXT:
    case FAINT_SETUP_KIND_RANGES:
      self->control = text_entry_new (self);
      break;
    case FAINT_SETUP_KIND_FILE:
      self->control = file_button_new (self);
      break;
    }
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->control), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  self->name, -1);
  gtk_widget_set_tooltip_text (GTK_WIDGET (self), self->key->meaning);
  gtk_widget_set_hexpand (self->control, TRUE);
  self->row = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6);
  gtk_box_append (GTK_BOX (self->row), self->control);
  gtk_widget_set_parent (self->row, GTK_WIDGET (self));
  if (self->key->kind == FAINT_SETUP_KIND_FILE)
    add_clear_button (self);
  add_error_label (self);
}

static void
faint_setup_field_dispose (GObject *object)
{
  FaintSetupField *self = FAINT_SETUP_FIELD (object);

  self->control = self->clear = NULL;
  g_clear_pointer (&self->row, gtk_widget_unparent);
  g_clear_pointer (&self->error, gtk_widget_unparent);
  g_clear_object (&self->dialog);
  g_clear_object (&self->document);
  g_clear_pointer (&self->choices, g_strfreev);
  g_clear_pointer (&self->name, g_free);
  G_OBJECT_CLASS (faint_setup_field_parent_class)->dispose (object);
}

static void
faint_setup_field_class_init (FaintSetupFieldClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = faint_setup_field_dispose;
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BOX_LAYOUT);
  gtk_widget_class_set_css_name (widget_class, "setupfield");
}

static void
faint_setup_field_init (FaintSetupField *self)
{
  GtkLayoutManager *layout = gtk_widget_get_layout_manager (GTK_WIDGET (self));

  gtk_orientable_set_orientation (GTK_ORIENTABLE (layout), GTK_ORIENTATION_VERTICAL);
}

GtkWidget *
faint_setup_field_new (FaintDocument *document, const char *key, const char *name)
{
  const FaintSetupKey *found = faint_setup_key_find (key);
  FaintSetupField *self;

  g_return_val_if_fail (found != NULL, NULL);
  self = g_object_new (FAINT_TYPE_SETUP_FIELD, NULL);
  self->document = g_object_ref (document);
  self->key = found;
  self->name = g_strdup (name);
  build (self);
  update_control (self);
  g_signal_connect_object (document, "changed", G_CALLBACK (on_changed), self, 0);
  return GTK_WIDGET (self);
}

const char *
faint_setup_field_get_key (FaintSetupField *self)
{
  g_return_val_if_fail (FAINT_IS_SETUP_FIELD (self), NULL);
  return self->key->key;
}

gboolean
faint_setup_field_enter (FaintSetupField *self, const char *text)
{
  g_return_val_if_fail (FAINT_IS_SETUP_FIELD (self), FALSE);

  if (self->key->kind != FAINT_SETUP_KIND_QUANTITY)
    return apply (self, text, NULL);
  gtk_editable_set_text (
      GTK_EDITABLE (faint_quantity_entry_get_entry (FAINT_QUANTITY_ENTRY (self->control))), text);
  faint_quantity_entry_commit (FAINT_QUANTITY_ENTRY (self->control));
  return faint_setup_field_get_error (self) == NULL;
}

const char *
faint_setup_field_get_error (FaintSetupField *self)
{
  g_return_val_if_fail (FAINT_IS_SETUP_FIELD (self), NULL);
  if (FAINT_IS_QUANTITY_ENTRY (self->control))
    return faint_quantity_entry_get_error (FAINT_QUANTITY_ENTRY (self->control));
  return gtk_widget_get_visible (self->error) ? gtk_label_get_text (GTK_LABEL (self->error)) : NULL;
}

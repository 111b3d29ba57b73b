/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A revealer over a box.
 */
#include "app/parts/message-bar.h"

#include <glib/gi18n.h>

struct _FaintMessageBar
{
  GtkWidget parent;

  GtkWidget *revealer;
  GtkWidget *heading, *text;
};

G_DEFINE_FINAL_TYPE (FaintMessageBar, faint_message_bar, GTK_TYPE_WIDGET)

static void
on_close (GtkButton *button, FaintMessageBar *self)
{
  faint_message_bar_hide (self);
}

static GtkWidget *
label_new (const char *css_class)
{
  GtkWidget *label = gtk_label_new (NULL);

  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_wrap_mode (GTK_LABEL (label), PANGO_WRAP_WORD_CHAR);
  gtk_label_set_selectable (GTK_LABEL (label), TRUE);
  gtk_widget_set_can_focus (label, FALSE);
  gtk_widget_add_css_class (label, css_class);
  return label;
}

static void
faint_message_bar_dispose (GObject *object)
{
  FaintMessageBar *self = FAINT_MESSAGE_BAR (object);

  g_clear_pointer (&self->revealer, gtk_widget_unparent);
  G_OBJECT_CLASS (faint_message_bar_parent_class)->dispose (object);
}

static void
faint_message_bar_class_init (FaintMessageBarClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = faint_message_bar_dispose;
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_set_css_name (widget_class, "messagebar");
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_ALERT);
}

static void
faint_message_bar_init (FaintMessageBar *self)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 12);
  GtkWidget *words = gtk_box_new (GTK_ORIENTATION_VERTICAL, 3);
  GtkWidget *icon = gtk_image_new_from_icon_name ("dialog-warning-symbolic");
  GtkWidget *close = gtk_button_new_from_icon_name ("window-close-symbolic");

  self->heading = label_new ("heading");
  self->text = label_new ("text");
  gtk_widget_set_valign (icon, GTK_ALIGN_START);
  gtk_widget_set_valign (close, GTK_ALIGN_START);
  gtk_widget_set_hexpand (words, TRUE);
  gtk_widget_add_css_class (close, "flat");
  gtk_widget_set_tooltip_text (close, _ ("Dismiss this message"));
  gtk_accessible_update_property (GTK_ACCESSIBLE (close), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  _ ("Dismiss this message"), -1);
  g_signal_connect (close, "clicked", G_CALLBACK (on_close), self);
  gtk_box_append (GTK_BOX (words), self->heading);
  gtk_box_append (GTK_BOX (words), self->text);
  gtk_box_append (GTK_BOX (box), icon);
  gtk_box_append (GTK_BOX (box), words);
  gtk_box_append (GTK_BOX (box), close);
  gtk_widget_add_css_class (box, "message");

  self->revealer = gtk_revealer_new ();
  gtk_revealer_set_child (GTK_REVEALER (self->revealer), box);
  gtk_widget_set_parent (self->revealer, GTK_WIDGET (self));
}

void
faint_message_bar_show (FaintMessageBar *self, const char *heading, const char *text)
{
  g_return_if_fail (FAINT_IS_MESSAGE_BAR (self));
  gtk_label_set_text (GTK_LABEL (self->heading), heading);
  gtk_label_set_text (GTK_LABEL (self->text), text);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_LABEL, heading,
                                  GTK_ACCESSIBLE_PROPERTY_DESCRIPTION, text, -1);
  gtk_revealer_set_reveal_child (GTK_REVEALER (self->revealer), TRUE);
}

void
faint_message_bar_hide (FaintMessageBar *self)
{
  g_return_if_fail (FAINT_IS_MESSAGE_BAR (self));
  gtk_revealer_set_reveal_child (GTK_REVEALER (self->revealer), FALSE);
}

const char *
faint_message_bar_get_heading (FaintMessageBar *self)
{
  g_return_val_if_fail (FAINT_IS_MESSAGE_BAR (self), NULL);
  return gtk_revealer_get_reveal_child (GTK_REVEALER (self->revealer))
             ? gtk_label_get_text (GTK_LABEL (self->heading))
             : NULL;
}

const char *
faint_message_bar_get_text (FaintMessageBar *self)
{
  g_return_val_if_fail (FAINT_IS_MESSAGE_BAR (self), NULL);
  return gtk_revealer_get_reveal_child (GTK_REVEALER (self->revealer))
             ? gtk_label_get_text (GTK_LABEL (self->text))
             : NULL;
}

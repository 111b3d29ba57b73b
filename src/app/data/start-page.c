/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A button for each file that is found.
 */
#include "app/data/start-page.h"

#include <glib/gi18n.h>

#include "app/document/recovery.h"
#include "app/data/samples.h"

#define PATH_KEY "faint-path"

struct _FaintStartPage
{
  GtkWidget parent;

  /* template children */
  GtkWidget *scrolled; /* holds the others */
  GtkWidget *open, *samples, *samples_heading, *leftovers, *leftovers_heading;
};

enum
{
  OPEN_PATH,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (FaintStartPage, faint_start_page, GTK_TYPE_WIDGET)

static void
on_clicked (GtkButton *button, FaintStartPage *self)
{
  g_signal_emit (self, signals[OPEN_PATH], 0, g_object_get_data (G_OBJECT (button), PATH_KEY));
}

static void
append_button (FaintStartPage *self, GtkWidget *box, const char *path, const char *words,
               const char *base)
{
  GtkWidget *button = gtk_button_new ();
  GtkWidget *lines = gtk_box_new (GTK_ORIENTATION_VERTICAL, 2);
  GtkWidget *title = gtk_label_new (words);
  GtkWidget *name = gtk_label_new (base);

  gtk_label_set_xalign (GTK_LABEL (title), 0);
  gtk_label_set_xalign (GTK_LABEL (name), 0);
  gtk_label_set_ellipsize (GTK_LABEL (title), PANGO_ELLIPSIZE_END);
  gtk_widget_add_css_class (name, "note");
  gtk_box_append (GTK_BOX (lines), title);
  gtk_box_append (GTK_BOX (lines), name);
  gtk_button_set_child (GTK_BUTTON (button), lines);
  gtk_widget_add_css_class (button, "sample");
  gtk_accessible_update_property (GTK_ACCESSIBLE (button), GTK_ACCESSIBLE_PROPERTY_LABEL, words,
                                  -1);
  g_object_set_data_full (G_OBJECT (button), PATH_KEY, g_strdup (path), g_free);
  g_signal_connect (button, "clicked", G_CALLBACK (on_clicked), self);
  gtk_box_append (GTK_BOX (box), button);
}

static void
fill_samples (FaintStartPage *self)
{
  g_autoptr (GPtrArray) samples = faint_samples_find ();

  gtk_widget_set_visible (self->samples_heading, samples->len > 0);
  for (guint i = 0; i < samples->len; i++)
    {
      const FaintSample *sample = g_ptr_array_index (samples, i);

      g_autofree char *base = g_path_get_basename (sample->path);

      append_button (self, self->samples, sample->path, sample->title, base);
    }
}

static void
fill_leftovers (FaintStartPage *self)
{
  g_autoptr (GPtrArray) leftovers = faint_recovery_find ();

  gtk_widget_set_visible (self->leftovers_heading, leftovers->len > 0);
  for (guint i = 0; i < leftovers->len; i++)
    {
      const FaintLeftover *leftover = g_ptr_array_index (leftovers, i);
      /* Translators: %s is a date and a time */
      g_autofree char *words = g_strdup_printf (_ ("Analysis of %s"), leftover->when);

      append_button (self, self->leftovers, leftover->path, words, leftover->input);
    }
}

static void
faint_start_page_dispose (GObject *object)
{
  FaintStartPage *self = FAINT_START_PAGE (object);

  g_clear_pointer (&self->scrolled, gtk_widget_unparent);
  G_OBJECT_CLASS (faint_start_page_parent_class)->dispose (object);
}

static void
faint_start_page_class_init (FaintStartPageClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = faint_start_page_dispose;

  signals[OPEN_PATH] = g_signal_new ("open-path", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0,
                                     NULL, NULL, NULL, G_TYPE_NONE, 1, G_TYPE_STRING);

  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_set_template_from_resource (widget_class,
                                               "/org/faintline/Faintline/start-page.ui");
  gtk_widget_class_bind_template_child (widget_class, FaintStartPage, scrolled);
  gtk_widget_class_bind_template_child_full (widget_class, "empty_open_button", FALSE,
                                             G_STRUCT_OFFSET (FaintStartPage, open));
  gtk_widget_class_bind_template_child (widget_class, FaintStartPage, samples);
  gtk_widget_class_bind_template_child (widget_class, FaintStartPage, samples_heading);
  gtk_widget_class_bind_template_child (widget_class, FaintStartPage, leftovers);
  gtk_widget_class_bind_template_child (widget_class, FaintStartPage, leftovers_heading);
}

static void
faint_start_page_init (FaintStartPage *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
  fill_samples (self);
  fill_leftovers (self);
}

gboolean
faint_start_page_begin (FaintStartPage *self)
{
  GtkWidget *leftover;

  g_return_val_if_fail (FAINT_IS_START_PAGE (self), FALSE);
  leftover = gtk_widget_get_first_child (self->leftovers);
  return gtk_widget_grab_focus (leftover ? leftover : self->open);
}

GtkWidget *
faint_start_page_get_samples (FaintStartPage *self)
{
  g_return_val_if_fail (FAINT_IS_START_PAGE (self), NULL);
  return self->samples;
}

GtkWidget *
faint_start_page_get_leftovers (FaintStartPage *self)
{
  g_return_val_if_fail (FAINT_IS_START_PAGE (self), NULL);
  return self->leftovers;
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/window/record-window.h"

#include <glib/gi18n.h>

#include "app/parts/kept-words.h"

struct _FaintRecordWindow
{
  GtkWindow parent;

  FaintDocument *document;
  GtkTextBuffer *buffer; /* borrowed: of the view */
};

G_DEFINE_FINAL_TYPE (FaintRecordWindow, faint_record_window, GTK_TYPE_WINDOW)

static void
update (FaintRecordWindow *self)
{
  FaintAnalysis *analysis = faint_document_get_analysis (self->document);
  guint n = analysis ? faint_analysis_count_changes (analysis) : 0;
  g_autoptr (GString) text = g_string_new (NULL);

  for (guint i = 0; i < n; i++)
    {
      const FaintAnalysisChange *change = faint_analysis_get_change (analysis, i);
      g_autofree char *words = faint_shown_words (change->text);

      g_string_append_printf (text, "%s%s   %s", i > 0 ? "\n" : "",
                              *change->time ? change->time : "–", words);
    }
  gtk_text_buffer_set_text (self->buffer,
                            n > 0 ? text->str : _ ("Nothing was changed by hand so far."), -1);
}

static void
on_changed (FaintDocument *document, guint change, FaintRecordWindow *self)
{
  update (self);
}

static gboolean
on_key (GtkEventControllerKey *controller, guint key, guint code, GdkModifierType state,
        FaintRecordWindow *self)
{
  if (key != GDK_KEY_Escape)
    return FALSE;
  gtk_window_close (GTK_WINDOW (self));
  return TRUE;
}

static void
faint_record_window_dispose (GObject *object)
{
  FaintRecordWindow *self = FAINT_RECORD_WINDOW (object);

  g_clear_object (&self->document);
  G_OBJECT_CLASS (faint_record_window_parent_class)->dispose (object);
}

static void
faint_record_window_class_init (FaintRecordWindowClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = faint_record_window_dispose;
}

static void
faint_record_window_init (FaintRecordWindow *self)
{
  GtkWidget *view = gtk_text_view_new (), *scrolled = gtk_scrolled_window_new ();
  GtkEventController *key = gtk_event_controller_key_new ();

  self->buffer = gtk_text_view_get_buffer (GTK_TEXT_VIEW (view));
  gtk_text_view_set_editable (GTK_TEXT_VIEW (view), FALSE);
  gtk_text_view_set_cursor_visible (GTK_TEXT_VIEW (view), FALSE);
  gtk_text_view_set_wrap_mode (GTK_TEXT_VIEW (view), GTK_WRAP_WORD_CHAR);
  gtk_text_view_set_left_margin (GTK_TEXT_VIEW (view), 12);
  gtk_text_view_set_right_margin (GTK_TEXT_VIEW (view), 12);
  gtk_text_view_set_top_margin (GTK_TEXT_VIEW (view), 12);
  gtk_text_view_set_bottom_margin (GTK_TEXT_VIEW (view), 12);
  gtk_text_view_set_pixels_below_lines (GTK_TEXT_VIEW (view), 4);
  gtk_accessible_update_property (GTK_ACCESSIBLE (view), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  _ ("Record of Changes"), -1);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (scrolled), view);
  gtk_window_set_child (GTK_WINDOW (self), scrolled);
  gtk_window_set_titlebar (GTK_WINDOW (self), gtk_header_bar_new ());
  gtk_window_set_title (GTK_WINDOW (self), _ ("Record of Changes"));
  gtk_window_set_default_size (GTK_WINDOW (self), 720, 420);
  g_signal_connect (key, "key-pressed", G_CALLBACK (on_key), self);
  gtk_widget_add_controller (GTK_WIDGET (self), key);
}

GtkWidget *
faint_record_window_new (GtkWindow *parent, FaintDocument *document)
{
  FaintRecordWindow *self = g_object_new (FAINT_TYPE_RECORD_WINDOW, "transient-for", parent,
                                          "destroy-with-parent", TRUE, NULL);

  self->document = g_object_ref (document);
  g_signal_connect_object (document, "changed", G_CALLBACK (on_changed), self, 0);
  update (self);
  return GTK_WIDGET (self);
}

char *
faint_record_window_get_text (FaintRecordWindow *self)
{
  g_autofree char *text = NULL;

  g_return_val_if_fail (FAINT_IS_RECORD_WINDOW (self), NULL);
  g_object_get (self->buffer, "text", &text, NULL);
  return g_steal_pointer (&text);
}

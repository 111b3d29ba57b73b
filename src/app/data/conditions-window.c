/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The summary and the entries of the import, over a spectrum that is open.
 */
#include "app/data/conditions-window.h"

#include <glib/gi18n.h>

#include "app/data/import-reading.h"
#include "app/data/import-summary.h"
#include "app/parts/pane.h"

struct _FaintConditionsWindow
{
  GtkWindow parent;

  FaintDocument *document;
  GtkWidget *conditions, *summary;
  GCancellable *drawing; /* of the summary, or NULL */
};

static guint stated;

G_DEFINE_FINAL_TYPE (FaintConditionsWindow, faint_conditions_window, GTK_TYPE_WINDOW)

static void
on_changed (FaintConditionsWindow *self)
{
  if (self->drawing == NULL)
    faint_import_summary_set_setup (
        FAINT_IMPORT_SUMMARY (self->summary),
        faint_import_conditions_get_setup (FAINT_IMPORT_CONDITIONS (self->conditions)));
}

static void
on_drawn (GObject *source, GAsyncResult *result, gpointer data)
{
  FaintConditionsWindow *self = data;
  g_autoptr (FaintImportReading) reading = faint_import_read_finish (result, NULL);

  /* NULL: closed meanwhile */
  if (reading && self->drawing)
    {
      faint_import_summary_set_reading (FAINT_IMPORT_SUMMARY (self->summary), reading);
      g_clear_object (&self->drawing);
      on_changed (self);
    }
  g_object_unref (self);
}

static void
on_state (GtkButton *button, FaintConditionsWindow *self)
{
  faint_conditions_window_accept (self);
}

static GtkWidget *
build_header (FaintConditionsWindow *self)
{
  GtkWidget *header = gtk_header_bar_new ();
  /* Translators: the conditions are stated at another time */
  GtkWidget *later = faint_pane_button (_ ("_Later"), "window.close");
  /* Translators: takes the conditions that were typed */
  GtkWidget *state = faint_pane_button (_ ("_Apply"), NULL);

  gtk_header_bar_set_show_title_buttons (GTK_HEADER_BAR (header), FALSE);
  gtk_widget_add_css_class (state, "suggested-action");
  g_signal_connect (state, "clicked", G_CALLBACK (on_state), self);
  gtk_header_bar_pack_start (GTK_HEADER_BAR (header), later);
  gtk_header_bar_pack_end (GTK_HEADER_BAR (header), state);
  return header;
}

static void
faint_conditions_window_dispose (GObject *object)
{
  FaintConditionsWindow *self = FAINT_CONDITIONS_WINDOW (object);

  if (self->drawing)
    g_cancellable_cancel (self->drawing);
  g_clear_object (&self->drawing);
  g_clear_object (&self->document);
  G_OBJECT_CLASS (faint_conditions_window_parent_class)->dispose (object);
}

static void
faint_conditions_window_class_init (FaintConditionsWindowClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = faint_conditions_window_dispose;

  stated = g_signal_new ("stated", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0, NULL, NULL,
                         NULL, G_TYPE_NONE, 0);
  gtk_widget_class_add_binding_action (GTK_WIDGET_CLASS (klass), GDK_KEY_Escape, 0, "window.close",
                                       NULL);
}

static GtkWidget *
build_left (FaintConditionsWindow *self)
{
  GtkWidget *box = faint_pane_box_new ();
  GtkWidget *what
      = gtk_label_new (_ ("The spectrum is open. Its file does not state all that a fit needs: "
                          "state at the right what you know, with uncertainty and unit. What stays "
                          "empty is shown in the stages Data and Cavity and can be stated there."));

  gtk_label_set_xalign (GTK_LABEL (what), 0);
  gtk_label_set_wrap (GTK_LABEL (what), TRUE);
  self->summary = faint_import_summary_new ();
  gtk_box_append (GTK_BOX (box), what);
  gtk_box_append (GTK_BOX (box), self->summary);
  return box;
}

static void
faint_conditions_window_init (FaintConditionsWindow *self)
{
  self->conditions = faint_import_conditions_new ();
  g_signal_connect_object (self->conditions, "changed", G_CALLBACK (on_changed), self,
                           G_CONNECT_SWAPPED);
  gtk_window_set_child (GTK_WINDOW (self),
                        faint_import_paned_new (build_left (self), self->conditions));
  gtk_window_set_titlebar (GTK_WINDOW (self), build_header (self));
  gtk_window_set_modal (GTK_WINDOW (self), TRUE);
  gtk_window_set_default_size (GTK_WINDOW (self), 960, 720);
}

/* "run-14.dx", or which spectrum of a series. */
static char *
title_of (FaintDocument *document)
{
  FaintAnalysis *analysis = faint_document_get_analysis (document);
  gsize n = faint_analysis_get_n_spectra (analysis), shown = faint_document_get_shown (document);
  g_autofree char *conditions = NULL;

  if (n == 1)
    return faint_document_get_title (document);
  conditions = faint_analysis_describe_spectrum (analysis, shown);
  return g_strdup_printf (_ ("Spectrum %u of %u: %s"), (guint)shown + 1, (guint)n, conditions);
}

GtkWidget *
faint_conditions_window_new (GtkWindow *parent, FaintDocument *document)
{
  FaintConditionsWindow *self;
  g_autofree char *title = NULL;

  g_return_val_if_fail (faint_document_get_spectrum (document) != NULL, NULL);
  title = title_of (document);
  self = g_object_new (FAINT_TYPE_CONDITIONS_WINDOW, "transient-for", parent, "destroy-with-parent",
                       TRUE, "title", title, NULL);
  self->document = g_object_ref (document);
  faint_import_conditions_set_setup (FAINT_IMPORT_CONDITIONS (self->conditions),
                                     faint_document_get_setup (document));
  faint_import_conditions_set_read (FAINT_IMPORT_CONDITIONS (self->conditions));
  self->drawing = g_cancellable_new ();
  faint_import_draw_async (faint_document_get_spectrum (document), self->drawing, on_drawn,
                           g_object_ref (self));
  return GTK_WIDGET (self);
}

FaintImportConditions *
faint_conditions_window_get_conditions (FaintConditionsWindow *self)
{
  g_return_val_if_fail (FAINT_IS_CONDITIONS_WINDOW (self), NULL);
  return FAINT_IMPORT_CONDITIONS (self->conditions);
}

char *
faint_conditions_window_get_summary (FaintConditionsWindow *self)
{
  g_return_val_if_fail (FAINT_IS_CONDITIONS_WINDOW (self), NULL);
  return self->drawing ? NULL
                       : faint_import_summary_get_text (FAINT_IMPORT_SUMMARY (self->summary));
}

void
faint_conditions_window_accept (FaintConditionsWindow *self)
{
  FaintImportConditions *conditions;
  g_autoptr (FaintSetup) setup = NULL;
  g_autoptr (GError) error = NULL;

  g_return_if_fail (FAINT_IS_CONDITIONS_WINDOW (self));
  conditions = FAINT_IMPORT_CONDITIONS (self->conditions);
  if (!faint_import_conditions_commit (conditions))
    return;
  setup = faint_setup_copy (faint_import_conditions_get_setup (conditions));
  if (!faint_document_edit_setup (self->document, setup, _ ("State Conditions"), &error))
    {
      faint_import_summary_set_error (FAINT_IMPORT_SUMMARY (self->summary), error->message);
      return;
    }
  g_signal_emit (self, stated, 0);
  gtk_window_destroy (GTK_WINDOW (self));
}

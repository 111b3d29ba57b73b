/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/assignment/assignment-pane.h"

#include <glib/gi18n.h>

#include "app/assignment/assignment-result.h"
#include "app/parts/chosen-path.h"
#include "app/assignment/free-constants.h"
#include "app/assignment/line-assignment.h"
#include "app/parts/pane.h"
#include "app/data/samples.h"
#include "app/assignment/trace-assignment.h"

struct _FaintAssignmentPane
{
  GtkBox parent;

  FaintDocument *document;
  FaintAssigner *assigner;
  GtkFileChooserNative *dialog;        /* the one that is open, or NULL */
  GtkWidget *levels, *samples, *error; /* samples: GtkBox of buttons */
};

G_DEFINE_FINAL_TYPE (FaintAssignmentPane, faint_assignment_pane, GTK_TYPE_BOX)

static void
say (FaintAssignmentPane *self, const char *text)
{
  gtk_label_set_text (GTK_LABEL (self->error), text ? text : "");
  gtk_widget_set_visible (self->error, text != NULL);
}

static void
update (FaintAssignmentPane *self)
{
  g_autofree char *words = faint_assigner_levels_in_words (self->assigner);

  gtk_label_set_text (GTK_LABEL (self->levels), words);
  gtk_widget_set_visible (self->samples, faint_assigner_get_levels (self->assigner) == NULL);
}

gboolean
faint_assignment_pane_read_levels (FaintAssignmentPane *self, const char *path)
{
  g_autoptr (GError) error = NULL;
  gboolean known;

  g_return_val_if_fail (FAINT_IS_ASSIGNMENT_PANE (self), FALSE);
  known = faint_assigner_read_levels (self->assigner, path, &error);
  say (self, known ? NULL : error->message);
  return known;
}

static void
on_response (GtkNativeDialog *dialog, int response, FaintAssignmentPane *self)
{
  const char *said;
  g_autofree char *path = faint_chosen_path (dialog, response, &said);

  g_clear_object (&self->dialog);
  if (path != NULL)
    faint_assignment_pane_read_levels (self, path);
  else if (said != NULL)
    say (self, said);
}

static void
add_filters (FaintAssignmentPane *self)
{
  static const char *const suffixes[] = { "constants", "levels", "txt" };
  g_autoptr (GtkFileFilter) levels = gtk_file_filter_new (), all = gtk_file_filter_new ();

  gtk_file_filter_set_name (levels, _ ("Constants and tables of levels"));
  for (guint i = 0; i < G_N_ELEMENTS (suffixes); i++)
    gtk_file_filter_add_suffix (levels, suffixes[i]);
  gtk_file_chooser_add_filter (GTK_FILE_CHOOSER (self->dialog), levels);
  gtk_file_filter_set_name (all, _ ("All files"));
  gtk_file_filter_add_pattern (all, "*");
  gtk_file_chooser_add_filter (GTK_FILE_CHOOSER (self->dialog), all);
}

static void
on_open (GtkButton *button, FaintAssignmentPane *self)
{
  g_clear_object (&self->dialog);
  self->dialog = gtk_file_chooser_native_new (_ ("Open Levels"),
                                              GTK_WINDOW (gtk_widget_get_root (GTK_WIDGET (self))),
                                              GTK_FILE_CHOOSER_ACTION_OPEN, NULL, NULL);
  gtk_native_dialog_set_modal (GTK_NATIVE_DIALOG (self->dialog), TRUE);
  add_filters (self);
  g_signal_connect (self->dialog, "response", G_CALLBACK (on_response), self);
  gtk_native_dialog_show (GTK_NATIVE_DIALOG (self->dialog));
}

static void
faint_assignment_pane_dispose (GObject *object)
{
  FaintAssignmentPane *self = FAINT_ASSIGNMENT_PANE (object);

  g_clear_object (&self->dialog);
  g_clear_object (&self->assigner);
  g_clear_object (&self->document);
  G_OBJECT_CLASS (faint_assignment_pane_parent_class)->dispose (object);
}

static void
faint_assignment_pane_class_init (FaintAssignmentPaneClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = faint_assignment_pane_dispose;
}

static void
faint_assignment_pane_init (FaintAssignmentPane *self)
{
  faint_pane_prepare (GTK_BOX (self));
}

static void
on_sample (GtkButton *button, FaintAssignmentPane *self)
{
  faint_assignment_pane_read_levels (self, faint_sample_button_get_path (button));
}

/* While there are no levels, those that come with the program are one click away. */
static void
add_samples (FaintAssignmentPane *self)
{
  g_autoptr (GPtrArray) samples = faint_samples_find_levels ();

  for (guint i = 0; i < samples->len; i++)
    {
      const FaintSample *sample = g_ptr_array_index (samples, i);
      /* Translators: the name of a molecule and its vibrational state */
      g_autofree char *words = g_strdup_printf (_ ("Sample: %s"), sample->title);
      g_autofree char *name = g_strdup_printf (_ ("Open the levels of %s"), sample->title);
      GtkWidget *button = faint_sample_button_new (sample, words, name, name);

      g_signal_connect (button, "clicked", G_CALLBACK (on_sample), self);
      gtk_box_append (GTK_BOX (self->samples), button);
    }
}

static void
build (FaintAssignmentPane *self)
{
  GtkWidget *grid = faint_pane_section (GTK_WIDGET (self), _ ("Levels of the lower state"));
  GtkWidget *buttons = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6);
  GtkWidget *open = faint_pane_button (_ ("Open _Levels…"), NULL);
  GtkWidget *search = faint_pane_button (_ ("_Assign Lines"), "win.assign");

  self->levels = faint_pane_note (grid, "");
  g_signal_connect (open, "clicked", G_CALLBACK (on_open), self);
  gtk_widget_set_tooltip_text (open, _ ("Constants of the lower state, or a table of its levels"));
  faint_pane_wide (grid, open);
  self->samples = gtk_box_new (GTK_ORIENTATION_VERTICAL, 6);
  add_samples (self);
  faint_pane_wide (grid, self->samples);
  self->error = faint_pane_note (grid, "");
  gtk_widget_add_css_class (self->error, "error");
  gtk_widget_add_css_class (search, "suggested-action");
  gtk_widget_set_tooltip_text (search,
                               _ ("Combination differences and smooth chains of upper levels"));
  gtk_box_append (GTK_BOX (buttons), search);
  gtk_box_append (GTK_BOX (buttons), faint_pane_button (_ ("Unassi_gn All"), "win.unassign-all"));
  gtk_box_set_homogeneous (GTK_BOX (buttons), TRUE);
  faint_pane_wide (grid, buttons);
}

GtkWidget *
faint_assignment_pane_new (FaintDocument *document, FaintSession *session)
{
  FaintAssignmentPane *self = g_object_new (FAINT_TYPE_ASSIGNMENT_PANE, NULL);
  GtkWidget *result = faint_assignment_result_new (document, session);

  self->document = g_object_ref (document);
  self->assigner = g_object_ref (faint_assigner_of (document));
  build (self);
  /* what speaks for the line in hand is looked at most, and stands where it is seen at once */
  gtk_box_append (GTK_BOX (self), faint_line_assignment_new (document, session));
  gtk_box_append (GTK_BOX (self), result);
  gtk_box_append (GTK_BOX (self), faint_free_constants_new (self->assigner));
  gtk_box_append (GTK_BOX (self), faint_trace_assignment_new (document));
  gtk_box_append (GTK_BOX (self),
                  faint_assignment_result_get_lists (FAINT_ASSIGNMENT_RESULT (result)));
  g_signal_connect_object (self->assigner, "levels-changed", G_CALLBACK (update), self,
                           G_CONNECT_SWAPPED);
  say (self, NULL);
  update (self);
  return GTK_WIDGET (self);
}

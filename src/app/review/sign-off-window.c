/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/review/sign-off-window.h"

#include <glib/gi18n.h>

#include "app/parts/chosen-path.h"
#include "figure/report-review.h"
#include "app/parts/pane.h"

struct _FaintSignOffWindow
{
  GtkWindow parent;

  FaintReview *review;
  char *claimed_path, *claimed_sha256;
  char *stored;                 /* name of the file of the analysis, or NULL */
  GtkFileChooserNative *dialog; /* the one that is open, or NULL */
  GtkWidget *name, *remark, *error, *save;
};

enum
{
  SIGNED,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (FaintSignOffWindow, faint_sign_off_window, GTK_TYPE_WINDOW)

/* What the thread writes. */
typedef struct
{
  FaintReview *review;
  char *claimed_path, *claimed_sha256, *stored, *date, *reviewer, *remark, *path;
} Work;

static void
work_free (gpointer data)
{
  Work *work = data;

  faint_review_unref (work->review);
  g_free (work->claimed_path);
  g_free (work->claimed_sha256);
  g_free (work->stored);
  g_free (work->date);
  g_free (work->reviewer);
  g_free (work->remark);
  g_free (work->path);
  g_free (work);
}

static void
write_in_thread (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  const Work *work = data;
  const char *const inputs[] = { work->stored, NULL };
  FaintReviewReportOptions options = { .claimed_path = work->claimed_path,
                                       .claimed_sha256 = work->claimed_sha256,
                                       .inputs = work->stored ? inputs : NULL,
                                       .date = work->date,
                                       .reviewer = work->reviewer,
                                       .remark = work->remark };
  GError *error = NULL;

  if (faint_review_report_write (work->review, &options, work->path, &error))
    g_task_return_boolean (task, TRUE);
  else
    g_task_return_error (task, error);
}

static void
on_written (GObject *source, GAsyncResult *result, gpointer data)
{
  g_autoptr (FaintSignOffWindow) self = data;
  const Work *work = g_task_get_task_data (G_TASK (result));
  g_autoptr (GError) error = NULL;
  gboolean done = g_task_propagate_boolean (G_TASK (result), &error);

  if (self->review == NULL) /* closed meanwhile */
    return;
  gtk_widget_set_sensitive (self->save, TRUE);
  gtk_label_set_text (GTK_LABEL (self->error), done ? "" : error->message);
  gtk_widget_set_visible (self->error, !done);
  if (!done)
    return;
  g_signal_emit (self, signals[SIGNED], 0, work->path);
  gtk_window_close (GTK_WINDOW (self));
}

static char *
text_of_remark (FaintSignOffWindow *self)
{
  GtkTextBuffer *buffer = gtk_text_view_get_buffer (GTK_TEXT_VIEW (self->remark));
  GtkTextIter start, end;

  gtk_text_buffer_get_bounds (buffer, &start, &end);
  return g_strstrip (gtk_text_buffer_get_text (buffer, &start, &end, FALSE));
}

static char *
today (void)
{
  g_autoptr (GDateTime) now = g_date_time_new_now_local ();

  return g_date_time_format (now, "%Y-%m-%d");
}

void
faint_sign_off_window_write (FaintSignOffWindow *self, const char *path)
{
  Work *work;
  g_autoptr (GTask) task = NULL;

  g_return_if_fail (FAINT_IS_SIGN_OFF_WINDOW (self));
  work = g_new0 (Work, 1);
  work->review = faint_review_ref (self->review);
  work->claimed_path = g_strdup (self->claimed_path);
  work->claimed_sha256 = g_strdup (self->claimed_sha256);
  work->stored = g_strdup (self->stored);
  work->date = today ();
  work->reviewer = g_strstrip (g_strdup (gtk_editable_get_text (GTK_EDITABLE (self->name))));
  work->remark = text_of_remark (self);
  work->path = g_strdup (path);
  gtk_widget_set_sensitive (self->save, FALSE);
  /* a widget must not be the task's source: the thread may be the last to let go of it */
  task = g_task_new (NULL, NULL, on_written, g_object_ref (self));
  g_task_set_task_data (task, work, work_free);
  g_task_run_in_thread (task, write_in_thread);
}

static void
on_response (GtkNativeDialog *dialog, int response, FaintSignOffWindow *self)
{
  const char *said;
  g_autofree char *path = faint_chosen_path (dialog, response, &said);

  g_clear_object (&self->dialog);
  if (path != NULL)
    faint_sign_off_window_write (self, path);
  else if (said != NULL)
    {
      gtk_label_set_text (GTK_LABEL (self->error), said);
      gtk_widget_set_visible (self->error, TRUE);
    }
}

static void
on_save (GtkButton *button, FaintSignOffWindow *self)
{
  g_clear_object (&self->dialog);
  self->dialog = gtk_file_chooser_native_new (_ ("Sign Off"), GTK_WINDOW (self),
                                              GTK_FILE_CHOOSER_ACTION_SAVE, NULL, NULL);
  gtk_native_dialog_set_modal (GTK_NATIVE_DIALOG (self->dialog), TRUE);
  gtk_file_chooser_set_current_name (GTK_FILE_CHOOSER (self->dialog), "review.pdf");
  g_signal_connect (self->dialog, "response", G_CALLBACK (on_response), self);
  gtk_native_dialog_show (GTK_NATIVE_DIALOG (self->dialog));
}

/* Who signs must be named. */
static void
on_name (GtkEditable *name, FaintSignOffWindow *self)
{
  g_autofree char *text = g_strstrip (g_strdup (gtk_editable_get_text (name)));

  gtk_widget_set_sensitive (self->save, *text != '\0');
  gtk_widget_set_tooltip_text (self->save,
                               *text != '\0' ? NULL : _ ("Needs the name of the reviewer"));
}

static gboolean
on_key (GtkEventControllerKey *controller, guint keyval, guint keycode, GdkModifierType state,
        FaintSignOffWindow *self)
{
  if (keyval != GDK_KEY_Escape)
    return GDK_EVENT_PROPAGATE;
  gtk_window_close (GTK_WINDOW (self));
  return GDK_EVENT_STOP;
}

static void
faint_sign_off_window_dispose (GObject *object)
{
  FaintSignOffWindow *self = FAINT_SIGN_OFF_WINDOW (object);

  g_clear_object (&self->dialog);
  g_clear_pointer (&self->review, faint_review_unref);
  g_clear_pointer (&self->claimed_path, g_free);
  g_clear_pointer (&self->claimed_sha256, g_free);
  g_clear_pointer (&self->stored, g_free);
  G_OBJECT_CLASS (faint_sign_off_window_parent_class)->dispose (object);
}

static void
faint_sign_off_window_class_init (FaintSignOffWindowClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = faint_sign_off_window_dispose;
  signals[SIGNED] = g_signal_new ("signed", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0, NULL,
                                  NULL, NULL, G_TYPE_NONE, 1, G_TYPE_STRING);
}

static void
build (FaintSignOffWindow *self, GtkWidget *box)
{
  GtkWidget *grid = faint_pane_section (box, _ ("Who signs the report"));
  GtkWidget *scrolled = gtk_scrolled_window_new ();

  self->name = gtk_entry_new ();
  gtk_entry_set_placeholder_text (GTK_ENTRY (self->name), _ ("name, needed to sign"));
  gtk_entry_set_activates_default (GTK_ENTRY (self->name), TRUE);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->name), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  _ ("Reviewer"), -1);
  faint_pane_row (grid, _ ("Reviewer"), self->name);
  self->remark = gtk_text_view_new ();
  gtk_text_view_set_wrap_mode (GTK_TEXT_VIEW (self->remark), GTK_WRAP_WORD_CHAR);
  gtk_text_view_set_accepts_tab (GTK_TEXT_VIEW (self->remark), FALSE);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->remark), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  _ ("Remark"), -1);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (scrolled), self->remark);
  gtk_scrolled_window_set_has_frame (GTK_SCROLLED_WINDOW (scrolled), TRUE);
  gtk_widget_set_size_request (scrolled, 320, 120);
  gtk_widget_set_vexpand (scrolled, TRUE);
  faint_pane_row (grid, _ ("Remark"), scrolled);
  self->error = faint_pane_note (grid, "");
  gtk_widget_add_css_class (self->error, "error");
  gtk_widget_set_visible (self->error, FALSE);
  g_signal_connect (self->name, "changed", G_CALLBACK (on_name), self);
}

static GtkWidget *
build_header (FaintSignOffWindow *self)
{
  GtkWidget *header = gtk_header_bar_new ();

  self->save = faint_pane_button (_ ("_Save as PDF…"), NULL);
  gtk_widget_add_css_class (self->save, "suggested-action");
  gtk_widget_set_sensitive (self->save, FALSE);
  gtk_widget_set_tooltip_text (self->save, _ ("Needs the name of the reviewer"));
  g_signal_connect (self->save, "clicked", G_CALLBACK (on_save), self);
  gtk_header_bar_set_show_title_buttons (GTK_HEADER_BAR (header), FALSE);
  gtk_header_bar_pack_start (GTK_HEADER_BAR (header),
                             faint_pane_button (_ ("_Cancel"), "window.close"));
  gtk_header_bar_pack_end (GTK_HEADER_BAR (header), self->save);
  return header;
}

static void
faint_sign_off_window_init (FaintSignOffWindow *self)
{
  GtkWidget *box = faint_pane_box_new ();
  GtkEventController *key = gtk_event_controller_key_new ();

  build (self, box);
  gtk_window_set_child (GTK_WINDOW (self), box);
  gtk_window_set_titlebar (GTK_WINDOW (self), build_header (self));
  gtk_window_set_title (GTK_WINDOW (self), _ ("Sign Off the Review"));
  gtk_window_set_default_size (GTK_WINDOW (self), 480, -1);
  gtk_window_set_default_widget (GTK_WINDOW (self), self->save);
  gtk_window_set_modal (GTK_WINDOW (self), TRUE);
  g_signal_connect (key, "key-pressed", G_CALLBACK (on_key), self);
  gtk_widget_add_controller (GTK_WIDGET (self), key);
}

GtkWidget *
faint_sign_off_window_new (GtkWindow *parent, FaintReviewer *reviewer)
{
  FaintSignOffWindow *self;
  const FaintListFile *claimed = faint_reviewer_get_claimed (reviewer);

  g_return_val_if_fail (faint_reviewer_get_result (reviewer) && claimed, NULL);
  self = g_object_new (FAINT_TYPE_SIGN_OFF_WINDOW, "transient-for", parent, NULL);
  self->review = faint_review_ref (faint_reviewer_get_result (reviewer));
  self->claimed_path = g_strdup (claimed->path);
  self->claimed_sha256 = g_strdup (claimed->sha256);
  if (faint_reviewer_get_stored (reviewer))
    self->stored = g_path_get_basename (faint_reviewer_get_stored (reviewer));
  return GTK_WIDGET (self);
}

void
faint_sign_off_window_enter (FaintSignOffWindow *self, const char *name, const char *remark)
{
  g_return_if_fail (FAINT_IS_SIGN_OFF_WINDOW (self));
  gtk_editable_set_text (GTK_EDITABLE (self->name), name);
  gtk_text_buffer_set_text (gtk_text_view_get_buffer (GTK_TEXT_VIEW (self->remark)), remark, -1);
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The stage Review in the window. While it is shown and there is a result, plot and table show that
 * instead of the document's lines, and the session's selected line is a row of the review.
 */
#include "app/window/window-private.h"

#include <glib/gi18n.h>

#include "app/review/review-pane.h"
#include "app/review/review-table.h"
#include "app/review/review-view.h"
#include "app/review/review-words.h"
#include "app/review/sign-off-window.h"

static FaintReviewer *
reviewer_of (FaintWindow *self)
{
  return faint_reviewer_of (self->document);
}

static void
on_reviewed (GObject *source, GAsyncResult *result, gpointer data)
{
  g_autoptr (FaintWindow) self = data;
  g_autoptr (GError) error = NULL;

  if (!faint_reviewer_run_finish (FAINT_REVIEWER (source), result, &error)
      && !g_error_matches (error, G_IO_ERROR, G_IO_ERROR_CANCELLED) && self->document)
    faint_window_say (self, _ ("The list was not reviewed"), error->message);
}

void
_faint_window_review (FaintWindow *self)
{
  faint_message_bar_hide (FAINT_MESSAGE_BAR (self->message));
  faint_session_set_stage (self->session, FAINT_STAGE_REVIEW);
  faint_reviewer_run_async (reviewer_of (self), on_reviewed, g_object_ref (self));
}

static void
on_signed (GtkWidget *window, const char *path, FaintWindow *self)
{
  g_autofree char *name = g_path_get_basename (path);
  g_autofree char *text = g_strdup_printf (_ ("The review was written to %s"), name);

  gtk_label_set_text (GTK_LABEL (self->status_label), text);
}

void
_faint_window_sign_off (FaintWindow *self)
{
  GtkWidget *window = faint_sign_off_window_new (GTK_WINDOW (self), reviewer_of (self));

  g_signal_connect_object (window, "signed", G_CALLBACK (on_signed), self, 0);
  gtk_window_present (GTK_WINDOW (window));
}

gboolean
_faint_window_can_sign_off (FaintWindow *self)
{
  return faint_reviewer_is_current (reviewer_of (self));
}

gboolean
_faint_window_can_review (FaintWindow *self)
{
  return faint_document_get_analysis (self->document)
         && faint_reviewer_get_claimed (reviewer_of (self));
}

gboolean
_faint_window_shows_review (FaintWindow *self)
{
  return self->review_view != NULL;
}

FaintLineList *
_faint_window_shown_lines (FaintWindow *self)
{
  return self->review_view ? self->review_view->data->lines
                           : faint_document_get_lines (self->document);
}

const FaintLine *
_faint_window_find_line (FaintWindow *self, guint id)
{
  const FaintReviewView *view = self->review_view;

  if (view)
    return faint_line_list_find (view->data->lines, id);
  return faint_document_get_line (self->document, id);
}

/* Makes what the plots show; the task data is the review and which spectrum. */
typedef struct
{
  FaintReview *review;
  gsize shown;
} Sources;

static void
sources_free (gpointer data)
{
  faint_review_unref (((Sources *)data)->review);
  g_free (data);
}

static void
make_in_thread (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  const Sources *sources = data;

  g_task_return_pointer (task, faint_review_view_new (sources->review, sources->shown),
                         (GDestroyNotify)faint_review_view_free);
}

static void
show_in_plot (FaintWindow *self, const FaintReviewView *view)
{
  FaintPlot *plot = FAINT_PLOT (self->plot);

  faint_session_set_selected (self->session, 0);
  faint_plot_set_other (plot, NULL);
  faint_plot_set_fixed (plot, view != NULL);
  faint_plot_set_words (plot, view ? _ ("refit") : NULL, view ? _ ("claims") : NULL);
  faint_plot_set_given (plot, view ? view->claimed : NULL);
  faint_plot_set_verdicts (plot, view ? view->not_seen : NULL, view ? view->not_claimed : NULL);
  if (view == NULL)
    return;
  faint_plot_set_data (plot, view->data);
  faint_overview_set_data (FAINT_OVERVIEW (self->overview), view->data);
  faint_plot_set_other (plot, view->other);
}

static void
show_in_table (FaintWindow *self, gboolean review)
{
  gtk_stack_set_visible_child_name (GTK_STACK (self->tables), review ? "review" : "lines");
  gtk_widget_set_visible (self->filter_box, !review && gtk_widget_get_visible (self->tables));
  gtk_widget_set_visible (self->columns_button, !review);
  _faint_window_update_count (self);
}

static void
leave (FaintWindow *self)
{
  if (self->review_work)
    g_cancellable_cancel (self->review_work);
  g_clear_object (&self->review_work);
  if (self->review_view == NULL)
    return;
  g_clear_pointer (&self->review_view, faint_review_view_free);
  show_in_plot (self, NULL);
  show_in_table (self, FALSE);
  _faint_window_update_figure (self, FAINT_CHANGE_SPECTRUM);
}

static void
on_made (GObject *source, GAsyncResult *result, gpointer data)
{
  g_autoptr (FaintWindow) self = data;
  g_autoptr (FaintReviewView) view = g_task_propagate_pointer (G_TASK (result), NULL);

  /* cancelled: the stage was left, or another is on its way, or the window is gone */
  if (view == NULL || self->plot == NULL)
    return;
  g_clear_object (&self->review_work);
  g_clear_pointer (&self->review_view, faint_review_view_free);
  self->review_view = g_steal_pointer (&view);
  show_in_plot (self, self->review_view);
  faint_review_table_set (FAINT_REVIEW_TABLE (self->review_table),
                          faint_reviewer_get_result (reviewer_of (self)));
  show_in_table (self, TRUE);
  _faint_window_update_actions (self);
}

static void
enter (FaintWindow *self, FaintReview *review)
{
  g_autoptr (GTask) task = NULL;
  Sources *sources = g_new0 (Sources, 1);

  if (self->review_work)
    g_cancellable_cancel (self->review_work);
  g_clear_object (&self->review_work);
  self->review_work = g_cancellable_new ();
  sources->review = faint_review_ref (review);
  sources->shown = faint_document_get_shown (self->document);
  task = g_task_new (NULL, self->review_work, on_made, g_object_ref (self));
  g_task_set_task_data (task, sources, sources_free);
  g_task_run_in_thread (task, make_in_thread);
}

char *
_faint_window_review_state (FaintWindow *self)
{
  FaintReview *review = faint_reviewer_get_result (reviewer_of (self));
  g_autofree char *counts = NULL;

  if (review == NULL || faint_session_get_stage (self->session) != FAINT_STAGE_REVIEW)
    return NULL;
  if (!faint_reviewer_is_current (reviewer_of (self)))
    return g_strdup (_ ("Changed since the review"));
  counts = faint_review_counts_in_words (review);
  /* Translators: of a claimed list; such as "12 agree, 3 differ" */
  return g_strdup_printf (_ ("Reviewed: %s"), counts);
}

void
_faint_window_update_review (FaintWindow *self)
{
  gboolean shown = faint_session_get_stage (self->session) == FAINT_STAGE_REVIEW;
  gboolean was_shown = self->review_view != NULL;
  FaintReview *review = faint_reviewer_get_result (reviewer_of (self));

  if (self->plot == NULL)
    return;
  if (shown && review)
    enter (self, review);
  else
    leave (self);
  if (shown && review == NULL && faint_reviewer_take_resume (reviewer_of (self)))
    _faint_window_review (self);
  if (was_shown || (shown && review))
    _faint_window_update_status (self, 0);
  _faint_window_update_actions (self);
}

void
_faint_window_select_review (FaintWindow *self)
{
  guint id = faint_session_get_selected (self->session);
  const FaintLine *line = _faint_window_find_line (self, id);

  faint_review_table_select (FAINT_REVIEW_TABLE (self->review_table), id);
  if (line)
    faint_session_reveal (self->session, line->position.value);
}

static void
on_line_chosen (FaintReviewTable *table, guint number, FaintWindow *self)
{
  faint_session_set_selected (self->session, number);
}

static void
on_line_activated (FaintReviewTable *table, guint number, FaintWindow *self)
{
  faint_session_set_selected (self->session, number);
  gtk_widget_activate_action (self->plot, "plot.fit-line", NULL);
}

static void
on_only_different (FaintReviewPane *pane, gboolean only, FaintWindow *self)
{
  faint_review_table_set_only_different (FAINT_REVIEW_TABLE (self->review_table), only);
  _faint_window_update_count (self);
}

char *
_faint_window_review_count (FaintWindow *self)
{
  guint shown = faint_review_table_get_n_shown (FAINT_REVIEW_TABLE (self->review_table));
  guint n = faint_reviewer_get_result (reviewer_of (self))
                ? faint_reviewer_get_result (reviewer_of (self))->lines->len
                : 0;

  if (shown < n)
    return g_strdup_printf (_ ("%u of %u lines"), shown, n);
  return g_strdup_printf (ngettext ("%u line", "%u lines", n), n);
}

void
_faint_window_add_review (FaintWindow *self, GtkWidget *pane)
{
  self->review_pane = pane;
  self->review_table = faint_review_table_new ();
  gtk_stack_add_named (GTK_STACK (self->tables), self->review_table, "review");
  g_signal_connect (self->review_table, "line-chosen", G_CALLBACK (on_line_chosen), self);
  g_signal_connect (self->review_table, "line-activated", G_CALLBACK (on_line_activated), self);
  g_signal_connect_object (pane, "only-different", G_CALLBACK (on_only_different), self, 0);
  g_signal_connect_object (reviewer_of (self), "changed", G_CALLBACK (_faint_window_update_review),
                           self, G_CONNECT_SWAPPED);
}

void
_faint_window_drop_review (FaintWindow *self)
{
  if (self->review_work)
    g_cancellable_cancel (self->review_work);
  g_clear_object (&self->review_work);
  g_clear_pointer (&self->review_view, faint_review_view_free);
}

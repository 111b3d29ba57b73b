/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The bar of what runs: it comes when the work lasts, and goes with it.
 */
#include "app/window/window-private.h"

/* Work that is over sooner is not worth a bar, ms. */
#define JOB_DELAY 300
#define PULSE_INTERVAL 120

static gboolean
on_pulse (gpointer data)
{
  FaintWindow *self = data;

  gtk_progress_bar_pulse (GTK_PROGRESS_BAR (self->job_bar));
  return G_SOURCE_CONTINUE;
}

static void
update_job (FaintJob *job, GParamSpec *pspec, FaintWindow *self)
{
  double fraction = faint_job_get_fraction (job);
  const char *message = faint_job_get_message (job);

  if (job != faint_document_get_job (self->document))
    return;
  gtk_label_set_text (GTK_LABEL (self->job_label), message ? message : faint_job_get_title (job));
  if (fraction >= 0)
    {
      g_clear_handle_id (&self->pulse_source, g_source_remove);
      gtk_progress_bar_set_fraction (GTK_PROGRESS_BAR (self->job_bar), fraction);
    }
  else if (self->pulse_source == 0)
    self->pulse_source = g_timeout_add (PULSE_INTERVAL, on_pulse, self);
}

static gboolean
on_job_lasts (gpointer data)
{
  FaintWindow *self = data;

  self->job_source = 0;
  gtk_widget_set_visible (self->job_box, TRUE);
  return G_SOURCE_REMOVE;
}

void
_faint_window_on_job (FaintDocument *document, GParamSpec *pspec, FaintWindow *self)
{
  FaintJob *job = faint_document_get_job (document);

  g_clear_handle_id (&self->pulse_source, g_source_remove);
  if (job == NULL)
    {
      g_clear_handle_id (&self->job_source, g_source_remove);
      gtk_widget_set_visible (self->job_box, FALSE);
    }
  else
    {
      g_signal_connect_object (job, "notify", G_CALLBACK (update_job), self, 0);
      update_job (job, NULL, self);
      if (self->job_source == 0 && !gtk_widget_get_visible (self->job_box))
        self->job_source = g_timeout_add (JOB_DELAY, on_job_lasts, self);
    }
  _faint_window_update_actions (self);
}

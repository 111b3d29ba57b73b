/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A copy of unsaved work, written in a thread some seconds after the last change.
 */
#include "app/document/document-private.h"

#include <glib/gi18n.h>
#include <glib/gstdio.h>

#include "app/document/recovery.h"

static void
keep_in_thread (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  GError *error = NULL;

  if (faint_analysis_save (data, g_object_get_data (G_OBJECT (task), "faint-path"), &error))
    g_task_return_boolean (task, TRUE);
  else
    g_task_return_error (task, error);
}

static void
on_kept (GObject *source, GAsyncResult *result, gpointer data)
{
  FaintDocument *self = FAINT_DOCUMENT (source);
  const char *path = g_object_get_data (G_OBJECT (result), "faint-path");
  g_autoptr (GError) error = NULL;

  if (!g_task_propagate_boolean (G_TASK (result), &error))
    _faint_document_fail (self, _ ("Unsaved work is not protected"), error->message);
  /* saved or given up meanwhile */
  if (g_strcmp0 (path, self->recovery_path) != 0)
    g_unlink (path);
}

static gboolean
on_keep (gpointer data)
{
  FaintDocument *self = data;
  g_autoptr (GTask) task = NULL;

  self->recovery_source = 0;
  if (!faint_document_get_modified (self))
    return G_SOURCE_REMOVE;
  if (self->recovery_path == NULL)
    self->recovery_path = faint_recovery_new_path ();
  task = g_task_new (self, NULL, on_kept, NULL);
  g_task_set_task_data (task, faint_analysis_ref (self->analysis),
                        (GDestroyNotify)faint_analysis_unref);
  g_object_set_data_full (G_OBJECT (task), "faint-path", g_strdup (self->recovery_path), g_free);
  g_task_run_in_thread (task, keep_in_thread);
  return G_SOURCE_REMOVE;
}

void
_faint_document_keep (FaintDocument *self)
{
  if (!faint_document_get_modified (self))
    _faint_document_forget (self);
  else if (self->recovery_source == 0)
    self->recovery_source = g_timeout_add_seconds (self->copy_delay, on_keep, self);
}

void
_faint_document_forget (FaintDocument *self)
{
  g_clear_handle_id (&self->recovery_source, g_source_remove);
  if (self->recovery_path)
    g_unlink (self->recovery_path);
  g_clear_pointer (&self->recovery_path, g_free);
}

void
faint_document_set_copy_delay (FaintDocument *self, guint seconds)
{
  g_return_if_fail (FAINT_IS_DOCUMENT (self));
  self->copy_delay = seconds;
}

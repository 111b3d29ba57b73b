/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/base/progress.h"

G_DEFINE_QUARK (faint_progress_error_quark, faint_progress_error)

gboolean
faint_progress_step (const FaintProgress *progress, double fraction, const char *step,
                     GError **error)
{
  if (progress == NULL)
    return TRUE;
  if (progress->report != NULL)
    progress->report (fraction, step, progress->data);
  if (progress->is_cancelled != NULL && progress->is_cancelled (progress->data))
    {
      g_set_error (error, FAINT_PROGRESS_ERROR, FAINT_PROGRESS_ERROR_CANCELLED,
                   "The work was stopped on request.");
      return FALSE;
    }
  return TRUE;
}

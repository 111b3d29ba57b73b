/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/base/progress.h"

#include "faint/base/words.h"

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
                   _ ("The work was stopped on request."));
      return FALSE;
    }
  return TRUE;
}

static void
report_part (double fraction, const char *step, gpointer data)
{
  const FaintProgressPart *part = data;

  if (part->whole->report != NULL)
    part->whole->report (fraction < 0.0 ? fraction
                                        : part->from + fraction * (part->to - part->from),
                         step, part->whole->data);
}

static gboolean
part_is_cancelled (gpointer data)
{
  const FaintProgressPart *part = data;

  return part->whole->is_cancelled != NULL && part->whole->is_cancelled (part->whole->data);
}

const FaintProgress *
faint_progress_part (FaintProgressPart *part, const FaintProgress *whole, double from, double to)
{
  if (whole == NULL)
    return NULL;
  *part = (FaintProgressPart){ { report_part, part_is_cancelled, part }, whole, from, to };
  return &part->progress;
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How long work reports its progress and is asked to stop. A caller that does not care passes NULL.
 */
#pragma once

#include <glib.h>

#define FAINT_PROGRESS_ERROR (faint_progress_error_quark ())
GQuark faint_progress_error_quark (void);
typedef enum
{
  FAINT_PROGRESS_ERROR_CANCELLED,
} FaintProgressError;

typedef struct
{
  /* @fraction 0 to 1, or below 0 where it is not known; @step words for a person, untranslated.
   * Called from the thread that works. May be NULL. */
  void (*report) (double fraction, const char *step, gpointer data);
  /* TRUE when the work shall stop. May be called from several threads at once. May be NULL. */
  gboolean (*is_cancelled) (gpointer data);
  gpointer data;
} FaintProgress;

/* Reports, then asks. Returns FALSE with FAINT_PROGRESS_ERROR_CANCELLED when the work shall stop.
 */
gboolean faint_progress_step (const FaintProgress *progress, double fraction, const char *step,
                              GError **error);

/* A stretch of longer work: its fractions 0 to 1 are reported as @from to @to of @whole (which may
 * be NULL). Fills @part, which must outlive its use, and returns it as a progress. */
typedef struct
{
  FaintProgress progress;
  const FaintProgress *whole;
  double from, to;
} FaintProgressPart;
const FaintProgress *
faint_progress_part (FaintProgressPart *part, const FaintProgress *whole, double from, double to);

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Long work as something a window can show: title, message, fraction, and a way to stop it. The
 * work reports from its own thread; all reports since the last turn of the main loop are folded
 * into one notification there.
 */
#pragma once

#include <gio/gio.h>

#include "faint/base/progress.h"

G_BEGIN_DECLS

#define FAINT_TYPE_JOB (faint_job_get_type ())
G_DECLARE_FINAL_TYPE (FaintJob, faint_job, FAINT, JOB, GObject)

/* Properties, read only, notified in the main thread: "message" (char *, may be NULL), "fraction"
 * (double, below 0: not known). */
FaintJob *faint_job_new (const char *title);

const char *faint_job_get_title (FaintJob *self);
/* What the work last reported, as seen by the main thread. Borrowed until the next turn. */
const char *faint_job_get_message (FaintJob *self);
double faint_job_get_fraction (FaintJob *self);

/* From any thread. */
void faint_job_report (FaintJob *self, double fraction, const char *message);
void faint_job_cancel (FaintJob *self);
gboolean faint_job_is_cancelled (FaintJob *self);
GCancellable *faint_job_get_cancellable (FaintJob *self);

/* Ends @task with @error, taken: work that was stopped is G_IO_ERROR_CANCELLED. */
void faint_job_return_error (GTask *task, GError *error);

/* The callbacks for a call into the library; valid while the job lives. */
FaintProgress faint_job_progress (FaintJob *self);

/* The same for work that reports nothing: stopped by @cancellable, which may be NULL. */
FaintProgress faint_progress_until (GCancellable *cancellable);

G_END_DECLS

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The document's work in threads: one plain library call each, on constant snapshots.
 */
#include "app/document/document-private.h"

#include <glib/gi18n.h>

#include "faint/base/date.h"
#include "faint/base/files.h"
#include "faint/base/text.h"
#include "faint/spectrum/comb-table.h"
#include "figure/report.h"
#include "app/parts/file-names.h"
#include "app/document/needed-conditions.h"
#include "app/document/recovery.h"

/* An edit is followed by a fit after this long without another edit, ms. */
#define FOLLOW_DELAY 300

/* What a task works on. */
typedef struct
{
  FaintJob *job;
  FaintAnalysis *analysis;
  char **paths;
  char *columns;
  char **settings;    /* conditions that complete the records, or NULL */
  GPtrArray *remarks; /* FaintWarning */
  FaintExport what;
  GPtrArray *bands; /* for a report */
  char *stored;     /* the same: name of the file of the analysis, or NULL */
  FaintRecordOptions *record;
  gsize shown; /* spectrum to export */
  gboolean find;
  gboolean follows; /* an edit, and so belongs to its step of the history */
} Work;

static void
work_free (gpointer data)
{
  Work *work = data;

  g_clear_object (&work->job);
  g_clear_pointer (&work->analysis, faint_analysis_unref);
  g_clear_pointer (&work->bands, g_ptr_array_unref);
  g_free (work->record);
  g_free (work->stored);
  g_strfreev (work->paths);
  g_free (work->columns);
  g_strfreev (work->settings);
  g_ptr_array_unref (work->remarks);
  g_free (work);
}

static Work *
work_new (FaintDocument *self, const char *title)
{
  Work *work = g_new0 (Work, 1);

  work->job = faint_job_new (title);
  work->remarks = faint_warnings_new ();
  if (self->analysis)
    work->analysis = faint_analysis_ref (self->analysis);
  if (self->path)
    work->stored = g_path_get_basename (self->path);
  return work;
}

static char **
one_path (const char *path)
{
  const char *const paths[] = { path, NULL };

  return g_strdupv ((char **)paths);
}

static GTask *
task_new (FaintDocument *self, Work *work, GAsyncReadyCallback done, gpointer data)
{
  GTask *task = g_task_new (self, faint_job_get_cancellable (work->job), done, data);

  g_task_set_task_data (task, work, work_free);
  return task;
}

static void
open_in_thread (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  Work *work = data;
  FaintReadOptions options
      = { .columns = work->columns, .settings = (const char *const *)work->settings };
  FaintProgress progress = faint_job_progress (work->job);
  FaintAnalysis *analysis;
  guint n = g_strv_length (work->paths);
  GError *error = NULL;

  if (n == 1 && faint_analysis_is_file (work->paths[0]))
    analysis = faint_analysis_load (work->paths[0], &progress, &error);
  else
    analysis
        = faint_analysis_new ((const char *const *)work->paths, n, &options, &progress, &error);
  if (analysis)
    g_task_return_pointer (task, analysis, (GDestroyNotify)faint_analysis_unref);
  else
    faint_job_return_error (task, error);
}

/* The analysis of @work with a core left free for the window. How many work on a fit is no choice
 * of the analysis, so the one that takes the result keeps its own. */
static FaintAnalysis *
sparing_a_core (const Work *work)
{
  FaintFitOptions options = *faint_analysis_get_options (work->analysis);

  options.threads = MAX (1, g_get_num_processors () - 1);
  return faint_analysis_with_options (work->analysis, &options);
}

static void
run_in_thread (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  Work *work = data;
  FaintProgress progress = faint_job_progress (work->job);
  g_autoptr (FaintAnalysis) sparing = sparing_a_core (work);
  GError *error = NULL;
  g_autoptr (FaintAnalysis) done = faint_analysis_compute (sparing, work->find, &progress, &error);

  if (done == NULL)
    faint_job_return_error (task, error);
  else
    g_task_return_pointer (
        task, faint_analysis_with_options (done, faint_analysis_get_options (work->analysis)),
        (GDestroyNotify)faint_analysis_unref);
}

static void
save_in_thread (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  Work *work = data;
  GError *error = NULL;

  if (faint_analysis_save (work->analysis, work->paths[0], &error))
    g_task_return_boolean (task, TRUE);
  else
    g_task_return_error (task, error);
}

static gboolean export(const Work *work, GError **error)
{
  const FaintAnalysis *analysis = work->analysis;
  const char *path = work->paths[0];
  g_autofree char *date = faint_date_now ();
  FaintReportOptions report = { .date = date, .stored = work->stored, .bands = work->bands };
  g_autofree char *text = NULL;

  switch (work->what)
    {
    case FAINT_EXPORT_LINES:
      text = faint_analysis_lines_text (analysis, date,
                                        faint_file_name_list_format (path, FAINT_LIST_CSV),
                                        work->record, work->remarks);
      return faint_files_write (path, text, strlen (text), error);
    case FAINT_EXPORT_COMB_TABLE:
      return faint_comb_table_write (faint_analysis_get_spectrum_at (analysis, work->shown), path,
                                     error);
    case FAINT_EXPORT_REPORT:
    case FAINT_EXPORT_REPORT_SHORT:
      report.form = work->what == FAINT_EXPORT_REPORT ? FAINT_REPORT_FULL : FAINT_REPORT_SHORT;
      return faint_report_write_as (analysis, &report, path, error);
    default:
      g_return_val_if_reached (FALSE);
    }
}

static void
export_in_thread (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  Work *work = data;
  GError *error = NULL;

  if (export(work, &error))
    g_task_return_boolean (task, TRUE);
  else
    g_task_return_error (task, error);
}

static void
read_lines_in_thread (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  Work *work = data;
  GError *error = NULL;
  g_autoptr (FaintListFile) file = faint_list_file_read (work->paths[0], &error);

  if (file)
    {
      faint_warnings_extend (work->remarks, file->warnings);
      g_task_return_pointer (task, faint_line_list_ref (file->lines),
                             (GDestroyNotify)faint_line_list_unref);
    }
  else
    g_task_return_error (task, error);
}

/* The job of @work is over; another may have taken its place meanwhile. */
static void
work_ends (FaintDocument *self, const Work *work)
{
  if (self->job == work->job)
    _faint_document_set_job (self, NULL);
}

static void
start_run (FaintDocument *self, gboolean find, gboolean follows, GAsyncReadyCallback done,
           gpointer data)
{
  Work *work = work_new (self, find ? _ ("Finding and fitting lines") : _ ("Fitting lines"));
  g_autoptr (GTask) task = task_new (self, work, done, data);

  g_task_set_source_tag (task, faint_document_run_async);
  work->find = find;
  work->follows = follows;
  _faint_document_stop (self);
  _faint_document_set_job (self, work->job);
  g_task_run_in_thread (task, run_in_thread);
}

static void
on_followed (GObject *source, GAsyncResult *result, gpointer data)
{
  FaintDocument *self = FAINT_DOCUMENT (source);
  g_autoptr (GError) error = NULL;

  if (!faint_document_run_finish (self, result, &error)
      && !g_error_matches (error, G_IO_ERROR, G_IO_ERROR_CANCELLED))
    {
      g_autofree char *missing
          = g_error_matches (error, FAINT_SETUP_ERROR, FAINT_SETUP_ERROR_MISSING)
                ? faint_needed_in_words (self->analysis)
                : NULL;

      _faint_document_fail (self, _ ("The fit after the edit did not succeed"),
                            missing ? missing : error->message);
    }
}

static gboolean
on_follow (gpointer data)
{
  FaintDocument *self = data;

  self->follow_source = 0;
  start_run (self, FALSE, TRUE, on_followed, NULL);
  return G_SOURCE_REMOVE;
}

void
_faint_document_stop (FaintDocument *self)
{
  g_clear_handle_id (&self->follow_source, g_source_remove);
  if (self->job)
    faint_job_cancel (self->job);
  _faint_document_set_job (self, NULL);
}

void
_faint_document_follow (FaintDocument *self)
{
  if (faint_analysis_get_fit (self->analysis) == NULL
      || faint_analysis_fit_is_current (self->analysis))
    return;
  if (faint_line_list_get_n (faint_analysis_get_lines (self->analysis)) == 0)
    return;
  self->follow_source = g_timeout_add (FOLLOW_DELAY, on_follow, self);
}

void
faint_document_open_async (FaintDocument *self, const char *const *paths, const char *columns,
                           GAsyncReadyCallback done, gpointer data)
{
  faint_document_open_stated_async (self, paths, columns, NULL, done, data);
}

void
faint_document_open_stated_async (FaintDocument *self, const char *const *paths,
                                  const char *columns, const char *const *settings,
                                  GAsyncReadyCallback done, gpointer data)
{
  Work *work;
  g_autoptr (GTask) task = NULL;

  g_return_if_fail (FAINT_IS_DOCUMENT (self));
  g_return_if_fail (paths != NULL && paths[0] != NULL);

  work = work_new (self, _ ("Opening"));
  task = task_new (self, work, done, data);
  g_task_set_source_tag (task, faint_document_open_async);
  work->paths = g_strdupv ((char **)paths);
  work->columns = g_strdup (columns);
  work->settings = g_strdupv ((char **)settings);
  _faint_document_stop (self);
  _faint_document_set_job (self, work->job);
  g_task_run_in_thread (task, open_in_thread);
}

gboolean
faint_document_open_finish (FaintDocument *self, GAsyncResult *result, GError **error)
{
  Work *work = g_task_get_task_data (G_TASK (result));
  g_autoptr (FaintAnalysis) analysis = g_task_propagate_pointer (G_TASK (result), error);
  gboolean is_analysis, is_recovered, is_stated;

  work_ends (self, work);
  if (analysis == NULL)
    return FALSE;
  is_analysis = work->paths[1] == NULL && faint_analysis_is_file (work->paths[0]);
  is_recovered = is_analysis && faint_recovery_is_path (work->paths[0]);
  is_stated = work->columns != NULL || (work->settings != NULL && work->settings[0] != NULL);
  _faint_document_forget (self);
  if (is_recovered)
    self->recovery_path = faint_recovery_adopt (work->paths[0]);
  faint_history_begin (self->history, analysis);
  /* a packed one is not written over: saving asks for a name */
  _faint_document_set_path (
      self, is_analysis && !is_recovered && !faint_text_is_packed (work->paths[0]) ? work->paths[0]
                                                                                   : NULL);
  /* a spectrum just read holds nothing that a file would lose; what was recovered does, and so do
   * the meanings of columns and the conditions that a person stated */
  _faint_document_set_saved (self, is_recovered || is_stated ? NULL : analysis);
  _faint_document_take (self, analysis, FAINT_CHANGE_OPENED);
  return TRUE;
}

void
faint_document_run_async (FaintDocument *self, gboolean find, GAsyncReadyCallback done,
                          gpointer data)
{
  g_return_if_fail (FAINT_IS_DOCUMENT (self));
  g_return_if_fail (self->analysis != NULL);
  start_run (self, find, FALSE, done, data);
}

/* A run that was asked for is part of the record. */
static FaintAnalysis *
with_run (const FaintAnalysis *analysis, gboolean find)
{
  g_autofree char *date = faint_date_now ();
  char chi2[G_ASCII_DTOSTR_BUF_SIZE];
  FaintAnalysisResult result;
  g_autofree char *text = NULL;

  faint_analysis_get_result (analysis, &result);
  g_ascii_formatd (chi2, sizeof chi2, "%.4f", result.chi2_reduced);
  text = g_strdup_printf (find ? N_ ("lines found and fitted: %zu lines, reduced chi-square %s, %s")
                               : N_ ("lines fitted: %zu lines, reduced chi-square %s, %s"),
                          faint_line_list_get_n (faint_analysis_get_lines (analysis)), chi2,
                          faint_verdict_name (result.verdict));
  return faint_analysis_with_change (analysis, analysis, date, text);
}

gboolean
faint_document_run_finish (FaintDocument *self, GAsyncResult *result, GError **error)
{
  Work *work = g_task_get_task_data (G_TASK (result));
  g_autoptr (FaintAnalysis) analysis = g_task_propagate_pointer (G_TASK (result), error);

  work_ends (self, work);
  if (analysis == NULL)
    return FALSE;
  if (work->analysis != self->analysis)
    {
      g_set_error_literal (error, G_IO_ERROR, G_IO_ERROR_CANCELLED, "the document has moved on");
      return FALSE;
    }
  if (work->follows && faint_history_amend (self->history, work->analysis, analysis))
    _faint_document_take (self, analysis, FAINT_CHANGE_REFITTED);
  else
    {
      g_autoptr (FaintAnalysis) recorded = with_run (analysis, work->find);

      faint_history_push (self->history, work->find ? _ ("Find and Fit") : _ ("Fit"), NULL,
                          recorded);
      _faint_document_take (self, recorded, 0);
    }
  return TRUE;
}

void
faint_document_cancel (FaintDocument *self)
{
  g_return_if_fail (FAINT_IS_DOCUMENT (self));
  _faint_document_stop (self);
}

void
faint_document_save_async (FaintDocument *self, const char *path, GAsyncReadyCallback done,
                           gpointer data)
{
  Work *work;
  g_autoptr (GTask) task = NULL;

  g_return_if_fail (FAINT_IS_DOCUMENT (self));
  g_return_if_fail (self->analysis != NULL);

  work = work_new (self, _ ("Saving"));
  task = task_new (self, work, done, data);
  g_task_set_source_tag (task, faint_document_save_async);
  work->paths = one_path (path);
  g_task_run_in_thread (task, save_in_thread);
}

gboolean
faint_document_save_finish (FaintDocument *self, GAsyncResult *result, GError **error)
{
  Work *work = g_task_get_task_data (G_TASK (result));

  if (!g_task_propagate_boolean (G_TASK (result), error))
    return FALSE;
  faint_history_seal (self->history);
  _faint_document_set_path (self, work->paths[0]);
  _faint_document_set_saved (self, work->analysis);
  return TRUE;
}

void
faint_document_export_async (FaintDocument *self, FaintExport what, const char *path,
                             GAsyncReadyCallback done, gpointer data)
{
  Work *work;
  g_autoptr (GTask) task = NULL;

  g_return_if_fail (FAINT_IS_DOCUMENT (self));
  g_return_if_fail (self->analysis != NULL);

  work = work_new (self, _ ("Exporting"));
  task = task_new (self, work, done, data);
  g_task_set_source_tag (task, faint_document_export_async);
  work->paths = one_path (path);
  work->what = what;
  work->bands = self->bands ? g_ptr_array_ref (self->bands) : NULL;
  work->record = self->record ? g_memdup2 (self->record, sizeof *self->record) : NULL;
  work->shown = faint_document_get_shown (self);
  g_task_run_in_thread (task, export_in_thread);
}

gboolean
faint_document_export_finish (FaintDocument *self, GAsyncResult *result, GError **error)
{
  return g_task_propagate_boolean (G_TASK (result), error);
}

const GPtrArray *
faint_document_get_remarks (GAsyncResult *result)
{
  const Work *work = g_task_get_task_data (G_TASK (result));

  return work->remarks;
}

void
faint_document_read_lines_async (FaintDocument *self, const char *path, GAsyncReadyCallback done,
                                 gpointer data)
{
  Work *work;
  g_autoptr (GTask) task = NULL;

  g_return_if_fail (FAINT_IS_DOCUMENT (self));
  g_return_if_fail (self->analysis != NULL);

  work = work_new (self, _ ("Reading lines"));
  task = task_new (self, work, done, data);
  g_task_set_source_tag (task, faint_document_read_lines_async);
  work->paths = one_path (path);
  g_task_run_in_thread (task, read_lines_in_thread);
}

gboolean
faint_document_read_lines_finish (FaintDocument *self, GAsyncResult *result, GError **error)
{
  g_autoptr (FaintLineList) lines = g_task_propagate_pointer (G_TASK (result), error);

  if (lines == NULL)
    return FALSE;
  _faint_document_edit_lines (self, lines, _ ("Read Line List"), NULL);
  return TRUE;
}

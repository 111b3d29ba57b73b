/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What is open: the current analysis, where it is saved, its history, and the work that runs on it.
 * Everything happens in the main thread but the library's work, which runs in a GTask thread on
 * constant snapshots.
 */
#pragma once

#include "faint/analysis/analysis-claims.h"
#include "faint/analysis/analysis-levels.h"
#include "faint/lines/record-options.h"
#include "app/document/job.h"

G_BEGIN_DECLS

/* What a "changed" signal is about. */
typedef enum
{
  FAINT_CHANGE_SPECTRUM = 1 << 0, /* samples or axis: another input, or an edited setup */
  FAINT_CHANGE_SETUP = 1 << 1,
  FAINT_CHANGE_LINES = 1 << 2,
  FAINT_CHANGE_FIT = 1 << 3,
  FAINT_CHANGE_OPTIONS = 1 << 4,
  FAINT_CHANGE_OPENED = 1 << 5,   /* another document altogether */
  FAINT_CHANGE_CLAIMS = 1 << 7,   /* the claimed list of the review, and how it is held */
  FAINT_CHANGE_REFITTED = 1 << 8, /* with FIT: it followed an edit by itself */
  FAINT_CHANGE_LEVELS = 1 << 6,   /* of the lower state, or which constants of the band are free */
} FaintChange;

typedef enum
{
  FAINT_EXPORT_LINES,      /* line list, in the format that the ending of the path says */
  FAINT_EXPORT_COMB_TABLE, /* spectrum with its conditions */
  FAINT_EXPORT_REPORT,     /* PDF */
  FAINT_EXPORT_REPORT_SHORT,
} FaintExport;

#define FAINT_TYPE_DOCUMENT (faint_document_get_type ())
G_DECLARE_FINAL_TYPE (FaintDocument, faint_document, FAINT, DOCUMENT, GObject)

/* Properties, read only, all notify:
 *   path (char *, of the .faintline file; NULL: not saved yet), modified (gboolean),
 *   job (FaintJob *, what runs now, or NULL),
 *   undo-label, redo-label (char *, NULL: nothing to undo or redo).
 * Signals:
 *   "changed" (guint FaintChange)
 *   "failed" (char *heading, char *text): work that nobody waits for did not succeed. */
FaintDocument *faint_document_new (void);
/* Unsaved work is copied so many seconds after a change, see recovery.h; 10 from the start. */
void faint_document_set_copy_delay (FaintDocument *self, guint seconds);

/* Borrowed; NULL while nothing is open. */
FaintAnalysis *faint_document_get_analysis (FaintDocument *self);
/* Which spectrum of a series plot and panes show, from 0; another one is a "changed". */
gsize faint_document_get_shown (FaintDocument *self);
void faint_document_set_shown (FaintDocument *self, gsize i);
/* Of the shown spectrum, borrowed; NULL while nothing is open, or not fitted. */
FaintSpectrum *faint_document_get_spectrum (FaintDocument *self);
FaintSetup *faint_document_get_setup (FaintDocument *self);
FaintFit *faint_document_get_fit (FaintDocument *self);
/* Borrowed; NULL while nothing is open. */
FaintLineList *faint_document_get_lines (FaintDocument *self);
const FaintLine *faint_document_get_line (FaintDocument *self, guint id);
const char *faint_document_get_path (FaintDocument *self);
/* Title of the analysis or a word for an empty window. Free with g_free. */
char *faint_document_get_title (FaintDocument *self);
gboolean faint_document_get_modified (FaintDocument *self);
/* Path of the first input that is not what it was when the open analysis was saved; or NULL.
 * Borrowed. */
const char *faint_document_get_changed_input (FaintDocument *self);
FaintJob *faint_document_get_job (FaintDocument *self);

/* Reads an analysis, or one or several records: of one measurement (they are merged) or of a
 * series.
 * @columns: map
 * for foreign text, or NULL. What was open stays until the new one is there. */
void faint_document_open_async (FaintDocument *self, const char *const *paths, const char *columns,
                                GAsyncReadyCallback done, gpointer data);
/* The same with conditions that the records do not state, as settings of FaintReadOptions (or
 * NULL); they are part of the analysis. */
void faint_document_open_stated_async (FaintDocument *self, const char *const *paths,
                                       const char *columns, const char *const *settings,
                                       GAsyncReadyCallback done, gpointer data);
gboolean faint_document_open_finish (FaintDocument *self, GAsyncResult *result, GError **error);

/* Finds lines if @find, and fits. One run at a time: a running one is cancelled. The result is
 * dropped, as cancelled, when the document has moved on meanwhile. */
void faint_document_run_async (FaintDocument *self, gboolean find, GAsyncReadyCallback done,
                               gpointer data);
gboolean faint_document_run_finish (FaintDocument *self, GAsyncResult *result, GError **error);
void faint_document_cancel (FaintDocument *self);

void faint_document_save_async (FaintDocument *self, const char *path, GAsyncReadyCallback done,
                                gpointer data);
gboolean faint_document_save_finish (FaintDocument *self, GAsyncResult *result, GError **error);
void faint_document_export_async (FaintDocument *self, FaintExport what, const char *path,
                                  GAsyncReadyCallback done, gpointer data);
/* What records of 160 columns to come state beside the lines, or NULL. */
void faint_document_set_record_options (FaintDocument *self, const FaintRecordOptions *options);
/* Constants of bands for the reports to come (faint_report_bands_new()), or NULL. */
void faint_document_set_bands (FaintDocument *self, GPtrArray *bands);
gboolean faint_document_export_finish (FaintDocument *self, GAsyncResult *result, GError **error);
/* What reading a line list ignored, or what an export had to leave out: FaintWarning, borrowed from
 * @result, perhaps none. */
const GPtrArray *faint_document_get_remarks (GAsyncResult *result);

/* Reads a line list and puts it in the place of the lines: a start for a fit, with its lower-state
 * energies, labels and remarks. One step of the history. */
void faint_document_read_lines_async (FaintDocument *self, const char *path,
                                      GAsyncReadyCallback done, gpointer data);
gboolean
faint_document_read_lines_finish (FaintDocument *self, GAsyncResult *result, GError **error);

/* Edits. Each is one entry of the history. When there is a fit, a new one from the current lines
 * follows by itself a moment after the last edit and belongs to the edit's entry. */

/* Replaces the setup of the shown spectrum; @label and @merge_key as in history.h. */
gboolean faint_document_edit_setup (FaintDocument *self, FaintSetup *setup, const char *label,
                                    GError **error);
/* The same of values that are supposed, not measured: the record of changes says so. */
gboolean faint_document_suppose_setup (FaintDocument *self, FaintSetup *setup, const char *label,
                                       GError **error);
/* A copy of its setup to change; NULL while nothing is open. */
FaintSetup *faint_document_copy_setup (FaintDocument *self);
/* Fit options by key (faint_fit_options_set); does not start a fit. */
gboolean faint_document_set_option (FaintDocument *self, const char *key, const char *text,
                                    const char *label, GError **error);
/* All options but the range of the fit as they are when nothing is said; does not start a fit.
 * FALSE: they are so already. */
gboolean faint_document_reset_options (FaintDocument *self, const char *label);
/* A new line at @wavenumber with the widths of its neighbours; its id, or 0 while nothing is open.
 */
guint faint_document_add_line (FaintDocument *self, double wavenumber);
/* A position or width moved by hand follows no other line any more. */
void faint_document_move_line (FaintDocument *self, guint id, double wavenumber);
void faint_document_set_width (FaintDocument *self, guint id, double lorentz);
/* Leaves the teeth of the shown spectrum from @lower to @upper (cm-1) out of every fit, or takes
 * them back; how many changed. */
gsize
faint_document_exclude_teeth (FaintDocument *self, double lower, double upper, gboolean exclude);
/* The range of the fit, NAN: open. */
void faint_document_set_range (FaintDocument *self, double lower, double upper);
void faint_document_remove_lines (FaintDocument *self, const guint *ids, gsize n);
/* Another list in the place of all lines. */
void faint_document_replace_lines (FaintDocument *self, FaintLineList *lines, const char *label);
/* The same lines with other labels: no fit follows. @told is what the record of changes says of it;
 * NULL: what differs, line by line. */
void faint_document_label_lines (FaintDocument *self, FaintLineList *lines, const char *label,
                                 const char *told);
/* Other levels, or another choice of free constants: no fit follows. @merge_key as in history.h. */
void faint_document_set_levels (FaintDocument *self, const FaintAnalysisLevels *levels,
                                const char *label, const char *merge_key);
/* Another claimed list to review, or other options of it: no fit follows. @merge_key as in
 * history.h. */
void faint_document_set_claims (FaintDocument *self, const FaintAnalysisClaims *claims,
                                const char *label, const char *merge_key);
/* Replaces the line of the same id. */
void faint_document_edit_line (FaintDocument *self, const FaintLine *line, const char *label);

void faint_document_undo (FaintDocument *self);
void faint_document_redo (FaintDocument *self);
const char *faint_document_get_undo_label (FaintDocument *self);
const char *faint_document_get_redo_label (FaintDocument *self);

G_END_DECLS

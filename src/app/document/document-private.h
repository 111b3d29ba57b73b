/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Between document.c (state, edits) and document-work.c (threads).
 */
#pragma once

#include "app/document/document.h"
#include "app/document/history.h"

struct _FaintDocument
{
  GObject parent;

  FaintAnalysis *analysis; /* NULL: nothing open */
  gsize shown;             /* which spectrum of it */
  FaintAnalysis *saved;    /* what the file holds; NULL: no file */
  FaintHistory *history;
  char *path;
  GPtrArray *bands;           /* for the report, or NULL */
  FaintRecordOptions *record; /* for records, or NULL */
  FaintJob *job;
  guint follow_source; /* the fit that follows an edit, waiting */
  char *recovery_path; /* where unsaved work is kept; NULL: not needed so far */
  guint recovery_source;
  guint copy_delay; /* s, from a change to its copy there */
};

/* The current snapshot becomes @analysis (a reference is taken); notifies. @extra is added to what
 * changed. */
void _faint_document_take (FaintDocument *self, FaintAnalysis *analysis, guint extra);
/* Tells what changed, without another snapshot. */
void _faint_document_tell (FaintDocument *self, guint change);
void _faint_document_set_path (FaintDocument *self, const char *path);
void _faint_document_set_saved (FaintDocument *self, FaintAnalysis *analysis);
void _faint_document_set_job (FaintDocument *self, FaintJob *job);
void _faint_document_notify_history (FaintDocument *self);
void _faint_document_fail (FaintDocument *self, const char *heading, const char *text);
/* One step of the history; what it changed goes into the record. */
void _faint_document_push (FaintDocument *self, FaintAnalysis *analysis, const char *label,
                           const char *merge_key);
/* One step of the history, and the fit that follows it. */
void _faint_document_edit_lines (FaintDocument *self, FaintLineList *lines, const char *label,
                                 const char *merge_key);
/* "Move Line 7790.220": @format with the wavenumber. Free with g_free. */
char *_faint_document_label_of_line (const char *format, double wavenumber);
/* Stops what runs or waits; it belongs to a snapshot that is no longer current. */
void _faint_document_stop (FaintDocument *self);
/* Starts the fit that follows an edit, after a moment, if there is a fit to renew. */
void _faint_document_follow (FaintDocument *self);

/* document-recovery.c: keeps a changed snapshot, a moment after the change; forgets it when there
 * is nothing unsaved any more, or the document is given up. */
void _faint_document_keep (FaintDocument *self);
void _faint_document_forget (FaintDocument *self);

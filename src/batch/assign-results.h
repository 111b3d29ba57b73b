/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What an assignment reads of a list beside its lines, and what it leaves behind.
 */
#pragma once

#include "common.h"

#include "faint/assign/assignment-tables.h"

/* The preamble of the list, to be written again. */
typedef struct
{
  GPtrArray *kept;   /* "key = value" */
  char *temperature; /* as stated, or NULL */
  char sha256[65];
  char *path;
} FaintAssignNotes;
gboolean faint_assign_notes_read (FaintAssignNotes *self, const char *path, GError **error);
void faint_assign_notes_clear (FaintAssignNotes *self);
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (FaintAssignNotes, faint_assign_notes_clear)

/* Writes lines.csv, assignment.csv, constants.csv, predictions.csv and summary.json into @folder,
 * all or none. @levels: path of the levels; @began: monotonic time, microseconds. */
gboolean faint_assign_results_write (const FaintAssignment *assignment, const FaintLineList *list,
                                     const FaintAssignNotes *notes, const char *levels,
                                     const char *folder, gint64 began, GError **error);
/* Prints bands and constants, says what warns. Gives the exit status: 1 when nothing was assigned,
 * something stayed undecided or lines contradict each other. */
int faint_assign_results_print (const FaintAssignment *assignment, const char *folder);

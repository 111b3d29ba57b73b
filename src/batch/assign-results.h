/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What an assignment leaves behind.
 */
#pragma once

#include "common.h"

#include "faint/assign/assignment-tables.h"
#include "faint/lines/list-file.h"

/* Writes lines.csv, assignment.csv, constants.csv, predictions.csv and summary.json into @folder,
 * all or none. @levels: path of the levels; @began: monotonic time, microseconds. */
gboolean
faint_assign_results_write (const FaintAssignment *assignment, const FaintListFile *file,
                            const char *levels, const char *folder, gint64 began, GError **error);
/* Prints bands and constants, says what warns. Gives the exit status: 1 when nothing was assigned,
 * something stayed undecided or lines contradict each other. */
int faint_assign_results_print (const FaintAssignment *assignment, const char *folder);

/* Follows a branch from @points, "ID:M,ID:M", and writes branch.csv and polynomial.csv into
 * @folder, both or none. Gives the exit status: 1 when lines lie off the polynomial or two could be
 * one. */
int faint_assign_branch (const FaintListFile *file, const char *points,
                         const FaintAssignOptions *search, const char *folder);

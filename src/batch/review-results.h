/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a review leaves behind: the files of its folder and the table on stdout.
 */
#pragma once

#include "common.h"

#include "faint/lines/list-file.h"
#include "faint/review/review.h"

/* @inputs: the words that name and complete the input, for the command in the report that repeats
 * it; NULL-terminated. Writes review.csv, windows.csv, residuals.csv, lines.csv,
 * analysis.faintline, report.pdf and summary.json into @folder, all or none. */
gboolean faint_review_results_write (FaintReview *review, const FaintListFile *claims,
                                     const char *folder, const char *const *inputs,
                                     const char *date, gint64 began, GError **error);
/* Prints what the review says; gives the exit status, 1 when the list fails. */
int faint_review_results_print (const FaintReview *review, const char *folder);

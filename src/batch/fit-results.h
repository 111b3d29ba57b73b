/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a fit leaves behind: the files of its folder and the table on stdout.
 */
#pragma once

#include "common.h"

#include "faint/analysis/analysis.h"

/* Writes lines.csv, windows.csv, correlations.csv, analysis.faintline, figure.svg (of a series
 * figure-2.svg and so on too), report.pdf and summary.json into @folder, all or none. @began:
 * monotonic time of the program's start, microseconds. */
gboolean faint_fit_results_write (const FaintAnalysis *analysis, const char *folder,
                                  const char *date, gint64 began, GError **error);

/* Prints the strongest lines and the numbers that sum up the fit; says on stderr what warns and
 * what did not converge. Gives the exit status. */
int faint_fit_results_print (const FaintAnalysis *analysis, const char *folder);

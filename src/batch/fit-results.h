/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a fit leaves behind: the files of its folder and the table on stdout.
 */
#pragma once

#include "common.h"

#include "faint/analysis/analysis.h"
#include "figure/view.h"

typedef enum
{
  FAINT_FIT_REPORT_FULL,
  FAINT_FIT_REPORT_SHORT,
  FAINT_FIT_REPORT_NONE,
} FaintFitReport;

typedef struct
{
  const char *date; /* ISO 8601 or NULL */
  FaintFitReport report;
  const char *const *figures; /* paths of further figures, or NULL */
  FaintRange view;            /* what these show, cm-1; not valid: all */
  gint64 began;               /* monotonic time of the program's start, microseconds */
} FaintFitOutputs;

/* Writes lines.csv, windows.csv, correlations.csv, analysis.faintline, figure.svg (of a series
 * figure-2.svg and so on too), report.pdf and summary.json into @folder, all or none. Further
 * figures are written last. */
gboolean faint_fit_results_write (const FaintAnalysis *analysis, const char *folder,
                                  const FaintFitOutputs *outputs, GError **error);

/* Prints the strongest lines and the numbers that sum up the fit; says on stderr what warns and
 * what did not converge. Gives the exit status. */
int faint_fit_results_print (const FaintAnalysis *analysis, const char *folder);

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The report: an A4 PDF with every number that is needed to repeat an analysis. What was measured,
 * conditions, comb, cavity, results, method, warnings, provenance; figures of the whole span and
 * of its parts; the table of lines; the uncertainty budget of the strongest line.
 */
#pragma once

#include "faint/analysis/analysis.h"

/* Writes the report, whole or not at all. @date: ISO 8601, printed and put into the metadata; NULL
 * leaves it out, so that the same analysis gives the same bytes. Without a fit the report holds
 * what was measured and says that nothing was fitted. */
gboolean faint_report_write (const FaintAnalysis *analysis, const char *path, const char *date,
                             GError **error);

/* Pages the report of @analysis has. */
guint faint_report_count_pages (const FaintAnalysis *analysis);

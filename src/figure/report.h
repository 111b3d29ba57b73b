/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The report: an A4 PDF with every number that is needed to repeat an analysis. What was measured,
 * conditions, comb, cavity, results, method with its equations, warnings, provenance, record of
 * changes; figures of the whole span and of the windows of the fit; quality, lines, constants,
 * uncertainty budget, correlations. Its short form is one page of the most important.
 */
#pragma once

#include "faint/analysis/analysis.h"
#include "faint/assign/assignment.h"
#include "figure/paper.h"

typedef enum
{
  FAINT_REPORT_FULL,
  FAINT_REPORT_SHORT, /* one page */
} FaintReportForm;

typedef struct
{
  FaintReportForm form;
  const char *date; /* ISO 8601, printed and put into the metadata; NULL leaves it out, so that the
                       same analysis gives the same bytes */
  const char *stored;     /* name of the file that holds the analysis, for the command that repeats
                             it; NULL: "analysis.faintline" */
  const GPtrArray *bands; /* of faint_report_bands_new(), or NULL: no constants */
} FaintReportOptions;

/* The constants of an assignment, copied, for a report that another thread writes. @assignment may
 * be NULL. Free with g_ptr_array_unref. */
GPtrArray *faint_report_bands_new (const FaintAssignment *assignment);

/* Writes the report, whole or not at all. Without a fit it holds what was measured and says that
 * nothing was fitted. */
gboolean faint_report_write_as (const FaintAnalysis *analysis, const FaintReportOptions *options,
                                const char *path, GError **error);
/* The full report, without constants of bands. */
gboolean faint_report_write (const FaintAnalysis *analysis, const char *path, const char *date,
                             GError **error);

/* Pages the full report of @analysis has. */
guint faint_report_count_pages (const FaintAnalysis *analysis);

/* Its pages, to be drawn by faint_paper_draw(): for a printer. */
typedef struct _FaintReportPages FaintReportPages;
FaintReportPages *
faint_report_pages_new (const FaintAnalysis *analysis, const FaintReportOptions *options);
void faint_report_pages_free (FaintReportPages *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (FaintReportPages, faint_report_pages_free)
FaintPaper *faint_report_pages_get_paper (FaintReportPages *self); /* borrowed */

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "figure/report.h"

#include "figure/report-private.h"
#include "figure/surface.h"

struct _FaintReportPages
{
  FaintPaper *paper;
  FaintPaperColumn columns[2 * FAINT_REPORT_COLUMNS];
};

static void
fill_full (FaintReport *report)
{
  faint_report_front (report);
  faint_report_method (report);
  faint_report_warnings (report);
  faint_report_provenance (report);
  faint_report_record (report);
  faint_report_figures (report);
  faint_report_series (report);
  faint_report_lines (report);
  faint_report_coefficients (report);
  faint_report_bands (report);
  faint_report_budget (report);
  faint_report_quality (report);
  faint_report_correlations (report);
}

FaintReportPages *
faint_report_pages_new (const FaintAnalysis *analysis, const FaintReportOptions *options)
{
  FaintReportPages *self = g_new0 (FaintReportPages, 1);
  FaintSpectrum *spectrum = faint_analysis_get_spectrum (analysis);
  FaintReport report = {
    .analysis = analysis,
    .spectrum = spectrum,
    .setup = faint_analysis_get_setup (analysis),
    .fit = faint_analysis_get_fit (analysis),
    .lines = faint_analysis_get_lines (analysis),
    .bands = options->bands,
    .date = options->date,
    .columns = self->columns,
  };

  self->paper = faint_paper_new (faint_analysis_get_title (analysis), "Faintline " FAINT_VERSION,
                                 options->date);
  report.paper = self->paper;
  report.data = faint_figure_data_new (spectrum, faint_analysis_get_fit (analysis),
                                       faint_analysis_get_lines (analysis));
  if (options->form == FAINT_REPORT_SHORT)
    faint_report_short (&report);
  else
    fill_full (&report);
  faint_figure_data_unref (report.data);
  return self;
}

void
faint_report_pages_free (FaintReportPages *self)
{
  if (self == NULL)
    return;
  faint_paper_free (self->paper);
  g_free (self);
}

FaintPaper *
faint_report_pages_get_paper (FaintReportPages *self)
{
  return self->paper;
}

gboolean
faint_report_write_as (const FaintAnalysis *analysis, const FaintReportOptions *options,
                       const char *path, GError **error)
{
  g_autoptr (FaintReportPages) pages = faint_report_pages_new (analysis, options);
  FaintSurfaceJob job = {
    .format = FAINT_SURFACE_PDF,
    .width = faint_paper_width (pages->paper),
    .height = faint_paper_height (pages->paper),
    .scale = 1.0,
    .pages = faint_paper_count_pages (pages->paper),
    .title = faint_analysis_get_title (analysis),
    .subject = "Line analysis of a cavity-enhanced spectrum",
    .keywords = "absorption spectroscopy, frequency comb, cavity, line list, uncertainty",
    .creator = "Faintline " FAINT_VERSION,
    .date = options->date,
    .draw = faint_paper_draw,
    .data = pages->paper,
  };

  job.marks = faint_paper_marks (pages->paper, &job.n_marks);
  return faint_surface_write (&job, path, error);
}

gboolean
faint_report_write (const FaintAnalysis *analysis, const char *path, const char *date,
                    GError **error)
{
  FaintReportOptions options = { .form = FAINT_REPORT_FULL, .date = date };

  return faint_report_write_as (analysis, &options, path, error);
}

guint
faint_report_count_pages (const FaintAnalysis *analysis)
{
  FaintReportOptions options = { .form = FAINT_REPORT_FULL };
  g_autoptr (FaintReportPages) pages = faint_report_pages_new (analysis, &options);

  return faint_paper_count_pages (pages->paper);
}

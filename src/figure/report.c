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

/* @contents: how many headings there are, once that is known. */
static FaintReportPages *
pages_new (const FaintAnalysis *analysis, const FaintReportOptions *options, FaintFigureData *data,
           guint contents)
{
  FaintReportPages *self = g_new0 (FaintReportPages, 1);
  FaintReport report = {
    .analysis = analysis,
    .spectrum = faint_analysis_get_spectrum (analysis),
    .setup = faint_analysis_get_setup (analysis),
    .fit = faint_analysis_get_fit (analysis),
    .lines = faint_analysis_get_lines (analysis),
    .data = data,
    .bands = options->bands,
    .date = options->date,
    .stored = options->stored,
    .contents = contents,
    .columns = self->columns,
  };

  self->paper = faint_paper_new (faint_analysis_get_title (analysis), "Faintline " FAINT_VERSION,
                                 options->date);
  report.paper = self->paper;
  if (options->form == FAINT_REPORT_SHORT)
    faint_report_short (&report);
  else
    fill_full (&report);
  return self;
}

/* A full report is filled twice: its list of contents takes as much room as it has headings. */
FaintReportPages *
faint_report_pages_new (const FaintAnalysis *analysis, const FaintReportOptions *options)
{
  FaintFigureData *data = faint_figure_data_new (faint_analysis_get_spectrum (analysis),
                                                 faint_analysis_get_fit (analysis),
                                                 faint_analysis_get_lines (analysis));
  FaintReportPages *self = pages_new (analysis, options, data, 0);
  guint headings;

  faint_paper_marks (self->paper, &headings);
  if (options->form != FAINT_REPORT_SHORT)
    {
      faint_report_pages_free (self);
      self = pages_new (analysis, options, data, headings);
    }
  faint_figure_data_unref (data);
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
    .draw = faint_paper_draw_tagged,
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

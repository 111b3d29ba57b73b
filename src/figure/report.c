/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "figure/report.h"

#include "figure/report-private.h"
#include "figure/surface.h"

static FaintPaper *
paper_of (const FaintAnalysis *analysis, const char *date, FaintPaperColumn *columns)
{
  FaintSpectrum *spectrum = faint_analysis_get_spectrum (analysis);
  FaintReport report = {
    .analysis = analysis,
    .spectrum = spectrum,
    .setup = faint_analysis_get_setup (analysis),
    .fit = faint_analysis_get_fit (analysis),
    .lines = faint_analysis_get_lines (analysis),
    .date = date,
    .paper
    = faint_paper_new (faint_analysis_get_title (analysis), "Faintline " FAINT_VERSION, date),
    .columns = columns,
  };

  report.data = faint_figure_data_new (spectrum, faint_analysis_get_fit (analysis),
                                       faint_analysis_get_lines (analysis));
  faint_report_front (&report);
  faint_report_method (&report);
  faint_report_warnings (&report);
  faint_report_provenance (&report);
  faint_report_figures (&report);
  faint_report_series (&report);
  faint_report_lines (&report);
  faint_report_coefficients (&report);
  faint_report_budget (&report);
  faint_figure_data_unref (report.data);
  return report.paper;
}

gboolean
faint_report_write (const FaintAnalysis *analysis, const char *path, const char *date,
                    GError **error)
{
  FaintPaperColumn columns[FAINT_REPORT_COLUMNS];
  g_autoptr (FaintPaper) paper = paper_of (analysis, date, columns);
  FaintSurfaceJob job = {
    .format = FAINT_SURFACE_PDF,
    .width = faint_paper_width (paper),
    .height = faint_paper_height (paper),
    .scale = 1.0,
    .pages = faint_paper_count_pages (paper),
    .title = faint_analysis_get_title (analysis),
    .subject = "Line analysis of a cavity-enhanced spectrum",
    .creator = "Faintline " FAINT_VERSION,
    .date = date,
    .draw = faint_paper_draw,
    .data = paper,
  };
  return faint_surface_write (&job, path, error);
}

guint
faint_report_count_pages (const FaintAnalysis *analysis)
{
  FaintPaperColumn columns[FAINT_REPORT_COLUMNS];
  g_autoptr (FaintPaper) paper = paper_of (analysis, NULL, columns);
  return faint_paper_count_pages (paper);
}

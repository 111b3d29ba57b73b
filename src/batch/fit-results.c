/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "fit-results.h"
#include "fit-table.h"

#include "faint/base/files.h"
#include "figure/report.h"
#include "figure/spectrum-figure.h"
#include "figure/surface.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* Landscape A4. */
#define FIGURE_WIDTH_MM 297.0
#define FIGURE_HEIGHT_MM 210.0
#define FIGURE_MARGIN_MM 8.0
/* Pixels of a PNG for a point: 216 to the inch. */
#define FIGURE_SCALE 3.0

typedef struct
{
  FaintFigureData *data;
  FaintRange view; /* not valid: all */
} Figure;

static void
draw_figure (cairo_t *cr, guint page, gpointer data)
{
  const Figure *figure = data;
  double margin = faint_surface_points (FIGURE_MARGIN_MM);
  FaintRect place = { margin, margin, faint_surface_points (FIGURE_WIDTH_MM) - 2.0 * margin,
                      faint_surface_points (FIGURE_HEIGHT_MM) - 2.0 * margin };
  FaintCanvas canvas = faint_canvas_for_paper (cr, NULL);
  FaintSpectrumFigure lanes;

  faint_canvas_fill (&canvas, FAINT_PART_BACKGROUND,
                     (FaintRect){ 0.0, 0.0, faint_surface_points (FIGURE_WIDTH_MM),
                                  faint_surface_points (FIGURE_HEIGHT_MM) });
  faint_spectrum_figure_init (&lanes);
  faint_spectrum_figure_draw (&lanes, &canvas, place, figure->data,
                              faint_range_is_valid (figure->view) ? figure->view
                                                                  : figure->data->across);
}

/* Of spectrum @i. */
static gboolean
write_figure (const FaintAnalysis *analysis, gsize i, FaintRange view,
              const FaintFitOutputs *outputs, const char *path, GError **error)
{
  g_autoptr (FaintFigureData) data = faint_figure_data_new (
      faint_analysis_get_spectrum_at (analysis, i), faint_analysis_get_fit_at (analysis, i),
      faint_analysis_get_lines (analysis));
  Figure figure = { data, view };
  FaintSurfaceJob job = {
    .width = faint_surface_points (FIGURE_WIDTH_MM),
    .height = faint_surface_points (FIGURE_HEIGHT_MM),
    .pages = 1,
    .title = faint_analysis_get_title (analysis),
    .creator = "Faintline " FAINT_VERSION,
    .date = outputs->date,
    .draw = draw_figure,
    .data = &figure,
  };

  if (!faint_surface_format_of (path, &job.format, error))
    return FALSE;
  job.scale = job.format == FAINT_SURFACE_PNG ? FIGURE_SCALE : 1.0;
  return faint_surface_write (&job, path, error);
}

static gboolean
write_text (FaintFilesFolder *folder, const char *name, const char *text, GError **error)
{
  g_autofree char *path = faint_files_folder_path (folder, name);

  return faint_files_write (path, text, strlen (text), error);
}

static gboolean
write_tables (const FaintAnalysis *analysis, FaintFilesFolder *folder, const char *date,
              GError **error)
{
  g_autofree char *lines = faint_analysis_lines_csv (analysis, date);
  g_autofree char *windows = faint_analysis_windows_csv (analysis);
  g_autofree char *correlations = faint_analysis_correlations_csv (analysis);

  return write_text (folder, "lines.csv", lines, error)
         && write_text (folder, "windows.csv", windows, error)
         && write_text (folder, "correlations.csv", correlations, error);
}

static gboolean
write_figures (const FaintAnalysis *analysis, FaintFilesFolder *folder,
               const FaintFitOutputs *outputs, GError **error)
{
  gsize n = faint_analysis_get_n_spectra (analysis);

  for (gsize i = 0; i < n; i++)
    {
      g_autofree char *name = i == 0 ? g_strdup ("figure.svg")
                                     : g_strdup_printf ("figure-%" G_GSIZE_FORMAT ".svg", i + 1);
      g_autofree char *path = faint_files_folder_path (folder, name);

      if (!write_figure (analysis, i, (FaintRange){ NAN, NAN }, outputs, path, error)
          || !faint_progress_step (faint_terminal_progress (), 0.5 * (double)(i + 1) / (double)n,
                                   "writing", error))
        return FALSE;
    }
  return TRUE;
}

static gboolean
write_report (const FaintAnalysis *analysis, FaintFilesFolder *folder,
              const FaintFitOutputs *outputs, GError **error)
{
  g_autofree char *path = faint_files_folder_path (folder, "report.pdf");
  FaintReportOptions options
      = { .form
          = outputs->report == FAINT_FIT_REPORT_SHORT ? FAINT_REPORT_SHORT : FAINT_REPORT_FULL,
          .date = outputs->date };

  return outputs->report == FAINT_FIT_REPORT_NONE
         || faint_report_write_as (analysis, &options, path, error);
}

/* Those that were asked for by name: all spectra of a series, numbered from the second on. */
static gboolean
write_further (const FaintAnalysis *analysis, const FaintFitOutputs *outputs, GError **error)
{
  for (const char *const *path = outputs->figures; path != NULL && *path != NULL; path++)
    for (gsize i = 0; i < faint_analysis_get_n_spectra (analysis); i++)
      {
        const char *ending = strrchr (*path, '.');
        g_autofree char *name = i == 0
                                    ? g_strdup (*path)
                                    : g_strdup_printf ("%.*s-%" G_GSIZE_FORMAT "%s",
                                                       (int)(ending - *path), *path, i + 1, ending);
        if (!write_figure (analysis, i, outputs->view, outputs, name, error))
          return FALSE;
      }
  return TRUE;
}

gboolean
faint_fit_results_write (const FaintAnalysis *analysis, const char *folder,
                         const FaintFitOutputs *outputs, GError **error)
{
  g_autoptr (FaintFilesFolder) files = faint_files_folder_begin (folder, error);
  g_autofree char *stored = NULL;
  g_autofree char *text = NULL;
  g_autofree char *summary = NULL;

  if (files == NULL)
    return FALSE;
  stored = g_build_filename (folder, "analysis.faintline", NULL);
  text = faint_analysis_to_text (analysis, stored, error);
  if (text == NULL || !write_text (files, "analysis.faintline", text, error)
      || !write_tables (analysis, files, outputs->date, error)
      || !write_figures (analysis, files, outputs, error)
      || !write_report (analysis, files, outputs, error))
    return FALSE;
  summary = faint_analysis_summary_json (
      analysis, (double)(g_get_monotonic_time () - outputs->began) / G_USEC_PER_SEC);
  return write_text (files, "summary.json", summary, error)
         && faint_progress_step (faint_terminal_progress (), 1.0, "writing", error)
         && write_further (analysis, outputs, error) && faint_files_folder_commit (files, error);
}

/* Lines that did not converge by themselves, though the whole did. */
static guint
count_not_converged (const FaintLineList *list)
{
  guint n = 0;

  for (gsize i = 0; i < faint_line_list_get_n (list); i++)
    n += (faint_line_list_get (list, i)->flags & FAINT_LINE_NOT_CONVERGED) != 0;
  return n;
}

static void
print_spectrum (const FaintAnalysis *analysis, gsize i)
{
  const FaintFit *fit = faint_analysis_get_fit_at (analysis, i);
  g_autofree char *words = faint_analysis_describe_spectrum (analysis, i);

  printf ("Spectrum %" G_GSIZE_FORMAT " (%s): %" G_GSIZE_FORMAT " windows, reduced chi-square "
          "%.4f, noise-equivalent absorption %.3g cm-1 a tooth.\n",
          i + 1, words, fit->n_windows, fit->chi2_reduced, fit->noise_equivalent_absorption);
}

/* The numbers that sum up the fit. */
static void
print_numbers (const FaintAnalysis *analysis, const FaintAnalysisResult *result)
{
  const FaintFit *fit = faint_analysis_get_fit (analysis);
  gsize lines = faint_line_list_get_n (faint_analysis_get_lines (analysis));
  gsize n = faint_analysis_get_n_spectra (analysis);

  if (n == 1)
    {
      printf ("\n%" G_GSIZE_FORMAT " lines in %" G_GSIZE_FORMAT " windows, reduced chi-square "
              "%.4f, noise-equivalent absorption %.3g cm-1 a tooth, %s after %u iterations.\n",
              lines, fit->n_windows, fit->chi2_reduced, fit->noise_equivalent_absorption,
              faint_verdict_name (fit->verdict), fit->iterations);
      return;
    }
  printf ("\n%" G_GSIZE_FORMAT " lines in %" G_GSIZE_FORMAT " spectra, reduced chi-square %.4f, "
          "%s after %u iterations. Values hold under the conditions of spectrum 1.\n",
          lines, n, result->chi2_reduced, faint_verdict_name (result->verdict), result->iterations);
  for (gsize i = 0; i < n; i++)
    print_spectrum (analysis, i);
}

static void
print_instrument (const FaintAnalysis *analysis, gsize i)
{
  const FaintFitInstrument *found = &faint_analysis_get_fit_at (analysis, i)->instrument;
  g_autofree char *of = faint_analysis_get_n_spectra (analysis) > 1
                            ? g_strdup_printf (" of spectrum %" G_GSIZE_FORMAT, i + 1)
                            : g_strdup ("");

  if (isfinite (found->detuning))
    {
      g_autofree char *text = faint_format_concise (found->detuning, found->u_detuning);
      printf ("Tooth detuning%s: %s Hz\n", of, text);
    }
  if (isfinite (found->detuning_slope))
    {
      g_autofree char *text = faint_format_concise (found->detuning_slope, found->u_detuning_slope);
      printf ("Slope of the detuning%s: %s Hz/Hz\n", of, text);
    }
  for (guint k = 0; k < found->n_fringes; k++)
    {
      const FaintFitFringe *fringe = &found->fringe[k];
      g_autofree char *period = faint_format_concise (fringe->period, fringe->u_period);
      g_autofree char *amplitude = faint_format_concise (faint_fit_fringe_amplitude (fringe),
                                                         faint_analysis_fringe_u (fringe));
      printf ("Fringe %u%s: period %s cm-1, amplitude %s\n", k + 1, of, period, amplitude);
    }
}

int
faint_fit_results_print (const FaintAnalysis *analysis, const char *folder)
{
  const FaintLineList *lines = faint_analysis_get_lines (analysis);
  guint left = count_not_converged (lines);
  FaintAnalysisResult result;

  faint_analysis_get_result (analysis, &result);
  faint_fit_table_print (lines, folder);
  print_numbers (analysis, &result);
  for (gsize i = 0; i < faint_analysis_get_n_spectra (analysis); i++)
    print_instrument (analysis, i);
  faint_say_warnings (faint_analysis_get_warnings (analysis));
  faint_say_warnings (faint_analysis_get_fit_warnings (analysis));
  if (result.verdict != FAINT_VERDICT_CONVERGED)
    faint_say ("The fit did not converge (%s): it ended %.3g standard uncertainties from its "
               "optimum.",
               faint_verdict_name (result.verdict), result.distance);
  if (left > 0)
    faint_say (left == 1 ? "%u line did not converge; it is flagged in lines.csv."
                         : "%u lines did not converge; they are flagged in lines.csv.",
               left);
  return result.verdict == FAINT_VERDICT_CONVERGED && left == 0 ? FAINT_EXIT_DONE
                                                                : FAINT_EXIT_NOT_CONVERGED;
}

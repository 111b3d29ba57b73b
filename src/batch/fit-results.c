/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "fit-results.h"

#include "faint/base/files.h"
#include "figure/report.h"
#include "figure/spectrum-figure.h"
#include "figure/surface.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Landscape A4. */
#define FIGURE_WIDTH_MM 297.0
#define FIGURE_HEIGHT_MM 210.0
#define FIGURE_MARGIN_MM 8.0

/* More rows than this push the summary off a terminal. */
#define TABLE_ROWS 40

static void
draw_figure (cairo_t *cr, guint page, gpointer data)
{
  const FaintFigureData *figure_data = data;
  double margin = faint_surface_points (FIGURE_MARGIN_MM);
  FaintRect place = { margin, margin, faint_surface_points (FIGURE_WIDTH_MM) - 2.0 * margin,
                      faint_surface_points (FIGURE_HEIGHT_MM) - 2.0 * margin };
  FaintCanvas canvas = faint_canvas_for_paper (cr, NULL);
  FaintSpectrumFigure figure;

  faint_spectrum_figure_init (&figure);
  faint_spectrum_figure_draw (&figure, &canvas, place, figure_data, figure_data->across);
}

static gboolean
write_figure (const FaintAnalysis *analysis, const char *path, GError **error)
{
  g_autoptr (FaintFigureData) data = faint_figure_data_new (faint_analysis_get_spectrum (analysis),
                                                            faint_analysis_get_fit (analysis),
                                                            faint_analysis_get_lines (analysis));
  FaintSurfaceJob job = {
    .format = FAINT_SURFACE_SVG,
    .width = faint_surface_points (FIGURE_WIDTH_MM),
    .height = faint_surface_points (FIGURE_HEIGHT_MM),
    .scale = 1.0,
    .pages = 1,
    .title = faint_analysis_get_title (analysis),
    .draw = draw_figure,
    .data = data,
  };

  return faint_surface_write (&job, path, error);
}

static gboolean
write_text (FaintFilesFolder *folder, const char *name, const char *text, GError **error)
{
  g_autofree char *path = faint_files_folder_path (folder, name);

  return faint_files_write (path, text, strlen (text), error);
}

static gboolean
write_pictures (const FaintAnalysis *analysis, FaintFilesFolder *folder, const char *date,
                GError **error)
{
  g_autofree char *figure = faint_files_folder_path (folder, "figure.svg");
  g_autofree char *report = faint_files_folder_path (folder, "report.pdf");

  return write_figure (analysis, figure, error)
         && faint_progress_step (faint_terminal_progress (), 0.5, "writing", error)
         && faint_report_write (analysis, report, date, error);
}

gboolean
faint_fit_results_write (const FaintAnalysis *analysis, const char *folder, const char *date,
                         gint64 began, GError **error)
{
  g_autoptr (FaintFilesFolder) files = faint_files_folder_begin (folder, error);
  g_autofree char *lines = NULL;
  g_autofree char *stored = NULL;
  g_autofree char *text = NULL;
  g_autofree char *summary = NULL;

  if (files == NULL)
    return FALSE;
  lines = faint_analysis_lines_csv (analysis, date);
  stored = g_build_filename (folder, "analysis.faintline", NULL);
  text = faint_analysis_to_text (analysis, stored, error);
  if (text == NULL || !write_text (files, "analysis.faintline", text, error)
      || !write_text (files, "lines.csv", lines, error)
      || !write_pictures (analysis, files, date, error))
    return FALSE;
  summary = faint_analysis_summary_json (analysis, (double)(g_get_monotonic_time () - began)
                                                       / G_USEC_PER_SEC);
  return write_text (files, "summary.json", summary, error)
         && faint_progress_step (faint_terminal_progress (), 1.0, "writing", error)
         && faint_files_folder_commit (files, error);
}

/* Rows of cells, columns as wide as their widest cell; the last one flows. */
#define TABLE_COLUMNS 6
static const char *const heads[TABLE_COLUMNS]
    = { "id", "position/cm-1", "strength/(cm/molecule)", "lorentz_hwhm/cm-1", "S/N", "flags" };

static char **
table_row (const FaintLine *line)
{
  char **cells = g_new0 (char *, TABLE_COLUMNS + 1);

  cells[0] = g_strdup_printf ("%u", line->id);
  cells[1] = faint_format_concise (line->position.value, line->position.u);
  cells[2] = faint_format_concise (line->strength.value, line->strength.u);
  cells[3] = faint_format_concise (line->lorentz.value, line->lorentz.u);
  cells[4] = line->snr == line->snr ? g_strdup_printf ("%.0f", line->snr) : g_strdup ("");
  cells[5] = faint_line_flags_to_text (line->flags);
  return cells;
}

static void
print_row (const char *const *cells, const int *width)
{
  for (int c = 0; c < TABLE_COLUMNS - 1; c++)
    printf ("%s%*s", c > 0 ? "  " : "", width[c], cells[c]);
  printf ("%s%s\n", *cells[TABLE_COLUMNS - 1] != '\0' ? "  " : "", cells[TABLE_COLUMNS - 1]);
}

static void
print_rows (GPtrArray *rows)
{
  int width[TABLE_COLUMNS];

  for (int c = 0; c < TABLE_COLUMNS; c++)
    {
      width[c] = (int)strlen (heads[c]);
      for (guint i = 0; i < rows->len; i++)
        width[c] = MAX (width[c], (int)strlen (((char **)g_ptr_array_index (rows, i))[c]));
    }
  print_row (heads, width);
  for (guint i = 0; i < rows->len; i++)
    print_row (g_ptr_array_index (rows, i), width);
}

static int
compare_strength (const void *a, const void *b)
{
  double one = ((const FaintLine *)a)->strength.value;
  double other = ((const FaintLine *)b)->strength.value;

  return (other > one) - (other < one);
}

/* The strength above which a line is among the TABLE_ROWS strongest. */
static double
strength_shown (const FaintLineList *list)
{
  gsize n = faint_line_list_get_n (list);
  g_autofree FaintLine *lines = g_new (FaintLine, n);

  for (gsize i = 0; i < n; i++)
    lines[i] = *faint_line_list_get (list, i);
  qsort (lines, n, sizeof *lines, compare_strength);
  return lines[TABLE_ROWS - 1].strength.value;
}

static void
print_table (const FaintLineList *list, const char *folder)
{
  gsize n = faint_line_list_get_n (list);
  double least = n > TABLE_ROWS ? strength_shown (list) : -INFINITY;
  g_autoptr (GPtrArray) rows = g_ptr_array_new_with_free_func ((GDestroyNotify)g_strfreev);

  for (gsize i = 0; i < n && rows->len < TABLE_ROWS; i++)
    if (!(faint_line_list_get (list, i)->strength.value < least))
      g_ptr_array_add (rows, table_row (faint_line_list_get (list, i)));
  print_rows (rows);
  if (n > rows->len)
    printf ("These are the %u strongest of %" G_GSIZE_FORMAT " lines; all are in %s/lines.csv.\n",
            rows->len, n, folder);
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

int
faint_fit_results_print (const FaintAnalysis *analysis, const char *folder)
{
  const FaintFit *fit = faint_analysis_get_fit (analysis);
  const FaintLineList *lines = faint_analysis_get_lines (analysis);
  guint left = count_not_converged (lines);

  print_table (lines, folder);
  printf ("\n%" G_GSIZE_FORMAT " lines in %" G_GSIZE_FORMAT " windows, reduced chi-square %.4f, "
          "noise-equivalent absorption %.3g cm-1 a tooth, %s after %u iterations.\n",
          faint_line_list_get_n (lines), fit->n_windows, fit->chi2_reduced,
          fit->noise_equivalent_absorption, faint_verdict_name (fit->verdict), fit->iterations);
  faint_say_warnings (faint_analysis_get_warnings (analysis));
  faint_say_warnings (fit->warnings);
  if (fit->verdict != FAINT_VERDICT_CONVERGED)
    faint_say ("The fit did not converge (%s): it ended %.3g standard uncertainties from its "
               "optimum.",
               faint_verdict_name (fit->verdict), fit->distance);
  if (left > 0)
    faint_say (left == 1 ? "%u line did not converge; it is flagged in lines.csv."
                         : "%u lines did not converge; they are flagged in lines.csv.",
               left);
  return fit->verdict == FAINT_VERDICT_CONVERGED && left == 0 ? FAINT_EXIT_DONE
                                                              : FAINT_EXIT_NOT_CONVERGED;
}

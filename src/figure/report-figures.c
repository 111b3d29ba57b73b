/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Figures of the whole span and of consecutive parts of it.
 */
#include "figure/report-private.h"
#include "figure/spectrum-figure.h"

#include <math.h>
#include <stdlib.h>

#define STRIPS_PER_PAGE 3
#define MOST_STRIPS 36
/* A strip of this many samples still shows each of them. */
#define SAMPLES_PER_STRIP 300
#define OVERVIEW_HEIGHT 430.0
#define MOST_WINDOWS 10
#define STRIP_HEIGHT 222.0

typedef struct
{
  FaintFigureData *data;
  FaintSpectrumFigure figure;
  FaintRange across;
} Strip;

static void
strip_free (gpointer data)
{
  Strip *strip = data;
  faint_figure_data_unref (strip->data);
  g_free (strip);
}

static void
strip_draw (const FaintCanvas *canvas, FaintRect place, gpointer data)
{
  const Strip *strip = data;
  faint_spectrum_figure_draw (&strip->figure, canvas, place, strip->data, strip->across);
}

static Strip *
strip_new (FaintReport *self, FaintRange across)
{
  Strip *strip = g_new0 (Strip, 1);
  strip->data = faint_figure_data_ref (self->data);
  strip->across = across;
  faint_spectrum_figure_init (&strip->figure);
  return strip;
}

void
faint_report_overview (FaintReport *self)
{
  Strip *strip = strip_new (self, self->data->across);
  const char *words
      = self->fit != NULL
            ? "The whole span: measurement (black) with model and baseline (dashed), normalised "
              "residuals with their distribution beside the standard normal one, and lines. Where "
              "samples lie closer than can be drawn, the range from their least to their greatest "
              "value is shown."
            : "The whole span. Where samples lie closer than can be drawn, the range from their "
              "least to their greatest value is shown.";

  faint_paper_break (self->paper);
  faint_paper_heading (self->paper, "Whole span");
  faint_paper_drawing (self->paper, OVERVIEW_HEIGHT, strip_draw, strip, strip_free);
  faint_paper_space (self->paper, 4.0);
  faint_paper_note (self->paper, words);
}

static guint
count_strips (const FaintReport *self)
{
  double needed = ceil ((double)self->spectrum->n / SAMPLES_PER_STRIP / STRIPS_PER_PAGE);
  return STRIPS_PER_PAGE * (guint)CLAMP (needed, 1.0, MOST_STRIPS / STRIPS_PER_PAGE);
}

static void
add_strip (FaintReport *self, FaintRange across)
{
  Strip *strip = strip_new (self, across);

  strip->figure.show[FAINT_LANE_ABSORPTION] = FALSE;
  strip->figure.show[FAINT_LANE_PHASE] = self->data->is_field;
  strip->figure.show[FAINT_LANE_STICKS] = FALSE;
  strip->figure.distribution = FALSE;
  strip->figure.share[FAINT_LANE_MEASUREMENT] = 3.0;
  strip->figure.share[FAINT_LANE_RESIDUAL] = 1.6;
  faint_paper_drawing (self->paper, STRIP_HEIGHT, strip_draw, strip, strip_free);
}

static void
add_strips (FaintReport *self)
{
  guint n = count_strips (self);
  FaintRange span = self->data->across;
  double width = faint_range_width (span) / n;
  g_autofree char *words = g_strdup_printf (
      "The span is divided into %u equal strips of %.4f cm⁻¹, %u a page%s.", n, width,
      (guint)STRIPS_PER_PAGE,
      self->fit != NULL ? ", each with its normalised residuals; guides at ±1 and ±3" : "");

  faint_paper_break (self->paper);
  faint_paper_heading (self->paper, faint_analysis_get_n_spectra (self->analysis) > 1
                                        ? "The span of spectrum 1 in parts"
                                        : "The span in parts");
  faint_paper_note (self->paper, words);
  for (guint i = 0; i < n; i++)
    {
      double lower = span.lower + i * width;
      if (i % STRIPS_PER_PAGE == 0 && i > 0)
        faint_paper_break (self->paper);
      add_strip (self, (FaintRange){ lower, lower + width });
    }
}

static int
compare_windows (gconstpointer a, gconstpointer b)
{
  const FaintFitWindow *first = a, *second = b;
  return (first->chi2_reduced < second->chi2_reduced)
         - (first->chi2_reduced > second->chi2_reduced);
}

static const FaintPaperColumn window_columns[] = {
  { "from/cm⁻¹", 1.4, 1.0 },        { "to/cm⁻¹", 1.4, 1.0 },
  { "samples", 0.9, 1.0 },          { "lines", 0.8, 1.0 },
  { "χ²<sub>red</sub>", 1.0, 1.0 }, { "lag-1 autocorrelation", 2.1, 1.0 },
  { "runs test, z", 1.3, 1.0 },     { "largest |residual|/u", 1.8, 1.0 },
};

static void
add_window (FaintReport *self, const FaintFitWindow *window)
{
  char **cells = g_new0 (char *, G_N_ELEMENTS (window_columns));

  cells[0] = g_strdup_printf ("%.4f", window->lower);
  cells[1] = g_strdup_printf ("%.4f", window->upper);
  cells[2] = g_strdup_printf ("%zu", window->n);
  cells[3] = g_strdup_printf ("%zu", window->n_lines);
  cells[4] = g_strdup_printf ("%.3f", window->chi2_reduced);
  cells[5] = faint_report_plain (window->lag1, 2);
  cells[6] = faint_report_plain (window->runs_z, 2);
  cells[7] = g_strdup_printf ("%.2f", window->largest);
  faint_paper_row (self->paper, cells);
}

/* Where to look first. */
static void
add_windows (FaintReport *self)
{
  const FaintFit *fit = self->fit;

  if (fit == NULL || fit->n_windows == 0)
    return;
  g_autofree FaintFitWindow *windows = g_memdup2 (fit->windows, fit->n_windows * sizeof *windows);
  gsize n = MIN (fit->n_windows, MOST_WINDOWS);
  g_autofree char *heading = g_strdup_printf (
      n < fit->n_windows ? "Windows with the greatest reduced chi-square, %zu of %zu"
                         : "Windows of the fit, %zu",
      n, fit->n_windows);

  qsort (windows, fit->n_windows, sizeof *windows, compare_windows);
  faint_paper_heading (self->paper, heading);
  faint_paper_table (self->paper, window_columns, G_N_ELEMENTS (window_columns));
  for (gsize i = 0; i < n; i++)
    add_window (self, &windows[i]);
  faint_paper_table_end (self->paper);
}

void
faint_report_figures (FaintReport *self)
{
  if (!faint_range_is_valid (self->data->across))
    return;
  faint_report_overview (self);
  add_windows (self);
  add_strips (self);
}

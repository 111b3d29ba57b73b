/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Figures of the whole span, and of every window of the fit.
 */
#include "figure/report-private.h"
#include "figure/spectrum-figure.h"

#include <math.h>

#define STRIPS_PER_PAGE 3
#define MOST_STRIPS 36
/* A strip of this many samples still shows each of them. */
#define SAMPLES_PER_STRIP 300
#define OVERVIEW_HEIGHT 430.0
/* Twelve pages of twelve. */
#define MOST_WINDOWS 144
#define WINDOWS_ACROSS 3
#define WINDOW_HEIGHT 166.0
#define WINDOW_LETTERS 4.8
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
  g_autofree char *words
      = g_strdup_printf ("The span is divided into %u equal strips of %.4f cm⁻¹, %u a page.", n,
                         width, (guint)STRIPS_PER_PAGE);

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

/* A row of windows side by side, each with the words that head it. */
typedef struct
{
  FaintFigureData *data;
  guint n;
  FaintRange across[WINDOWS_ACROSS];
  char *words[WINDOWS_ACROSS];
} WindowRow;

static void
window_row_free (gpointer data)
{
  WindowRow *row = data;

  for (guint i = 0; i < row->n; i++)
    g_free (row->words[i]);
  faint_figure_data_unref (row->data);
  g_free (row);
}

static void
window_row_draw (const FaintCanvas *canvas, FaintRect place, gpointer data)
{
  const WindowRow *row = data;
  double width = place.width / WINDOWS_ACROSS, head = 1.4 * faint_canvas_text_height (canvas);
  PangoFontDescription *font = pango_font_description_copy (canvas->font);
  FaintCanvas small = *canvas;
  FaintSpectrumFigure figure;

  pango_font_description_set_absolute_size (font, WINDOW_LETTERS * PANGO_SCALE);
  small.font = font;
  faint_spectrum_figure_init (&figure);
  figure.show[FAINT_LANE_ABSORPTION] = figure.show[FAINT_LANE_STICKS] = FALSE;
  figure.show[FAINT_LANE_PHASE] = row->data->is_field;
  figure.distribution = FALSE;
  figure.share[FAINT_LANE_MEASUREMENT] = 2.6;
  figure.share[FAINT_LANE_RESIDUAL] = 1.4;
  for (guint i = 0; i < row->n; i++)
    {
      double x = place.x + i * width;
      faint_canvas_text (canvas, FAINT_PART_TEXT, row->words[i], x + 0.5 * width, place.y, 0.5,
                         0.0);
      faint_spectrum_figure_draw (
          &figure, &small, (FaintRect){ x, place.y + head, width - 4.0, place.height - head - 6.0 },
          row->data, row->across[i]);
    }
  pango_font_description_free (font);
}

static char *
window_words (const FaintFitWindow *window, gsize number)
{
  char chi2[G_ASCII_DTOSTR_BUF_SIZE];

  g_ascii_formatd (chi2, sizeof chi2, "%.2f", window->chi2_reduced);
  return g_strdup_printf (window->n_lines == 1 ? "%zu: %zu line, χ²/ν %s"
                                               : "%zu: %zu lines, χ²/ν %s",
                          number + 1, window->n_lines, chi2);
}

/* Of many windows those that fit worst and those with the strongest lines: TRUE at their places. */
static void
choose_windows (const FaintReport *self, gboolean *chosen)
{
  const FaintFit *fit = self->fit;
  g_autofree double *strongest = g_new0 (double, fit->n_windows);

  for (gsize i = 0; i < faint_line_list_get_n (fit->lines); i++)
    {
      const FaintLine *line = faint_line_list_get (fit->lines, i);
      if (line->window > 0 && (gsize)line->window <= fit->n_windows)
        strongest[line->window - 1] = MAX (strongest[line->window - 1], line->strength.value);
    }
  for (guint pass = 0; pass < MOST_WINDOWS; pass++)
    {
      gsize best = fit->n_windows;
      double most = -1.0;
      for (gsize k = 0; k < fit->n_windows; k++)
        {
          double rank = pass % 2 == 0 ? fit->windows[k].chi2_reduced : strongest[k];
          if (!chosen[k] && rank > most)
            {
              most = rank;
              best = k;
            }
        }
      if (best < fit->n_windows)
        chosen[best] = TRUE;
    }
}

static void
add_window_rows (FaintReport *self, const gboolean *chosen)
{
  const FaintFit *fit = self->fit;
  WindowRow *row = NULL;

  for (gsize k = 0; k < fit->n_windows; k++)
    {
      if (!chosen[k])
        continue;
      if (row == NULL)
        {
          row = g_new0 (WindowRow, 1);
          row->data = faint_figure_data_ref (self->data);
          faint_paper_drawing (self->paper, WINDOW_HEIGHT, window_row_draw, row, window_row_free);
        }
      row->words[row->n] = window_words (&fit->windows[k], k);
      row->across[row->n++] = (FaintRange){ fit->windows[k].lower, fit->windows[k].upper };
      if (row->n == WINDOWS_ACROSS)
        row = NULL;
    }
}

/* Every window; where they are very many, by a rule that is stated. */
static void
add_window_figures (FaintReport *self)
{
  const FaintFit *fit = self->fit;
  gboolean all = fit->n_windows <= MOST_WINDOWS;
  g_autofree gboolean *chosen = g_new0 (gboolean, fit->n_windows);
  g_autofree char *rule
      = all ? g_strdup_printf ("Each of the %zu windows of the fit", fit->n_windows)
            : g_strdup_printf (
                "Of the %zu windows of the fit these are the %u that have the greatest reduced "
                "chi-square and the %u others with the strongest lines; the table of the quality "
                "has them all. Each",
                fit->n_windows, MOST_WINDOWS / 2, MOST_WINDOWS / 2);
  g_autofree char *words = g_strdup_printf (
      "%s: measurement with model and baseline (dashed), and residuals over the uncertainty of a "
      "sample with guides at ±1 and ±3, over the wavenumber in cm⁻¹. χ²/ν: reduced chi-square.",
      rule);

  for (gsize k = 0; k < fit->n_windows; k++)
    chosen[k] = all;
  if (!all)
    choose_windows (self, chosen);
  faint_paper_heading (self->paper, "Windows of the fit");
  faint_paper_note (self->paper, words);
  add_window_rows (self, chosen);
}

void
faint_report_figures (FaintReport *self)
{
  if (!faint_range_is_valid (self->data->across))
    return;
  faint_report_overview (self);
  if (self->fit != NULL && self->fit->n_windows > 0)
    add_window_figures (self);
  else
    add_strips (self);
}

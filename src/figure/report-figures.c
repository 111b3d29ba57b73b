/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Figures of the whole span and of consecutive parts of it.
 */
#include "figure/report-private.h"
#include "figure/spectrum-figure.h"

#include <math.h>

#define STRIPS_PER_PAGE 3
#define MOST_STRIPS 36
/* A strip of this many samples still shows each of them. */
#define SAMPLES_PER_STRIP 300
#define OVERVIEW_HEIGHT 400.0
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

static void
add_overview (FaintReport *self)
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
  faint_paper_heading (self->paper, "The span in parts");
  faint_paper_note (self->paper, words);
  for (guint i = 0; i < n; i++)
    {
      double lower = span.lower + i * width;
      if (i % STRIPS_PER_PAGE == 0 && i > 0)
        faint_paper_break (self->paper);
      add_strip (self, (FaintRange){ lower, lower + width });
    }
}

void
faint_report_figures (FaintReport *self)
{
  if (!faint_range_is_valid (self->data->across))
    return;
  add_overview (self);
  add_strips (self);
}

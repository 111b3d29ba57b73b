/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "figure/review-figures.h"

#include <math.h>

#include "faint/review/compared.h"
#include "figure/report-review.h"
#include "figure/scatter.h"
#include "figure/spectrum-figure.h"

/* Of each point, the place of its line and its value in the review go to @spots (may be NULL). */
static GArray *
points_of (const FaintReview *review, guint parameter, GArray *spots)
{
  GArray *points = g_array_new (FALSE, FALSE, sizeof (FaintScatterPoint));

  for (guint i = 0; i < review->lines->len; i++)
    {
      const FaintReviewLine *line = g_ptr_array_index (review->lines, i);

      for (guint k = 0; k < line->values->len; k++)
        {
          const FaintReviewValue *it = &g_array_index (line->values, FaintReviewValue, k);
          FaintScatterPoint point = { .x = line->position,
                                      .y = it->stated.en,
                                      .u = NAN,
                                      .symbol = FAINT_SYMBOL_DISC,
                                      .emphasis = it->verdict == FAINT_REVIEW_DIFFERS
                                                  || it->verdict == FAINT_REVIEW_NOT_SEEN };

          if (it->parameter != parameter || !isfinite (point.y))
            continue;
          g_array_append_val (points, point);
          if (spots != NULL)
            g_array_append_val (spots, ((FaintReviewSpot){ NAN, NAN, i, k }));
        }
    }
  return points;
}

/* Those that every list has, and what this one was compared in besides. */
guint
faint_review_errors_panels (const FaintReview *review, guint *panels)
{
  gboolean has[FAINT_COMPARED_N] = { FALSE };
  guint n = 0;

  has[FAINT_PLACE_POSITION] = has[FAINT_PLACE_STRENGTH] = has[FAINT_PLACE_LORENTZ] = TRUE;
  for (guint i = 0; i < review->lines->len; i++)
    {
      const FaintReviewLine *line = g_ptr_array_index (review->lines, i);

      for (guint k = 0; k < line->values->len; k++)
        {
          const FaintReviewValue *it = &g_array_index (line->values, FaintReviewValue, k);

          has[it->parameter] |= isfinite (it->stated.en);
        }
    }
  for (guint k = 0; k < FAINT_COMPARED_N; k++)
    if (has[k])
      {
        if (panels != NULL)
          panels[n] = k;
        n++;
      }
  return n;
}

static FaintRange
span_of (const FaintReview *review)
{
  FaintRange span = { INFINITY, -INFINITY };

  for (gsize i = 0; i < faint_analysis_get_n_spectra (review->refit); i++)
    {
      const FaintSpectrum *spectrum = faint_analysis_get_spectrum_at (review->refit, i);

      span.lower = MIN (span.lower, spectrum->wavenumber[0]);
      span.upper = MAX (span.upper, spectrum->wavenumber[spectrum->n - 1]);
    }
  return span;
}

/* A panel of the errors, and what it shows. */
typedef struct
{
  GArray *points;
  char *name;
  FaintScatter scatter;
  FaintRect place;
} Panel;

static void
panel_clear (Panel *self)
{
  g_array_unref (self->points);
  g_free (self->name);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Panel, panel_clear)

static void
panel_init (Panel *self, const FaintCanvas *canvas, const FaintReview *review, guint parameter,
            FaintRect place, GArray *spots)
{
  static const double guides[] = { -1.0, 0.0, 1.0 };

  self->points = points_of (review, parameter, spots);
  self->name = g_strdup_printf (faint_canvas_words (canvas, "Eₙ of %s"),
                                faint_canvas_words (canvas, faint_compared_words (parameter)));
  self->place = place;
  self->scatter = (FaintScatter){ .points = (const FaintScatterPoint *)(void *)self->points->data,
                                  .n = self->points->len,
                                  .guides = guides,
                                  .n_guides = G_N_ELEMENTS (guides),
                                  .across = span_of (review),
                                  .up = { NAN, NAN },
                                  .name = { self->name, "E", NULL, FALSE } };
}

static FaintRect
place_of (FaintRect all, guint k, guint n)
{
  return (FaintRect){ all.x, all.y + k * all.height / n, all.width, all.height / n };
}

void
faint_review_errors_draw (const FaintReview *review, const FaintCanvas *canvas, FaintRect place)
{
  faint_review_errors_draw_panels (review, canvas, place, 0,
                                   faint_review_errors_panels (review, NULL));
}

void
faint_review_errors_draw_panels (const FaintReview *review, const FaintCanvas *canvas,
                                 FaintRect place, guint first, guint n)
{
  guint panels[FAINT_COMPARED_N];

  faint_review_errors_panels (review, panels);
  for (guint k = 0; k < n; k++)
    {
      g_auto (Panel) panel;

      panel_init (&panel, canvas, review, panels[first + k], place_of (place, k, n), NULL);
      faint_scatter_draw (&panel.scatter, canvas, panel.place);
    }
}

GArray *
faint_review_errors_spots (const FaintReview *review, const FaintCanvas *canvas, FaintRect place)
{
  guint panels[FAINT_COMPARED_N], n = faint_review_errors_panels (review, panels);
  GArray *spots = g_array_new (FALSE, FALSE, sizeof (FaintReviewSpot));

  for (guint k = 0; k < n; k++)
    {
      g_auto (Panel) panel;
      guint first = spots->len;

      panel_init (&panel, canvas, review, panels[k], place_of (place, k, n), spots);
      for (guint i = first; i < spots->len; i++)
        {
          FaintReviewSpot *spot = &g_array_index (spots, FaintReviewSpot, i);

          faint_scatter_locate (&panel.scatter, canvas, panel.place, i - first, &spot->x, &spot->y);
        }
    }
  return spots;
}

struct _FaintReviewResiduals
{
  FaintFigureData *data[2]; /* claims, refit */
};

FaintReviewResiduals *
faint_review_residuals_new (const FaintReview *review, gsize i)
{
  FaintReviewResiduals *self = g_new0 (FaintReviewResiduals, 1);
  const FaintAnalysis *analyses[2] = { review->model, review->refit };

  for (guint k = 0; k < 2; k++)
    self->data[k] = faint_figure_data_new (faint_analysis_get_spectrum_at (analyses[k], i),
                                           faint_analysis_get_fit_at (analyses[k], i),
                                           faint_analysis_get_lines (analyses[k]));
  return self;
}

void
faint_review_residuals_free (gpointer data)
{
  FaintReviewResiduals *self = data;

  faint_figure_data_unref (self->data[0]);
  faint_figure_data_unref (self->data[1]);
  g_free (self);
}

void
faint_review_residuals_draw (const FaintReviewResiduals *self, const FaintCanvas *canvas,
                             FaintRect place)
{
  for (guint k = 0; k < 2; k++)
    {
      FaintSpectrumFigure figure;

      faint_spectrum_figure_init (&figure);
      for (guint lane = 0; lane < FAINT_LANE_N; lane++)
        figure.show[lane] = lane == FAINT_LANE_RESIDUAL;
      faint_spectrum_figure_draw (
          &figure, canvas,
          (FaintRect){ place.x, place.y + k * place.height / 2.0, place.width, place.height / 2.0 },
          self->data[k], self->data[k]->across);
    }
}

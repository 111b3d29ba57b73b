/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/fit/filter.h"

#include <math.h>

#include "faint/fit/kernel-private.h"
#include "faint/shape/voigt.h"

#define TABLE_PER_WIDTH 64

/* The template's profile over distance in Doppler widths, times the Doppler width. */
typedef struct
{
  double hwhm; /* Doppler widths */
  double step; /* Doppler widths */
  gsize n;
  double *re, *im; /* at distances 0, step, 2 step ...; re even, im odd */
} Table;

static Table *
table_new (double lorentz_over_doppler)
{
  Table *table = g_new0 (Table, 1);
  FaintVoigt shape = { 0.0, 1.0, lorentz_over_doppler };
  g_autofree double *x = NULL;

  table->hwhm = faint_voigt_hwhm (1.0, lorentz_over_doppler);
  table->step = table->hwhm / TABLE_PER_WIDTH;
  table->n = (gsize)(FAINT_FILTER_REACH * TABLE_PER_WIDTH) + 3;
  table->re = g_new (double, table->n);
  table->im = g_new (double, table->n);
  x = g_new (double, table->n);
  for (gsize i = 0; i < table->n; i++)
    x[i] = (double)i * table->step;
  faint_voigt_fill (shape, x, table->n, table->re, table->im);
  return table;
}

static void
table_free (Table *table)
{
  g_free (table->re);
  g_free (table->im);
  g_free (table);
}

static inline void
table_look (const Table *table, double distance, double *re, double *im)
{
  double at = fabs (distance) / table->step;
  gsize i = MIN ((gsize)at, table->n - 2);
  double part = at - (double)i, odd;

  *re = table->re[i] + part * (table->re[i + 1] - table->re[i]);
  odd = table->im[i] + part * (table->im[i + 1] - table->im[i]);
  *im = distance < 0.0 ? -odd : odd;
}

struct _FaintFilter
{
  const FaintModel *model;
  const FaintFitKernel *kernel;
  guint channels;
  double *residual[2], *row_re[2], *row_im[2], *inverse_u[2];
  Table *table;
  double doppler_per_wavenumber;
  double uneven; /* cm-1, farthest that a tooth stands from where even spacing would have it */
};

/* Of the whole span, first to last tooth. */
static double
unevenness (const FaintSpectrum *spectrum)
{
  const double *at = spectrum->wavenumber;
  double step = spectrum->n > 1 ? (at[spectrum->n - 1] - at[0]) / (double)(spectrum->n - 1) : 0.0;
  double most = 0.0;

  for (gsize t = 0; t < spectrum->n; t++)
    {
      double off = fabs (at[t] - (at[0] + step * (double)t));

      most = off > most ? off : most;
    }
  return most;
}

FaintFilter *
faint_filter_new (FaintModel *model, double doppler_per_wavenumber, double ratio)
{
  FaintFilter *self = g_new0 (FaintFilter, 1);
  gsize n = model->spectrum->n;

  self->model = model;
  self->kernel = faint_fit_kernel ();
  self->channels = model->layout->channels;
  self->doppler_per_wavenumber = doppler_per_wavenumber;
  self->uneven = unevenness (model->spectrum);
  for (guint c = 0; c < self->channels; c++)
    {
      const double *u = c == 0 ? model->spectrum->fit_u : model->spectrum->fit_u_im;

      self->residual[c] = g_new0 (double, n);
      self->row_re[c] = g_new0 (double, n);
      self->row_im[c] = g_new0 (double, n);
      self->inverse_u[c] = g_new (double, n);
      for (gsize t = 0; t < n; t++)
        self->inverse_u[c][t] = 1.0 / u[t];
    }
  self->table = table_new (ratio);
  faint_model_fill (model, &(FaintModelArrays){
                               .residual = self->residual[0],
                               .residual_im = self->residual[1],
                               .slope_re = self->row_re[0],
                               .slope_im = self->row_im[0],
                               .slope2_re = self->row_re[1],
                               .slope2_im = self->row_im[1],
                           });
  return self;
}

void
faint_filter_free (FaintFilter *self)
{
  for (int c = 0; c < 2; c++)
    {
      g_free (self->residual[c]);
      g_free (self->row_re[c]);
      g_free (self->row_im[c]);
      g_free (self->inverse_u[c]);
    }
  table_free (self->table);
  g_free (self);
}

void
faint_filter_set_ratio (FaintFilter *self, double ratio)
{
  table_free (self->table);
  self->table = table_new (ratio);
}

double
faint_filter_half_width (const FaintFilter *self, double wavenumber)
{
  return self->table->hwhm * self->doppler_per_wavenumber * wavenumber;
}

void
faint_filter_pattern_clear (FaintFilterPattern *pattern)
{
  g_free (pattern->distance);
}

static void
pattern_fill (FaintFilterPattern *pattern, const FaintFilter *filter, double centre, double width)
{
  const double *wavenumber = filter->model->spectrum->wavenumber + pattern->from;
  double inverse = 1.0 / width, reach = 1.0 / (FAINT_FILTER_REACH * filter->table->hwhm);
  gsize n = pattern->to - pattern->from;

  if (n > pattern->room)
    {
      pattern->room = 2 * n;
      g_free (pattern->distance);
      pattern->distance = g_new (double, 5 * pattern->room);
      pattern->re = pattern->distance + pattern->room;
      pattern->im = pattern->re + pattern->room;
      pattern->x = pattern->im + pattern->room;
      pattern->x2 = pattern->x + pattern->room;
    }
  pattern->n = n;
  pattern->width = width;
  for (gsize t = 0; t < n; t++)
    {
      double distance = (wavenumber[t] - centre) * inverse, x = distance * reach;

      pattern->distance[t] = wavenumber[t] - centre;
      table_look (filter->table, distance, &pattern->re[t], &pattern->im[t]);
      pattern->x[t] = x;
      pattern->x2[t] = x * x;
    }
}

/* Within 1e-4 Doppler widths: it changes the template by less than its table is off. */
static gboolean
pattern_fits (const FaintFilterPattern *pattern, const FaintFilter *filter, double centre,
              double width)
{
  const double *wavenumber = filter->model->spectrum->wavenumber + pattern->from;
  double most = 0.0;

  if (pattern->n != pattern->to - pattern->from || fabs (width - pattern->width) > 1e-5 * width)
    return FALSE;
  /* On an even comb all teeth have moved as the first one has. */
  if (pattern->n > 0
      && fabs (wavenumber[0] - centre - pattern->distance[0]) + 4.0 * filter->uneven < 1e-4 * width)
    return TRUE;
  for (gsize t = 0; t < pattern->n; t++)
    {
      double moved = fabs (wavenumber[t] - centre - pattern->distance[t]);

      most = moved > most ? moved : most;
    }
  return most < 1e-4 * width;
}

/* The first tooth at or above @wavenumber, which is likely near @guess. */
static gsize
tooth_near (const FaintSpectrum *spectrum, gsize guess, double wavenumber)
{
  const double *at = spectrum->wavenumber;
  gsize t = MIN (guess, spectrum->n);

  for (int step = 0; step < 8; step++)
    if (t > 0 && at[t - 1] >= wavenumber)
      t--;
    else if (t < spectrum->n && at[t] < wavenumber)
      t++;
    else
      return t;
  return faint_spectrum_index (spectrum, wavenumber);
}

static void
pattern_move (FaintFilterPattern *pattern, const FaintFilter *filter, double centre, double width)
{
  const FaintLayout *layout = filter->model->layout;
  double reach = FAINT_FILTER_REACH * filter->table->hwhm * width;
  gsize end = layout->first + layout->n_teeth;

  pattern->from = tooth_near (filter->model->spectrum, pattern->from, centre - reach);
  pattern->to = tooth_near (filter->model->spectrum, pattern->to, centre + reach);
  pattern->from = CLAMP (pattern->from, layout->first, end);
  pattern->to = CLAMP (pattern->to, pattern->from, end);
  if (!pattern_fits (pattern, filter, centre, width))
    pattern_fill (pattern, filter, centre, width);
}

/* Projects a parabola out: Cholesky of its 3 x 3 normal matrix. FALSE where it is not determined.
 */
static gboolean
project (const FaintFindSums *s, gsize n, double *square, double *product)
{
  const double *m = s->moment;
  double l00, l10, l11, l20, l21, l22, t0, t1, t2, r0, r1, r2, d;

  if (n < 6)
    return FALSE;
  l00 = sqrt (m[0]);
  l10 = m[1] / l00;
  d = m[2] - l10 * l10;
  if (!(d > 1e-9 * m[2]))
    return FALSE;
  l11 = sqrt (d);
  l20 = m[2] / l00;
  l21 = (m[3] - l20 * l10) / l11;
  d = m[4] - l20 * l20 - l21 * l21;
  if (!(d > 1e-9 * m[4]))
    return FALSE;
  l22 = sqrt (d);
  t0 = s->by_template[0] / l00;
  t1 = (s->by_template[1] - l10 * t0) / l11;
  t2 = (s->by_template[2] - l20 * t0 - l21 * t1) / l22;
  r0 = s->by_residual[0] / l00;
  r1 = (s->by_residual[1] - l10 * r0) / l11;
  r2 = (s->by_residual[2] - l20 * r0 - l21 * r1) / l22;
  *square = s->square - t0 * t0 - t1 * t1 - t2 * t2;
  *product = s->product - t0 * r0 - t1 * r1 - t2 * r2;
  return *square > 1e-6 * s->square;
}

gboolean
faint_filter_respond (const FaintFilter *self, FaintFilterPattern *pattern, double centre,
                      double *strength, double *snr)
{
  double width = self->doppler_per_wavenumber * centre;
  double square = 0.0, product = 0.0;

  pattern_move (pattern, self, centre, width);
  for (guint c = 0; c < self->channels; c++)
    {
      FaintFindRows rows
          = { self->row_re[c] + pattern->from, self->row_im[c] + pattern->from,
              self->residual[c] + pattern->from, self->inverse_u[c] + pattern->from };
      FaintFindSums sums;
      double part_square, part_product;

      self->kernel->find_sum (
          &rows, &(FaintFindPattern){ pattern->re, pattern->im, pattern->x, pattern->x2 },
          pattern->n, &sums);
      if (project (&sums, pattern->n, &part_square, &part_product))
        {
          square += part_square;
          product += part_product;
        }
    }
  if (!(square > 0.0))
    return FALSE;
  *snr = product / sqrt (square);
  *strength = product / square * width / self->model->column;
  return isfinite (*snr) && isfinite (*strength);
}

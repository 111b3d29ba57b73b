/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/fit/fringe.h"

#include <math.h>

#include <gsl/gsl_errno.h>
#include <gsl/gsl_fft_real.h>
#include <gsl/gsl_multifit.h>

#include "faint/spectrum/rank.h"

/* Relative departures beyond this many robust standard deviations are lines; the baseline is
 * looked for in this many rounds. */
#define KEEP 2.5
#define ROUNDS 8
/* Once all fringes have been found each is determined again beside the others, this often. */
#define CYCLES 3
/* Teeth to a period at least. */
#define LEAST_TEETH 4.0
/* Factor around a period that is given. */
#define AROUND 1.3

/* The record relative to a smooth baseline, less 1. */
typedef struct
{
  const FaintSpectrum *spectrum;
  gsize first, n;
  double *y;      /* 0 where a line was cut off ... */
  double *weight; /* ... and 1 where not */
  double origin;
} Ripple;

/* Product of the fringes' factors without that of @which. */
static double
other_fringes (const FaintModel *model, guint which, double wavenumber)
{
  double x = wavenumber - model->fringe_origin, factor = 1.0;

  for (guint k = 0; k < model->layout->n_fringes; k++)
    {
      const FaintFitFringe *fringe = &model->fringe[k];
      double angle = 2.0 * G_PI * x / fringe->period;

      if (k != which)
        factor *= 1.0 + fringe->cosine * cos (angle) + fringe->sine * sin (angle);
    }
  return factor;
}

/* Robust standard deviation and median of @n values. */
static double
robust_spread (const double *y, gsize n, double *median)
{
  g_autofree double *sorted = g_memdup2 (y, n * sizeof (double));

  *median = faint_rank_select (sorted, n, n / 2);
  for (gsize t = 0; t < n; t++)
    sorted[t] = fabs (y[t] - *median);
  return 1.4826 * faint_rank_select (sorted, n, n / 2);
}

/* Room for the polynomial of one window. */
typedef struct
{
  gsl_matrix *x, *covariance;
  gsl_vector *value, *weight, *coefficient;
  gsl_multifit_linear_workspace *work;
} Smooth;

/* Weighted least squares; y = value/polynomial - 1. */
static gboolean
smooth_once (Smooth *self, double *y)
{
  double chi2;

  if (gsl_multifit_wlinear (self->x, self->weight, self->value, self->coefficient, self->covariance,
                            &chi2, self->work)
      != GSL_SUCCESS)
    return FALSE;
  for (gsize t = 0; t < self->value->size; t++)
    {
      double smooth = 0.0;

      for (gsize d = 0; d < self->coefficient->size; d++)
        smooth += gsl_matrix_get (self->x, t, d) * gsl_vector_get (self->coefficient, d);
      y[t] = smooth != 0.0 ? gsl_vector_get (self->value, t) / smooth - 1.0 : 0.0;
    }
  return TRUE;
}

/* The record of one window without the fringes but @which, relative to a polynomial through what is
 * not cut off as line. */
static void
flatten_window (const FaintModel *model, const FaintLayoutWindow *window, guint which, double *y,
                double *weight)
{
  gsize terms = window->degree + 1;
  const FaintSpectrum *s = model->spectrum;
  Smooth smooth = { gsl_matrix_alloc (window->n, terms),
                    gsl_matrix_alloc (terms, terms),
                    gsl_vector_alloc (window->n),
                    gsl_vector_alloc (window->n),
                    gsl_vector_alloc (terms),
                    gsl_multifit_linear_alloc (window->n, terms) };

  for (gsize t = 0; t < window->n; t++)
    {
      gsize at = window->first + t;
      double place = (s->wavenumber[at] - window->centre) / window->half, power = 1.0;

      gsl_vector_set (smooth.value, t,
                      (s->value_im != NULL ? hypot (s->value[at], s->value_im[at]) : s->value[at])
                          / other_fringes (model, which, s->wavenumber[at]));
      gsl_vector_set (smooth.weight, t, isfinite (s->fit_u[at]) ? 1.0 : 0.0);
      for (gsize d = 0; d < terms; d++, power *= place)
        gsl_matrix_set (smooth.x, t, d, power);
    }
  for (int round = 0; round < ROUNDS && smooth_once (&smooth, y); round++)
    {
      double median, spread = robust_spread (y, window->n, &median);

      for (gsize t = 0; t < window->n; t++)
        gsl_vector_set (
            smooth.weight, t,
            fabs (y[t] - median) <= KEEP * spread && isfinite (s->fit_u[window->first + t]) ? 1.0
                                                                                            : 0.0);
    }
  for (gsize t = 0; t < window->n; t++)
    {
      weight[t] = gsl_vector_get (smooth.weight, t);
      y[t] *= weight[t];
    }
  gsl_multifit_linear_free (smooth.work);
  gsl_vector_free (smooth.value);
  gsl_vector_free (smooth.weight);
  gsl_vector_free (smooth.coefficient);
  gsl_matrix_free (smooth.covariance);
  gsl_matrix_free (smooth.x);
}

/* Linear least squares of y = c cos + s sin at @period; returns the fall of the sum of squares. */
static double
project (const Ripple *self, double period, double *cosine, double *sine)
{
  double cc = 0.0, cs = 0.0, ss = 0.0, yc = 0.0, ys = 0.0, determinant;

  for (gsize t = 0; t < self->n; t++)
    {
      double angle
          = 2.0 * G_PI * (self->spectrum->wavenumber[self->first + t] - self->origin) / period;
      double c = cos (angle), s = sin (angle), y = self->y[t], w = self->weight[t];

      cc += w * c * c;
      cs += w * c * s;
      ss += w * s * s;
      yc += y * c;
      ys += y * s;
    }
  determinant = cc * ss - cs * cs;
  *cosine = determinant > 0.0 ? (yc * ss - ys * cs) / determinant : 0.0;
  *sine = determinant > 0.0 ? (ys * cc - yc * cs) / determinant : 0.0;
  return *cosine * yc + *sine * ys;
}

/* Frequency, in cycles per cm-1, of the greatest peak of the periodogram in [least, most]. */
static double
greatest_frequency (const Ripple *self, double least, double most, double *resolution)
{
  const double *wavenumber = self->spectrum->wavenumber + self->first;
  double span = wavenumber[self->n - 1] - wavenumber[0];
  double step = span / (double)(self->n - 1), best = -1.0, frequency = least;
  gsize size = 1;
  g_autofree double *grid = NULL;

  while (size < 4 * self->n)
    size *= 2;
  grid = g_new0 (double, size);
  for (gsize t = 0; t < self->n; t++)
    grid[(gsize)lround ((wavenumber[t] - wavenumber[0]) / step)] += self->y[t];
  gsl_fft_real_radix2_transform (grid, 1, size);
  *resolution = 1.0 / (step * (double)size);
  for (gsize i = 1; i < size / 2; i++)
    {
      double at = (double)i * *resolution,
             power = grid[i] * grid[i] + grid[size - i] * grid[size - i];
      if (at >= least && at <= most && power > best)
        {
          best = power;
          frequency = at;
        }
    }
  return frequency;
}

/* Golden section on the fall of the sum of squares, around a peak of the periodogram. */
static double
refine (const Ripple *self, double low, double high)
{
  const double ratio = 0.5 * (sqrt (5.0) - 1.0);
  double c, s;
  double a = high - ratio * (high - low), b = low + ratio * (high - low);
  double at_a = project (self, 1.0 / a, &c, &s), at_b = project (self, 1.0 / b, &c, &s);

  for (int i = 0; i < 24; i++)
    if (at_a > at_b)
      {
        high = b, b = a, at_b = at_a;
        a = high - ratio * (high - low);
        at_a = project (self, 1.0 / a, &c, &s);
      }
    else
      {
        low = a, a = b, at_a = at_b;
        b = low + ratio * (high - low);
        at_b = project (self, 1.0 / b, &c, &s);
      }
  return 0.5 * (low + high);
}

/* Flattens the record beside all fringes but @which. */
static void
flatten (Ripple *self, const FaintModel *model, guint which)
{
  const FaintLayout *layout = model->layout;

  for (gsize k = 0; k < layout->n_windows; k++)
    {
      gsize at = layout->windows[k].first - layout->first;
      flatten_window (model, &layout->windows[k], which, self->y + at, self->weight + at);
    }
}

static void
set_fringe (FaintModel *model, guint which, const Ripple *ripple, double frequency)
{
  FaintFitInstrument instrument = faint_model_get_instrument (model);
  FaintFitFringe *fringe = &instrument.fringe[which];

  fringe->period = 1.0 / frequency;
  project (ripple, fringe->period, &fringe->cosine, &fringe->sine);
  faint_model_set_instrument (model, &instrument);
}

static void
start_fringe (Ripple *self, FaintModel *model, guint which, double period)
{
  const FaintLayout *layout = model->layout;
  const double *wavenumber = self->spectrum->wavenumber + self->first;
  double step = (wavenumber[self->n - 1] - wavenumber[0]) / (double)(self->n - 1);
  double widest = INFINITY, resolution, frequency;

  for (gsize k = 0; k < layout->n_windows; k++)
    widest = MIN (widest, 2.0 * layout->windows[k].half);
  flatten (self, model, which);
  if (period > 0.0)
    frequency = greatest_frequency (self, 1.0 / (AROUND * period), AROUND / period, &resolution);
  else
    frequency = greatest_frequency (self, 1.0 / widest, 1.0 / (LEAST_TEETH * step), &resolution);
  frequency = refine (self, MAX (frequency - 2.0 * resolution, 0.5 * resolution),
                      frequency + 2.0 * resolution);
  set_fringe (model, which, self, frequency);
}

void
faint_fringes_start (FaintModel *model, const double *period)
{
  const FaintLayout *layout = model->layout;
  gsize n = layout->n_teeth;
  g_autofree double *y = g_new0 (double, 2 * MAX (n, 1));
  Ripple ripple = { model->spectrum, layout->first, n, y, y + n, model->fringe_origin };
  double span;

  if (layout->n_fringes == 0 || n < 16)
    return;
  for (guint k = 0; k < layout->n_fringes; k++)
    start_fringe (&ripple, model, k, period[k]);
  span = model->spectrum->wavenumber[layout->first + n - 1]
         - model->spectrum->wavenumber[layout->first];
  for (int cycle = 0; cycle < CYCLES; cycle++)
    for (guint k = 0; k < layout->n_fringes; k++)
      {
        double frequency = 1.0 / model->fringe[k].period;

        flatten (&ripple, model, k);
        set_fringe (model, k, &ripple,
                    refine (&ripple, frequency - 0.25 / span, frequency + 0.25 / span));
      }
}

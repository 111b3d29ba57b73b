/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/fit/baseline.h"

#include <math.h>

#include "faint/base/parallel.h"

#define BELOW 2.5
#define ABOVE 4.0
#define ROUNDS 12
/* A polynomial of which less than this is left beside the lower ones is left out. */
#define UNDETERMINED 1e-10

/* Legendre polynomials at @x, @terms of them. */
static inline void
legendre (double x, gsize terms, double *p)
{
  p[0] = 1.0;
  if (terms > 1)
    p[1] = x;
  for (gsize d = 1; d + 1 < terms; d++)
    p[d + 1] = ((2.0 * d + 1.0) * x * p[d] - d * p[d - 1]) / (d + 1.0);
}

/* Sums of the normal equations, lower half: of products of polynomials, and of them with @y. */
static void
sum_products (const FaintSpectrum *spectrum, const FaintLayoutWindow *window, const double *y,
              const double *weight, double *products, double *rhs)
{
  const double *wavenumber = spectrum->wavenumber + window->first;
  gsize terms = window->degree + 1;
  g_autofree double *p = g_new (double, terms);

  for (gsize t = 0; t < window->n; t++)
    {
      if (!(weight[t] > 0.0))
        continue;
      legendre ((wavenumber[t] - window->centre) / window->half, terms, p);
      for (gsize i = 0; i < terms; i++)
        {
          double weighted = weight[t] * p[i];

          rhs[i] += weighted * y[t];
          for (gsize j = 0; j <= i; j++)
            products[i * terms + j] += weighted * p[j];
        }
    }
}

/* Cholesky's factor in place, as many rows as the teeth determine: returns their number. */
static gsize
factor (double *a, gsize width, gsize terms)
{
  for (gsize i = 0; i < terms; i++)
    {
      double diagonal = a[i * width + i];

      for (gsize j = 0; j <= i; j++)
        {
          double sum = a[i * width + j];

          for (gsize k = 0; k < j; k++)
            sum -= a[i * width + k] * a[j * width + k];
          if (j < i)
            a[i * width + j] = sum / a[j * width + j];
          else if (sum > UNDETERMINED * diagonal)
            a[i * width + i] = sqrt (sum);
          else
            return i;
        }
    }
  return terms;
}

static void
substitute (const double *a, gsize width, gsize terms, double *x)
{
  for (gsize i = 0; i < terms; i++)
    {
      for (gsize k = 0; k < i; k++)
        x[i] -= a[i * width + k] * x[k];
      x[i] /= a[i * width + i];
    }
  for (gsize i = terms; i-- > 0;)
    {
      for (gsize k = i + 1; k < terms; k++)
        x[i] -= a[k * width + i] * x[k];
      x[i] /= a[i * width + i];
    }
}

/* Weighted polynomial through @y where @weight > 0; the lowest degree that the teeth allow. The
 * polynomials are orthogonal over the window, so the normal equations lose nothing that counts. */
static gboolean
fit_polynomial (const FaintSpectrum *spectrum, const FaintLayoutWindow *window, const double *y,
                const double *weight, double *coefficient)
{
  gsize width = window->degree + 1, used = 0, terms;
  g_autofree double *products = g_new0 (double, width *width);
  double finite = 0.0;

  for (gsize t = 0; t < window->n; t++)
    used += weight[t] > 0.0;
  for (gsize d = 0; d < width; d++)
    coefficient[d] = 0.0;
  if (used < 2)
    return FALSE;
  sum_products (spectrum, window, y, weight, products, coefficient);
  terms = factor (products, width, MIN (width, used / 2));
  for (gsize d = terms; d < width; d++)
    coefficient[d] = 0.0;
  substitute (products, width, terms, coefficient);
  for (gsize d = 0; d < terms; d++)
    finite += coefficient[d];
  return terms > 0 && isfinite (finite);
}

static double
polynomial_at (const FaintLayoutWindow *window, const double *coefficient, double wavenumber)
{
  double x = (wavenumber - window->centre) / window->half, before = 1.0, now = x;
  double sum = coefficient[0];

  for (guint d = 1; d <= window->degree; d++)
    {
      double next = ((2 * d + 1) * x * now - d * before) / (d + 1);
      sum += coefficient[d] * now;
      before = now;
      now = next;
    }
  return sum;
}

/* Drops and takes back teeth by their distance from the polynomial; returns how many changed. */
static gsize
choose_teeth (const FaintModel *model, const FaintLayoutWindow *window, const double *value,
              const double *value_im, const double *coefficient, double *weight)
{
  const FaintSpectrum *s = model->spectrum;
  gsize changed = 0;

  for (gsize t = 0; t < window->n; t++)
    {
      gsize at = window->first + t;
      double distance
          = (value[t] - polynomial_at (window, coefficient, s->wavenumber[at])) / s->fit_u[at];
      double across = 0.0, keep;

      if (value_im != NULL)
        across = (value_im[t]
                  - polynomial_at (window, coefficient + window->degree + 1, s->wavenumber[at]))
                 / s->fit_u_im[at];
      keep = distance > -BELOW && distance < ABOVE && fabs (across) < ABOVE
                 ? 1.0 / (s->fit_u[at] * s->fit_u[at])
                 : 0.0;
      changed += (keep > 0.0) != (weight[t] > 0.0);
      weight[t] = keep;
    }
  return changed;
}

/* The record in a window without the fringes of the model. */
static double *
without_fringes (const FaintModel *model, const FaintLayoutWindow *window, const double *value)
{
  double *free_of = g_new (double, window->n);

  for (gsize t = 0; t < window->n; t++)
    free_of[t]
        = value[window->first + t]
          / faint_model_fringe_factor (model, model->spectrum->wavenumber[window->first + t]);
  return free_of;
}

static void
start_window (gsize index, guint thread, gpointer data)
{
  FaintModel *model = data;
  const FaintLayoutWindow *window = &model->layout->windows[index];
  const FaintSpectrum *s = model->spectrum;
  double *coefficient = model->theta + window->coefficient;
  gsize terms = window->degree + 1;
  g_autofree double *weight = g_new (double, window->n);
  g_autofree double *value = without_fringes (model, window, s->value);
  g_autofree double *value_im
      = model->layout->channels == 2 ? without_fringes (model, window, s->value_im) : NULL;

  for (gsize t = 0; t < window->n; t++)
    weight[t] = 1.0 / (s->fit_u[window->first + t] * s->fit_u[window->first + t]);
  for (int round = 0; round < ROUNDS; round++)
    {
      g_autofree double *before
          = g_memdup2 (coefficient, terms * model->layout->channels * sizeof (double));
      gboolean fitted = fit_polynomial (s, window, value, weight, coefficient);

      if (fitted && value_im != NULL)
        fitted = fit_polynomial (s, window, value_im, weight, coefficient + terms);
      if (!fitted)
        {
          for (gsize d = 0; d < terms * model->layout->channels; d++)
            coefficient[d] = before[d];
          return;
        }
      if (choose_teeth (model, window, value, value_im, coefficient, weight) == 0)
        return;
    }
}

void
faint_baseline_start (FaintModel *model)
{
  faint_parallel_for (model->layout->n_windows, model->threads, start_window, model);
}

typedef struct
{
  FaintModel *model;
  const double *baseline, *baseline_im;
} Taken;

static void
take_window (gsize index, guint thread, gpointer data)
{
  const Taken *taken = data;
  FaintModel *model = taken->model;
  const FaintLayoutWindow *window = &model->layout->windows[index];
  double *coefficient = model->theta + window->coefficient;
  g_autofree double *weight = g_new (double, window->n);

  for (gsize t = 0; t < window->n; t++)
    weight[t] = isfinite (taken->baseline[window->first + t]) ? 1.0 : 0.0;
  fit_polynomial (model->spectrum, window, taken->baseline + window->first, weight, coefficient);
  if (model->layout->channels == 2)
    fit_polynomial (model->spectrum, window, taken->baseline_im + window->first, weight,
                    coefficient + window->degree + 1);
}

void
faint_baseline_take (FaintModel *model, const double *baseline, const double *baseline_im)
{
  Taken taken = { model, baseline, baseline_im };

  faint_parallel_for (model->layout->n_windows, model->threads, take_window, &taken);
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/fit/baseline.h"

#include <math.h>

#include <gsl/gsl_errno.h>
#include <gsl/gsl_multifit.h>

#define BELOW 2.5
#define ABOVE 4.0
#define ROUNDS 12

/* Weighted polynomial through @y where @weight > 0; the lowest degree that the teeth allow. */
static gboolean
fit_polynomial (const FaintSpectrum *spectrum, const FaintLayoutWindow *window, const double *y,
                const double *weight, double *coefficient)
{
  gsize terms = window->degree + 1, used = 0;
  gsl_multifit_linear_workspace *work;
  gsl_matrix *x, *covariance;
  gsl_vector_const_view yv = gsl_vector_const_view_array (y, window->n);
  gsl_vector_const_view wv = gsl_vector_const_view_array (weight, window->n);
  gsl_vector_view cv;
  double chi2;
  int status;

  for (gsize t = 0; t < window->n; t++)
    used += weight[t] > 0.0;
  for (gsize d = 0; d < window->degree + 1; d++)
    coefficient[d] = 0.0;
  if (used < 2)
    return FALSE;
  terms = MIN (terms, used / 2);
  work = gsl_multifit_linear_alloc (window->n, terms);
  x = gsl_matrix_alloc (window->n, terms);
  covariance = gsl_matrix_alloc (terms, terms);
  cv = gsl_vector_view_array (coefficient, terms);
  for (gsize t = 0; t < window->n; t++)
    {
      double at = (spectrum->wavenumber[window->first + t] - window->centre) / window->half;
      double before = 1.0, now = at;

      gsl_matrix_set (x, t, 0, 1.0);
      for (gsize d = 1; d < terms; d++)
        {
          double next = ((2 * d + 1) * at * now - d * before) / (d + 1);
          gsl_matrix_set (x, t, d, now);
          before = now;
          now = next;
        }
    }
  status = gsl_multifit_wlinear (x, &wv.vector, &yv.vector, &cv.vector, covariance, &chi2, work);
  gsl_matrix_free (x);
  gsl_matrix_free (covariance);
  gsl_multifit_linear_free (work);
  return status == GSL_SUCCESS;
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
          = (value[t] - polynomial_at (window, coefficient, s->wavenumber[at])) / s->u[at];
      double across = 0.0, keep;

      if (value_im != NULL)
        across = (value_im[t]
                  - polynomial_at (window, coefficient + window->degree + 1, s->wavenumber[at]))
                 / s->u_im[at];
      keep = distance > -BELOW && distance < ABOVE && fabs (across) < ABOVE
                 ? 1.0 / (s->u[at] * s->u[at])
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
start_window (FaintModel *model, const FaintLayoutWindow *window)
{
  const FaintSpectrum *s = model->spectrum;
  double *coefficient = model->theta + window->coefficient;
  gsize terms = window->degree + 1;
  g_autofree double *weight = g_new (double, window->n);
  g_autofree double *value = without_fringes (model, window, s->value);
  g_autofree double *value_im
      = model->layout->channels == 2 ? without_fringes (model, window, s->value_im) : NULL;

  for (gsize t = 0; t < window->n; t++)
    weight[t] = 1.0 / (s->u[window->first + t] * s->u[window->first + t]);
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
  for (gsize k = 0; k < model->layout->n_windows; k++)
    start_window (model, &model->layout->windows[k]);
}

void
faint_baseline_take (FaintModel *model, const double *baseline, const double *baseline_im)
{
  const FaintLayout *layout = model->layout;

  for (gsize k = 0; k < layout->n_windows; k++)
    {
      const FaintLayoutWindow *window = &layout->windows[k];
      double *coefficient = model->theta + window->coefficient;
      g_autofree double *weight = g_new (double, window->n);

      for (gsize t = 0; t < window->n; t++)
        weight[t] = isfinite (baseline[window->first + t]) ? 1.0 : 0.0;
      fit_polynomial (model->spectrum, window, baseline + window->first, weight, coefficient);
      if (layout->channels == 2)
        fit_polynomial (model->spectrum, window, baseline_im + window->first, weight,
                        coefficient + window->degree + 1);
    }
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/fit/widths.h"

#include <math.h>

#define LEAST_LINES 6
#define LEAST_SPREAD 0.02

static double
weighted_mean (const double *x, const double *u, gsize n, double variance, double *weight_sum)
{
  double sum = 0.0, weights = 0.0;

  for (gsize i = 0; i < n; i++)
    if (isfinite (u[i]) && u[i] > 0.0)
      {
        double w = 1.0 / (u[i] * u[i] + variance);
        sum += w * x[i];
        weights += w;
      }
  *weight_sum = weights;
  return sum / weights;
}

/* Weighted sum of squares about the mean, less its expectation: falls with @variance. */
static double
excess (const double *x, const double *u, gsize n, double variance)
{
  double weights, mean = weighted_mean (x, u, n, variance, &weights), sum = 0.0;
  gsize count = 0;

  for (gsize i = 0; i < n; i++)
    if (isfinite (u[i]) && u[i] > 0.0)
      {
        sum += (x[i] - mean) * (x[i] - mean) / (u[i] * u[i] + variance);
        count++;
      }
  return sum - ((double)count - 1.0);
}

gboolean
faint_widths_population (const double *x, const double *u, gsize n, double enough, double *mean,
                         double *spread)
{
  double low = 0.0, high = 0.0, weights;
  gsize known = 0;

  for (gsize i = 0; i < n; i++)
    {
      known += isfinite (u[i]) && u[i] > 0.0 && u[i] <= enough;
      if (isfinite (u[i]) && u[i] > 0.0)
        high = MAX (high, x[i] * x[i] + u[i] * u[i]);
    }
  if (known < LEAST_LINES)
    return FALSE;
  if (excess (x, u, n, 0.0) > 0.0)
    {
      while (excess (x, u, n, high) > 0.0)
        high *= 4.0;
      for (int i = 0; i < 60; i++)
        {
          double middle = 0.5 * (low + high);
          if (excess (x, u, n, middle) > 0.0)
            low = middle;
          else
            high = middle;
        }
    }
  else
    high = 0.0;
  *mean = weighted_mean (x, u, n, high, &weights);
  *spread = MAX (sqrt (high + 1.0 / weights), LEAST_SPREAD * *mean);
  return *mean > 0.0 && isfinite (*spread);
}

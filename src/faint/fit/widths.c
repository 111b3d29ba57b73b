/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/fit/widths.h"

#include <math.h>

#include "faint/spectrum/rank.h"

#define LEAST_LINES 6
/* Widths of a band differ by this part at least (common practice, no source). */
#define LEAST_SPREAD 0.2
/* The spread rests on the lines whose widths are known within this factor of the best tenth: the
 * others would only add their noise. */
#define INFORMATIVE 3.0
/* A width this many spreads (by the median deviation) and uncertainties from the median is no
 * member. */
#define OUTLIER 6.0

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

static double
median_of (double *values, gsize n)
{
  double upper = faint_rank_select (values, n, n / 2);

  return n % 2 == 1 ? upper : 0.5 * (faint_rank_select (values, n, n / 2 - 1) + upper);
}

/* Uncertainties of the members; NAN for widths that belong to something else (a bend of the
 * baseline, a blend taken for a line). @known: number of widths known to @enough. */
static double *
members (const double *x, const double *u, gsize n, double enough, gsize *known)
{
  double *chosen = g_new (double, n + 1);
  g_autofree double *sorted = g_new (double, n + 1);
  double median, deviation;

  *known = 0;
  for (gsize i = 0; i < n; i++)
    if (isfinite (u[i]) && u[i] > 0.0 && u[i] <= enough)
      sorted[(*known)++] = x[i];
  if (*known == 0)
    return chosen;
  median = median_of (sorted, *known);
  for (gsize i = 0; i < *known; i++)
    sorted[i] = fabs (sorted[i] - median);
  deviation = 1.4826 * median_of (sorted, *known);
  for (gsize i = 0; i < n; i++)
    chosen[i]
        = isfinite (u[i]) && u[i] > 0.0 && fabs (x[i] - median) <= OUTLIER * (deviation + u[i])
              ? u[i]
              : NAN;
  return chosen;
}

/* The best determined of the members; NAN for the others. */
static double *
informative (const double *u, gsize n, gsize *count)
{
  double *chosen = g_new (double, n + 1);
  g_autofree double *sorted = g_new (double, n + 1);
  double limit;
  gsize m = 0;

  for (gsize i = 0; i < n; i++)
    if (isfinite (u[i]))
      sorted[m++] = u[i];
  limit = MAX (INFORMATIVE * faint_rank_select (sorted, m, m / 10),
               faint_rank_select (sorted, m, MIN (LEAST_LINES, m) - 1));
  *count = 0;
  for (gsize i = 0; i < n; i++)
    {
      chosen[i] = isfinite (u[i]) && u[i] <= limit ? u[i] : NAN;
      *count += isfinite (chosen[i]);
    }
  return chosen;
}

/* Variance between the lines: where the weighted sum of squares has come down to its expectation
 * less one standard deviation, so that the variance is rather too large than too small. */
static double
variance_between (const double *x, const double *u, gsize n, gsize count)
{
  double target = -sqrt (2.0 * ((double)count - 1.0)), low = 0.0, high = 0.0;

  if (excess (x, u, n, 0.0) <= target)
    return 0.0;
  for (gsize i = 0; i < n; i++)
    if (isfinite (u[i]))
      high = MAX (high, x[i] * x[i] + u[i] * u[i]);
  while (excess (x, u, n, high) > target)
    high *= 4.0;
  for (int i = 0; i < 60; i++)
    {
      double middle = 0.5 * (low + high);
      if (excess (x, u, n, middle) > target)
        low = middle;
      else
        high = middle;
    }
  return high;
}

gboolean
faint_widths_population (const double *x, const double *u_all, gsize n, double enough, double *mean,
                         double *spread)
{
  double variance, weights;
  gsize known, count;
  g_autofree double *u = members (x, u_all, n, enough, &known);
  g_autofree double *best = NULL;

  if (known < LEAST_LINES)
    return FALSE;
  best = informative (u, n, &count);
  variance = variance_between (x, best, n, count);
  *mean = weighted_mean (x, u, n, variance, &weights);
  *spread = MAX (FAINT_WIDTHS_CAUTION * sqrt (variance + 1.0 / weights), LEAST_SPREAD * *mean);
  return *mean > 0.0 && isfinite (*spread);
}

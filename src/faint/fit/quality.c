/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/fit/quality.h"

#include <math.h>

static double
runs_statistic (const double *residual, gsize n)
{
  double above = 0.0, below = 0.0, runs = 1.0, product, expected, variance;

  for (gsize i = 0; i < n; i++)
    {
      if (residual[i] >= 0.0)
        above += 1.0;
      else
        below += 1.0;
      if (i > 0 && (residual[i] >= 0.0) != (residual[i - 1] >= 0.0))
        runs += 1.0;
    }
  product = 2.0 * above * below;
  expected = product / (above + below) + 1.0;
  variance = product * (product - above - below)
             / ((above + below) * (above + below) * (above + below - 1.0));
  return variance > 0.0 ? (runs - expected) / sqrt (variance) : NAN;
}

FaintQuality
faint_quality (const double *residual, gsize n)
{
  FaintQuality quality = { .lag1 = NAN, .runs_z = NAN };
  double mean = 0.0, variance = 0.0, product = 0.0;

  for (gsize i = 0; i < n; i++)
    {
      quality.chi2 += residual[i] * residual[i];
      quality.largest = MAX (quality.largest, fabs (residual[i]));
      mean += residual[i];
    }
  if (n < 3)
    return quality;
  mean /= (double)n;
  for (gsize i = 0; i < n; i++)
    {
      variance += (residual[i] - mean) * (residual[i] - mean);
      if (i > 0)
        product += (residual[i] - mean) * (residual[i - 1] - mean);
    }
  if (variance > 0.0)
    quality.lag1 = product / variance;
  quality.runs_z = runs_statistic (residual, n);
  return quality;
}

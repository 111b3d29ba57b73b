/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The spread is taken block by block, blocks overlapping by half, and interpolated between their
 * centres: O(n) whatever the window.
 */
#include "faint/spectrum/noise.h"

#include <math.h>
#include <string.h>

#include "faint/spectrum/rank.h"

/* Standard deviation of v0 - 3 v1 + 3 v2 - v3 for white noise of 1: sqrt(1 + 9 + 9 + 1). */
#define THIRD_DIFFERENCE 4.47213595499957939
#define SPAN_OF_DIFFERENCE 4
/* Median of |x| of a standard normal number, 1/1.4826; and the same of those below CUT alone. */
#define MEDIAN 0.67448975019608174
#define MEDIAN_BELOW_CUT 0.66475116050847473
/* What lies further out, in estimated standard deviations, is the flank of a line. */
#define CUT 2.5
#define ROUNDS 6

static void
swap (double *a, double *b)
{
  double kept = *a;

  *a = *b;
  *b = kept;
}

static double
root_mean_square (const double *x, gsize n)
{
  double sum = 0.0;

  for (gsize i = 0; i < n; i++)
    sum += x[i] * x[i];
  return sqrt (sum / (double)n);
}

/* Spread of the @n absolute differences, which are reordered. After each median those beyond CUT
 * are set aside, so that many narrow lines do not count as noise. */
static double
spread (double *difference, gsize n)
{
  double sigma = faint_rank_select (difference, n, n / 2) / MEDIAN;

  if (sigma == 0.0) /* more than half are alike: coarse digits */
    return root_mean_square (difference, n);
  for (int round = 0; round < ROUNDS; round++)
    {
      gsize inside = 0;

      for (gsize i = 0; i < n; i++)
        if (difference[i] < CUT * sigma)
          swap (&difference[inside++], &difference[i]);
      if (inside == n || inside < 2)
        break;
      n = inside;
      sigma = faint_rank_select (difference, n, n / 2) / MEDIAN_BELOW_CUT;
      if (sigma == 0.0)
        return root_mean_square (difference, n);
    }
  return sigma;
}

/* The spread of samples @first to @first + @n. */
static double
block_sigma (const double *value, gsize first, gsize n, double *scratch)
{
  gsize m = n - (SPAN_OF_DIFFERENCE - 1);

  for (gsize i = 0; i < m; i++)
    {
      const double *v = value + first + i;

      scratch[i] = fabs ((v[0] - v[3]) - 3.0 * (v[1] - v[2]));
    }
  return spread (scratch, m) / THIRD_DIFFERENCE;
}

/* Blocks without any scatter take the mean of those that have some. */
static void
fill_still_blocks (double *sigma, gsize n)
{
  double sum = 0.0;
  gsize moving = 0;

  for (gsize i = 0; i < n; i++)
    if (sigma[i] > 0.0)
      {
        sum += sigma[i];
        moving++;
      }
  for (gsize i = 0; i < n && moving > 0; i++)
    if (!(sigma[i] > 0.0))
      sigma[i] = sum / (double)moving;
}

/* @block: spreads at centres half + i stride; constant beyond the outer ones. */
static void
interpolate (const double *block, gsize n_blocks, double stride, double half, gsize n,
             double *sigma)
{
  for (gsize i = 0; i < n; i++)
    {
      double place = ((double)i + 0.5 - half) / stride;
      gsize left = place <= 0.0 ? 0 : MIN ((gsize)place, n_blocks - 1);
      gsize right = MIN (left + 1, n_blocks - 1);
      double share = CLAMP (place - (double)left, 0.0, 1.0);

      sigma[i] = (1.0 - share) * block[left] + share * block[right];
    }
}

void
faint_noise_estimate (const double *value, gsize n, gsize window, double *sigma)
{
  gsize width = MIN (MAX (window, 4 * SPAN_OF_DIFFERENCE), n), n_blocks;
  g_autofree double *scratch = NULL, *block = NULL;
  double stride;

  if (n < SPAN_OF_DIFFERENCE)
    {
      memset (sigma, 0, n * sizeof *sigma);
      return;
    }
  n_blocks = MAX (1, (2 * n + width - 1) / width - 1);
  stride = n_blocks > 1 ? (double)(n - width) / (double)(n_blocks - 1) : 1.0;
  scratch = g_new (double, width);
  block = g_new (double, n_blocks);
  for (gsize i = 0; i < n_blocks; i++)
    block[i] = block_sigma (value, (gsize)((double)i * stride), width, scratch);
  fill_still_blocks (block, n_blocks);
  interpolate (block, n_blocks, stride, (double)width / 2.0, n, sigma);
}

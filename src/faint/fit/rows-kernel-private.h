/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Products of Jacobian rows of a FaintFitKernel, in the instruction set of the file that includes
 * this. A window has few rows of a few hundred teeth: a BLAS spends more on packing them than on
 * the sums.
 */
#pragma once

#include "faint/fit/kernel-private.h"
#include "faint/shape/complex-vector-private.h"

#define ROWS_HIGH 4
#define ROWS_WIDE 3

C4_INLINE double
rows_total (V4 v)
{
  return (v[0] + v[2]) + (v[1] + v[3]);
}

/* Products of up to 4 rows from @a on with up to 3 rows from @b on; rows beyond the last one repeat
 * it, and are not stored, nor is what lies above the diagonal. */
C4_INLINE void
rows_tile (const double *rows, gsize n_rows, gsize n, gsize a, gsize b, double *products)
{
  const double *high[ROWS_HIGH], *wide[ROWS_WIDE];
  V4 sums[ROWS_HIGH][ROWS_WIDE] = { { { 0.0 } } };
  gsize t = 0;

  for (gsize i = 0; i < ROWS_HIGH; i++)
    high[i] = rows + MIN (a + i, n_rows - 1) * n;
  for (gsize j = 0; j < ROWS_WIDE; j++)
    wide[j] = rows + MIN (b + j, n_rows - 1) * n;
  for (; t + 4 <= n; t += 4)
    {
      V4 w0 = v4_load (wide[0] + t), w1 = v4_load (wide[1] + t), w2 = v4_load (wide[2] + t);

      for (int i = 0; i < ROWS_HIGH; i++)
        {
          V4 h = v4_load (high[i] + t);

          sums[i][0] += h * w0;
          sums[i][1] += h * w1;
          sums[i][2] += h * w2;
        }
    }
  for (gsize i = 0; i < ROWS_HIGH && a + i < n_rows; i++)
    for (gsize j = 0; j < ROWS_WIDE && b + j <= a + i; j++)
      {
        double sum = rows_total (sums[i][j]);

        for (gsize rest = t; rest < n; rest++)
          sum += high[i][rest] * wide[j][rest];
        products[(a + i) * n_rows + b + j] = sum;
      }
}

static void
rows_products (const double *rows, gsize n_rows, gsize n, double *products)
{
  for (gsize a = 0; a < n_rows; a += ROWS_HIGH)
    for (gsize b = 0; b < MIN (a + ROWS_HIGH, n_rows); b += ROWS_WIDE)
      rows_tile (rows, n_rows, n, a, b, products);
}

static void
rows_project (const double *rows, gsize n_rows, gsize stride, gsize n, const double *on,
              double *sums)
{
  for (gsize a = 0; a < n_rows; a++)
    {
      const double *row = rows + a * stride;
      V4 sum0 = v4_of (0.0), sum1 = sum0;
      double rest = 0.0;
      gsize t = 0;

      for (; t + 8 <= n; t += 8)
        {
          sum0 += v4_load (row + t) * v4_load (on + t);
          sum1 += v4_load (row + t + 4) * v4_load (on + t + 4);
        }
      for (; t < n; t++)
        rest += row[t] * on[t];
      sums[a] += rows_total (sum0 + sum1) + rest;
    }
}

static void
rows_combine (gsize n, FaintFitTerm first, FaintFitTerm second, double *restrict row)
{
  for (gsize t = 0; t < n; t++)
    row[t] = first.factor * (first.a[t] * first.b[t]) + second.factor * (second.a[t] * second.b[t]);
}

static void
rows_add (gsize n, double factor, const double *term, double *restrict sum)
{
  for (gsize t = 0; t < n; t++)
    sum[t] += factor * term[t];
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The matched filter of a FaintFitKernel, four doubles at once, in the instruction set of the file
 * that includes this.
 */
#pragma once

#include "faint/fit/kernel-private.h"
#include "faint/shape/complex-vector-private.h"

typedef struct
{
  V4 moment[5], by_template[3], by_residual[3], square, product;
} FindLanes;

C4_INLINE void
find_add (FindLanes *s, const FaintFindRows *rows, const FaintFindPattern *pattern, gsize t)
{
  V4 x = v4_load (pattern->x + t), x2 = v4_load (pattern->x2 + t);
  V4 g = v4_load (rows->inverse_u + t), residual = v4_load (rows->residual + t);
  V4 tau = v4_load (rows->row_re + t) * v4_load (pattern->re + t)
           + v4_load (rows->row_im + t) * v4_load (pattern->im + t);
  V4 m = g * g, m2 = m * x2;

  s->square += tau * tau;
  s->product += tau * residual;
  tau *= g;
  residual *= g;
  s->by_template[0] += tau;
  s->by_template[1] += tau * x;
  s->by_template[2] += tau * x2;
  s->by_residual[0] += residual;
  s->by_residual[1] += residual * x;
  s->by_residual[2] += residual * x2;
  s->moment[0] += m;
  s->moment[1] += m * x;
  s->moment[2] += m2;
  s->moment[3] += m2 * x;
  s->moment[4] += m2 * x2;
}

C4_INLINE double
find_total (V4 v)
{
  return (v[0] + v[2]) + (v[1] + v[3]);
}

static void
find_sum (const FaintFindRows *rows, const FaintFindPattern *pattern, gsize n, FaintFindSums *sums)
{
  FindLanes lanes = { { { 0.0 } } };
  double rest[8][4] = { { 0.0 } };
  gsize t = 0, left, bytes;

  for (; t + 4 <= n; t += 4)
    find_add (&lanes, rows, pattern, t);
  left = n - t;
  bytes = left * sizeof (double);
  if (left > 0)
    {
      const double *from[8] = { rows->row_re, rows->row_im, rows->residual, rows->inverse_u,
                                pattern->re,  pattern->im,  pattern->x,     pattern->x2 };

      for (int k = 0; k < 8; k++)
        memcpy (rest[k], from[k] + t, bytes);
      find_add (&lanes, &(FaintFindRows){ rest[0], rest[1], rest[2], rest[3] },
                &(FaintFindPattern){ rest[4], rest[5], rest[6], rest[7] }, 0);
    }
  for (int k = 0; k < 5; k++)
    sums->moment[k] = find_total (lanes.moment[k]);
  for (int k = 0; k < 3; k++)
    {
      sums->by_template[k] = find_total (lanes.by_template[k]);
      sums->by_residual[k] = find_total (lanes.by_residual[k]);
    }
  sums->square = find_total (lanes.square);
  sums->product = find_total (lanes.product);
}

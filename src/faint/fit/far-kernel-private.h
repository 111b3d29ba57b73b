/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The far wings of a FaintFitKernel, four doubles at once, in the instruction set of the file that
 * includes this.
 */
#pragma once

#include "faint/fit/kernel-private.h"
#include "faint/shape/complex-vector-private.h"

#define FOURS (FAR_N / 4)

/* p and dp/dnu0 over strength at distances @d from the centre; see far.h. Times pi. */
C4_INLINE void
far_profile (V4 d, double lorentz, double h0, C4 *p, C4 *slope)
{
  V4 norm = 1.0 / (d * d + lorentz * lorentz);
  C4 inverse = { d * norm, -lorentz * norm };
  C4 square = c4_mul (inverse, inverse);
  C4 h = c4_scale (square, h0);
  /* 1 + h(1 + 3h(1 + 5h(1 + 7h))) */
  C4 sum = c4_plus (c4_scale (h, 7.0), 1.0);

  sum = c4_plus (c4_scale (c4_mul (h, sum), 5.0), 1.0);
  sum = c4_plus (c4_scale (c4_mul (h, sum), 3.0), 1.0);
  sum = c4_plus (c4_mul (h, sum), 1.0);
  *p = c4_turned (c4_mul (inverse, sum));
  if (slope == NULL)
    return;
  /* 1 + 3h(1 + 5h(1 + 7h(1 + 9h))) */
  sum = c4_plus (c4_scale (h, 9.0), 1.0);
  sum = c4_plus (c4_scale (c4_mul (h, sum), 7.0), 1.0);
  sum = c4_plus (c4_scale (c4_mul (h, sum), 5.0), 1.0);
  sum = c4_plus (c4_scale (c4_mul (h, sum), 3.0), 1.0);
  *slope = c4_turned (c4_mul (square, sum));
}

static void
far_sum (const FaintFarLine *lines, gsize n, double centre, const double offset[FAR_N],
         double re[FAR_N], double im[FAR_N])
{
  C4 sums[FOURS];

  for (int q = 0; q < FOURS; q++)
    sums[q] = (C4){ v4_load (re + 4 * q), v4_load (im + 4 * q) };
  for (gsize i = 0; i < n; i++)
    for (int q = 0; q < FOURS; q++)
      {
        C4 p;

        far_profile (centre - lines[i].position + v4_load (offset + 4 * q), lines[i].lorentz,
                     lines[i].h0, &p, NULL);
        sums[q] = c4_add (sums[q], c4_scale (p, lines[i].strength / G_PI));
      }
  for (int q = 0; q < FOURS; q++)
    {
      v4_store (re + 4 * q, sums[q].re);
      v4_store (im + 4 * q, sums[q].im);
    }
}

C4_INLINE double
sum_of (V4 v)
{
  return (v[0] + v[2]) + (v[1] + v[3]);
}

static void
far_project (const FaintFarLine *lines, gsize n, double centre, const double offset[FAR_N],
             const double a[FAR_N], const double b[FAR_N], FaintFarWorth *worth)
{
  for (gsize i = 0; i < n; i++)
    {
      V4 strength = v4_of (0.0), position = v4_of (0.0), lorentz = v4_of (0.0);

      for (int q = 0; q < FOURS; q++)
        {
          V4 wa = v4_load (a + 4 * q), wb = v4_load (b + 4 * q);
          C4 p, slope;

          far_profile (centre - lines[i].position + v4_load (offset + 4 * q), lines[i].lorentz,
                       lines[i].h0, &p, &slope);
          strength += wa * p.re + wb * p.im;
          position += wa * slope.re + wb * slope.im;
          lorentz += wa * slope.im - wb * slope.re;
        }
      worth[i].strength += sum_of (strength) / G_PI;
      worth[i].position += sum_of (position) / G_PI;
      worth[i].lorentz += sum_of (lorentz) / G_PI;
    }
}

/* Clenshaw's sum of a Chebyshev series at eight places. */
C4_INLINE void
add_eight (const double re[FAR_N], const double im[FAR_N], const double *x, double factor,
           double *sum_re, double *sum_im)
{
  V4 x0 = v4_load (x), x1 = v4_load (x + 4);
  C4 now0 = c4_of (0.0, 0.0), before0 = now0, now1 = now0, before1 = now0, next;

  for (int m = FAR_N - 1; m > 0; m--)
    {
      next = (C4){ 2.0 * x0 * now0.re - before0.re + re[m],
                   2.0 * x0 * now0.im - before0.im + im[m] };
      before0 = now0, now0 = next;
      next = (C4){ 2.0 * x1 * now1.re - before1.re + re[m],
                   2.0 * x1 * now1.im - before1.im + im[m] };
      before1 = now1, now1 = next;
    }
  v4_store (sum_re, v4_load (sum_re) + factor * (x0 * now0.re - before0.re + re[0]));
  v4_store (sum_im, v4_load (sum_im) + factor * (x0 * now0.im - before0.im + im[0]));
  v4_store (sum_re + 4, v4_load (sum_re + 4) + factor * (x1 * now1.re - before1.re + re[0]));
  v4_store (sum_im + 4, v4_load (sum_im + 4) + factor * (x1 * now1.im - before1.im + im[0]));
}

static void
far_interpolate (const FaintFarTable *table, const double re[FAR_N], const double im[FAR_N],
                 const double *x, gsize n, double factor, double *sum_re, double *sum_im)
{
  double c_re[FAR_N] = { 0.0 }, c_im[FAR_N] = { 0.0 };
  double rest[8] = { 0.0 }, rest_re[8] = { 0.0 }, rest_im[8] = { 0.0 };
  gsize t = 0;

  for (int j = 0; j < FAR_N; j++)
    for (int m = 0; m < FAR_N; m++)
      {
        c_re[m] += table->transposed[j][m] * re[j];
        c_im[m] += table->transposed[j][m] * im[j];
      }
  for (; t + 8 <= n; t += 8)
    add_eight (c_re, c_im, x + t, factor, sum_re + t, sum_im + t);
  if (t == n)
    return;
  memcpy (rest, x + t, (n - t) * sizeof (double));
  add_eight (c_re, c_im, rest, factor, rest_re, rest_im);
  for (gsize i = 0; t + i < n; i++)
    {
      sum_re[t + i] += rest_re[i];
      sum_im[t + i] += rest_im[i];
    }
}

/* Chebyshev's polynomials at eight places, times the weights there. */
C4_INLINE void
weigh_eight (const double *x, const double *a, const double *b, V4 hat_a[FAR_N], V4 hat_b[FAR_N])
{
  V4 x0 = v4_load (x), x1 = v4_load (x + 4);
  V4 a0 = v4_load (a), a1 = v4_load (a + 4), b0 = v4_load (b), b1 = v4_load (b + 4);
  V4 before0 = v4_of (1.0), before1 = before0, now0 = x0, now1 = x1, next;

  hat_a[0] += a0 + a1;
  hat_b[0] += b0 + b1;
  for (int m = 1; m < FAR_N; m++)
    {
      hat_a[m] += a0 * now0 + a1 * now1;
      hat_b[m] += b0 * now0 + b1 * now1;
      next = 2.0 * x0 * now0 - before0;
      before0 = now0, now0 = next;
      next = 2.0 * x1 * now1 - before1;
      before1 = now1, now1 = next;
    }
}

static void
far_gather (const FaintFarTable *table, const double *x, gsize n, const double *a, const double *b,
            double at_a[FAR_N], double at_b[FAR_N])
{
  V4 hat_a[FAR_N] = { { 0.0 } }, hat_b[FAR_N] = { { 0.0 } };
  double rest[8] = { 0.0 }, rest_a[8] = { 0.0 }, rest_b[8] = { 0.0 };
  gsize t = 0;

  for (; t + 8 <= n; t += 8)
    weigh_eight (x + t, a + t, b + t, hat_a, hat_b);
  if (t < n)
    {
      memcpy (rest, x + t, (n - t) * sizeof (double));
      memcpy (rest_a, a + t, (n - t) * sizeof (double));
      memcpy (rest_b, b + t, (n - t) * sizeof (double));
      weigh_eight (rest, rest_a, rest_b, hat_a, hat_b);
    }
  for (int m = 0; m < FAR_N; m++)
    {
      double sum_a = sum_of (hat_a[m]), sum_b = sum_of (hat_b[m]);

      for (int j = 0; j < FAR_N; j++)
        {
          at_a[j] += table->to_coefficient[m][j] * sum_a;
          at_b[j] += table->to_coefficient[m][j] * sum_b;
        }
    }
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * w(z) for four z of one y >= 0 at once. A file includes this once for its instruction set.
 *
 * Near, |z|^2 < 45: the integral (i/pi) int exp(-t^2)/(z-t) dt summed with step 1/2, with the
 * residue at t = z (S. M. Al Azah and S. N. Chandler-Wilde, SIAM J. Numer. Anal. 59, 2346 (2021)).
 * Of the two rules, nodes at k/2 or at k/2 + 1/4, each lane takes the one whose nodes are farther
 * away. The sum's error is of order exp(-4 pi^2) = 7e-18. Nodes t and -t together give
 * Re w = y sum c (|z|^2 + t^2)/D, Im w = x sum c (|z|^2 - t^2)/D, D = |z^2 - t^2|^2: the real part
 * is a sum of positive terms and keeps its digits where it is tiny.
 *
 * Far: the asymptotic series (DLMF 7.12.1) w = i/(sqrt(pi) z) (1 + G), G = sum c_k z^-2k with
 * c_k = (2k-1)!!/2^k. As (2k+1) c_k = 2 c_(k+1), w' = -2i/sqrt(pi) G without any cancellation.
 */
#pragma once

#include "faint/shape/faddeeva-private.h"
#include "faint/shape/faddeeva-sums-private.h"

/* How much of a point is wanted. */
enum
{
  KERNEL_VALUE,
  KERNEL_DERIVATIVE, /* w' too */
  KERNEL_TURNED,     /* and i w' */
  KERNEL_GRADIENT,   /* and w + z w' */
};

typedef struct
{
  V4 w_re, w_im, d_re, d_im, s_re, s_im;
} KernelResult;

/* Every member by itself: a whole struct at once would be cleared in memory. */
KERNEL_INLINE void
kernel_clear (KernelResult *out)
{
  out->w_re = out->w_im = v4_of (0.0);
  out->d_re = out->d_im = v4_of (0.0);
  out->s_re = out->s_im = v4_of (0.0);
}

/* What depends on y alone. */
typedef struct
{
  double y, y2;
  gboolean pole;         /* the residue counts: up to y = 2 pi, the edge of the sum's strip */
  gboolean gauss;        /* exp(-x^2) counts against the far series: y < 0.01 */
  double residue;        /* 2 exp(y^2) */
  double decay, decay_2; /* E = exp(4 pi y) and 1 + E^2 */
} KernelRow;

KERNEL_INLINE KernelRow
kernel_row (double y)
{
  KernelRow row = { .y = y, .y2 = y * y, .pole = y < 2.0 * G_PI, .gauss = y < 0.01 };

  if (row.pole)
    {
      row.residue = 2.0 * exp (y * y);
      row.decay = exp (4.0 * G_PI * y);
      row.decay_2 = 1.0 + row.decay * row.decay;
    }
  return row;
}

/* Adds the residue 2 exp(-z^2)/(1 + E exp(-i pi g)), g = 4x less the nearest whole number. */
KERNEL_INLINE void
kernel_add_residue (const KernelRow *row, V4 x, V4 g, V4 *re, V4 *im)
{
  V4 half = g * (0.5 * G_PI);
  V4 s2 = v4_sin_octant (half);
  V4 es = row->decay * (2.0 * s2 * v4_cos_octant (half));
  V4 ec = row->decay * (1.0 - 2.0 * s2 * s2);
  V4 size = v4_exp_minus_square (x) * row->residue / (row->decay_2 + 2.0 * ec);
  V4 s, c;

  v4_sincos (x * (2.0 * row->y), &s, &c);
  *re += size * (c + (c * ec + s * es));
  *im += size * ((c * es - s * ec) - s);
}

KERNEL_INLINE void
kernel_near (const KernelRow *row, V4 x, V4 *re, V4 *im)
{
  V4 x2 = x * x;
  V4 b = x * (2.0 * row->y);
  V4 rounded = 4.0 * x + V4_ROUND;
  V4 g = 4.0 * x - (rounded - V4_ROUND);
  V4i even = ((V4i)rounded & 1) - 1;
  V4 s0, s1;

  kernel_sum (x2 - row->y2, b * b, v4_select (even, v4_of (1.0), v4_of (0.0)), &s0, &s1);
  *re = row->y * (2.0 * x2 * s0 - s1);
  *im = x * (2.0 * row->y2 * s0 + s1);
  if (row->pole)
    kernel_add_residue (row, x, g, re, im);
}

/* The series by the real two-term recurrence: G = v b_1 - |v|^2 b_2, v = 1/z^2. */
KERNEL_INLINE void
kernel_far (const KernelRow *row, V4 x, V4 r2, int terms, int level, KernelResult *out)
{
  V4 inverse = 1.0 / r2;
  V4 v_re = ((x - row->y) * inverse) * ((x + row->y) * inverse);
  V4 v_im = -2.0 * (x * inverse) * (row->y * inverse);
  V4 p = 2.0 * v_re;
  V4 q = inverse * inverse;
  V4 b1 = v4_of (kernel_series[terms]), b2 = v4_of (0.0);
  V4 h1 = b1 * (2.0 * terms), h2 = b2;

  for (int k = terms - 1; k > 0; k--)
    {
      V4 b0 = (kernel_series[k] - q * b2) + p * b1;
      b2 = b1;
      b1 = b0;
      if (level >= KERNEL_GRADIENT)
        {
          V4 h0 = (2.0 * k * kernel_series[k] - q * h2) + p * h1;
          h2 = h1;
          h1 = h0;
        }
    }
  V4 g_re = v_re * b1 - q * b2, g_im = v_im * b1;
  V4 zi_re = row->y * inverse * KERNEL_INV_SQRT_PI, zi_im = x * inverse * KERNEL_INV_SQRT_PI;
  out->w_re = (zi_re - zi_im * g_im) + zi_re * g_re;
  out->w_im = (zi_im + zi_re * g_im) + zi_im * g_re;
  if (level >= KERNEL_DERIVATIVE)
    {
      out->d_re = KERNEL_2_SQRT_PI * g_im;
      out->d_im = -KERNEL_2_SQRT_PI * g_re;
    }
  if (level >= KERNEL_GRADIENT)
    {
      /* w + z w' = -i/(sqrt(pi) z) sum 2k c_k v^k */
      V4 k_re = v_re * h1 - q * h2, k_im = v_im * h1;
      out->s_re = zi_im * k_im - zi_re * k_re;
      out->s_im = -zi_re * k_im - zi_im * k_re;
    }
}

/* The real part's share of a Gaussian, which the series does not see. */
KERNEL_INLINE void
kernel_add_gauss (V4 x, KernelResult *out)
{
  V4 e = v4_exp_minus_square (x);

  out->w_re += e;
  out->d_re -= 2.0 * x * e;
  out->s_re += (1.0 - 2.0 * x * x) * e;
}

/* w' = -2 z w + 2i/sqrt(pi). */
KERNEL_INLINE void
kernel_near_slopes (const KernelRow *row, V4 x, KernelResult *out)
{
  out->d_re = -2.0 * (x * out->w_re - row->y * out->w_im);
  out->d_im = KERNEL_2_SQRT_PI - 2.0 * (x * out->w_im + row->y * out->w_re);
  out->s_re = out->w_re + (x * out->d_re - row->y * out->d_im);
  out->s_im = out->w_im + (x * out->d_im + row->y * out->d_re);
}

KERNEL_INLINE void
kernel_select (V4i mask, const KernelResult *yes, KernelResult *out)
{
  out->w_re = v4_select (mask, yes->w_re, out->w_re);
  out->w_im = v4_select (mask, yes->w_im, out->w_im);
  out->d_re = v4_select (mask, yes->d_re, out->d_re);
  out->d_im = v4_select (mask, yes->d_im, out->d_im);
  out->s_re = v4_select (mask, yes->s_re, out->s_re);
  out->s_im = v4_select (mask, yes->s_im, out->s_im);
}

static __attribute__ ((noinline, cold)) void
kernel_extreme (double y, const double *x, double lanes[6][4])
{
  for (int i = 0; i < 4; i++)
    if (!(x[i] * x[i] + y * y < KERNEL_TOO_FAR))
      {
        FaintFaddeevaPoint point = faint_faddeeva_extreme (x[i], y);
        lanes[0][i] = point.w_re;
        lanes[1][i] = point.w_im;
        lanes[2][i] = point.d_re;
        lanes[3][i] = point.d_im;
        lanes[4][i] = point.s_re;
        lanes[5][i] = point.s_im;
      }
}

/* By way of copies, so that the vectors proper may stay in registers. */
KERNEL_INLINE void
kernel_extreme_lanes (const KernelRow *row, V4 x, KernelResult *out)
{
  double lanes[6][4], lanes_x[4];

  v4_store (lanes_x, x);
  v4_store (lanes[0], out->w_re);
  v4_store (lanes[1], out->w_im);
  v4_store (lanes[2], out->d_re);
  v4_store (lanes[3], out->d_im);
  v4_store (lanes[4], out->s_re);
  v4_store (lanes[5], out->s_im);
  kernel_extreme (row->y, lanes_x, lanes);
  out->w_re = v4_load (lanes[0]);
  out->w_im = v4_load (lanes[1]);
  out->d_re = v4_load (lanes[2]);
  out->d_im = v4_load (lanes[3]);
  out->s_re = v4_load (lanes[4]);
  out->s_im = v4_load (lanes[5]);
}

#define KERNEL_OUTER 3200.0

/* Terms by the least |z|^2 of the four: the first one left out is below 1e-16 of w, and of w'; at
 * the near end it is the smallest there is. Few terms are unrolled. */
KERNEL_INLINE void
kernel_outer (const KernelRow *row, V4 x, V4 r2, int level, KernelResult *out)
{
  if (!v4_any (r2 < 1e8))
    kernel_far (row, x, r2, level == KERNEL_VALUE ? 1 : 2, level, out);
  else
    kernel_far (row, x, r2, level == KERNEL_VALUE ? 4 : 5, level, out);
  if (v4_any (~(r2 < KERNEL_TOO_FAR)))
    kernel_extreme_lanes (row, x, out);
}

KERNEL_INLINE void
kernel_inner (const KernelRow *row, V4 x, V4 r2, int level, KernelResult *out)
{
  int terms = !v4_any (r2 < 120.0) ? 12 : !v4_any (r2 < 65.0) ? 18 : KERNEL_TERMS;

  if (!v4_any (r2 < 300.0))
    kernel_far (row, x, r2, 8, level, out);
  else
    kernel_far (row, x, r2, terms, level, out);
  if (row->gauss && v4_any (x < 27.5))
    kernel_add_gauss (x, out);
}

KERNEL_INLINE void
kernel_near_any (const KernelRow *row, V4 x, int level, KernelResult *out)
{
  kernel_near (row, x, &out->w_re, &out->w_im);
  if (level >= KERNEL_DERIVATIVE)
    kernel_near_slopes (row, x, out);
}

/* Four points of any kind. */
KERNEL_INLINE void
kernel_point (const KernelRow *row, V4 signed_x, int level, KernelResult *out)
{
  V4 x = v4_abs (signed_x);
  V4 r2 = x * x + row->y2;
  V4i near = r2 < KERNEL_FAR;

  kernel_clear (out);
  if (!v4_any (r2 < KERNEL_OUTER))
    kernel_outer (row, x, r2, level, out);
  else if (!v4_any (~near))
    kernel_near_any (row, x, level, out);
  else
    {
      kernel_inner (row, x, r2, level, out);
      if (v4_any (near))
        {
          KernelResult close;
          kernel_clear (&close);
          kernel_near_any (row, x, level, &close);
          kernel_select (near, &close, out);
        }
      if (v4_any (~(r2 < KERNEL_TOO_FAR)))
        kernel_extreme_lanes (row, x, out);
    }
  /* w(-conj z) = conj w(z) */
  out->w_im = v4_with_sign (out->w_im, signed_x);
  out->d_re = v4_with_sign (out->d_re, signed_x);
  out->s_im = v4_with_sign (out->s_im, signed_x);
}

KERNEL_INLINE void
kernel_store (const KernelResult *r, int level, const FaintFaddeevaOut *out, gsize k)
{
  v4_store (out->w_re + k, r->w_re * out->w_factor);
  v4_store (out->w_im + k, r->w_im * out->w_factor);
  if (level >= KERNEL_DERIVATIVE)
    {
      v4_store (out->d_re + k, r->d_re * out->d_factor);
      v4_store (out->d_im + k, r->d_im * out->d_factor);
    }
  if (level >= KERNEL_TURNED)
    {
      v4_store (out->turned_re + k, r->d_im * -out->turned_factor);
      v4_store (out->turned_im + k, r->d_re * out->turned_factor);
    }
  if (level >= KERNEL_GRADIENT)
    {
      v4_store (out->s_re + k, r->s_re * out->s_factor);
      v4_store (out->s_im + k, r->s_im * out->s_factor);
    }
}

/* The last 1 to 3 points, by way of a full vector. */
KERNEL_INLINE void
kernel_store_rest (const KernelResult *r, int level, const FaintFaddeevaOut *out, gsize k,
                   gsize rest)
{
  double buffer[8][4];
  FaintFaddeevaOut whole = *out;
  double *target[8] = { out->w_re,      out->w_im,      out->d_re, out->d_im,
                        out->turned_re, out->turned_im, out->s_re, out->s_im };
  int rows = 2 * (level - KERNEL_VALUE + 1);

  whole.w_re = buffer[0];
  whole.w_im = buffer[1];
  whole.d_re = buffer[2];
  whole.d_im = buffer[3];
  whole.turned_re = buffer[4];
  whole.turned_im = buffer[5];
  whole.s_re = buffer[6];
  whole.s_im = buffer[7];
  kernel_store (r, level, &whole, 0);
  for (int i = 0; i < rows; i++)
    memcpy (target[i] + k, buffer[i], rest * sizeof (double));
}

KERNEL_INLINE void
kernel_run (const FaintFaddeevaPoints *points, int level, const FaintFaddeevaOut *out)
{
  /* Copies: what is written could otherwise be one of these, for all the compiler knows. */
  KernelRow row = kernel_row (points->y);
  FaintFaddeevaPoints from = *points;
  FaintFaddeevaOut to = *out;
  gsize k = 0;

  for (; k + 4 <= from.n; k += 4)
    {
      KernelResult r;
      kernel_point (&row, (v4_load (from.at + k) - from.origin) * from.scale, level, &r);
      kernel_store (&r, level, &to, k);
    }
  if (k < points->n)
    {
      double last[4];
      KernelResult r;
      for (gsize i = 0; i < 4; i++)
        last[i] = from.at[MIN (k + i, from.n - 1)];
      kernel_point (&row, (v4_load (last) - points->origin) * points->scale, level, &r);
      kernel_store_rest (&r, level, out, k, points->n - k);
    }
}

static void
kernel_value (const FaintFaddeevaPoints *points, const FaintFaddeevaOut *out)
{
  kernel_run (points, KERNEL_VALUE, out);
}

static void
kernel_derivative (const FaintFaddeevaPoints *points, const FaintFaddeevaOut *out)
{
  kernel_run (points, KERNEL_DERIVATIVE, out);
}

static void
kernel_turned (const FaintFaddeevaPoints *points, const FaintFaddeevaOut *out)
{
  kernel_run (points, KERNEL_TURNED, out);
}

static void
kernel_gradient (const FaintFaddeevaPoints *points, const FaintFaddeevaOut *out)
{
  kernel_run (points, KERNEL_GRADIENT, out);
}

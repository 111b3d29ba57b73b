/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * W(Z) = w(i Z) and what follows from it, for any four Z with Re Z >= 0 at once. Included once for
 * an instruction set.
 *
 * The methods and their errors are those of faddeeva-kernel-private.h; only the residue is written
 * with exp(-4 pi y), so that exp(-t^2) is the one exponential needed. With
 *
 *   1 + G = sqrt(pi) Z W,               G' = dG/dZ = sqrt(pi) W + 2 Z G,
 *   L = G - Z G' = -1 - 2 Z^2 G,        U = L - Z L' = -3 - 2 L - 2 Z^2 L,
 *
 * G = -1/(2 Z^2) + ..., L = -3/(2 Z^2) + ... and U = -9/(2 Z^2) + ... far out, where they are
 * summed as such. The far real part of w has no Gaussian on the axis: it is below 3e-19 of |w|.
 */
#pragma once

#include "faint/shape/complex-vector-private.h"
#include "faint/shape/faddeeva-sums-private.h"

#define PLANE_SQRT_PI 1.77245385090551602730

typedef struct
{
  C4 w; /* sqrt(pi) W */
  C4 g;
  C4 g1, l, u; /* only where slopes are wanted */
} PlaneResult;

/* 2 exp(-z^2)/(1 + exp(4 pi y - i pi g)), g = 4x less the nearest whole number. */
KERNEL_INLINE C4
plane_residue (V4 x, V4 y, V4 g)
{
  V4 decay = v4_exp_minus_square (v4_sqrt ((4.0 * G_PI) * y));
  V4 half = g * (0.5 * G_PI);
  V4 s2 = v4_sin_octant (half);
  V4 es = 2.0 * s2 * v4_cos_octant (half);
  V4 ec = 1.0 - 2.0 * s2 * s2;
  V4 size = 2.0 * decay * v4_exp_minus_square (x)
            / (v4_exp_minus_square (y) * (1.0 + decay * (decay + 2.0 * ec)));
  V4 s, c;

  v4_sincos (x * (2.0 * y), &s, &c);
  return (C4){ size * (decay * c + (c * ec + s * es)), size * ((c * es - s * ec) - decay * s) };
}

/* w(x + i y), x >= 0, |z|^2 < KERNEL_FAR. */
KERNEL_INLINE C4
plane_near_w (V4 x, V4 y)
{
  V4 x2 = x * x, y2 = y * y;
  V4 b = 2.0 * x * y;
  V4 rounded = 4.0 * x + V4_ROUND;
  V4 g = 4.0 * x - (rounded - V4_ROUND);
  V4i even = ((V4i)rounded & 1) - 1;
  V4i pole = y < 2.0 * G_PI;
  V4 s0, s1;

  kernel_sum (x2 - y2, b * b, v4_select (even, v4_of (1.0), v4_of (0.0)), &s0, &s1);
  C4 w = { y * (2.0 * x2 * s0 - s1), x * (2.0 * y2 * s0 + s1) };
  return c4_select (pole, c4_add (w, plane_residue (x, y, g)), w);
}

/* At Z = y - i x. */
KERNEL_INLINE void
plane_near (V4 x, V4 y, gboolean slopes, PlaneResult *out)
{
  C4 z = { y, -x };

  out->w = c4_scale (plane_near_w (x, y), PLANE_SQRT_PI);
  out->g = c4_plus (c4_mul (z, out->w), -1.0);
  if (!slopes)
    return;
  C4 z2 = c4_scale (c4_mul (z, z), -2.0);
  out->g1 = c4_add (out->w, c4_scale (c4_mul (z, out->g), 2.0));
  out->l = c4_plus (c4_mul (z2, out->g), -1.0);
  out->u = c4_plus (c4_mul (c4_plus (z2, -2.0), out->l), -3.0);
}

/* sum_1^terms (2k+1)^power c_k v^k by the real two-term recurrence; p = 2 Re v, q = |v|^2. */
KERNEL_INLINE C4
plane_series (C4 v, V4 p, V4 q, int terms, int power)
{
  V4 b1 = v4_of (0.0), b2 = b1;

  for (int k = terms; k > 0; k--)
    {
      double odd = 2.0 * k + 1.0;
      double factor = power == 0 ? 1.0 : power == 1 ? odd : odd * odd;
      V4 b0 = (factor * kernel_series[k] - q * b2) + p * b1;
      b2 = b1;
      b1 = b0;
    }
  return (C4){ v.re * b1 - q * b2, v.im * b1 };
}

/* At Z = y - i x, in v = -1/Z^2. */
KERNEL_INLINE void
plane_far (V4 x, V4 y, V4 r2, int terms, gboolean slopes, PlaneResult *out)
{
  V4 inverse = 1.0 / r2;
  C4 z1 = { y * inverse, x * inverse }; /* 1/Z */
  C4 v = { (x * inverse - y * inverse) * (x * inverse + y * inverse), -2.0 * z1.re * z1.im };
  V4 p = 2.0 * v.re;
  V4 q = inverse * inverse;

  out->g = plane_series (v, p, q, terms, 0);
  out->w = c4_mul (z1, c4_plus (out->g, 1.0));
  if (!slopes)
    return;
  out->l = plane_series (v, p, q, terms, 1);
  out->u = plane_series (v, p, q, terms, 2);
  out->g1 = c4_mul (z1, c4_sub (out->g, out->l));
}

/* Terms by the least |Z|^2 of the four, as in faddeeva-kernel-private.h. */
KERNEL_INLINE void
plane_far_any (V4 x, V4 y, V4 r2, gboolean slopes, PlaneResult *out)
{
  int terms = !v4_any (r2 < 120.0) ? 13 : !v4_any (r2 < 65.0) ? 19 : KERNEL_TERMS;

  if (!v4_any (r2 < 1e8))
    plane_far (x, y, r2, 2, slopes, out);
  else if (!v4_any (r2 < 3200.0))
    plane_far (x, y, r2, 5, slopes, out);
  else if (!v4_any (r2 < 300.0))
    plane_far (x, y, r2, 9, slopes, out);
  else
    plane_far (x, y, r2, terms, slopes, out);
}

KERNEL_INLINE void
plane_select (V4i mask, const PlaneResult *yes, gboolean slopes, PlaneResult *out)
{
  out->w = c4_select (mask, yes->w, out->w);
  out->g = c4_select (mask, yes->g, out->g);
  if (!slopes)
    return;
  out->g1 = c4_select (mask, yes->g1, out->g1);
  out->l = c4_select (mask, yes->l, out->l);
  out->u = c4_select (mask, yes->u, out->u);
}

KERNEL_INLINE void
plane_point (C4 z, gboolean slopes, PlaneResult *out)
{
  V4 x = v4_abs (z.im), y = z.re;
  V4 r2 = x * x + y * y;
  V4i near = r2 < KERNEL_FAR;
  V4i mirrored = z.im > 0.0;

  if (!v4_any (~near))
    plane_near (x, y, slopes, out);
  else
    {
      plane_far_any (v4_select (near, v4_of (1e6), x), y, v4_select (near, v4_of (1e12), r2),
                     slopes, out);
      if (v4_any (near))
        {
          PlaneResult close;
          plane_near (x, y, slopes, &close);
          plane_select (near, &close, slopes, out);
        }
    }
  /* W(conj Z) = conj W(Z) */
  out->w.im = v4_select (mirrored, -out->w.im, out->w.im);
  out->g.im = v4_select (mirrored, -out->g.im, out->g.im);
  if (!slopes)
    return;
  out->g1.im = v4_select (mirrored, -out->g1.im, out->g1.im);
  out->l.im = v4_select (mirrored, -out->l.im, out->l.im);
  out->u.im = v4_select (mirrored, -out->u.im, out->u.im);
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/shape/faddeeva.h"

#include "faint/shape/faddeeva-private.h"

#include <math.h>

const FaintFaddeevaKernel *
faint_faddeeva_kernel (void)
{
#ifdef FAINT_FADDEEVA_X86
  if (__builtin_cpu_supports ("avx2") && __builtin_cpu_supports ("fma"))
    return &faint_faddeeva_avx2;
#endif
  return &faint_faddeeva_baseline;
}

/* Only the leading term i/(sqrt(pi) z) is left; z is scaled so that |z|^2 is a double. */
FaintFaddeevaPoint
faint_faddeeva_extreme (double x, double y)
{
  const double scale = 0x1p-600;
  const double inv_sqrt_pi = 0.56418958354775628695;

  if (isnan (x) || isnan (y))
    return (FaintFaddeevaPoint){ NAN, NAN, NAN, NAN, NAN, NAN };
  if (isinf (x) || isinf (y))
    return (FaintFaddeevaPoint){ 0 };

  double xs = x * scale, ys = y * scale;
  double inverse = 1.0 / (xs * xs + ys * ys);
  FaintFaddeevaPoint point = { .w_re = inv_sqrt_pi * (ys * inverse) * scale,
                               .w_im = inv_sqrt_pi * (xs * inverse) * scale };
  /* w' = -i/(sqrt(pi) z^2) = i sqrt(pi) w^2; w + z w' is below the doubles. */
  point.d_re = -2.0 * point.w_re * point.w_im / inv_sqrt_pi;
  point.d_im = (point.w_re - point.w_im) * (point.w_re + point.w_im) / inv_sqrt_pi;
  return point;
}

/* exp(-z^2). Exponent and phase carry their rounding errors along: both may be large. */
static FaintComplex
exp_minus_square (double x, double y)
{
  double x2 = x * x, y2 = y * y, phase = 2.0 * x * y;
  double exponent = y2 - x2;
  double rest = x2 > y2 ? y2 - (exponent + x2) : (y2 - exponent) - x2;
  double size, tail;

  rest += fma (y, y, -y2) - fma (x, x, -x2);
  size = exp (exponent);
  if (isfinite (size) && size > 0.0)
    size += size * rest;
  tail = fma (2.0 * x, y, -phase);
  /* On the axes the imaginary part is 0 even where the size has left the doubles. */
  return (FaintComplex){ size * (cos (phase) - tail * sin (phase)),
                         phase == 0.0 ? 0.0 : -size * (sin (phase) + tail * cos (phase)) };
}

/* w(z) = 2 exp(-z^2) - w(-z) and its derivative, in place of w(-z) and w'(-z). */
static void
reflect (double x, double y, FaintComplex *w, FaintComplex *d)
{
  FaintComplex e = exp_minus_square (x, y);

  if (w != NULL)
    *w = (FaintComplex){ 2.0 * e.re - w->re, 2.0 * e.im - w->im };
  if (d != NULL)
    *d = (FaintComplex){ d->re - 4.0 * (x * e.re - y * e.im), d->im - 4.0 * (x * e.im + y * e.re) };
}

void
faint_faddeeva_fill (const double *x, gsize n, double y, double *re, double *im)
{
  gboolean below = y < 0.0;
  FaintFaddeevaPoints points = { x, n, 0.0, below ? -1.0 : 1.0, fabs (y) };
  FaintFaddeevaOut out = { .w_re = re, .w_im = im, .w_factor = 1.0 };

  faint_faddeeva_kernel ()->value (&points, &out);
  for (gsize i = 0; below && i < n; i++)
    {
      FaintComplex w = { re[i], im[i] };
      reflect (x[i], y, &w, NULL);
      re[i] = w.re;
      im[i] = w.im;
    }
}

void
faint_faddeeva_fill_derivative (const double *x, gsize n, double y, double *re, double *im,
                                double *d_re, double *d_im)
{
  gboolean below = y < 0.0;
  FaintFaddeevaPoints points = { x, n, 0.0, below ? -1.0 : 1.0, fabs (y) };
  FaintFaddeevaOut out = { .w_re = re, .w_im = im, .w_factor = 1.0 };

  out.d_re = d_re;
  out.d_im = d_im;
  out.d_factor = 1.0;
  faint_faddeeva_kernel ()->derivative (&points, &out);
  for (gsize i = 0; below && i < n; i++)
    {
      FaintComplex w = { re[i], im[i] }, d = { d_re[i], d_im[i] };
      reflect (x[i], y, &w, &d);
      re[i] = w.re;
      im[i] = w.im;
      d_re[i] = d.re;
      d_im[i] = d.im;
    }
}

FaintComplex
faint_faddeeva (double x, double y)
{
  FaintComplex w;

  faint_faddeeva_fill (&x, 1, y, &w.re, &w.im);
  return w;
}

FaintComplex
faint_faddeeva_derivative (double x, double y)
{
  FaintComplex w, d;

  faint_faddeeva_fill_derivative (&x, 1, y, &w.re, &w.im, &d.re, &d.im);
  return d;
}

void
faint_faddeeva_grid (double x0, double step, gsize n, double y, double *re, double *im)
{
  if (y < 0.0)
    {
      faint_faddeeva_kernel ()->grid (-x0, -step, n, -y, re, im);
      for (gsize i = 0; i < n; i++)
        {
          FaintComplex w = { re[i], im[i] };
          reflect (x0 + (double)i * step, y, &w, NULL);
          re[i] = w.re;
          im[i] = w.im;
        }
      return;
    }
  faint_faddeeva_kernel ()->grid (x0, step, n, y, re, im);
}

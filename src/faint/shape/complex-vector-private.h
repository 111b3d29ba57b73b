/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Four complex numbers at once, on vector-math-private.h. Products and quotients are the plain
 * ones: no number near the end of the doubles occurs where they are used.
 */
#pragma once

#include "faint/shape/vector-math-private.h"

#define C4_INLINE static inline __attribute__ ((always_inline))

typedef struct
{
  V4 re, im;
} C4;

C4_INLINE C4
c4_of (double re, double im)
{
  return (C4){ v4_of (re), v4_of (im) };
}

C4_INLINE C4
c4_add (C4 a, C4 b)
{
  return (C4){ a.re + b.re, a.im + b.im };
}

C4_INLINE C4
c4_sub (C4 a, C4 b)
{
  return (C4){ a.re - b.re, a.im - b.im };
}

C4_INLINE C4
c4_mul (C4 a, C4 b)
{
  return (C4){ a.re * b.re - a.im * b.im, a.re * b.im + a.im * b.re };
}

C4_INLINE C4
c4_scale (C4 a, double factor)
{
  return (C4){ a.re * factor, a.im * factor };
}

/* a + @real */
C4_INLINE C4
c4_plus (C4 a, double real)
{
  return (C4){ a.re + real, a.im };
}

/* i a */
C4_INLINE C4
c4_turned (C4 a)
{
  return (C4){ -a.im, a.re };
}

C4_INLINE V4
c4_square_size (C4 a)
{
  return a.re * a.re + a.im * a.im;
}

C4_INLINE C4
c4_inverse (C4 a)
{
  V4 inverse = 1.0 / c4_square_size (a);
  return (C4){ a.re * inverse, -a.im * inverse };
}

C4_INLINE C4
c4_div (C4 a, C4 b)
{
  return c4_mul (a, c4_inverse (b));
}

C4_INLINE C4
c4_select (V4i mask, C4 yes, C4 no)
{
  return (C4){ v4_select (mask, yes.re, no.re), v4_select (mask, yes.im, no.im) };
}

C4_INLINE V4
v4_sqrt (V4 x)
{
  V4 root;

  for (int i = 0; i < 4; i++)
    root[i] = sqrt (x[i]);
  return root;
}

/* The root with a real part >= 0. */
C4_INLINE C4
c4_sqrt (C4 a)
{
  V4 t = v4_sqrt (0.5 * (v4_sqrt (c4_square_size (a)) + v4_abs (a.re)));
  V4 other = v4_select (t == 0.0, t, 0.5 * a.im / t);
  V4i left = a.re < 0.0;

  return (C4){ v4_select (left, v4_abs (other), t),
               v4_select (left, v4_with_sign (t, a.im), other) };
}

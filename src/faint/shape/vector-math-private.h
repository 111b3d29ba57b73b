/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Four doubles at once: exp, sine and cosine for faddeeva-kernel-private.h, in the instruction set
 * of the file that includes it. Arguments are those that occur there, not every double.
 * Nothing here is upset by multiply and add being fused, nor needs it.
 */
#pragma once

#include <math.h>
#include <string.h>

typedef double V4 __attribute__ ((vector_size (32)));
typedef long long V4i __attribute__ ((vector_size (32)));
typedef long long V2i __attribute__ ((vector_size (16)));

/* Added and taken away again, it rounds |x| < 2^51 to the nearest integer, which then also stands
 * in the lowest bits of the sum. */
#define V4_ROUND 0x1.8p52

static inline __attribute__ ((always_inline)) V4
v4_of (double value)
{
  return (V4){ value, value, value, value };
}

static inline __attribute__ ((always_inline)) V4
v4_load (const double *from)
{
  V4 v;
  memcpy (&v, from, sizeof v);
  return v;
}

static inline __attribute__ ((always_inline)) void
v4_store (double *to, V4 v)
{
  memcpy (to, &v, sizeof v);
}

/* @yes where @mask is all ones, @no where it is 0. */
static inline __attribute__ ((always_inline)) V4
v4_select (V4i mask, V4 yes, V4 no)
{
  return (V4)((mask & (V4i)yes) | (~mask & (V4i)no));
}

static inline __attribute__ ((always_inline)) int
v4_any (V4i mask)
{
#ifdef FAINT_VECTOR_AVX
  return __builtin_ia32_movmskpd256 ((V4)mask) != 0;
#else
  V2i both = (V2i){ mask[0], mask[1] } | (V2i){ mask[2], mask[3] };
  return (both[0] | both[1]) != 0;
#endif
}

static inline __attribute__ ((always_inline)) V4
v4_abs (V4 x)
{
  return (V4)((V4i)x & (V4i){ G_MAXINT64, G_MAXINT64, G_MAXINT64, G_MAXINT64 });
}

/* |x| with the sign of @sign put on it. */
static inline __attribute__ ((always_inline)) V4
v4_with_sign (V4 x, V4 sign)
{
  return (V4)((V4i)x ^ ((V4i)sign & (V4i){ G_MININT64, G_MININT64, G_MININT64, G_MININT64 }));
}

/* 2^n for whole -1022 <= n <= 1023. */
static inline __attribute__ ((always_inline)) V4
v4_power_of_two (V4 n)
{
  return (V4)((V4i)(n + (V4_ROUND + 1023.0)) << 52);
}

/* The polynomials below interpolate at Chebyshev's points (50 digits), are summed in pairs to
 * keep the chain of operations short, and leave less than 2e-17. */

/* exp(-x^2), relative error 4e-16 also where x^2 is large: x^2 is split into an exact head and a
 * small tail. */
static inline __attribute__ ((always_inline)) V4
v4_exp_minus_square (V4 x)
{
  V4 big = v4_select (v4_abs (x) < 27.5, x, v4_of (27.5));
  V4 head = (V4)((V4i)big & ~(V4i){ 0x7ffffff, 0x7ffffff, 0x7ffffff, 0x7ffffff });
  V4 tail = (big - head) * (big + head);
  V4 square = head * head;
  V4 n = (square * -1.44269504088896340736 + V4_ROUND) - V4_ROUND;
  /* ln2 in two parts, the first with 32 bits, so that n times it is exact. */
  V4 r = (-square - n * 0x1.62e42feep-1) - n * 0x1.a39ef35793c76p-33 - tail;
  V4 r2 = r * r;
  V4 r4 = r2 * r2;
  V4 p0 = 0x1.0000000000001p-1 + r * 0x1.5555555555556p-3;
  V4 p2 = 0x1.5555555553d63p-5 + r * 0x1.11111111109b3p-7;
  V4 p4 = 0x1.6c16c1788bd90p-10 + r * 0x1.a01a01a7c41d5p-13;
  V4 p6 = 0x1.a019b90d2ae7ap-16 + r * 0x1.71de0dae63bb3p-19;
  V4 p8 = 0x1.289185613a3d6p-22 + r * 0x1.af38a9b0ec855p-26;
  V4 p = (p0 + r2 * p2) + r4 * ((p4 + r2 * p6) + r4 * p8);
  V4 value = 1.0 + (r + r2 * p);
  /* Below the smallest normal number the power of two is applied in two steps. */
  V4i deep = n < -1000.0;
  V4 step = v4_select (deep, v4_of (100.0), v4_of (0.0));

  return value * v4_power_of_two (n + step) * v4_select (deep, v4_of (0x1p-100), v4_of (1.0));
}

/* sin r and cos r for |r| <= pi/4. */
static inline __attribute__ ((always_inline)) V4
v4_sin_octant (V4 r)
{
  V4 t = r * r;
  V4 t2 = t * t;
  V4 p0 = -0x1.5555555555555p-3 + t * 0x1.1111111110bb2p-7;
  V4 p2 = -0x1.a01a019e83816p-13 + t * 0x1.71de379654304p-19;
  V4 p4 = -0x1.ae600aca92c64p-26 + t * 0x1.5e0b05bff20f2p-33;

  return r + r * t * (p0 + t2 * (p2 + t2 * p4));
}

static inline __attribute__ ((always_inline)) V4
v4_cos_octant (V4 r)
{
  V4 t = r * r;
  V4 t2 = t * t;
  V4 p0 = 0x1.5555555555555p-5 + t * -0x1.6c16c16c16967p-10;
  V4 p2 = 0x1.a01a019f4e9b4p-16 + t * -0x1.27e4fa17bf139p-22;
  V4 p4 = 0x1.1eeb68cd22f56p-29 + t * -0x1.907d8f29fe831p-37;

  return (1.0 - 0.5 * t) + t2 * (p0 + t2 * (p2 + t2 * p4));
}

/* Sine and cosine of |t| <= 1e3, absolute error 2e-16. */
static inline __attribute__ ((always_inline)) void
v4_sincos (V4 t, V4 *sine, V4 *cosine)
{
  V4 shifted = t * 0.63661977236758134308 + V4_ROUND;
  V4 k = shifted - V4_ROUND;
  /* pi/2 in two parts, the first with 33 bits, so that k times it is exact. */
  V4 r = (t - k * 0x1.921fb544p+0) - k * 0x1.0b4611a626331p-34;
  V4 s = v4_sin_octant (r);
  V4 c = v4_cos_octant (r);
  V4i quadrant = (V4i)shifted;
  V4i odd = -(quadrant & 1);

  *sine = v4_with_sign (v4_select (odd, c, s), (V4)(quadrant << 62));
  *cosine = v4_with_sign (v4_select (odd, s, c), (V4)((quadrant + 1) << 62));
}

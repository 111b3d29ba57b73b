/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The Hartmann-Tran profile at four wavenumbers at once. Included once for an instruction set.
 *
 * In units of delta = Gamma_D/sqrt(ln2): C0 = Gamma_0 + i Delta_0, C2 = Gamma_2 + i Delta_2,
 * E0 = C0 - 3/2 C2, x = nu - nu0, a = (1 - eta) E0 + nu_VC - i x, c = (1 - eta) C2. With the
 * averages A = <1/(a + c t^2 + i t mu)> and B = <t^2/(a + c t^2 + i t mu)> over speeds t and
 * directions mu, the profile is 1/(pi delta D),
 *
 *   D = 1/A - nu_VC + eta E0 + eta C2 B/A.
 *
 * Closed form (Tran, Ngo, Hartmann, JQSRT 129, 199 (2013)), here arranged so that it keeps its
 * digits for every c: q = sqrt(1/4 + a c), Z- = a/(q + 1/2), Z+ = (q + 1/2)/c (roots of
 * c Z^2 +- Z - a = 0), W, G, G', L and U as in faddeeva-plane-private.h, K = Z G:
 *
 *   A = sqrt(pi) (W- - W+),         dA/da = (G- - G+)/q,        dA/dc = (L- - L+)/(2q),
 *   B - A = K+ - K-,                d(B - A)/da = (K+' - K-')/(2q),   K' = 2 G - L,
 *   a A - 1 = c (Z+ G- - Z- G+),    d(B - A)/dc = (U- - U+)/(4q).
 *
 * As c goes to 0, Z+ goes to infinity and leaves the Voigt or hard-collision profile by itself.
 * Far out (|Z-| > 2), a A - 1 stands for A, and n = 1/A - a is formed from it: a strong nu_VC does
 * not cancel the digits of D, nor does a far wing those of Re D. Where c is large the roots lie
 * closely together; the differences are then mean values of derivatives over the 1/c from Z- to
 * Z+, by Gauss and Legendre.
 */
#pragma once

#include "faint/shape/faddeeva-plane-private.h"
#include "faint/shape/hartmann-tran-private.h"

#define HARTMANN_SQRT_LN2 0.83255461115769775635
#define HARTMANN_LEAST_C 1e-60 /* in size; less changes nothing, and Z+^2 is to be a double */
#define HARTMANN_CLOSE 8.0     /* |c| from which the roots are close, unless |Z| is larger still */
#define HARTMANN_FAR 4.0       /* |Z-|^2 */

/* What is common to a line; all in units of delta. */
typedef struct
{
  double origin, scale, height; /* x = (nu - origin) scale; height = 1/(pi delta) */
  double eta;
  double e0_re, e0_im, c2_re, c2_im;
  double a_re, a_im;       /* of a at x = 0 */
  double c_re, c_im;       /* c */
  double beta_re, beta_im; /* nu_VC - eta E0 */
  gboolean physical;       /* no speed has a negative width */
  gboolean close;          /* |c| > HARTMANN_CLOSE */
} HartmannLine;

typedef struct
{
  C4 a, q, p_plus, p_minus, z_plus, z_minus; /* p = c Z */
} HartmannRoots;

/* Differences between the two roots. */
typedef struct
{
  C4 area, rest;             /* A, a A - 1 */
  C4 moment;                 /* K+ - K- = B - A */
  C4 area_a, area_c, rest_a; /* derivatives with respect to a and c */
  C4 doppler;                /* (a d/da + c d/dc) (a A - 1)/a */
  C4 moment_a, moment_c;
} HartmannPair;

KERNEL_INLINE HartmannLine
hartmann_line (const FaintHartmannTran *from)
{
  double scale = HARTMANN_SQRT_LN2 / from->doppler;
  double rest = 1.0 - from->correlation;
  HartmannLine line = { .origin = from->position,
                        .scale = scale,
                        .height = scale / G_PI,
                        .eta = from->correlation,
                        .c2_re = from->lorentz_2 * scale,
                        .c2_im = from->shift_2 * scale,
                        .e0_re = (from->lorentz - 1.5 * from->lorentz_2) * scale,
                        .e0_im = (from->shift - 1.5 * from->shift_2) * scale };

  line.a_re = rest * line.e0_re + from->velocity_changing * scale;
  line.a_im = rest * line.e0_im;
  line.beta_re = from->velocity_changing * scale - line.eta * line.e0_re;
  line.beta_im = -line.eta * line.e0_im;
  line.c_re = rest * line.c2_re;
  line.c_im = rest * line.c2_im;
  if (fabs (line.c_re) < HARTMANN_LEAST_C && fabs (line.c_im) < HARTMANN_LEAST_C)
    {
      line.c_re = HARTMANN_LEAST_C;
      line.c_im = 0.0;
    }
  line.physical = line.a_re >= 0.0 && line.c_re >= 0.0;
  line.close = line.physical && hypot (line.c_re, line.c_im) > HARTMANN_CLOSE;
  return line;
}

/* The sign of q that gives both Z a real part >= 0. */
KERNEL_INLINE void
hartmann_roots (const HartmannLine *line, V4 x, HartmannRoots *roots)
{
  C4 c = c4_of (line->c_re, line->c_im);
  C4 a = { v4_of (line->a_re), line->a_im - x };
  C4 q = c4_sqrt (c4_plus (c4_mul (a, c), 0.25));

  if (line->physical)
    {
      V4i turn = q.re * c.re + q.im * c.im < 0.0;
      q = c4_select (turn, (C4){ -q.re, -q.im }, q);
    }
  roots->a = a;
  roots->q = q;
  roots->p_plus = c4_plus (q, 0.5);
  roots->z_minus = c4_div (a, roots->p_plus);
  roots->z_plus = c4_div (roots->p_plus, c);
  roots->p_minus = c4_mul (c, roots->z_minus);
  if (line->physical)
    {
      /* Rounding is not to carry a root over the axis, where W jumps. */
      roots->z_minus.re = v4_select (roots->z_minus.re < 0.0, v4_of (0.0), roots->z_minus.re);
      roots->z_plus.re = v4_select (roots->z_plus.re < 0.0, v4_of (0.0), roots->z_plus.re);
    }
}

/* Any Z: the integral that W is on the right is odd, G and L even. */
KERNEL_INLINE void
hartmann_point (C4 z, gboolean slopes, PlaneResult *out)
{
  V4i left = z.re < 0.0;

  plane_point (c4_select (left, (C4){ -z.re, -z.im }, z), slopes, out);
  out->w = c4_select (left, (C4){ -out->w.re, -out->w.im }, out->w);
  if (slopes)
    out->g1 = c4_select (left, (C4){ -out->g1.re, -out->g1.im }, out->g1);
}

KERNEL_INLINE void
hartmann_differences (const HartmannLine *line, const HartmannRoots *roots, gboolean gradient,
                      HartmannPair *pair)
{
  C4 c = c4_of (line->c_re, line->c_im);
  PlaneResult minus, plus;

  hartmann_point (roots->z_minus, gradient, &minus);
  hartmann_point (roots->z_plus, gradient, &plus);
  C4 dg = c4_sub (minus.g, plus.g);
  pair->area = c4_sub (minus.w, plus.w);
  pair->rest = c4_sub (c4_mul (roots->p_plus, minus.g), c4_mul (roots->p_minus, plus.g));
  pair->moment = c4_sub (c4_mul (roots->z_plus, plus.g), c4_mul (roots->z_minus, minus.g));
  if (!gradient)
    return;

  C4 over_q = c4_inverse (roots->q);
  C4 over_2q = c4_scale (over_q, 0.5);
  C4 dl = c4_sub (minus.l, plus.l);
  C4 turned = c4_sub (c4_mul (roots->p_plus, minus.g1), c4_mul (roots->p_minus, plus.g1));
  C4 c_dg = c4_mul (c, dg);
  pair->area_a = c4_mul (dg, over_q);
  pair->area_c = c4_mul (dl, over_2q);
  pair->rest_a = c4_mul (c4_add (c_dg, turned), over_2q);
  pair->doppler = c4_mul (c4_add (c4_scale (c_dg, 2.0), c4_add (minus.g1, plus.g1)), over_2q);
  pair->moment_a = c4_mul (c4_sub (dl, c4_scale (dg, 2.0)), over_2q);
  pair->moment_c = c4_scale (c4_mul (c4_sub (minus.u, plus.u), over_q), 0.25);
}

/* Weights (half of them: mean values) and nodes of Gauss and Legendre's rule with five points: it
 * leaves 1e-16 of a G over a distance of 1/HARTMANN_CLOSE. */
static const double hartmann_nodes[5][2] = {
  { 0.28444444444444444444, 0.0 },
  { 0.23931433524968323402, 0.53846931010568309104 },
  { 0.23931433524968323402, -0.53846931010568309104 },
  { 0.11846344252809454376, 0.90617984593866399280 },
  { 0.11846344252809454376, -0.90617984593866399280 },
};

KERNEL_INLINE void
hartmann_accumulate (C4 *sum, double weight, C4 value)
{
  *sum = c4_add (*sum, c4_scale (value, weight));
}

typedef struct
{
  C4 g2, l1, u1; /* G'', L', U' */
} HartmannBends;

/* Z G'' = -L', and Z L' = L - U, the better form where |Z| > 1. */
KERNEL_INLINE HartmannBends
hartmann_bends (C4 z, const PlaneResult *at)
{
  V4i far = c4_square_size (z) > 1.0;
  C4 over_z = c4_inverse (z);
  C4 g3 = c4_scale (at->g, 3.0);
  C4 far_l1 = c4_mul (c4_sub (at->l, at->u), over_z);
  C4 near_l1 = c4_mul (z, c4_scale (c4_sub (at->l, g3), 2.0));
  C4 near_g2 = c4_scale (c4_add (c4_mul (z, at->g1), c4_scale (at->g, 2.0)), 2.0);
  C4 tail = c4_sub (c4_add (at->u, g3), c4_scale (at->l, 4.0));
  HartmannBends bends = { .l1 = c4_select (far, far_l1, near_l1) };

  bends.g2 = c4_select (far, c4_scale (c4_mul (far_l1, over_z), -1.0), near_g2);
  bends.u1 = c4_sub (c4_mul (z, c4_scale (tail, 2.0)), bends.l1);
  return bends;
}

/* The same as mean values: for any f, f(Z+) - f(Z-) = <f'>/c, and
 * (f(Z+) + f(Z-))/2 = <f + (Z - Zm) f'>, Zm = q/c the middle. */
KERNEL_INLINE void
hartmann_means (const HartmannLine *line, const HartmannRoots *roots, HartmannPair *pair)
{
  C4 over_c = c4_inverse (c4_of (line->c_re, line->c_im));
  C4 over_q = c4_inverse (roots->q);
  C4 over_2q = c4_scale (over_q, 0.5);
  C4 middle = c4_mul (roots->q, over_c);
  C4 zero = c4_of (0.0, 0.0);
  C4 g = zero, rest = zero, g1 = zero, l1 = zero, k1 = zero, rest_a = zero, doppler = zero;
  C4 k2 = zero, u1 = zero;

  for (int i = 0; i < 5; i++)
    {
      double weight = hartmann_nodes[i][0];
      C4 off = c4_scale (over_c, 0.5 * hartmann_nodes[i][1]);
      C4 z = c4_add (middle, off);
      PlaneResult at;

      z.re = v4_select (z.re < 0.0, v4_of (0.0), z.re);
      plane_point (z, TRUE, &at);
      C4 beyond = c4_sub (off, middle); /* Z - 2 Zm */
      HartmannBends bends = hartmann_bends (z, &at);
      hartmann_accumulate (&g, weight, at.g);
      hartmann_accumulate (&g1, weight, at.g1);
      hartmann_accumulate (&rest, weight, c4_add (at.g, c4_mul (beyond, at.g1)));
      hartmann_accumulate (&k1, weight, c4_sub (c4_scale (at.g, 2.0), at.l));
      hartmann_accumulate (&k2, weight, c4_sub (c4_scale (at.g1, 2.0), bends.l1));
      hartmann_accumulate (&l1, weight, bends.l1);
      hartmann_accumulate (&rest_a, weight, c4_mul (beyond, bends.g2));
      hartmann_accumulate (&doppler, weight, c4_mul (off, bends.g2));
      hartmann_accumulate (&u1, weight, bends.u1);
    }
  pair->area = c4_scale (c4_mul (g, over_c), -2.0);
  pair->rest = rest;
  pair->moment = c4_mul (k1, over_c);
  pair->area_a = c4_scale (c4_mul (c4_mul (g1, over_c), over_q), -1.0);
  pair->area_c = c4_scale (c4_mul (c4_mul (l1, over_c), over_2q), -1.0);
  pair->rest_a = c4_mul (rest_a, over_2q);
  pair->doppler = c4_mul (doppler, over_q);
  pair->moment_a = c4_mul (c4_mul (k2, over_c), over_2q);
  pair->moment_c = c4_scale (c4_mul (c4_mul (u1, over_c), over_q), -0.25);
}

KERNEL_INLINE void
hartmann_pair_select (V4i mask, const HartmannPair *yes, gboolean gradient, HartmannPair *pair)
{
  pair->area = c4_select (mask, yes->area, pair->area);
  pair->rest = c4_select (mask, yes->rest, pair->rest);
  pair->moment = c4_select (mask, yes->moment, pair->moment);
  if (!gradient)
    return;
  pair->area_a = c4_select (mask, yes->area_a, pair->area_a);
  pair->area_c = c4_select (mask, yes->area_c, pair->area_c);
  pair->rest_a = c4_select (mask, yes->rest_a, pair->rest_a);
  pair->doppler = c4_select (mask, yes->doppler, pair->doppler);
  pair->moment_a = c4_select (mask, yes->moment_a, pair->moment_a);
  pair->moment_c = c4_select (mask, yes->moment_c, pair->moment_c);
}

/* What D and its derivatives are made of. */
typedef struct
{
  V4i far;
  C4 over_area; /* 1/A */
  C4 share;     /* far: 1/(1 + a A - 1) */
  C4 ratio;     /* B/A */
  C4 d;         /* D */
} HartmannInverse;

KERNEL_INLINE void
hartmann_inverse (const HartmannLine *line, const HartmannRoots *roots, const HartmannPair *pair,
                  HartmannInverse *inverse)
{
  C4 e = { v4_of (line->e0_re), roots->a.im + (line->e0_im - line->a_im) }; /* E0 - i x */
  C4 beta = c4_of (line->beta_re, line->beta_im);

  inverse->far = c4_square_size (roots->z_minus) > HARTMANN_FAR;
  inverse->share = c4_inverse (c4_plus (pair->rest, 1.0));
  C4 far = c4_sub (e, c4_mul (c4_mul (roots->a, pair->rest), inverse->share));
  inverse->over_area
      = c4_select (inverse->far, c4_mul (roots->a, inverse->share), c4_inverse (pair->area));
  inverse->d = c4_select (inverse->far, far, c4_sub (inverse->over_area, beta));
  inverse->ratio = c4_plus (c4_mul (pair->moment, inverse->over_area), 1.0);
  C4 mixed = c4_mul (c4_of (line->eta * line->c2_re, line->eta * line->c2_im), inverse->ratio);
  inverse->d = c4_add (inverse->d, mixed);
}

/* Derivatives of D with respect to the parameters, in units of delta. */
KERNEL_INLINE void
hartmann_slopes (const HartmannLine *line, const HartmannRoots *roots, const HartmannPair *pair,
                 const HartmannInverse *inverse, C4 slopes[FAINT_HARTMANN_TRAN_N])
{
  double eta = line->eta, rest = 1.0 - eta;
  C4 c = c4_of (line->c_re, line->c_im);
  C4 c2 = c4_of (line->c2_re, line->c2_im), e0 = c4_of (line->e0_re, line->e0_im);
  C4 over_area = inverse->over_area;
  C4 over_area2 = c4_mul (over_area, over_area);
  /* n_a = d(1/A - a)/da, n_c = d(1/A)/dc, m = B/A - 1 with its derivatives. */
  C4 share = inverse->share;
  C4 far = c4_add (c4_mul (pair->rest, share),
                   c4_mul (c4_mul (roots->a, pair->rest_a), c4_mul (share, share)));
  C4 near = c4_plus (c4_mul (pair->area_a, over_area2), 1.0);
  C4 n_a = c4_scale (c4_select (inverse->far, far, near), -1.0);
  C4 n_c = c4_scale (c4_mul (pair->area_c, over_area2), -1.0);
  C4 m = c4_plus (inverse->ratio, -1.0);
  C4 m_a = c4_mul (c4_sub (pair->moment_a, c4_mul (m, pair->area_a)), over_area);
  C4 m_c = c4_mul (c4_sub (pair->moment_c, c4_mul (m, pair->area_c)), over_area);
  /* eta C2 times them */
  C4 mixed_a = c4_scale (c4_mul (c2, m_a), eta);
  C4 mixed_c = c4_scale (c4_mul (c2, m_c), eta);
  C4 turned = c4_add (n_a, mixed_a);
  C4 speed = c4_add (n_c, mixed_c);

  slopes[FAINT_HARTMANN_TRAN_POSITION] = c4_turned (c4_plus (turned, 1.0));
  slopes[FAINT_HARTMANN_TRAN_LORENTZ] = c4_plus (c4_scale (turned, rest), 1.0);
  slopes[FAINT_HARTMANN_TRAN_SHIFT] = c4_turned (slopes[FAINT_HARTMANN_TRAN_LORENTZ]);
  slopes[FAINT_HARTMANN_TRAN_LORENTZ_2]
      = c4_add (c4_scale (c4_plus (c4_sub (speed, c4_scale (turned, 1.5)), -1.5), rest),
                c4_scale (c4_plus (m, -0.5), eta));
  slopes[FAINT_HARTMANN_TRAN_SHIFT_2] = c4_turned (slopes[FAINT_HARTMANN_TRAN_LORENTZ_2]);
  slopes[FAINT_HARTMANN_TRAN_VELOCITY_CHANGING] = turned;
  slopes[FAINT_HARTMANN_TRAN_CORRELATION]
      = c4_sub (c4_mul (c2, c4_sub (inverse->ratio, speed)), c4_mul (e0, turned));
  slopes[FAINT_HARTMANN_TRAN_DOPPLER] = c4_sub (
      c4_mul (pair->doppler, over_area2), c4_add (c4_mul (roots->a, mixed_a), c4_mul (c, mixed_c)));
}

KERNEL_INLINE void
hartmann_store (V4 value, double *to, gsize count)
{
  if (count == 4)
    v4_store (to, value);
  else
    memcpy (to, &value, count * sizeof (double));
}

/* dI = -dD/(pi delta^2 D^2) for parameters in cm-1. */
KERNEL_INLINE void
hartmann_store_slopes (const HartmannLine *line, C4 over_d, const C4 slopes[FAINT_HARTMANN_TRAN_N],
                       const FaintHartmannTranOut *out, gsize k, gsize count)
{
  C4 over_d2 = c4_scale (c4_mul (over_d, over_d), -line->height);

  for (int i = 0; i < FAINT_HARTMANN_TRAN_N; i++)
    {
      double unit = i == FAINT_HARTMANN_TRAN_CORRELATION ? 1.0
                    : i == FAINT_HARTMANN_TRAN_DOPPLER   ? line->scale / HARTMANN_SQRT_LN2
                                                         : line->scale;
      C4 value = c4_scale (c4_mul (slopes[i], over_d2), unit);
      if (out->d_re[i] != NULL)
        hartmann_store (value.re, out->d_re[i] + k, count);
      if (out->d_im[i] != NULL)
        hartmann_store (value.im, out->d_im[i] + k, count);
    }
}

KERNEL_INLINE void
hartmann_four (const HartmannLine *line, V4 x, gboolean gradient, const FaintHartmannTranOut *out,
               gsize k, gsize count)
{
  HartmannRoots roots;
  HartmannPair pair;
  HartmannInverse inverse;

  hartmann_roots (line, x, &roots);
  hartmann_differences (line, &roots, gradient, &pair);
  if (line->close)
    {
      double size2 = line->c_re * line->c_re + line->c_im * line->c_im;
      V4i near = c4_square_size (roots.q) < size2 * size2;
      HartmannPair means;
      if (v4_any (near))
        {
          hartmann_means (line, &roots, &means);
          hartmann_pair_select (near, &means, gradient, &pair);
        }
    }
  hartmann_inverse (line, &roots, &pair, &inverse);
  C4 over_d = c4_inverse (inverse.d);
  hartmann_store (over_d.re * line->height, out->re + k, count);
  hartmann_store (over_d.im * line->height, out->im + k, count);
  if (gradient)
    {
      C4 slopes[FAINT_HARTMANN_TRAN_N];
      hartmann_slopes (line, &roots, &pair, &inverse, slopes);
      hartmann_store_slopes (line, over_d, slopes, out, k, count);
    }
}

KERNEL_INLINE void
hartmann_run (const FaintHartmannTran *from, const double *wavenumber, gsize n, gboolean gradient,
              const FaintHartmannTranOut *out)
{
  HartmannLine line = hartmann_line (from);
  gsize k = 0;

  for (; k + 4 <= n; k += 4)
    hartmann_four (&line, (v4_load (wavenumber + k) - line.origin) * line.scale, gradient, out, k,
                   4);
  if (k < n)
    {
      double last[4];
      for (gsize i = 0; i < 4; i++)
        last[i] = wavenumber[MIN (k + i, n - 1)];
      hartmann_four (&line, (v4_load (last) - line.origin) * line.scale, gradient, out, k, n - k);
    }
}

static void
hartmann_value (const FaintHartmannTran *line, const double *wavenumber, gsize n,
                const FaintHartmannTranOut *out)
{
  hartmann_run (line, wavenumber, n, FALSE, out);
}

static void
hartmann_gradient (const FaintHartmannTran *line, const double *wavenumber, gsize n,
                   const FaintHartmannTranOut *out)
{
  hartmann_run (line, wavenumber, n, TRUE, out);
}

/* What a file of one instruction set offers. */
#define HARTMANN_TABLE                                                                             \
  {                                                                                                \
    .value = hartmann_value, .gradient = hartmann_gradient                                         \
  }

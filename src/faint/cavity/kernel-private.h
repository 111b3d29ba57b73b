/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * One tooth in the cavity. For the cavity's own files only.
 *
 * Everything is written with what is small: loss = 1 - s, and m = 1 - exp(-kappa). With
 * u = exp(i Phi),
 *   A = 1 - s u                = loss + s (1 - u)
 *   B = 1 - s u exp(-kappa)    = A + s u m
 *   E/E0 = exp(-f kappa) A/B
 *   d ln E/d kappa = -f - s u exp(-kappa)/B = (1 - f) - 1/B
 *   d ln E/d loss  = u m/(A B),   d ln E/d Phi = -i s u m/(A B)
 * so no digit is lost however weak the absorption and however good the mirrors. Complex products
 * are written out, since the compiler's own check for NaN in each.
 */
#pragma once

#include <math.h>

typedef struct
{
  double re, im;
} Complex;

static inline Complex
times (Complex a, Complex b)
{
  return (Complex){ a.re * b.re - a.im * b.im, a.re * b.im + a.im * b.re };
}

static inline Complex
times_conjugate (Complex a, Complex b)
{
  return (Complex){ a.re * b.re + a.im * b.im, a.im * b.re - a.re * b.im };
}

static inline double
square (Complex a)
{
  return a.re * a.re + a.im * a.im;
}

static inline Complex
over (Complex a, Complex b)
{
  Complex product = times_conjugate (a, b);
  double inverse = 1.0 / square (b);

  return (Complex){ product.re * inverse, product.im * inverse };
}

/* 1 - exp(-x), and exp(-x) in @left. The series is good to x^7/8! = 6e-18 relative. */
static inline double
absorbed (double x, double *left)
{
  double lost;

  if (fabs (x) > 0.6)
    {
      *left = exp (-x);
      return 1.0 - *left;
    }
  if (fabs (x) > 0x1p-6)
    lost = -expm1 (-x);
  else
    {
      double tail = 1.0 - x * (1.0 / 5.0) * (1.0 - x * (1.0 / 6.0) * (1.0 - x * (1.0 / 7.0)));

      lost = x * (1.0 - x * (1.0 / 2.0) * (1.0 - x * (1.0 / 3.0) * (1.0 - x * (1.0 / 4.0) * tail)));
    }
  *left = 1.0 - lost;
  return lost;
}

/* 1 - cos x and sin x; the series are good to x^8/9! = 3e-18 relative. */
static inline void
turn (double x, double *one_minus_cosine, double *sine)
{
  double y = x * x;

  if (fabs (x) > 0x1p-5)
    {
      double s = sin (0.5 * x), c = cos (0.5 * x);

      *one_minus_cosine = 2.0 * s * s;
      *sine = 2.0 * s * c;
      return;
    }
  *one_minus_cosine
      = 0.5 * y * (1.0 - y * (1.0 / 12.0) * (1.0 - y * (1.0 / 30.0) * (1.0 - y * (1.0 / 56.0))));
  *sine = x * (1.0 - y * (1.0 / 6.0) * (1.0 - y * (1.0 / 20.0) * (1.0 - y * (1.0 / 42.0))));
}

/* The empty cavity at one tooth. */
typedef struct
{
  double survival; /* s */
  Complex turned;  /* u */
  Complex left;    /* A */
} EmptyCavity;

static inline EmptyCavity
empty_cavity (double loss, double phase)
{
  EmptyCavity self = { .survival = 1.0 - loss, .turned = { 1.0, 0.0 }, .left = { loss, 0.0 } };
  double one_minus_cosine;

  if (phase == 0.0)
    return self;
  turn (phase, &one_minus_cosine, &self.turned.im);
  self.turned.re = 1.0 - one_minus_cosine;
  self.left.re = loss + self.survival * one_minus_cosine;
  self.left.im = -self.survival * self.turned.im;
  return self;
}

/* m for a complex absorption; @power_left is exp(-Re kappa). */
static inline Complex
absorbed_field (double kappa_re, double kappa_im, double *power_left)
{
  double lost = absorbed (kappa_re, power_left), one_minus_cosine, sine;

  turn (kappa_im, &one_minus_cosine, &sine);
  return (Complex){ lost + *power_left * one_minus_cosine, *power_left * sine };
}

/* um = u m and B. */
static inline Complex
filled_cavity (const EmptyCavity *empty, Complex um)
{
  return (Complex){ empty->left.re + empty->survival * um.re,
                    empty->left.im + empty->survival * um.im };
}

/* exp(-f kappa), @power_left = exp(-Re kappa). */
static inline Complex
passed_field (double share, double kappa_re, double kappa_im, double power_left)
{
  double left = share == 0.5 ? sqrt (power_left) : exp (-share * kappa_re);
  double one_minus_cosine, sine;

  turn (share * kappa_im, &one_minus_cosine, &sine);
  return (Complex){ left * (1.0 - one_minus_cosine), -left * sine };
}

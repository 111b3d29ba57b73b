/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * From a value back to the absorption. With f = 1/2 every coupling is a quadratic equation; any
 * other share of the absorber starts Newton's iteration there.
 *
 * The roots are written so that what cancels is as small as the loss of the mirrors: the answer is
 * as good as the value that was given, however high the finesse.
 */
#include "faint/cavity/kernel-private.h"
#include "faint/cavity/response.h"

/* A value as power, and its distance from the empty cavity before that is rounded away. */
typedef struct
{
  double power, gap; /* gap = 1 - power */
} Level;

static Level
level_of (FaintObservable observable, double value)
{
  if (observable == FAINT_OBSERVABLE_AMPLITUDE)
    return (Level){ value * value, (1.0 - value) * (1.0 + value) };
  return (Level){ value, 1.0 - value };
}

/* -ln x from x or from 1 - x, whichever holds the digits. */
static double
minus_log (double x, double one_minus_x)
{
  return fabs (one_minus_x) < 0.5 ? -log1p (-one_minus_x) : -log (x);
}

/* q = exp(-Re kappa) solves T s^2 q^2 - b q + T = 0, b = 2 T s cos Phi + |A|^2; the smaller root
 * is the physical one, since q s < 1 below the threshold of gain. */
static double
locked_half (const EmptyCavity *empty, double loss, double phase, Level level)
{
  double t = level.power, s = empty->survival, a2 = square (empty->left);
  double sine = sin (0.5 * phase), tilt = 4.0 * s * sine * sine;
  double below = loss * loss + tilt * level.gap; /* b - 2 T s */
  double above = 4.0 * t * s + a2 - tilt * t;    /* b + 2 T s */
  double root, b;

  if (below < 0.0)
    return NAN;
  root = sqrt (below * above);
  b = 0.5 * (below + above);
  /* 1 - q = (root + b - 2 T)/(root + b), where no term of the sum is larger than about the loss. */
  return minus_log (2.0 * t / (b + root), (root + below - 2.0 * t * loss) / (b + root));
}

/* X = exp(-Re kappa) solves s^2 T X^2 + c X - T = 0, c = 1 - s^2. */
static double
swept_half (double loss, Level level)
{
  double t = level.power, s = 1.0 - loss, c = loss * (2.0 - loss);
  double root = sqrt (c * c + 4.0 * s * s * t * t);
  double one_minus_x = 4.0 * c * t * level.gap / ((root + 2.0 * t - c) * (root + c));

  return minus_log (2.0 * t / (c + root), one_minus_x);
}

/* ln of the power that @kappa leaves, dispersion left out, and its slope. */
static double
log_power (const FaintResponse *response, const EmptyCavity *empty, double loss, double kappa,
           double *slope)
{
  double share = response->output_share, s = empty->survival, left;
  double once = absorbed (kappa, &left);

  if (response->coupling == FAINT_COUPLING_SWEPT)
    {
      double lost = loss * (2.0 - loss), m = once * (1.0 + left);

      *slope = 2.0 * (1.0 - share - 1.0 / (lost + s * s * m));
      return -2.0 * share * kappa - log1p (s * s * m / lost);
    }
  else
    {
      Complex um = { empty->turned.re * once, empty->turned.im * once };
      Complex filled = filled_cavity (empty, um);
      double a2 = square (empty->left);
      double more
          = 2.0 * s * (empty->left.re * um.re + empty->left.im * um.im) + s * s * square (um);

      *slope = 2.0 * (1.0 - share - filled.re / square (filled));
      return -2.0 * share * kappa - log1p (more / a2);
    }
}

/* Newton from @kappa, kept inside a bracket that shrinks; the power falls from the threshold of
 * gain, kappa = ln s, on. */
static double
refine (const FaintResponse *response, const EmptyCavity *empty, double loss, Level level,
        double kappa)
{
  double want = fabs (level.gap) < 0.5 ? log1p (-level.gap) : log (level.power);
  double low = log1p (-loss), high = INFINITY, miss = NAN;

  if (!isfinite (kappa))
    kappa = 0.0;
  for (int i = 0; i < 200; i++)
    {
      double slope, next;

      miss = log_power (response, empty, loss, kappa, &slope) - want;
      if (miss > 0.0)
        low = kappa;
      else
        high = kappa;
      next = kappa - miss / slope;
      if (!(next > low && next < high))
        next = isfinite (high) ? 0.5 * (low + high) : low + 2.0 * fabs (low) + 1.0;
      if (miss == 0.0 || fabs (next - kappa) <= 1e-16 * (fabs (kappa) + loss))
        break;
      kappa = next;
    }
  /* A bracket that closed on the threshold, or went off to any absorption, holds no root. */
  return fabs (miss) < 1e-9 ? kappa : NAN;
}

static double
invert_power (const FaintResponse *response, double loss, double phase, double value)
{
  Level level = level_of (response->observable, value);
  EmptyCavity empty = empty_cavity (loss, phase);
  double kappa;

  if (!(value > 0.0) || !isfinite (value))
    return NAN;
  if (response->geometry == FAINT_GEOMETRY_NONE)
    return 0.5 * minus_log (level.power, level.gap);
  kappa = response->coupling == FAINT_COUPLING_SWEPT ? swept_half (loss, level)
                                                     : locked_half (&empty, loss, phase, level);
  if (response->output_share == 0.5)
    return kappa;
  return refine (response, &empty, loss, level, kappa);
}

static Complex
root_of (Complex z)
{
  double size = hypot (z.re, z.im);
  double re = sqrt (0.5 * (size + fabs (z.re)));
  double im = re > 0.0 ? 0.5 * z.im / re : 0.0;

  return z.re >= 0.0 ? (Complex){ re, im } : (Complex){ fabs (im), copysign (re, z.im) };
}

static Complex
minus_log_field (Complex x, Complex one_minus_x)
{
  Complex y = one_minus_x;

  if (square (y) < 0.25)
    return (Complex){ -0.5 * log1p (square (y) - 2.0 * y.re), atan2 (y.im, 1.0 - y.re) };
  return (Complex){ -0.5 * log (square (x)), -atan2 (x.im, x.re) };
}

/* x = exp(-kappa/2) solves v E x^2 + A x - E = 0, v = s u; |x| < 1/sqrt(s) picks the root. */
static Complex
field_half (const EmptyCavity *empty, Complex e)
{
  Complex v = { empty->survival * empty->turned.re, empty->survival * empty->turned.im };
  Complex a = empty->left, ve2 = times (v, times (e, e)), a2 = times (a, a), root, sum, x, y, half;

  root = root_of ((Complex){ a2.re + 4.0 * ve2.re, a2.im + 4.0 * ve2.im });
  if (a.re * root.re + a.im * root.im < 0.0)
    root = (Complex){ -root.re, -root.im };
  sum = (Complex){ a.re + root.re, a.im + root.im };
  x = over ((Complex){ 2.0 * e.re, 2.0 * e.im }, sum);
  /* 1 - x = 4 A E (1 - E)/((root + 2 E - A) (root + A)) */
  y = times (times (a, e), (Complex){ 4.0 * (1.0 - e.re), -4.0 * e.im });
  y = over (y, times (sum, (Complex){ root.re + 2.0 * e.re - a.re, root.im + 2.0 * e.im - a.im }));
  half = minus_log_field (x, y);
  return (Complex){ 2.0 * half.re, 2.0 * half.im };
}

/* E(kappa)/E0 and the step of Newton's iteration on its logarithm towards @e. */
static Complex
field_step (const FaintResponse *response, const EmptyCavity *empty, Complex kappa, Complex e)
{
  double left, share = response->output_share;
  Complex um = times (empty->turned, absorbed_field (kappa.re, kappa.im, &left));
  Complex filled = filled_cavity (empty, um), one = { 1.0, 0.0 };
  Complex model
      = times (passed_field (share, kappa.re, kappa.im, left), over (empty->left, filled));
  Complex by_kappa = over (one, filled), ratio = over (e, model), difference, miss;

  by_kappa = (Complex){ 1.0 - share - by_kappa.re, -by_kappa.im };
  difference = over ((Complex){ model.re - e.re, model.im - e.im }, model);
  miss = minus_log_field (ratio, difference); /* ln model - ln e */
  return over ((Complex){ -miss.re, -miss.im }, by_kappa);
}

static Complex
refine_field (const FaintResponse *response, const EmptyCavity *empty, Complex kappa, Complex e)
{
  const Complex none = { NAN, NAN };
  double before = INFINITY;

  for (int i = 0; i < 60; i++)
    {
      Complex step = field_step (response, empty, kappa, e);
      double size = square (step);

      if (!isfinite (size))
        return none;
      kappa = (Complex){ kappa.re + step.re, kappa.im + step.im };
      /* Done when only rounding is left: below 1e-12 and no longer falling. A rounded field moves
       * kappa by its rounding times |B|, which is no larger than |A| + |kappa|. */
      if (size == 0.0
          || (size < 1e-24 * (square (kappa) + square (empty->left)) && size >= 0.25 * before))
        return kappa;
      before = size;
    }
  return none;
}

static Complex
invert_field (const FaintResponse *response, double loss, double phase, Complex e)
{
  EmptyCavity empty = empty_cavity (loss, phase);
  Complex kappa;

  if (!(square (e) > 0.0) || !isfinite (square (e)))
    return (Complex){ NAN, NAN };
  if (response->geometry == FAINT_GEOMETRY_NONE)
    return minus_log_field (e, (Complex){ 1.0 - e.re, -e.im });
  kappa = field_half (&empty, e);
  return response->output_share == 0.5 ? kappa : refine_field (response, &empty, kappa, e);
}

void
faint_response_invert (const FaintResponse *response, const FaintCavityTeeth *teeth, gsize first,
                       gsize n, const double *value, const double *value_im, double *kappa_re,
                       double *kappa_im)
{
  const double *loss = teeth->loss + first, *phase = teeth->phase + first;

  g_return_if_fail (first <= teeth->n && n <= teeth->n - first);
  if (response->observable != FAINT_OBSERVABLE_FIELD)
    {
      for (gsize i = 0; i < n; i++)
        {
          kappa_re[i] = invert_power (response, loss[i], phase[i], value[i]);
          if (kappa_im != NULL)
            kappa_im[i] = 0.0;
        }
      return;
    }
  g_return_if_fail (value_im != NULL);
  for (gsize i = 0; i < n; i++)
    {
      Complex kappa
          = invert_field (response, loss[i], phase[i], (Complex){ value[i], value_im[i] });

      kappa_re[i] = kappa.re;
      if (kappa_im != NULL)
        kappa_im[i] = kappa.im;
    }
}

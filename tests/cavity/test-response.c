/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a tooth shows, against published formulas and models that do not know them: the sum over
 * round trips, the integral over a sweep, causality.
 */
#include "one-tooth.h"

static const FaintGeometry geometries[]
    = { FAINT_GEOMETRY_STANDING_WAVE, FAINT_GEOMETRY_RING, FAINT_GEOMETRY_NONE };

/* tests/reference/cavity_values.csv: 15 digits, so that the tolerance is rounding alone. */
static void
test_reference_values (void)
{
  FaintTestTable *table = faint_test_table_read ("cavity_values.csv");
  FaintResponse locked = response_of (POWER, FAINT_GEOMETRY_STANDING_WAVE, LOCKED, 0.5);
  FaintResponse swept = response_of (POWER, FAINT_GEOMETRY_STANDING_WAVE, SWEPT, 0.5);

  g_assert_cmpuint (table->rows->len, ==, 30);
  for (guint row = 0; row < table->rows->len; row++)
    {
      double loss = loss_of_decimal (faint_test_table_text (table, row, "R"));
      /* A round trip takes 2 alpha L of the power, kappa is half of that. */
      double kappa = faint_test_table_number (table, row, "single_pass_alphaL");
      double power = creal (one_tooth (&locked, loss, 0.0, kappa).value);

      faint_assert_close (power, faint_test_table_number (table, row, "T_locked_on_resonance"),
                          2e-15, "15 printed digits and rounding");
      faint_assert_near (-log (power),
                         faint_test_table_number (table, row, "apparent_absorbance_locked"),
                         2e-14 * (1.0 - log (power)), "the rounding of a value near 1");
      power = creal (one_tooth (&swept, loss, 0.0, kappa).value);
      faint_assert_close (power, faint_test_table_number (table, row, "T_swept"), 2e-15,
                          "15 printed digits and rounding");
    }
  faint_test_table_free (table);
}

/* tests/reference/cavity_dispersion.csv. The table is relative to the resonance of the empty
 * cavity, the program to the empty cavity at the same Phi. */
static void
test_reference_dispersion (void)
{
  FaintTestTable *table = faint_test_table_read ("cavity_dispersion.csv");
  FaintResponse locked = response_of (POWER, FAINT_GEOMETRY_STANDING_WAVE, LOCKED, 0.5);

  g_assert_cmpuint (table->rows->len, ==, 21);
  for (guint row = 0; row < table->rows->len; row++)
    {
      double loss = loss_of_decimal (faint_test_table_text (table, row, "R"));
      double phase = faint_test_table_number (table, row, "phi0");
      double complex kappa = complex_of (faint_test_table_number (table, row, "alphaL"),
                                         -faint_test_table_number (table, row, "phi_mol"));
      double empty = loss * loss / (loss * loss + 4.0 * (1.0 - loss) * pow (sin (0.5 * phase), 2));

      faint_assert_close (empty * creal (one_tooth (&locked, loss, phase, kappa).value),
                          faint_test_table_number (table, row, "T_relative_to_empty_resonance"),
                          5e-14,
                          "15 printed digits of phi_mol, times its weight of up to 2/loss x phi");
    }
  faint_test_table_free (table);
}

/* The field behind the output coupler as the sum of what has made 0, 1, 2... round trips, filled
 * over empty. Returns also the derivatives by summing the derivative of every term. */
static double complex
sum_of_round_trips (double loss, double phase, double share, double complex kappa)
{
  long double complex trip = (1.0L - (long double)loss) * cexpl (complex_of (0.0L, phase));
  long double complex gas = cexpl (-(long double complex)kappa);
  long double complex filled = 0.0L, empty = 0.0L,
                      term = cexpl (-share * (long double complex)kappa);
  long double complex bare = 1.0L;

  for (int n = 0; n < 60.0 / loss; n++)
    {
      filled += term;
      empty += bare;
      term *= trip * gas;
      bare *= trip;
    }
  return (double complex) (filled / empty);
}

static void
test_round_trips (void)
{
  const double losses[] = { 0.3, 0.03, 0.003 };
  const double shares[] = { 0.5, 0.25, 0.9 };

  for (gsize i = 0; i < 3; i++)
    for (int k = 0; k < 60; k++)
      {
        double loss = losses[i], share = shares[k % 3];
        FaintGeometry geometry = share == 0.5 ? FAINT_GEOMETRY_STANDING_WAVE : FAINT_GEOMETRY_RING;
        double phase = k % 5 == 0 ? 0.0 : loss * (k % 7 - 3);
        double complex kappa = loss * pow (10.0, k % 6 - 4) * complex_of (1.0, 0.4 * (k % 4 - 2));
        FaintResponse response = response_of (FIELD, geometry, LOCKED, share);
        double complex want = sum_of_round_trips (loss, phase, share, kappa), got;

        got = one_tooth (&response, loss, phase, kappa).value;
        faint_assert_near (cabs (got - want) / cabs (want), 0.0, 2e-14,
                           "rounding; the sum is cut at exp(-60)");
        response.observable = POWER;
        faint_assert_close (creal (one_tooth (&response, loss, phase, kappa).value),
                            pow (cabs (want), 2), 2e-14, "rounding");
        response.observable = AMPLITUDE;
        faint_assert_close (creal (one_tooth (&response, loss, phase, kappa).value), cabs (want),
                            2e-14, "rounding");
      }
}

/* A mean over a whole round-trip phase of the field's power: the trapezium rule on a period errs
 * by (s exp(-Re kappa))^points. */
static double
mean_over_phase (double loss, double share, double kappa)
{
  const int points = (int)(45.0 / loss);
  long double filled = 0.0L, empty = 0.0L, s = 1.0L - (long double)loss, gas = expl (-kappa);

  for (int k = 0; k < points; k++)
    {
      long double complex turn
          = cexpl (complex_of (0.0L, 2.0L * 3.14159265358979323846L * k / points));

      filled += powl (cabsl (expl (-share * kappa) / (1.0L - s * turn * gas)), 2.0L);
      empty += powl (cabsl (1.0L / (1.0L - s * turn)), 2.0L);
    }
  return (double)(filled / empty);
}

static void
test_sweep (void)
{
  for (double loss = 0.3; loss > 1e-3; loss *= 0.1)
    for (double scale = 1e-4; scale < 20.0; scale *= 10.0)
      for (double share = 0.25; share <= 1.0; share *= 2.0)
        {
          FaintResponse response = response_of (POWER, FAINT_GEOMETRY_RING, SWEPT, share);
          double kappa = loss * scale, want = mean_over_phase (loss, share, kappa);
          OneTooth tooth = one_tooth (&response, loss, 0.7, complex_of (kappa, 0.3));

          faint_assert_close (creal (tooth.value), want, 1e-13, "rounding of the long sum");
          g_assert_true (cimag (tooth.slope) == 0.0 && tooth.by_phase == 0.0);
          response.observable = AMPLITUDE;
          faint_assert_close (creal (one_tooth (&response, loss, 0.0, kappa).value), sqrt (want),
                              1e-13, "rounding of the long sum");
        }
}

/* Beer-Lambert, and that loss and phase mean nothing in a single pass. */
static void
test_single_pass (void)
{
  const double complex kappa[]
      = { 1e-12, 1e-3 + 2e-3 * I, 0.3 - 0.2 * I, 2.0 + 3.0 * I, 30.0, -0.1 };

  for (gsize i = 0; i < G_N_ELEMENTS (kappa); i++)
    for (gsize k = 0; k < 2; k++)
      {
        FaintResponse response = response_of (FIELD, FAINT_GEOMETRY_NONE, k ? SWEPT : LOCKED, 1.0);
        OneTooth tooth = one_tooth (&response, 0.5, 0.3, kappa[i]);

        faint_assert_near (cabs (tooth.value * cexp (kappa[i]) - 1.0), 0.0, 2e-15, "rounding");
        g_assert_true (tooth.by_loss == 0.0 && tooth.by_phase == 0.0);
        g_assert_true (tooth.slope == -tooth.value);
        response.observable = POWER;
        tooth = one_tooth (&response, 0.5, 0.3, kappa[i]);
        faint_assert_close (creal (tooth.value), exp (-2.0 * creal (kappa[i])), 1e-15, "rounding");
        faint_assert_close (creal (tooth.slope), -2.0 * creal (tooth.value), 1e-15, "rounding");
        response.observable = AMPLITUDE;
        tooth = one_tooth (&response, 0.5, 0.3, kappa[i]);
        faint_assert_close (creal (tooth.value), exp (-creal (kappa[i])), 1e-15, "rounding");
      }
}

/* Sine and exponential from 64-bit mantissas, on both sides of every switch between series and
 * library functions. */
static void
test_single_pass_digits (void)
{
  FaintResponse response = response_of (FIELD, FAINT_GEOMETRY_NONE, LOCKED, 1.0);

  for (double x = 1e-6; x < 3.0; x *= 1.05)
    {
      double complex got = one_tooth (&response, 1.0, 0.0, complex_of (0.5 * x, x)).value;

      faint_assert_close (cimag (got), (double)-(expl (-0.5L * x) * sinl (x)), 1e-15, "rounding");
      faint_assert_near (creal (got), (double)(expl (-0.5L * x) * cosl (x)), 3e-16, "rounding");
    }
}

/* With 1 - s = 1 nothing comes back from the mirrors: Beer-Lambert over the output share. */
static void
test_no_mirrors (void)
{
  FaintResponse response = response_of (POWER, FAINT_GEOMETRY_RING, LOCKED, 0.8);

  faint_assert_close (creal (one_tooth (&response, 1.0, 0.3, complex_of (0.7, 0.2)).value),
                      exp (-2.0 * 0.8 * 0.7), 1e-15, "Beer-Lambert, rounding");
  response.coupling = SWEPT;
  faint_assert_close (creal (one_tooth (&response, 1.0, 0.3, complex_of (0.7, 0.2)).value),
                      exp (-2.0 * 0.8 * 0.7), 1e-15, "Beer-Lambert, rounding");
}

/* Weak limits 1 - (2F/pi) alpha L and 1 - (F/pi) alpha L (Adler, Thorpe, Cossel, Ye, Annu. Rev.
 * Anal. Chem. 3, 175 (2010), from memory): relative errors are loss^2 and F alpha L. */
static void
test_weak_limit (void)
{
  for (double loss = 1e-3; loss > 1e-9; loss *= 0.1)
    {
      double finesse = G_PI * sqrt (1.0 - loss) / loss, kappa = 1e-7 * loss;
      FaintResponse response = response_of (POWER, FAINT_GEOMETRY_STANDING_WAVE, LOCKED, 0.5);
      OneTooth tooth = one_tooth (&response, loss, 0.0, kappa);

      faint_assert_close (-creal (tooth.slope), 2.0 * finesse / G_PI, loss * loss + 5e-7,
                          "F alpha L");
      faint_assert_close (1.0 - creal (tooth.value), 2.0 * finesse / G_PI * kappa,
                          1e-6 + loss * loss, "F alpha L, and the rounding of 1 - 2e-7");
      response.coupling = SWEPT;
      tooth = one_tooth (&response, loss, 0.0, kappa);
      faint_assert_close (-creal (tooth.slope), finesse / G_PI, loss * loss + 5e-7, "F alpha L");
    }
}

/* 64-bit mantissas and expm1l hold what doubles would lose. */
static void
test_weak_absorption_keeps_its_digits (void)
{
  for (double loss = 0.3; loss > 1e-9; loss *= 0.1)
    for (double kappa = 1e-12; kappa < 50.0; kappa *= 3.0)
      {
        FaintResponse response = response_of (POWER, FAINT_GEOMETRY_STANDING_WAVE, LOCKED, 0.5);
        long double s = 1.0L - loss, m = -expm1l (-kappa), b = loss + s * m, a = loss;
        long double swept = loss * (2.0L - loss), m2 = -expm1l (-2.0L * kappa);
        long double want = expl (-kappa) * (a / b) * (a / b);
        OneTooth tooth = one_tooth (&response, loss, 0.0, kappa);

        faint_assert_close (creal (tooth.value), (double)want, 2e-15, "a few roundings");
        faint_assert_close (creal (tooth.slope),
                            (double)(-want * (1.0L + 2.0L * s * (1.0L - m) / b)), 3e-15,
                            "a few roundings");
        faint_assert_close (creal (tooth.by_loss), (double)(2.0L * want * m / (a * b)), 3e-15,
                            "a few roundings");
        response.coupling = SWEPT;
        tooth = one_tooth (&response, loss, 0.0, kappa);
        want = expl (-kappa) * swept / (swept + s * s * m2);
        faint_assert_close (creal (tooth.value), (double)want, 2e-15, "a few roundings");
        faint_assert_close (creal (tooth.by_loss),
                            (double)(2.0L * want * s * m2 / (swept * (swept + s * s * m2))), 3e-15,
                            "a few roundings");
      }
}

/* 1 - exp(-z) with 64-bit mantissas, all digits kept where z is small. */
static long double complex
one_minus_exp (long double complex z)
{
  long double left = expl (-creall (z)), half = sinl (0.5L * cimagl (z));

  return complex_of (-expm1l (-creall (z)) + 2.0L * left * half * half, left * sinl (cimagl (z)));
}

/* @got is value, slope_re, slope_im. Terms of the denominator that cancel leave their roundings. */
static void
check_tooth (const FaintResponse *response, double loss, double phase, long double complex kappa,
             const double got[3])
{
  long double s = 1.0L - loss;
  long double complex turned = one_minus_exp (-I * (long double)phase);
  long double complex empty = loss + s * turned,
                      added = s * (1.0L - turned) * one_minus_exp (kappa);
  long double complex filled = empty + added, slope = 0.5L - 1.0L / filled;
  long double size = expl (-0.5L * creall (kappa)) * cabsl (empty / filled);
  long double value = response->observable == POWER ? size * size : size;
  long double scale = response->observable == POWER ? 2.0L * value : value;
  double rounding = 3e-15 * (double)((cabsl (empty) + cabsl (added)) / cabsl (filled));

  faint_assert_close (got[0], (double)value, rounding, "a few roundings");
  faint_assert_near (got[1], (double)(scale * creall (slope)),
                     rounding * (double)(scale * cabsl (slope)), "a few roundings");
  faint_assert_near (got[2], (double)(-scale * cimagl (slope)),
                     rounding * (double)(scale * cabsl (slope)), "a few roundings");
}

/* Teeth come in groups of four, weak ones together and strong ones alone: all orders of weak and
 * strong, at both observables, against the closed formula. */
static void
test_many_teeth (void)
{
  static const double sizes[] = { 1e-9, 1e-5, 3e-3, 0.0156, 0.0157, 0.3, 4.0 };
  enum
  {
    N = 23
  };
  GRand *random = g_rand_new_with_seed (11);

  for (int round = 0; round < 200; round++)
    {
      double loss[N], u_loss[N] = { 0 }, phase[N], re[N], im[N], value[N], slope_re[N], slope_im[N];
      FaintCavityTeeth teeth = { N, loss, u_loss, phase };
      FaintResponse response = response_of (round % 2 == 0 ? POWER : AMPLITUDE,
                                            FAINT_GEOMETRY_STANDING_WAVE, LOCKED, 0.5);

      for (int t = 0; t < N; t++)
        {
          loss[t] = pow (10.0, g_rand_double_range (random, -5.0, -2.0));
          phase[t] = g_rand_boolean (random) ? 0.0 : g_rand_double_range (random, -0.05, 0.05);
          re[t] = sizes[g_rand_int_range (random, 0, G_N_ELEMENTS (sizes))];
          im[t] = g_rand_double_range (random, -2.0, 2.0) * re[t];
        }
      faint_response_fill (
          &response, &teeth, 0, N, re, im,
          &(FaintResponseValues){ .value = value, .slope_re = slope_re, .slope_im = slope_im });
      for (int t = 0; t < N; t++)
        check_tooth (&response, loss[t], phase[t], complex_of (re[t], im[t]),
                     (double[]){ value[t], slope_re[t], slope_im[t] });
    }
  g_rand_free (random);
}

/* A line with the exponent K/(gamma - i x), the Lorentzian's, and its value in time under
 * exp(-i omega t). Apodised by a Gaussian of width 1/reach in time, the response before the pulse
 * must be nothing; with the other sign of dispersion it would all be there. */
static double complex
in_time (const FaintResponse *response, double loss, double time)
{
  const double strength = 0.3 * loss, step = 0.02, reach = 30.0;
  double complex sum = 0.0;

  for (int k = -8000; k <= 8000; k++)
    {
      double x = k * step;
      double complex kappa = strength / complex_of (1.0, -x);
      double complex change = one_tooth (response, loss, 0.0, kappa).value - 1.0;

      sum += change * exp (-0.5 * x * x / (reach * reach)) * cexp (complex_of (0.0, -x * time));
    }
  return sum * step;
}

static void
test_causality (void)
{
  for (gsize i = 0; i < G_N_ELEMENTS (geometries); i++)
    {
      FaintResponse response = response_of (FIELD, geometries[i], LOCKED,
                                            geometries[i] == FAINT_GEOMETRY_NONE ? 1.0 : 0.5);
      double before = cabs (in_time (&response, 0.01, -1.0));
      double after = cabs (in_time (&response, 0.01, 1.0));

      g_assert_cmpfloat (after, >, 1e-3);
      faint_assert_near (before / after, 0.0, 1e-8, "the window's tail, exp(-x^2/2) at 160/30");
    }
}

/* Below a line's centre the index is above 1 and the light lags; fields go as exp(-i omega t), so
 * the lag is positive (Kramers-Kronig; Foltynowicz et al., Appl. Phys. B 110, 163 (2013)). */
static void
test_lag_is_positive (void)
{
  for (gsize i = 0; i < G_N_ELEMENTS (geometries); i++)
    {
      FaintResponse response = response_of (FIELD, geometries[i], LOCKED, 0.5);
      double complex below = 1e-3 / complex_of (1.0, +1.0), above = 1e-3 / complex_of (1.0, -1.0);

      g_assert_cmpfloat (carg (one_tooth (&response, 0.01, 0.0, below).value), >, 1e-4);
      g_assert_cmpfloat (carg (one_tooth (&response, 0.01, 0.0, above).value), <, -1e-4);
    }
}

/* Outputs that are not wanted stay untouched, and a range begins at its own tooth. */
static void
test_ranges_and_wishes (void)
{
  double loss[] = { 0.5, 0.01, 0.02 }, u[3] = { 0 }, phase[] = { 1.0, 0.0, 0.01 };
  double kappa_re[] = { 1e-3, 2e-3 }, kappa_im[] = { 1e-3, -1e-3 }, value[] = { 7.0, 7.0, 7.0 };
  FaintCavityTeeth teeth = { 3, loss, u, phase };
  FaintResponse response = response_of (POWER, FAINT_GEOMETRY_STANDING_WAVE, LOCKED, 0.5);
  FaintResponseValues out = { .value = value };

  faint_response_fill (&response, &teeth, 1, 2, kappa_re, kappa_im, &out);
  for (gsize i = 0; i < 2; i++)
    g_assert_true (value[i]
                   == creal (one_tooth (&response, loss[i + 1], phase[i + 1],
                                        complex_of (kappa_re[i], kappa_im[i]))
                                 .value));
  g_assert_true (value[2] == 7.0);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/cavity/response/reference-values", test_reference_values);
  g_test_add_func ("/cavity/response/reference-dispersion", test_reference_dispersion);
  g_test_add_func ("/cavity/response/round-trips", test_round_trips);
  g_test_add_func ("/cavity/response/sweep", test_sweep);
  g_test_add_func ("/cavity/response/single-pass", test_single_pass);
  g_test_add_func ("/cavity/response/single-pass-digits", test_single_pass_digits);
  g_test_add_func ("/cavity/response/no-mirrors", test_no_mirrors);
  g_test_add_func ("/cavity/response/many-teeth", test_many_teeth);
  g_test_add_func ("/cavity/response/weak-limit", test_weak_limit);
  g_test_add_func ("/cavity/response/weak-digits", test_weak_absorption_keeps_its_digits);
  g_test_add_func ("/cavity/response/causality", test_causality);
  g_test_add_func ("/cavity/response/lag-is-positive", test_lag_is_positive);
  g_test_add_func ("/cavity/response/ranges", test_ranges_and_wishes);
  return g_test_run ();
}

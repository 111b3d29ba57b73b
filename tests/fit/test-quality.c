/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/fit/quality.h"
#include "faint-test.h"

#include <math.h>

/* Signs + + + + - - - + + + - - + + + + + + - - - -: 13 above, 9 below, 6 runs. Expected runs
 * 2 13 9/22 + 1 = 11.6364, variance 2 13 9 (2 13 9 - 22)/(22^2 21) = 4.8807 (Wald & Wolfowitz, Ann.
 * Math. Stat. 11, 147 (1940)): z = (6 - 11.6364)/2.2092. */
static void
test_runs (void)
{
  static const double residual[]
      = { 1, 2, 1, 3, -1, -2, -1, 1, 1, 2, -1, -1, 1, 2, 1, 1, 2, 3, -1, -2, -1, -4 };
  FaintQuality quality = faint_quality (residual, G_N_ELEMENTS (residual));
  double product = 2.0 * 13.0 * 9.0;
  double z = (6.0 - (product / 22.0 + 1.0)) / sqrt (product * (product - 22.0) / (484.0 * 21.0));

  faint_assert_close (quality.runs_z, z, 1e-14, "rounding");
  faint_assert_near (quality.runs_z, -2.551, 1e-3, "worked by hand to four digits");
  g_assert_cmpfloat (quality.largest, ==, 4.0);
  g_assert_cmpfloat (quality.chi2, ==, 71.0);
}

/* Residuals that change sign each time have as many runs as there can be. */
static void
test_runs_alternating (void)
{
  double residual[40];
  FaintQuality quality;

  for (int i = 0; i < 40; i++)
    residual[i] = i % 2 == 0 ? 1.0 : -1.0;
  quality = faint_quality (residual, 40);
  /* 20 above, 20 below: 21 runs expected, variance 800 760/(1600 39) = 9.7436. */
  faint_assert_close (quality.runs_z, (40.0 - 21.0) / sqrt (800.0 * 760.0 / (1600.0 * 39.0)), 1e-14,
                      "rounding");
  faint_assert_close (quality.lag1, -39.0 / 40.0, 1e-14, "39 products of -1 over 40 squares");
}

/* r_1 of 1, 2, 3, 4, 5: products about the mean 3 are 2, 0, 0, 2 over squares 4 1 0 1 4: 0.4. */
static void
test_lag1_by_hand (void)
{
  static const double residual[] = { 1, 2, 3, 4, 5 };

  faint_assert_close (faint_quality (residual, 5).lag1, 0.4, 1e-14, "rounding");
}

static double
normal (GRand *random)
{
  double r = sqrt (-2.0 * log (1.0 - g_rand_double (random)));

  return r * cos (2.0 * G_PI * g_rand_double (random));
}

/* x_i = rho x_(i-1) + noise has a lag-1 autocorrelation of rho, estimated to sqrt((1 - rho^2)/n)
 * (Box & Jenkins, Time Series Analysis, section 6.2); white noise gives none, and a runs test that
 * is a standard normal number. */
static void
test_autoregressive (void)
{
  static const double rhos[] = { 0.0, 0.3, 0.8, -0.5 };
  const gsize n = 20000;
  g_autofree double *x = g_new (double, n);
  GRand *random = g_rand_new_with_seed (4);

  for (gsize k = 0; k < G_N_ELEMENTS (rhos); k++)
    {
      FaintQuality quality;
      double rho = rhos[k], before = normal (random) / sqrt (1.0 - rho * rho);

      for (gsize i = 0; i < n; i++)
        x[i] = before = rho * before + normal (random);
      quality = faint_quality (x, n);
      faint_assert_near (quality.lag1, rho, 4.0 * sqrt ((1.0 - rho * rho) / (double)n),
                         "four standard deviations of the estimate");
      if (rho == 0.0)
        faint_assert_near (quality.runs_z, 0.0, 4.0, "four standard deviations");
      else
        g_assert_cmpfloat (quality.runs_z * rho, <, -10.0 * fabs (rho));
    }
  g_rand_free (random);
}

/* What does not exist is not a number. */
static void
test_nothing (void)
{
  static const double one_side[] = { 1, 2, 3, 4 }, two[] = { 1, -1 }, still[] = { 0, 0, 0, 0 };

  g_assert_true (isnan (faint_quality (one_side, 4).runs_z));
  g_assert_true (isnan (faint_quality (two, 2).runs_z));
  g_assert_true (isnan (faint_quality (two, 2).lag1));
  g_assert_true (isnan (faint_quality (still, 4).lag1));
  g_assert_cmpfloat (faint_quality (two, 2).chi2, ==, 2.0);
  g_assert_cmpfloat (faint_quality (NULL, 0).chi2, ==, 0.0);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/fit/quality/runs", test_runs);
  g_test_add_func ("/fit/quality/runs-alternating", test_runs_alternating);
  g_test_add_func ("/fit/quality/lag1-by-hand", test_lag1_by_hand);
  g_test_add_func ("/fit/quality/autoregressive", test_autoregressive);
  g_test_add_func ("/fit/quality/nothing", test_nothing);
  return g_test_run ();
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Mean and spread of a population of widths from members of known uncertainty. The spread counts
 * twice (widths.h), and its estimate is meant to err on the large side (widths.c): it may come out
 * too large by its own uncertainty, but not too small.
 */
#include "faint/fit/widths.h"
#include "faint-test.h"

#include <math.h>

static double
normal (GRand *random)
{
  double r = sqrt (-2.0 * log (1.0 - g_rand_double (random)));

  return r * cos (2.0 * G_PI * g_rand_double (random));
}

/* Widths drawn from a normal population and measured, each with its own u. */
static void
draw (GRand *random, gsize n, double mean, double spread, double u_least, double u_most, double *x,
      double *u)
{
  for (gsize i = 0; i < n; i++)
    {
      u[i] = u_least * pow (u_most / u_least, g_rand_double (random));
      x[i] = mean + spread * normal (random) + u[i] * normal (random);
    }
}

#define N 200

static void
test_known_population (void)
{
  GRand *random = g_rand_new_with_seed (1);
  double sum = 0.0;
  const int trials = 40;

  for (int trial = 0; trial < trials; trial++)
    {
      double x[N], u[N], mean, spread;

      draw (random, N, 1e-3, 2e-4, 2e-5, 2e-3, x, u);
      g_assert_true (faint_widths_population (x, u, N, 4e-4, &mean, &spread));
      faint_assert_near (mean, 1e-3, 4.0 * 2e-4 / sqrt (60.0),
                         "four standard deviations of a mean over the third that is well known");
      sum += spread / 2e-4;
    }
  /* About a third of the lines, 60, tell of the spread: its uncertainty is 2e-4/sqrt(120), 9 %; the
   * estimate lies one of those above the truth, the mean of 40 within 3 %, and it counts twice. */
  g_assert_cmpfloat (sum / trials, >, 2.0);
  g_assert_cmpfloat (sum / trials, <, 2.4);
  g_rand_free (random);
}

/* Without any spread of their own the members show the least that is allowed, a fifth. */
static void
test_least_spread (void)
{
  GRand *random = g_rand_new_with_seed (2);
  double x[N], u[N], mean, spread;

  draw (random, N, 1e-3, 0.0, 1e-5, 1e-5, x, u);
  g_assert_true (faint_widths_population (x, u, N, 1e-4, &mean, &spread));
  faint_assert_near (mean, 1e-3, 4.0 * 1e-5 / sqrt (N), "four standard deviations of the mean");
  faint_assert_close (spread, 0.2 * mean, 1e-12, "a fifth of the mean (widths.h)");
  g_rand_free (random);
}

/* Widths of something else do not count, whatever they say of their uncertainty. */
static void
test_outliers (void)
{
  GRand *random = g_rand_new_with_seed (3);
  double x[N], u[N], mean, spread, mean_with, spread_with;

  draw (random, N, 1e-3, 2e-4, 2e-5, 1e-4, x, u);
  g_assert_true (faint_widths_population (x, u, N - 10, 4e-4, &mean, &spread));
  for (int i = N - 10; i < N; i++)
    {
      x[i] = i % 2 == 0 ? 0.02 : 0.05;
      u[i] = 1e-5;
    }
  g_assert_true (faint_widths_population (x, u, N, 4e-4, &mean_with, &spread_with));
  faint_assert_close (mean_with, mean, 1e-12, "the ten are left out, and the sums are the same");
  faint_assert_close (spread_with, spread, 1e-12, "the same");
  g_rand_free (random);
}

/* Entries without an uncertainty are no entries. */
static void
test_skipped (void)
{
  GRand *random = g_rand_new_with_seed (4);
  double x[N], u[N], mean, spread, mean_with, spread_with;

  draw (random, N, 1e-3, 2e-4, 2e-5, 1e-4, x, u);
  g_assert_true (faint_widths_population (x, u, N - 3, 4e-4, &mean, &spread));
  u[N - 3] = INFINITY;
  u[N - 2] = NAN;
  u[N - 1] = 0.0;
  g_assert_true (faint_widths_population (x, u, N, 4e-4, &mean_with, &spread_with));
  g_assert_cmpfloat (mean_with, ==, mean);
  g_assert_cmpfloat (spread_with, ==, spread);
  g_rand_free (random);
}

/* Fewer than six that are known well enough tell nothing; nor do none, nor negative ones. */
static void
test_too_few (void)
{
  double x[8] = { 1e-3, 1.1e-3, 0.9e-3, 1e-3, 1.2e-3, 0.8e-3, 1e-3, 1e-3 }, u[8], mean, spread;

  for (int i = 0; i < 8; i++)
    u[i] = i < 5 ? 1e-5 : 1e-3;
  g_assert_false (faint_widths_population (x, u, 8, 1e-4, &mean, &spread));
  u[5] = 1e-5;
  g_assert_true (faint_widths_population (x, u, 8, 1e-4, &mean, &spread));
  g_assert_false (faint_widths_population (x, u, 5, 1e-4, &mean, &spread));
  g_assert_false (faint_widths_population (x, u, 0, 1e-4, &mean, &spread));
  for (int i = 0; i < 8; i++)
    x[i] = -x[i];
  g_assert_false (faint_widths_population (x, u, 8, 1e-4, &mean, &spread));
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/fit/widths/known-population", test_known_population);
  g_test_add_func ("/fit/widths/least-spread", test_least_spread);
  g_test_add_func ("/fit/widths/outliers", test_outliers);
  g_test_add_func ("/fit/widths/skipped", test_skipped);
  g_test_add_func ("/fit/widths/too-few", test_too_few);
  return g_test_run ();
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/spectrum/noise.h"

#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>
#include <math.h>

#include "faint-test.h"

#define SIGMA 0.01

/* White normal noise of SIGMA from a seeded generator, on the profile given by @shape. */
static double *
samples (gsize n, double (*shape) (gsize i))
{
  gsl_rng *random = gsl_rng_alloc (gsl_rng_mt19937);
  double *value = g_new (double, n);

  gsl_rng_set (random, 4357);
  for (gsize i = 0; i < n; i++)
    value[i] = shape (i) + gsl_ran_gaussian (random, SIGMA);
  gsl_rng_free (random);
  return value;
}

static double
flat (gsize i)
{
  return 1.0;
}

static double
curved (gsize i)
{
  double x = (double)i / 500.0;

  return 1.0 + 0.3 * x - 0.2 * x * x + 0.2 * sin (x);
}

/* Lorentz lines of 70 % depth and 3.5 samples half width, one in a hundred samples. */
static double
lines (gsize i)
{
  double x = ((double)(i % 100) - 50.0) / 3.5;

  return 1.0 - 0.7 / (1.0 + x * x);
}

static double
still (gsize i)
{
  return i % 200 == 100 ? 1.5 : 1.0;
}

static void
stays_within (double (*shape) (gsize), gsize n, gsize window, double share, const char *why)
{
  g_autofree double *value = samples (n, shape);
  g_autofree double *sigma = g_new (double, n);

  faint_noise_estimate (value, n, window, sigma);
  for (gsize i = 0; i < n; i++)
    faint_assert_close (sigma[i], SIGMA, share, why);
}

static void
test_white (void)
{
  /* A median of n absolute values has a relative standard deviation of 1.17/sqrt(n), and third
   * differences are correlated, which makes it about 1.7/sqrt(n): 1.2 % here. */
  stays_within (flat, 200000, 20000, 0.05, "four standard deviations of the estimate");
  stays_within (curved, 200000, 20000, 0.05, "a slow baseline leaves nothing in it");
}

static void
test_lines (void)
{
  stays_within (lines, 100000, 5000, 0.20, "flanks of lines, a tenth of the samples, are outvoted");
}

/* The noise of a comb follows its envelope: the estimate must follow too. */
static void
test_follows (void)
{
  gsize n = 100000;
  g_autofree double *value = samples (n, flat);
  g_autofree double *sigma = g_new (double, n);

  for (gsize i = 0; i < n; i++)
    value[i] *= 1.0 + 4.0 * (double)i / (double)n;
  for (gsize i = 0; i < n; i++)
    value[i] -= 1.0 + 4.0 * (double)i / (double)n;
  faint_noise_estimate (value, n, 5000, sigma);
  for (gsize i = 5000; i < n - 5000; i++)
    faint_assert_close (sigma[i], SIGMA * (1.0 + 4.0 * (double)i / (double)n), 0.12,
                        "1.7/sqrt(5000) is 2.4 %; five standard deviations");
}

static void
test_scale (void)
{
  gsize n = 3000;
  g_autofree double *value = samples (n, lines);
  g_autofree double *once = g_new (double, n);
  g_autofree double *twice = g_new (double, n);

  faint_noise_estimate (value, n, 500, once);
  for (gsize i = 0; i < n; i++)
    value[i] *= 2.0; /* exact in binary */
  faint_noise_estimate (value, n, 500, twice);
  for (gsize i = 0; i < n; i++)
    g_assert_cmpfloat (twice[i], ==, 2.0 * once[i]);
}

static void
test_small (void)
{
  double value[] = { 1.0, 1.2, 0.9, 1.1, 1.05, 1.0, 0.7, 1.3 };
  double sigma[G_N_ELEMENTS (value)];

  for (gsize n = 0; n <= G_N_ELEMENTS (value); n++)
    {
      faint_noise_estimate (value, n, 100, sigma);
      for (gsize i = 0; i < n; i++)
        if (n < 4)
          g_assert_cmpfloat (sigma[i], ==, 0.0);
        else
          g_assert_cmpfloat (sigma[i], >, 0.0);
    }
}

/* More than half of the samples alike: still not called free of noise. */
static void
test_coarse_digits (void)
{
  g_autofree double *value = g_new (double, 2000);
  double sigma[2000];

  for (gsize i = 0; i < 2000; i++)
    value[i] = still (i);
  faint_noise_estimate (value, 2000, 100, sigma);
  for (gsize i = 0; i < 2000; i++)
    g_assert_cmpfloat (sigma[i], >, 0.0);
  for (gsize i = 0; i < 2000; i++)
    value[i] = 1.0;
  faint_noise_estimate (value, 2000, 100, sigma);
  for (gsize i = 0; i < 2000; i++)
    g_assert_cmpfloat (sigma[i], ==, 0.0);
}

/* A million samples in well under a second, by far, on any machine of the last ten years. */
static void
test_fast (void)
{
  gsize n = 1000000;
  g_autofree double *value = samples (n, lines);
  g_autofree double *sigma = g_new (double, n);
  gint64 start = g_get_monotonic_time ();

  faint_noise_estimate (value, n, 1000, sigma);
  g_test_message ("1e6 samples: %.3f s", (double)(g_get_monotonic_time () - start) * 1e-6);
  g_assert_cmpint (g_get_monotonic_time () - start, <, 2 * G_USEC_PER_SEC);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/noise/white", test_white);
  g_test_add_func ("/noise/lines", test_lines);
  g_test_add_func ("/noise/follows", test_follows);
  g_test_add_func ("/noise/scale", test_scale);
  g_test_add_func ("/noise/small", test_small);
  g_test_add_func ("/noise/coarse-digits", test_coarse_digits);
  g_test_add_func ("/noise/fast", test_fast);
  return g_test_run ();
}

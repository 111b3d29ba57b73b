/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/shape/faddeeva.h"
#include "faint/shape/faddeeva-private.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_sf_dawson.h>
#include <math.h>
#include <string.h>

#include "faint-test.h"

/* What faddeeva.h promises of each part. */
#define PROMISED 5e-14
#define WHY "the accuracy that faddeeva.h promises"

typedef struct
{
  const char *name;
  const FaintFaddeevaKernel *kernel;
} Named;

/* The kernels that this machine can run. */
static guint
kernels (Named *list)
{
  guint n = 0;

  list[n++] = (Named){ "baseline", &faint_faddeeva_baseline };
#ifdef FAINT_FADDEEVA_X86
  if (faint_faddeeva_kernel () == &faint_faddeeva_avx2)
    list[n++] = (Named){ "AVX2", &faint_faddeeva_avx2 };
#endif
  return n;
}

static FaintComplex
by_kernel (const FaintFaddeevaKernel *kernel, double x, double y)
{
  FaintComplex w;
  FaintFaddeevaPoints points = { &x, 1, 0.0, 1.0, y };
  FaintFaddeevaOut out = { .w_re = &w.re, .w_im = &w.im, .w_factor = 1.0 };

  kernel->value (&points, &out);
  return w;
}

static void
check_table (const char *file, const char *re, const char *im)
{
  FaintTestTable *table = faint_test_table_read (file);
  Named list[2];
  guint n = kernels (list);

  for (guint i = 0; i < table->rows->len; i++)
    {
      double x = faint_test_table_number (table, i, "x");
      double y = faint_test_table_number (table, i, "y");

      for (guint j = 0; y >= 0.0 && j < n; j++)
        {
          FaintComplex w = by_kernel (list[j].kernel, x, y);
          double want = faint_test_table_number (table, i, re);

          g_test_message ("%s row %u %s: %.17g %.17g", file, i + 1, list[j].name, x, y);
          /* Below the doubles only 0 can be right. */
          if (fabs (want) < 1e-320)
            g_assert_true (w.re == 0.0);
          else
            faint_assert_close (w.re, want, PROMISED, WHY);
          faint_assert_close (w.im, faint_test_table_number (table, i, im), PROMISED, WHY);
        }
    }
  faint_test_table_free (table);
}

static void
test_table (void)
{
  check_table ("faddeeva.csv", "re", "im");
}

static void
test_handbook (void)
{
  check_table ("faddeeva_handbook.csv", "re_recomputed", "im_recomputed");
}

/* The published digits themselves, where the file has them. */
static void
test_published (void)
{
  FaintTestTable *table = faint_test_table_read ("faddeeva_handbook.csv");
  guint compared = 0;

  for (guint i = 0; i < table->rows->len; i++)
    {
      FaintComplex w;
      double tolerance
          = strlen (faint_test_table_text (table, i, "re_published")) < 10 ? 5e-3 : PROMISED;
      if (*faint_test_table_text (table, i, "im_published") == '\0')
        continue;
      w = faint_faddeeva (faint_test_table_number (table, i, "x"),
                          faint_test_table_number (table, i, "y"));
      faint_assert_close (w.re, faint_test_table_number (table, i, "re_published"), tolerance,
                          "promised, or three printed decimals");
      faint_assert_close (w.im, faint_test_table_number (table, i, "im_published"), tolerance,
                          "promised, or three printed decimals");
      compared++;
    }
  /* 32 rows of the list and one of a manual. */
  g_assert_cmpuint (compared, >=, 33);
  faint_test_table_free (table);
}

static void
test_random (void)
{
  check_table ("faddeeva_random.csv", "re", "im");
}

/* w' is smaller than the terms of -2 z w + 2i/sqrt(pi) by 2 |z|^2 at most 90 where that formula
 * serves (|z|^2 < 45), each exact to some roundings of 1.1e-16. */
static void
test_derivative (void)
{
  FaintTestTable *table = faint_test_table_read ("faddeeva_random.csv");

  for (guint i = 0; i < table->rows->len; i++)
    {
      double x = faint_test_table_number (table, i, "x");
      double y = faint_test_table_number (table, i, "y");
      double re = faint_test_table_number (table, i, "d_re");
      double im = faint_test_table_number (table, i, "d_im");
      FaintComplex d = faint_faddeeva_derivative (x, y);

      if (y < 0.0)
        continue;
      faint_assert_near (d.re, re, 1e-13 * hypot (re, im), "90 times a few roundings");
      faint_assert_near (d.im, im, 1e-13 * hypot (re, im), "90 times a few roundings");
    }
  faint_test_table_free (table);
}

/* Below the axis w = 2 exp(-z^2) - w(-z) has zeros; the error is measured against its two terms,
 * that of w' against their derivatives. */
static void
test_below (void)
{
  FaintTestTable *table = faint_test_table_read ("faddeeva_random.csv");
  guint compared = 0;

  for (guint i = 0; i < table->rows->len; i++)
    {
      double x = faint_test_table_number (table, i, "x");
      double y = faint_test_table_number (table, i, "y");
      FaintComplex w = faint_faddeeva (x, y), d = faint_faddeeva_derivative (x, y);
      FaintComplex mirrored = faint_faddeeva (-x, -y);
      double size = 2.0 * exp (y * y - x * x) + hypot (mirrored.re, mirrored.im);
      double slope = 2.0 * hypot (x, y) * size + 1.2;

      if (y >= 0.0)
        continue;
      faint_assert_near (w.re, faint_test_table_number (table, i, "re"), PROMISED * size, WHY);
      faint_assert_near (w.im, faint_test_table_number (table, i, "im"), PROMISED * size, WHY);
      faint_assert_near (d.re, faint_test_table_number (table, i, "d_re"), PROMISED * slope, WHY);
      faint_assert_near (d.im, faint_test_table_number (table, i, "d_im"), PROMISED * slope, WHY);
      compared++;
    }
  g_assert_cmpuint (compared, >=, 20);
  faint_test_table_free (table);
}

/* w(0) = 1, w(i) = e erfc(1), w(x) = exp(-x^2) + 2i/sqrt(pi) D(x) with Dawson's D (DLMF 7.5.1),
 * against the C library and GSL. */
static void
test_identities (void)
{
  faint_assert_close (faint_faddeeva (0.0, 0.0).re, 1.0, PROMISED, WHY);
  g_assert_true (faint_faddeeva (0.0, 0.0).im == 0.0);
  faint_assert_close (faint_faddeeva (0.0, 1.0).re, exp (1.0) * erfc (1.0), PROMISED, WHY);
  for (double x = -26.0; x <= 26.0; x += 0.37)
    {
      FaintComplex w = faint_faddeeva (x, 0.0);
      double condition = 2.0 * x * x * 1.2e-16;

      faint_assert_close (w.re, exp (-x * x), PROMISED + condition, "promised, and x*x rounded");
      faint_assert_close (w.im, 2.0 / sqrt (G_PI) * gsl_sf_dawson (x), 2e-15 + PROMISED,
                          "promised, and GSL's few roundings");
    }
}

/* w(-conj z) = conj w(z) (DLMF 7.4.3), to the last bit: the same number is computed. */
static void
test_symmetry (void)
{
  static const double ys[] = { 0.0, 1e-8, 0.3, 5.0, 100.0 };

  for (guint j = 0; j < G_N_ELEMENTS (ys); j++)
    for (double x = 0.01; x < 1e5; x *= 1.7)
      {
        FaintComplex right = faint_faddeeva (x, ys[j]), left = faint_faddeeva (-x, ys[j]);
        g_assert_true (right.re == left.re);
        g_assert_true (right.im == -left.im);
        right = faint_faddeeva_derivative (x, ys[j]);
        left = faint_faddeeva_derivative (-x, ys[j]);
        g_assert_true (right.re == -left.re);
        g_assert_true (right.im == left.im);
      }
}

/* Arrays of every tail length, near and far mixed, against one argument at a time; nothing is
 * written behind the end. */
static void
test_lengths (void)
{
  static const double all[12]
      = { 0.0, -3.3, 7e4, 1.0, 6.7, -6.8, 0.25, 12.0, -1e-3, 30.0, 5.9, 1e6 };
  static const double ys[] = { 0.0, 1e-10, 0.1, 3.0, 1e3, -0.5 };

  for (guint j = 0; j < G_N_ELEMENTS (ys); j++)
    for (gsize n = 0; n <= 9; n++)
      for (gsize offset = 0; offset < 3; offset++)
        {
          double re[10], im[10], d_re[10], d_im[10];

          re[n] = im[n] = d_re[n] = d_im[n] = 17.0;
          faint_faddeeva_fill_derivative (all + offset, n, ys[j], re, im, d_re, d_im);
          g_assert_true (re[n] == 17.0 && im[n] == 17.0 && d_re[n] == 17.0 && d_im[n] == 17.0);
          for (gsize i = 0; i < n; i++)
            {
              FaintComplex w = faint_faddeeva (all[offset + i], ys[j]);
              FaintComplex d = faint_faddeeva_derivative (all[offset + i], ys[j]);

              faint_assert_close (re[i], w.re, PROMISED, WHY);
              faint_assert_close (im[i], w.im, PROMISED, WHY);
              faint_assert_near (d_re[i], d.re, 1e-13 * hypot (d.re, d.im), WHY);
              faint_assert_near (d_im[i], d.im, 1e-13 * hypot (d.re, d.im), WHY);
            }
          faint_faddeeva_fill (all + offset, n, ys[j], re, im);
          g_assert_true (re[n] == 17.0 && im[n] == 17.0);
        }
}

/* The instruction sets agree: each is within what is promised of the truth. */
static void
test_kernels_agree (void)
{
  Named list[2];
  guint n = kernels (list);
  GRand *rand = g_rand_new_with_seed (4);

  if (n < 2)
    g_test_skip ("this machine has one instruction set only");
  for (guint i = 0; n > 1 && i < 20000; i++)
    {
      double x = g_rand_double_range (rand, -8.0, 8.0);
      double y = pow (10.0, g_rand_double_range (rand, -12.0, 1.0));
      FaintComplex a = by_kernel (list[0].kernel, x, y), b = by_kernel (list[1].kernel, x, y);

      faint_assert_close (a.re, b.re, 2 * PROMISED, WHY);
      faint_assert_close (a.im, b.im, 2 * PROMISED, WHY);
    }
  g_rand_free (rand);
}

/* Not a number in, not a number out; at infinity w vanishes; beyond the square root of the largest
 * double the leading term i/(sqrt(pi) z) remains. */
static void
test_extremes (void)
{
  static const double x[4] = { 1.0, NAN, INFINITY, 1e300 };
  double re[4], im[4], d_re[4], d_im[4];

  faint_faddeeva_fill_derivative (x, 4, 1.0, re, im, d_re, d_im);
  faint_assert_close (re[0], 0.30474420525691259246, PROMISED, WHY);
  g_assert_true (isnan (re[1]) && isnan (im[1]) && isnan (d_re[1]) && isnan (d_im[1]));
  g_assert_true (re[2] == 0.0 && im[2] == 0.0 && d_re[2] == 0.0 && d_im[2] == 0.0);
  faint_assert_close (im[3], 1e-300 / sqrt (G_PI), PROMISED, WHY);
  g_assert_true (isnan (faint_faddeeva (1.0, NAN).re));
  g_assert_true (isnan (faint_faddeeva (NAN, -1.0).im));
  g_assert_true (faint_faddeeva (1.0, INFINITY).re == 0.0);
  faint_assert_close (faint_faddeeva (0.0, 1e200).re, 1e-200 / sqrt (G_PI), PROMISED, WHY);
  faint_assert_close (faint_faddeeva (1e170, 1e170).re, 0.5e-170 / sqrt (G_PI), PROMISED, WHY);
  /* exp(900) is no double any more, but the imaginary part on the axis is 0. */
  g_assert_true (isinf (faint_faddeeva (0.0, -30.0).re));
  g_assert_true (faint_faddeeva (0.0, -30.0).im == 0.0);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  gsl_set_error_handler_off ();
  g_test_add_func ("/shape/faddeeva/table", test_table);
  g_test_add_func ("/shape/faddeeva/handbook", test_handbook);
  g_test_add_func ("/shape/faddeeva/published", test_published);
  g_test_add_func ("/shape/faddeeva/random", test_random);
  g_test_add_func ("/shape/faddeeva/derivative", test_derivative);
  g_test_add_func ("/shape/faddeeva/below", test_below);
  g_test_add_func ("/shape/faddeeva/identities", test_identities);
  g_test_add_func ("/shape/faddeeva/symmetry", test_symmetry);
  g_test_add_func ("/shape/faddeeva/lengths", test_lengths);
  g_test_add_func ("/shape/faddeeva/kernels-agree", test_kernels_agree);
  g_test_add_func ("/shape/faddeeva/extremes", test_extremes);
  return g_test_run ();
}

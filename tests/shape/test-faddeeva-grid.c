/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/shape/faddeeva.h"

#include <math.h>
#include <string.h>

#include "faint-test.h"

#define PROMISED 5e-14
#define WHY "the accuracy that faddeeva.h promises"

/* Points of the reference on a grid of 1/128, which the series about fixed centres serves. */
static void
test_reference (void)
{
  FaintTestTable *table = faint_test_table_read ("faddeeva_random.csv");
  g_autofree double *re = g_new (double, 2049), *im = g_new (double, 2049);
  double last_y = NAN;
  guint compared = 0;

  for (guint i = 0; i < table->rows->len; i++)
    {
      double x = faint_test_table_number (table, i, "x");
      double y = faint_test_table_number (table, i, "y");
      gsize k = (gsize)((x + 8.0) * 128.0);

      if (strcmp (faint_test_table_text (table, i, "kind"), "grid") != 0)
        continue;
      if (y != last_y)
        faint_faddeeva_grid (-8.0, 1.0 / 128, 2049, y, re, im);
      last_y = y;
      g_assert_true (-8.0 + (double)k / 128 == x);
      faint_assert_close (re[k], faint_test_table_number (table, i, "re"), PROMISED, WHY);
      faint_assert_close (im[k], faint_test_table_number (table, i, "im"), PROMISED, WHY);
      compared++;
    }
  g_assert_cmpuint (compared, >=, 80);
  faint_test_table_free (table);
}

/* Grids with exact abscissae against one point at a time, whose own error test-faddeeva bounds. */
static void
check_grid (double x0, double step, gsize n, double y)
{
  g_autofree double *re = g_new (double, n + 1), *im = g_new (double, n + 1);
  gsize stride = MAX (1, n / 500);

  re[n] = im[n] = 17.0;
  faint_faddeeva_grid (x0, step, n, y, re, im);
  g_assert_true (re[n] == 17.0 && im[n] == 17.0);
  for (gsize i = 0; i < n; i += stride)
    {
      FaintComplex w = faint_faddeeva (x0 + (double)i * step, y);
      g_test_message ("x0 %g step %g point %zu y %g", x0, step, i, y);
      faint_assert_close (re[i], w.re, 2 * PROMISED, WHY);
      faint_assert_close (im[i], w.im, 2 * PROMISED, WHY);
    }
}

static void
test_against_points (void)
{
  static const double ys[] = { 0.0, 1e-12, 1e-5, 0.1, 1.0, 4.0, 6.5, 7.0, 1e3 };
  static const double steps[] = { 0x1p-4, 0x1p-6, 0x1p-8, -0x1p-9, 0x1p-14, -0x1.8p-8 };

  for (guint j = 0; j < G_N_ELEMENTS (ys); j++)
    for (guint i = 0; i < G_N_ELEMENTS (steps); i++)
      {
        gsize n = (gsize)(18.0 / fabs (steps[i]));
        double x0 = steps[i] > 0 ? -9.0 : 9.0;
        check_grid (x0, steps[i], MIN (n, 40000), ys[j]);
        check_grid (x0 * 0.125, steps[i], MIN (n, 10000), ys[j]);
      }
}

/* Short ones, a point repeated, the cells' borders, far ones, the lower half plane. */
static void
test_odd_grids (void)
{
  for (gsize n = 0; n <= 20; n++)
    {
      check_grid (0.0, 0x1p-10, n, 0.1);
      check_grid (1.0 / 16, -0x1p-10, n, 0.1);
      check_grid (6.5, 0x1p-7, n, 1e-6);
      check_grid (1.5, 0.0, n, 0.5);
      check_grid (1e5, 0.125, n, 1e-3);
    }
  check_grid (-2.0, 0x1p-8, 1000, -0.125);
}

/* A grid whose abscissae are rounded: w follows from them within its own slope. */
static void
test_decimal_step (void)
{
  enum
  {
    N = 3000
  };
  double re[N], im[N];

  faint_faddeeva_grid (-7.5, 0.005, N, 0.02, re, im);
  for (int i = 0; i < N; i++)
    {
      double x = -7.5 + i * 0.005;
      FaintComplex w = faint_faddeeva (x, 0.02), d = faint_faddeeva_derivative (x, 0.02);
      /* x is two roundings of up to 8 uncertain. */
      double slack = 2 * 8 * 1.2e-16;

      faint_assert_near (re[i], w.re, PROMISED * w.re + slack * fabs (d.re), WHY);
      faint_assert_near (im[i], w.im, PROMISED * fabs (w.im) + slack * fabs (d.im), WHY);
    }
}

static void
test_not_finite (void)
{
  double re[5], im[5];

  faint_faddeeva_grid (NAN, 0.01, 5, 1.0, re, im);
  for (int i = 0; i < 5; i++)
    g_assert_true (isnan (re[i]) && isnan (im[i]));
  faint_faddeeva_grid (0.0, NAN, 5, 1.0, re, im);
  g_assert_true (isnan (re[4]));
  faint_faddeeva_grid (0.0, 0.01, 5, NAN, re, im);
  g_assert_true (isnan (re[0]));
  faint_faddeeva_grid (INFINITY, 0.01, 5, 1.0, re, im);
  g_assert_true (re[0] == 0.0);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/shape/faddeeva-grid/reference", test_reference);
  g_test_add_func ("/shape/faddeeva-grid/points", test_against_points);
  g_test_add_func ("/shape/faddeeva-grid/odd", test_odd_grids);
  g_test_add_func ("/shape/faddeeva-grid/decimal-step", test_decimal_step);
  g_test_add_func ("/shape/faddeeva-grid/not-finite", test_not_finite);
  return g_test_run ();
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The inner loops in every instruction set of this machine against sums written out plainly with
 * 64-bit mantissas, at all lengths that leave a rest.
 */
#include "faint/fit/kernel-private.h"
#include "faint-test.h"

#include <math.h>

#define MOST 27 /* three vectors of eight and every rest */

static const FaintFitKernel *
kernel_of (int set)
{
#ifdef FAINT_FIT_KERNEL_X86
  if (set == 1)
    return faint_fit_kernel () == &faint_fit_kernel_avx2 ? &faint_fit_kernel_avx2 : NULL;
#endif
  return set == 0 ? &faint_fit_kernel_baseline : NULL;
}

static void
fill (double *x, gsize n, GRand *random)
{
  for (gsize i = 0; i < n; i++)
    x[i] = g_rand_double_range (random, -1.0, 1.0);
}

static void
make_table (FaintFarTable *table)
{
  for (int j = 0; j < FAR_N; j++)
    {
      table->place[j] = cos (G_PI * (j + 0.5) / FAR_N);
      for (int m = 0; m < FAR_N; m++)
        table->transposed[j][m] = table->to_coefficient[m][j]
            = cos (m * G_PI * (j + 0.5) / FAR_N) * (m == 0 ? 1.0 : 2.0) / FAR_N;
    }
}

/* The polynomial of degree 15 through values at Chebyshev's places, by Lagrange's formula: what a
 * place weighs at @x. */
static long double
weight_of (const FaintFarTable *table, int j, double x)
{
  long double product = 1.0L;

  for (int k = 0; k < FAR_N; k++)
    if (k != j)
      product
          *= ((long double)x - table->place[k]) / ((long double)table->place[j] - table->place[k]);
  return product;
}

static void
check_interpolation (const FaintFitKernel *kernel, gsize n, GRand *random)
{
  double re[FAR_N], im[FAR_N], x[MOST], a[MOST], b[MOST], sum_re[MOST], sum_im[MOST];
  double at_a[FAR_N] = { 0.0 }, at_b[FAR_N] = { 0.0 };
  FaintFarTable table;

  make_table (&table);
  fill (re, FAR_N, random);
  fill (im, FAR_N, random);
  fill (x, n, random);
  fill (a, n, random);
  fill (b, n, random);
  for (gsize t = 0; t < n; t++)
    sum_re[t] = sum_im[t] = 1.0;
  kernel->far_interpolate (&table, re, im, x, n, 2.0, sum_re, sum_im);
  kernel->far_gather (&table, x, n, a, b, at_a, at_b);
  for (gsize t = 0; t < n; t++)
    {
      long double want_re = 1.0L, want_im = 1.0L;

      for (int j = 0; j < FAR_N; j++)
        {
          want_re += 2.0L * re[j] * weight_of (&table, j, x[t]);
          want_im += 2.0L * im[j] * weight_of (&table, j, x[t]);
        }
      faint_assert_near (sum_re[t], (double)want_re, 5e-14,
                         "rounding of 16 terms of size 2, and of their weights");
      faint_assert_near (sum_im[t], (double)want_im, 5e-14,
                         "rounding of 16 terms of size 2, and of their weights");
    }
  for (int j = 0; j < FAR_N; j++)
    {
      long double want_a = 0.0L, want_b = 0.0L;

      for (gsize t = 0; t < n; t++)
        {
          want_a += a[t] * weight_of (&table, j, x[t]);
          want_b += b[t] * weight_of (&table, j, x[t]);
        }
      faint_assert_near (at_a[j], (double)want_a, 5e-14, "rounding of up to 27 x 16 terms");
      faint_assert_near (at_b[j], (double)want_b, 5e-14, "rounding of up to 27 x 16 terms");
    }
}

static void
check_filter (const FaintFitKernel *kernel, gsize n, GRand *random)
{
  double v[8][MOST];
  long double want[13] = { 0.0L };
  FaintFindSums sums;

  for (int k = 0; k < 8; k++)
    fill (v[k], n, random);
  for (gsize t = 0; t < n; t++)
    v[7][t] = v[6][t] * v[6][t];
  kernel->find_sum (&(FaintFindRows){ v[0], v[1], v[2], v[3] },
                    &(FaintFindPattern){ v[4], v[5], v[6], v[7] }, n, &sums);
  for (gsize t = 0; t < n; t++)
    {
      long double g = v[3][t], x = v[6][t], residual = v[2][t];
      long double tau = v[0][t] * (long double)v[4][t] + v[1][t] * (long double)v[5][t];

      for (int k = 0; k < 5; k++)
        want[k] += g * g * powl (x, k);
      for (int k = 0; k < 3; k++)
        {
          want[5 + k] += tau * g * powl (x, k);
          want[8 + k] += residual * g * powl (x, k);
        }
      want[11] += tau * tau;
      want[12] += tau * residual;
    }
  for (int k = 0; k < 5; k++)
    faint_assert_near (sums.moment[k], (double)want[k], 2e-14, "rounding of 27 terms of size 1");
  for (int k = 0; k < 3; k++)
    {
      faint_assert_near (sums.by_template[k], (double)want[5 + k], 2e-14, "rounding, 27 terms");
      faint_assert_near (sums.by_residual[k], (double)want[8 + k], 2e-14, "rounding, 27 terms");
    }
  faint_assert_near (sums.square, (double)want[11], 2e-14, "rounding of 27 terms of size 1");
  faint_assert_near (sums.product, (double)want[12], 2e-14, "rounding of 27 terms of size 1");
}

/* Products of 1 to 9 rows, which leave rests of every tile. */
static void
check_rows (const FaintFitKernel *kernel, gsize n, GRand *random)
{
  enum
  {
    ROWS = 9
  };
  double rows[ROWS * MOST], on[MOST], row[MOST];

  fill (rows, ROWS * n, random);
  fill (on, n, random);
  for (gsize used = 1; used <= ROWS; used++)
    {
      double products[ROWS * ROWS], sums[ROWS] = { 0.0 };

      kernel->rows_products (rows, used, n, products);
      kernel->rows_project (rows, used, n, n, on, sums);
      for (gsize i = 0; i < used; i++)
        {
          long double projected = 0.0L;

          for (gsize t = 0; t < n; t++)
            projected += (long double)rows[i * n + t] * on[t];
          faint_assert_near (sums[i], (double)projected, 1e-14, "rounding of 27 terms of size 1");
          for (gsize j = 0; j <= i; j++)
            {
              long double want = 0.0L;

              for (gsize t = 0; t < n; t++)
                want += (long double)rows[i * n + t] * rows[j * n + t];
              faint_assert_near (products[i * used + j], (double)want, 1e-14,
                                 "rounding of 27 terms of size 1");
            }
        }
    }
  kernel->rows_combine (n, (FaintFitTerm){ 2.0, rows, on }, (FaintFitTerm){ -3.0, rows + n, on },
                        row);
  kernel->rows_add (n, 0.5, on, row);
  for (gsize t = 0; t < n; t++)
    faint_assert_near (row[t], 2.0 * rows[t] * on[t] - 3.0 * rows[n + t] * on[t] + 0.5 * on[t],
                       2e-15, "rounding of three terms");
}

static void
test_lengths (gconstpointer what)
{
  void (*check) (const FaintFitKernel *, gsize, GRand *)
      = g_str_equal (what, "filter") ? check_filter
        : g_str_equal (what, "rows") ? check_rows
                                     : check_interpolation;
  GRand *random = g_rand_new_with_seed (17);
  int tried = 0;

  for (int set = 0; set < 2; set++)
    for (gsize n = 0; n <= MOST && kernel_of (set) != NULL; n++, tried++)
      check (kernel_of (set), n, random);
  g_assert_cmpint (tried, >, MOST);
  g_rand_free (random);
}

/* A Lorentzian's wing i/(pi zeta), zeta = d + i gamma, its derivative i/(pi zeta^2) with respect to
 * the position, and what weights make of them. */
static void
test_wings (void)
{
  FaintFarLine lines[3]
      = { { -40.0, 2.0, 0.5, 0.0 }, { 35.0, 0.7, 0.0, 0.0 }, { 60.0, 0.0, 1.0, 0.0 } };

  for (int set = 0; set < 2 && kernel_of (set) != NULL; set++)
    {
      double offset[FAR_N], a[FAR_N], b[FAR_N], re[FAR_N] = { 0 }, im[FAR_N] = { 0 };
      FaintFarWorth worth[3] = { { 0 } };
      GRand *random = g_rand_new_with_seed (18);
      FaintFarWorth want[3] = { { 0 } };

      fill (offset, FAR_N, random);
      fill (a, FAR_N, random);
      fill (b, FAR_N, random);
      g_rand_free (random);
      kernel_of (set)->far_sum (lines, 3, 1.5, offset, re, im);
      kernel_of (set)->far_project (lines, 3, 1.5, offset, a, b, worth);
      for (int j = 0; j < FAR_N; j++)
        {
          double want_re = 0.0, want_im = 0.0;

          for (int i = 0; i < 3; i++)
            {
              double d = 1.5 + offset[j] - lines[i].position, g = lines[i].lorentz;
              double size = d * d + g * g, p_re = g / size / G_PI, p_im = d / size / G_PI;
              double s_re = 2.0 * d * g / (size * size) / G_PI;
              double s_im = (d * d - g * g) / (size * size) / G_PI;

              want_re += lines[i].strength * p_re;
              want_im += lines[i].strength * p_im;
              want[i].strength += a[j] * p_re + b[j] * p_im;
              want[i].position += a[j] * s_re + b[j] * s_im;
              want[i].lorentz += a[j] * s_im - b[j] * s_re;
            }
          faint_assert_near (re[j], want_re, 1e-16, "rounding of terms of 0.02");
          faint_assert_near (im[j], want_im, 1e-16, "rounding of terms of 0.02");
        }
      for (int i = 0; i < 3; i++)
        {
          faint_assert_near (worth[i].strength, want[i].strength, 1e-16, "rounding, terms of 0.01");
          faint_assert_near (worth[i].position, want[i].position, 1e-16, "rounding, terms of 0.01");
          faint_assert_near (worth[i].lorentz, want[i].lorentz, 1e-16, "rounding, terms of 0.01");
        }
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_data_func ("/fit/kernel/interpolation", "interpolation", test_lengths);
  g_test_add_data_func ("/fit/kernel/filter", "filter", test_lengths);
  g_test_add_data_func ("/fit/kernel/rows", "rows", test_lengths);
  g_test_add_func ("/fit/kernel/wings", test_wings);
  return g_test_run ();
}

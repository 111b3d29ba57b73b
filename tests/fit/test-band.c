/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Band matrices against GSL's dense Cholesky factorisation and inverse (an independent path: GSL's
 * band routines are not used here).
 */
#include "faint/fit/band.h"
#include "faint-test.h"

#include <math.h>

#include <gsl/gsl_blas.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_linalg.h>

static const char *const why
    = "the condition number of these matrices, below 1e4, times the rounding of 1e-16 and a margin";
#define TOLERANCE 1e-11

/* Scales parameters as unlike as a position in cm-1 and a strength in cm/molecule. */
static double
unit_of (gsize j)
{
  return j % 3 == 0 ? 1e12 : j % 3 == 1 ? 1.0 : 1e-9;
}

/* L L^T with a random band L, diagonal 1 to 2; rows of @out have all entries 0. */
static gsl_matrix *
random_dense (GRand *random, gsize n, gsize bandwidth, gssize out)
{
  gsl_matrix *l = gsl_matrix_calloc (n, n), *a = gsl_matrix_calloc (n, n);

  for (gsize i = 0; i < n; i++)
    for (gsize j = i > bandwidth ? i - bandwidth : 0; j <= i; j++)
      gsl_matrix_set (l, i, j,
                      i == j ? g_rand_double_range (random, 1.0, 2.0)
                             : g_rand_double_range (random, -0.5, 0.5) / sqrt (bandwidth));
  gsl_blas_dgemm (CblasNoTrans, CblasTrans, 1.0, l, l, 0.0, a);
  for (gsize i = 0; i < n; i++)
    for (gsize j = 0; j < n; j++)
      {
        double value = gsl_matrix_get (a, i, j) * unit_of (i) * unit_of (j);
        gsl_matrix_set (a, i, j, (gssize)i == out || (gssize)j == out ? 0.0 : value);
      }
  gsl_matrix_free (l);
  return a;
}

static gsl_matrix *
band_of (const gsl_matrix *dense, gsize bandwidth)
{
  gsize n = dense->size1;
  gsl_matrix *band = gsl_matrix_calloc (n, bandwidth + 1);

  for (gsize j = 0; j < n; j++)
    for (gsize i = 0; i <= bandwidth && j + i < n; i++)
      gsl_matrix_set (band, j, i, gsl_matrix_get (dense, j + i, j));
  return band;
}

/* By GSL's dense routines; a row of zeros is given a unit diagonal, which leaves the others alone.
 */
static gsl_matrix *
dense_inverse (const gsl_matrix *dense, gssize out)
{
  gsl_matrix *inverse = gsl_matrix_alloc (dense->size1, dense->size2);

  for (gsize i = 0; i < dense->size1; i++)
    for (gsize j = 0; j < dense->size2; j++)
      gsl_matrix_set (inverse, i, j, gsl_matrix_get (dense, i, j) / (unit_of (i) * unit_of (j)));
  if (out >= 0)
    gsl_matrix_set (inverse, (gsize)out, (gsize)out, 1.0);
  g_assert_cmpint (gsl_linalg_cholesky_decomp1 (inverse), ==, GSL_SUCCESS);
  g_assert_cmpint (gsl_linalg_cholesky_invert (inverse), ==, GSL_SUCCESS);
  return inverse;
}

static void
compare_inverse (const gsl_matrix *factor, const double *scale, const gsl_matrix *want, gssize out)
{
  gsl_matrix *inverse = faint_band_inverse (factor, scale);

  for (gsize j = 0; j < factor->size1; j++)
    for (gsize i = 0; i < factor->size2 && j + i < factor->size1; i++)
      {
        double got = gsl_matrix_get (inverse, j, i);

        if ((gssize)j == out && i == 0)
          g_assert_cmpint (isinf (got), ==, 1);
        else if ((gssize)j == out || (gssize)(j + i) == out)
          g_assert_cmpfloat (got, ==, 0.0);
        else
          faint_assert_near (got * unit_of (j) * unit_of (j + i), gsl_matrix_get (want, j + i, j),
                             TOLERANCE, why);
      }
  gsl_matrix_free (inverse);
}

static void
compare_solution (const gsl_matrix *dense, const gsl_matrix *factor, const double *scale,
                  const gsl_matrix *inverse, GRand *random, gssize out)
{
  gsize n = dense->size1;
  g_autofree double *b = g_new (double, n), *x = g_new (double, n);

  for (gsize j = 0; j < n; j++)
    x[j] = b[j] = g_rand_double_range (random, -1.0, 1.0) * unit_of (j);
  faint_band_solve (factor, scale, x);
  for (gsize i = 0; i < n; i++)
    {
      double want = 0.0;

      for (gsize j = 0; j < n; j++)
        want += (gssize)j == out ? 0.0 : gsl_matrix_get (inverse, i, j) * b[j] / unit_of (j);
      if ((gssize)i == out)
        g_assert_cmpfloat (x[i], ==, 0.0);
      else
        faint_assert_near (x[i] * unit_of (i), want, TOLERANCE * sqrt (n), why);
    }
}

static void
check_one (GRand *random, gsize n, gsize bandwidth, gssize out)
{
  gsl_matrix *dense = random_dense (random, n, bandwidth, out);
  gsl_matrix *inverse = dense_inverse (dense, out), *factor = band_of (dense, bandwidth);
  g_autofree double *scale = g_new (double, n);

  g_assert_true (faint_band_factor (factor, scale));
  compare_inverse (factor, scale, inverse, out);
  compare_solution (dense, factor, scale, inverse, random, out);
  gsl_matrix_free (dense);
  gsl_matrix_free (inverse);
  gsl_matrix_free (factor);
}

static void
test_dense (void)
{
  static const gsize sizes[] = { 1, 2, 3, 8, 40 };
  GRand *random = g_rand_new_with_seed (1);

  for (gsize k = 0; k < G_N_ELEMENTS (sizes); k++)
    for (gsize bandwidth = 0; bandwidth < sizes[k]; bandwidth++)
      check_one (random, sizes[k], bandwidth, -1);
  g_rand_free (random);
}

/* A row without any entry is taken out: first, last and in the middle. */
static void
test_empty_row (void)
{
  GRand *random = g_rand_new_with_seed (2);

  for (gsize out = 0; out < 12; out++)
    for (gsize bandwidth = 0; bandwidth < 12; bandwidth++)
      check_one (random, 12, bandwidth, (gssize)out);
  check_one (random, 1, 0, 0);
  g_rand_free (random);
}

static void
test_multiply (void)
{
  GRand *random = g_rand_new_with_seed (3);

  for (gsize bandwidth = 0; bandwidth < 9; bandwidth++)
    {
      gsl_matrix *dense = random_dense (random, 9, bandwidth, -1),
                 *band = band_of (dense, bandwidth);
      double x[9], y[9];

      for (gsize j = 0; j < 9; j++)
        x[j] = g_rand_double_range (random, -1.0, 1.0) / unit_of (j);
      faint_band_multiply (band, x, y);
      for (gsize i = 0; i < 9; i++)
        {
          double want = 0.0;

          for (gsize j = 0; j < 9; j++)
            want += gsl_matrix_get (dense, i, j) * x[j];
          faint_assert_near (y[i] / unit_of (i), want / unit_of (i), 1e-14,
                             "nine products of up to 4, summed in another order");
        }
      gsl_matrix_free (dense);
      gsl_matrix_free (band);
    }
  g_rand_free (random);
}

/* An eigenvalue below 0, and no number at all. */
static void
test_refused (void)
{
  gsl_matrix *band = gsl_matrix_calloc (2, 2);
  double scale[2];

  gsl_matrix_set (band, 0, 0, 1.0);
  gsl_matrix_set (band, 1, 0, 1.0);
  gsl_matrix_set (band, 0, 1, 1.5);
  g_assert_false (faint_band_factor (band, scale));
  gsl_matrix_set (band, 0, 0, NAN);
  gsl_matrix_set (band, 0, 1, 0.0);
  g_assert_false (faint_band_factor (band, scale));
  gsl_matrix_free (band);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  gsl_set_error_handler_off ();
  g_test_add_func ("/fit/band/dense", test_dense);
  g_test_add_func ("/fit/band/empty-row", test_empty_row);
  g_test_add_func ("/fit/band/multiply", test_multiply);
  g_test_add_func ("/fit/band/refused", test_refused);
  return g_test_run ();
}

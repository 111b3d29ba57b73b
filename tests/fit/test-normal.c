/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The bordered band against the same matrix written out in full, solved and inverted by GSL's dense
 * routines.
 */
#include "faint/fit/normal.h"
#include "faint-test.h"

#include <math.h>

#include <gsl/gsl_blas.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_linalg.h>

#define N_BAND 23
#define N_BORDER 3
#define N (N_BAND + N_BORDER)
#define BANDWIDTH 4

/* J^T J of random rows that each know a stretch of the band and all of the border. */
static FaintNormal *
random_normal (guint32 seed, gsl_matrix *full)
{
  FaintNormal *normal = faint_normal_new (N_BAND, BANDWIDTH, N_BORDER);
  GRand *random = g_rand_new_with_seed (seed);

  gsl_matrix_set_zero (full);
  for (int row = 0; row < 200; row++)
    {
      double by[N] = { 0.0 };
      int first = g_rand_int_range (random, 0, N_BAND - BANDWIDTH);

      for (int j = 0; j <= BANDWIDTH; j++)
        by[first + j] = g_rand_double_range (random, -1.0, 1.0);
      for (int j = N_BAND; j < N; j++)
        by[j] = 1e3 * g_rand_double_range (random, -1.0, 1.0);
      for (gsize i = 0; i < N; i++)
        for (gsize j = 0; j < N; j++)
          {
            *gsl_matrix_ptr (full, i, j) += by[i] * by[j];
            if (j <= i && by[i] * by[j] != 0.0)
              *faint_normal_at (normal, i, j) += by[i] * by[j];
          }
    }
  g_rand_free (random);
  return normal;
}

static void
compare_with_dense (const FaintNormal *normal, gsl_matrix *full)
{
  g_autoptr (FaintNormalFactor) factor = faint_normal_factor_new (normal);
  g_autoptr (FaintNormal) inverse = NULL;
  double b[N], kept[N];
  gsl_vector_view right = gsl_vector_view_array (kept, N);

  for (int j = 0; j < N; j++)
    b[j] = kept[j] = sin (1.0 + j) * (j < N_BAND ? 1.0 : 1e3);
  g_assert_true (faint_normal_factor (factor, normal));
  faint_normal_solve (factor, b);
  inverse = faint_normal_inverse (factor);
  g_assert_cmpint (gsl_linalg_cholesky_decomp1 (full), ==, GSL_SUCCESS);
  gsl_linalg_cholesky_svx (full, &right.vector);
  gsl_linalg_cholesky_invert (full);
  for (gsize i = 0; i < N; i++)
    {
      faint_assert_near (b[i], kept[i], 1e-10 * (i < N_BAND ? 1.0 : 1e-3),
                         "rounding times the condition of the scaled matrix, below 1e4");
      for (gsize j = 0; j < N; j++)
        if (i >= N_BAND || j >= N_BAND || MAX (i, j) - MIN (i, j) <= BANDWIDTH)
          faint_assert_near (
              faint_normal_get (inverse, i, j), gsl_matrix_get (full, i, j),
              1e-10 * sqrt (gsl_matrix_get (full, i, i) * gsl_matrix_get (full, j, j)), "the same");
    }
}

static void
test_dense (void)
{
  gsl_matrix *full = gsl_matrix_alloc (N, N);

  for (guint32 seed = 1; seed <= 20; seed++)
    {
      g_autoptr (FaintNormal) normal = random_normal (seed, full);
      compare_with_dense (normal, full);
    }
  gsl_matrix_free (full);
}

/* Row and column of a held parameter become those of the unit matrix, in band and border. */
static void
test_hold (void)
{
  gsl_matrix *full = gsl_matrix_alloc (N, N);
  g_autoptr (FaintNormal) normal = random_normal (5, full);
  gboolean fixed[N] = { FALSE };
  double rhs[N];

  fixed[7] = fixed[N_BAND + 1] = TRUE;
  for (int j = 0; j < N; j++)
    rhs[j] = j + 1.0;
  faint_normal_hold (normal, rhs, fixed);
  for (gsize i = 0; i < N; i++)
    {
      g_assert_cmpfloat (rhs[i], ==, fixed[i] ? 0.0 : (double)i + 1.0);
      for (gsize j = 0; j < N; j++)
        {
          if (fixed[i] || fixed[j])
            gsl_matrix_set (full, i, j, i == j ? 1.0 : 0.0);
          if (i >= N_BAND || j >= N_BAND || MAX (i, j) - MIN (i, j) <= BANDWIDTH)
            faint_assert_close (faint_normal_get (normal, i, j), gsl_matrix_get (full, i, j), 1e-12,
                                "the same sums in the same order");
        }
    }
  gsl_matrix_free (full);
}

/* Parameters without a column, in band or border, are taken out; so is one of the border that
 * another replaces. What remains is solved as if they were not there. */
static void
test_lost (void)
{
  FaintNormal *normal = faint_normal_new (4, 1, 2);
  g_autoptr (FaintNormalFactor) factor = NULL;
  g_autoptr (FaintNormal) inverse = NULL;
  double b[6] = { 2.0, 5.0, 8.0, 4.0, 7.0, 3.0 };

  *faint_normal_at (normal, 0, 0) = 2.0;
  *faint_normal_at (normal, 2, 2) = 4.0;
  *faint_normal_at (normal, 3, 3) = 4.0;
  *faint_normal_at (normal, 4, 3) = 6.0;
  *faint_normal_at (normal, 4, 4) = 9.0; /* = 6^2/4: follows parameter 3 */
  factor = faint_normal_factor_new (normal);
  g_assert_true (faint_normal_factor (factor, normal));
  faint_normal_solve (factor, b);
  inverse = faint_normal_inverse (factor);
  faint_assert_close (b[0], 1.0, 1e-15, "2/2");
  g_assert_cmpfloat (b[1], ==, 0.0);
  faint_assert_close (b[2], 2.0, 1e-15, "8/4");
  faint_assert_close (b[3], 1.0, 1e-15, "4/4");
  g_assert_cmpfloat (b[4], ==, 0.0);
  g_assert_cmpfloat (b[5], ==, 0.0);
  g_assert_true (isinf (faint_normal_get (inverse, 1, 1)));
  g_assert_true (isinf (faint_normal_get (inverse, 4, 4)));
  g_assert_true (isinf (faint_normal_get (inverse, 5, 5)));
  faint_assert_close (faint_normal_get (inverse, 3, 3), 0.25, 1e-15, "1/4");
  faint_normal_free (normal);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  gsl_set_error_handler_off ();
  g_test_add_func ("/fit/normal/dense", test_dense);
  g_test_add_func ("/fit/normal/hold", test_hold);
  g_test_add_func ("/fit/normal/lost", test_lost);
  return g_test_run ();
}

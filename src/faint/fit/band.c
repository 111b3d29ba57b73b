/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/fit/band.h"

#include <math.h>

#include <gsl/gsl_errno.h>
#include <gsl/gsl_linalg.h>

gboolean
faint_band_factor (gsl_matrix *a, double *scale)
{
  gsize n = a->size1;
  gsize width = a->size2;

  for (gsize j = 0; j < n; j++)
    {
      double diagonal = gsl_matrix_get (a, j, 0);
      if (!isfinite (diagonal))
        return FALSE;
      scale[j] = diagonal > 0.0 ? 1.0 / sqrt (diagonal) : 0.0;
    }
  for (gsize j = 0; j < n; j++)
    {
      double *row = gsl_matrix_ptr (a, j, 0);
      for (gsize i = 1; i < width && j + i < n; i++)
        row[i] *= scale[j] * scale[j + i];
      row[0] = 1.0;
    }
  return gsl_linalg_cholesky_band_decomp (a) == GSL_SUCCESS;
}

void
faint_band_solve (const gsl_matrix *factor, const double *scale, double *b)
{
  gsize n = factor->size1;
  gsl_vector_view x = gsl_vector_view_array (b, n);

  for (gsize j = 0; j < n; j++)
    b[j] *= scale[j];
  gsl_linalg_cholesky_band_svx (factor, &x.vector);
  for (gsize j = 0; j < n; j++)
    b[j] *= scale[j];
}

/* Column j of the inverse below the diagonal, and its diagonal, from the columns behind it. */
static void
inverse_column (const gsl_matrix *factor, gsl_matrix *inverse, gsize j)
{
  gsize reach = MIN (factor->size2 - 1, factor->size1 - 1 - j);
  const double *l = gsl_matrix_const_ptr (factor, j, 0);
  double *z = gsl_matrix_ptr (inverse, j, 0);
  double sum = 0.0;

  for (gsize i = 1; i <= reach; i++)
    z[i] = 0.0;
  for (gsize k = 1; k <= reach; k++)
    {
      const double *zk = gsl_matrix_const_ptr (inverse, j + k, 0);
      double lk = l[k];

      z[k] -= lk * zk[0];
      for (gsize i = k + 1; i <= reach; i++)
        {
          z[i] -= lk * zk[i - k];
          z[k] -= l[i] * zk[i - k];
        }
    }
  for (gsize i = 1; i <= reach; i++)
    {
      z[i] /= l[0];
      sum += l[i] * z[i];
    }
  z[0] = (1.0 / l[0] - sum) / l[0];
}

gsl_matrix *
faint_band_inverse (const gsl_matrix *factor, const double *scale)
{
  gsize n = factor->size1;
  gsl_matrix *inverse = gsl_matrix_calloc (n, factor->size2);

  for (gsize j = n; j-- > 0;)
    inverse_column (factor, inverse, j);
  for (gsize j = 0; j < n; j++)
    {
      double *z = gsl_matrix_ptr (inverse, j, 0);
      z[0] = scale[j] > 0.0 ? z[0] * scale[j] * scale[j] : INFINITY;
      for (gsize i = 1; i < factor->size2 && j + i < n; i++)
        z[i] *= scale[j] * scale[j + i];
    }
  return inverse;
}

void
faint_band_multiply (const gsl_matrix *a, const double *x, double *y)
{
  gsize n = a->size1;

  for (gsize j = 0; j < n; j++)
    y[j] = 0.0;
  for (gsize j = 0; j < n; j++)
    {
      const double *row = gsl_matrix_const_ptr (a, j, 0);
      gsize reach = MIN (a->size2 - 1, n - 1 - j);
      double sum = row[0] * x[j];

      for (gsize i = 1; i <= reach; i++)
        {
          sum += row[i] * x[j + i];
          y[j + i] += row[i] * x[j];
        }
      y[j] += sum;
    }
}

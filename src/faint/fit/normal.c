/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/fit/normal.h"

#include <math.h>
#include <string.h>

#include <gsl/gsl_blas.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_linalg.h>

/* A border parameter that the band's parameters can replace to this part of its own sum of squares
 * is not determined: what is left is rounding. */
#define REPLACED 1e-13

struct _FaintNormalFactor
{
  gsize n_band, n_border;
  gsl_matrix *band;   /* factor of A, scaled */
  double *scale;      /* of all n rows */
  gsl_matrix *border; /* B */
  gsl_matrix *solved; /* B A^-1, a row for each parameter of the border */
  gsl_matrix *schur;  /* its factor, scaled */
};

FaintNormal *
faint_normal_new (gsize n_band, gsize bandwidth, gsize n_border)
{
  FaintNormal *self = g_new0 (FaintNormal, 1);

  self->n_band = n_band;
  self->n_border = n_border;
  self->n = n_band + n_border;
  self->band = gsl_matrix_calloc (n_band, MIN (bandwidth, n_band - 1) + 1);
  if (n_border > 0)
    self->border = gsl_matrix_calloc (n_border, self->n);
  return self;
}

void
faint_normal_free (FaintNormal *self)
{
  if (self == NULL)
    return;
  gsl_matrix_free (self->band);
  g_clear_pointer (&self->border, gsl_matrix_free);
  g_free (self);
}

void
faint_normal_clear (FaintNormal *self)
{
  gsl_matrix_set_zero (self->band);
  if (self->border != NULL)
    gsl_matrix_set_zero (self->border);
}

void
faint_normal_copy (FaintNormal *target, const FaintNormal *source)
{
  gsl_matrix_memcpy (target->band, source->band);
  if (target->border != NULL)
    gsl_matrix_memcpy (target->border, source->border);
}

FaintNormal *
faint_normal_duplicate (const FaintNormal *self)
{
  FaintNormal *copy = faint_normal_new (self->n_band, self->band->size2 - 1, self->n_border);

  faint_normal_copy (copy, self);
  return copy;
}

double
faint_normal_get (const FaintNormal *self, gsize i, gsize j)
{
  gsize high = MAX (i, j), low = MIN (i, j);

  if (high < self->n_band && high - low >= self->band->size2)
    return 0.0;
  return *faint_normal_at ((FaintNormal *)self, high, low);
}

void
faint_normal_hold (FaintNormal *self, double *rhs, const gboolean *fixed)
{
  for (gsize j = 0; j < self->n_band; j++)
    {
      double *row = gsl_matrix_ptr (self->band, j, 0);

      for (gsize i = 1; i < self->band->size2 && j + i < self->n_band; i++)
        if (fixed[j] || fixed[j + i])
          row[i] = 0.0;
      if (fixed[j])
        row[0] = 1.0;
    }
  for (gsize r = 0; r < self->n_border; r++)
    for (gsize j = 0; j <= self->n_band + r; j++)
      if (fixed[j] || fixed[self->n_band + r])
        gsl_matrix_set (self->border, r, j, j == self->n_band + r ? 1.0 : 0.0);
  for (gsize j = 0; rhs != NULL && j < self->n; j++)
    if (fixed[j])
      rhs[j] = 0.0;
}

FaintNormalFactor *
faint_normal_factor_new (const FaintNormal *shape)
{
  FaintNormalFactor *self = g_new0 (FaintNormalFactor, 1);

  self->n_band = shape->n_band;
  self->n_border = shape->n_border;
  self->band = gsl_matrix_alloc (shape->band->size1, shape->band->size2);
  self->scale = g_new0 (double, shape->n);
  if (shape->n_border > 0)
    {
      self->border = gsl_matrix_alloc (shape->n_border, shape->n_band);
      self->solved = gsl_matrix_alloc (shape->n_border, shape->n_band);
      self->schur = gsl_matrix_alloc (shape->n_border, shape->n_border);
    }
  return self;
}

void
faint_normal_factor_free (FaintNormalFactor *self)
{
  if (self == NULL)
    return;
  gsl_matrix_free (self->band);
  g_free (self->scale);
  g_clear_pointer (&self->border, gsl_matrix_free);
  g_clear_pointer (&self->solved, gsl_matrix_free);
  g_clear_pointer (&self->schur, gsl_matrix_free);
  g_free (self);
}

/* Schur complement, scaled to a unit diagonal and factored. */
static gboolean
factor_border (FaintNormalFactor *self, const FaintNormal *normal)
{
  double *scale = self->scale + self->n_band;

  for (gsize r = 0; r < self->n_border; r++)
    {
      double *solved = gsl_matrix_ptr (self->solved, r, 0);

      for (gsize j = 0; j < self->n_band; j++)
        solved[j] = self->scale[j] > 0.0 ? gsl_matrix_get (normal->border, r, j) : 0.0;
      memcpy (gsl_matrix_ptr (self->border, r, 0), solved, self->n_band * sizeof (double));
      faint_band_solve (self->band, self->scale, solved);
    }
  gsl_blas_dgemm (CblasNoTrans, CblasTrans, -1.0, self->border, self->solved, 0.0, self->schur);
  for (gsize r = 0; r < self->n_border; r++)
    {
      double own = gsl_matrix_get (normal->border, r, self->n_band + r), left;

      left = own + gsl_matrix_get (self->schur, r, r);
      if (!isfinite (left))
        return FALSE;
      scale[r] = left > REPLACED * own ? 1.0 / sqrt (left) : 0.0;
    }
  for (gsize r = 0; r < self->n_border; r++)
    for (gsize q = 0; q <= r; q++)
      {
        double own = gsl_matrix_get (normal->border, r, self->n_band + q);
        double element
            = r == q ? 1.0 : (own + gsl_matrix_get (self->schur, r, q)) * scale[r] * scale[q];
        gsl_matrix_set (self->schur, r, q, element);
      }
  return gsl_linalg_cholesky_decomp1 (self->schur) == GSL_SUCCESS;
}

gboolean
faint_normal_factor (FaintNormalFactor *self, const FaintNormal *normal)
{
  gsl_matrix_memcpy (self->band, normal->band);
  if (!faint_band_factor (self->band, self->scale))
    return FALSE;
  return self->n_border == 0 || factor_border (self, normal);
}

void
faint_normal_solve (const FaintNormalFactor *self, double *b)
{
  double *right = b + self->n_band, *scale = self->scale + self->n_band;

  for (gsize r = 0; r < self->n_border; r++)
    {
      const double *solved = gsl_matrix_const_ptr (self->solved, r, 0);

      for (gsize j = 0; j < self->n_band; j++)
        right[r] -= solved[j] * b[j];
      right[r] *= scale[r];
    }
  if (self->n_border > 0)
    {
      gsl_vector_view x = gsl_vector_view_array (right, self->n_border);
      gsl_linalg_cholesky_svx (self->schur, &x.vector);
    }
  faint_band_solve (self->band, self->scale, b);
  for (gsize r = 0; r < self->n_border; r++)
    {
      const double *solved = gsl_matrix_const_ptr (self->solved, r, 0);

      right[r] *= scale[r];
      for (gsize j = 0; j < self->n_band; j++)
        b[j] -= solved[j] * right[r];
    }
}

/* The border's block of the inverse, S^-1, full. */
static gsl_matrix *
inverse_of_schur (const FaintNormalFactor *self)
{
  gsl_matrix *inverse = gsl_matrix_alloc (self->n_border, self->n_border);
  const double *scale = self->scale + self->n_band;

  gsl_matrix_memcpy (inverse, self->schur);
  gsl_linalg_cholesky_invert (inverse);
  for (gsize r = 0; r < self->n_border; r++)
    for (gsize q = 0; q < self->n_border; q++)
      *gsl_matrix_ptr (inverse, r, q) *= scale[r] * scale[q];
  return inverse;
}

FaintNormal *
faint_normal_inverse (const FaintNormalFactor *self)
{
  FaintNormal *inverse = faint_normal_new (self->n_band, self->band->size2 - 1, self->n_border);
  gsl_matrix *schur, *rows;

  gsl_matrix_free (inverse->band);
  inverse->band = faint_band_inverse (self->band, self->scale);
  if (self->n_border == 0)
    return inverse;
  schur = inverse_of_schur (self);
  rows = gsl_matrix_alloc (self->n_border, self->n_band);
  gsl_blas_dgemm (CblasNoTrans, CblasNoTrans, -1.0, schur, self->solved, 0.0, rows);
  for (gsize j = 0; j < self->n_band; j++)
    for (gsize i = 0; i < inverse->band->size2 && j + i < self->n_band; i++)
      for (gsize r = 0; r < self->n_border; r++)
        *gsl_matrix_ptr (inverse->band, j, i)
            -= gsl_matrix_get (rows, r, j) * gsl_matrix_get (self->solved, r, j + i);
  for (gsize r = 0; r < self->n_border; r++)
    {
      memcpy (gsl_matrix_ptr (inverse->border, r, 0), gsl_matrix_const_ptr (rows, r, 0),
              self->n_band * sizeof (double));
      for (gsize q = 0; q <= r; q++)
        gsl_matrix_set (inverse->border, r, self->n_band + q, gsl_matrix_get (schur, r, q));
      if (self->scale[self->n_band + r] == 0.0)
        gsl_matrix_set (inverse->border, r, self->n_band + r, INFINITY);
    }
  gsl_matrix_free (schur);
  gsl_matrix_free (rows);
  return inverse;
}

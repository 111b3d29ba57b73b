/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Normal equations J^T W J x = J^T W r whose parameters know each other only next door, but for a
 * few at the end that know all: a symmetric positive definite band matrix with a border.
 *
 *   ( A  B^T )   A: n_band x n_band, band storage (band.h)
 *   ( B  C   )   B, C: the rows of the n_border parameters that follow
 *
 * The border is eliminated by its Schur complement C - B A^-1 B^T (Golub & Van Loan, Matrix
 * Computations, 4th ed. (2013), sec. 3.2).
 */
#pragma once

#include "faint/fit/band.h"

typedef struct
{
  gsize n_band, n_border, n; /* n = n_band + n_border */
  gsl_matrix *band;          /* n_band x (bandwidth + 1) */
  gsl_matrix *border;        /* n_border x n: row r, column j holds element (n_band + r, j), for
                                j <= n_band + r; NULL without border */
} FaintNormal;

/* Cleared. @bandwidth: |i - j| at most of two parameters in the band; n_band >= 1. */
FaintNormal *faint_normal_new (gsize n_band, gsize bandwidth, gsize n_border);
void faint_normal_free (FaintNormal *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (FaintNormal, faint_normal_free)
void faint_normal_clear (FaintNormal *self);
/* Of the same shape. */
void faint_normal_copy (FaintNormal *target, const FaintNormal *source);
FaintNormal *faint_normal_duplicate (const FaintNormal *self);

/* The stored element (i, j) = (j, i); both in the band must be within the bandwidth. */
static inline double *
faint_normal_at (FaintNormal *self, gsize i, gsize j)
{
  gsize high = i > j ? i : j, low = i > j ? j : i;

  if (high < self->n_band)
    return self->band->data + low * self->band->tda + (high - low);
  return self->border->data + (high - self->n_band) * self->border->tda + low;
}

/* Element (i, j); 0 outside the band. */
double faint_normal_get (const FaintNormal *self, gsize i, gsize j);

/* Freezes the parameters of @fixed (length n): row and column become those of the unit matrix and
 * the right-hand side 0. @rhs may be NULL. */
void faint_normal_hold (FaintNormal *self, double *rhs, const gboolean *fixed);

typedef struct _FaintNormalFactor FaintNormalFactor;
FaintNormalFactor *faint_normal_factor_new (const FaintNormal *shape);
void faint_normal_factor_free (FaintNormalFactor *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (FaintNormalFactor, faint_normal_factor_free)

/* Factors @normal, which is left as it is. A parameter whose diagonal is not above 0 is taken out
 * (unit diagonal, no coupling), so that one without any column does not spoil the others. FALSE if
 * the matrix is not positive definite. */
gboolean faint_normal_factor (FaintNormalFactor *self, const FaintNormal *normal);

/* Solves in place; entries taken out come back as 0. */
void faint_normal_solve (const FaintNormalFactor *self, double *b);

/* The inverse within band and border; diagonal entries of what was taken out are INFINITY. */
FaintNormal *faint_normal_inverse (const FaintNormalFactor *self);

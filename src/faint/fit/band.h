/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Symmetric positive definite band matrices: the normal equations of lines and local baselines.
 *
 * Storage is GSL's for symmetric bands: a matrix of n rows and p + 1 columns, element (j, i)
 * holding A(j+i, j). Factorisation and solution are GSL's (gsl_linalg_cholesky_band); what GSL does
 * not have, the inverse within the band, is here.
 */
#pragma once

#include <glib.h>
#include <gsl/gsl_matrix.h>
#include <gsl/gsl_vector.h>

/* Factors @a = L L^T in place after scaling rows and columns to a unit diagonal; @scale (length n)
 * gets the factors 1/sqrt(a_jj), or 0 where a_jj is not above 0: such a row is taken out (unit
 * diagonal, no coupling), so that a parameter without any column does not spoil the others.
 * Returns FALSE if the matrix is not positive definite. */
gboolean faint_band_factor (gsl_matrix *a, double *scale);

/* Solves A x = b in place with the factor; entries taken out come back as 0. */
void faint_band_solve (const gsl_matrix *factor, const double *scale, double *b);

/* The entries of A^-1 within the band, in band storage, from the factor (Takahashi's recurrence:
 * Takahashi, Fagan, Chen, 8th PICA Conf. Proc. (1973); Erisman & Tinney, CACM 18, 177 (1975)).
 * Diagonal entries of rows taken out are INFINITY. New matrix, free with gsl_matrix_free. */
gsl_matrix *faint_band_inverse (const gsl_matrix *factor, const double *scale);

/* y = A x. */
void faint_band_multiply (const gsl_matrix *a, const double *x, double *y);

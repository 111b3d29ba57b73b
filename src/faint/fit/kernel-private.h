/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The inner loops of the fit, in the instruction set that suits the machine.
 */
#pragma once

#include "faint/fit/far.h"

#define FAR_N FAINT_FAR_NODES

typedef struct
{
  double place[FAR_N];                 /* Chebyshev's, in [-1, 1] */
  double to_coefficient[FAR_N][FAR_N]; /* [m][j]: values at the places to coefficients */
  double transposed[FAR_N][FAR_N];     /* [j][m] */
} FaintFarTable;
const FaintFarTable *faint_far_get_table (const FaintFar *self);

/* What a line's wing needs; strength 0 for one that does not count. */
typedef struct
{
  double position, strength, lorentz;
  double h0; /* gamma_D^2/(2 ln2) */
} FaintFarLine;

/* What a change of a line is worth, for a column of 1; position and Lorentz for a strength of 1. */
typedef struct
{
  double strength, position, lorentz;
} FaintFarWorth;

/* What the matched filter reads of one channel, from the first tooth of its reach on. */
typedef struct
{
  const double *row_re, *row_im, *residual;
  const double *inverse_u;
} FaintFindRows;

/* The template around a place, its baseline's coordinate and that squared. */
typedef struct
{
  const double *re, *im, *x, *x2;
} FaintFindPattern;

typedef struct
{
  double moment[5];      /* of 1/u^2 */
  double by_template[3]; /* template times baseline */
  double by_residual[3];
  double square, product; /* template^2, template * residual */
} FaintFindSums;

/* factor a b, tooth by tooth. */
typedef struct
{
  double factor;
  const double *a, *b;
} FaintFitTerm;

typedef struct
{
  /* Adds strength times profile of @n lines at @centre + @offset[j]. */
  void (*far_sum) (const FaintFarLine *lines, gsize n, double centre, const double offset[FAR_N],
                   double re[FAR_N], double im[FAR_N]);
  /* Adds what weights @a, @b there are worth to each of @n lines. */
  void (*far_project) (const FaintFarLine *lines, gsize n, double centre,
                       const double offset[FAR_N], const double a[FAR_N], const double b[FAR_N],
                       FaintFarWorth *worth);
  /* Adds @factor times the function whose values at the places are @re, @im, at @n places @x. */
  void (*far_interpolate) (const FaintFarTable *table, const double re[FAR_N],
                           const double im[FAR_N], const double *x, gsize n, double factor,
                           double *sum_re, double *sum_im);
  /* Its transpose: weights at @x become weights at Chebyshev's places, added to @at_a, @at_b. */
  void (*far_gather) (const FaintFarTable *table, const double *x, gsize n, const double *a,
                      const double *b, double at_a[FAR_N], double at_b[FAR_N]);
  /* Sums over @n teeth, into a cleared @sums. */
  void (*find_sum) (const FaintFindRows *rows, const FaintFindPattern *pattern, gsize n,
                    FaintFindSums *sums);
  /* Lower half of the products of @n_rows rows of length @n, @n_rows x @n_rows. For few rows. */
  void (*rows_products) (const double *rows, gsize n_rows, gsize n, double *products);
  /* Adds the products of rows, which begin @stride apart, with @on (length @n) to @sums. */
  void (*rows_project) (const double *rows, gsize n_rows, gsize stride, gsize n, const double *on,
                        double *sums);
  /* row = first + second, length @n. */
  void (*rows_combine) (gsize n, FaintFitTerm first, FaintFitTerm second, double *row);
  /* sum += factor term, length @n. */
  void (*rows_add) (gsize n, double factor, const double *term, double *sum);
} FaintFitKernel;

/* With more rows than this a BLAS is faster. */
#define FAINT_FIT_KERNEL_ROWS 48

extern const FaintFitKernel faint_fit_kernel_baseline;
#if defined(__x86_64__) && (defined(__GNUC__) || defined(__clang__))
#define FAINT_FIT_KERNEL_X86 1
extern const FaintFitKernel faint_fit_kernel_avx2;
#endif

/* The best kernel of this machine. */
static inline const FaintFitKernel *
faint_fit_kernel (void)
{
#ifdef FAINT_FIT_KERNEL_X86
  if (__builtin_cpu_supports ("avx2") && __builtin_cpu_supports ("fma"))
    return &faint_fit_kernel_avx2;
#endif
  return &faint_fit_kernel_baseline;
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The Faddeeva function w(z) = exp(-z^2) erfc(-i z), z = x + i y (DLMF 7.2.3).
 *
 * Both parts are accurate on their own: relative error at most 5e-14 of the real and of the
 * imaginary part alike for y >= 0, |x| and y up to 1e6, also where the real part is tiny.
 * For y < 0 the continuation w(z) = 2 exp(-z^2) - w(-z) is used.
 */
#pragma once

#include <glib.h>

typedef struct
{
  double re, im;
} FaintComplex;

/* w(x + i y) of one argument. */
FaintComplex faint_faddeeva (double x, double y);

/* w'(z) = -2 z w + 2i/sqrt(pi), accurate far out too, where that difference loses its digits (the
 * differentiated series serves there). */
FaintComplex faint_faddeeva_derivative (double x, double y);

/* w(x_k + i y) for @n arguments of one @y, the case of a line over a spectrum. @re and @im
 * (length n) must not overlap @x. Chooses the best instruction set of the machine at run time;
 * every one of them gives results within the stated error. */
void faint_faddeeva_fill (const double *x, gsize n, double y, double *re, double *im);

/* The same with the derivative w' in @d_re, @d_im (length n). */
void faint_faddeeva_fill_derivative (const double *x, gsize n, double y, double *re, double *im,
                                     double *d_re, double *d_im);

/* w on the uniform grid x_k = x0 + k @step, k = 0..n-1. Same accuracy; faster where several points
 * fall into a quarter of x. */
void faint_faddeeva_grid (double x0, double step, gsize n, double y, double *re, double *im);

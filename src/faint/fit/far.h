/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Far wings. Over a window the sum of all lines that are far from it is smooth: it is computed at
 * a few Chebyshev nodes and interpolated, so that the cost does not grow with lines times teeth.
 * Beyond 25 Doppler widths the profile is its own series,
 *   p = (i/pi zeta) (1 + h + 3 h^2 + 15 h^3 + 105 h^4), zeta = (nu - nu0) + i gamma_L,
 *   h = gamma_D^2/(2 ln2 zeta^2)   (asymptotic expansion of w, DLMF 7.12.1).
 */
#pragma once

#include "faint/fit/layout.h"

/* With lines no nearer than a window's half width from its border the interpolation is good to
 * (2 + sqrt 3)^-16 = 7e-10 of the far sum. */
#define FAINT_FAR_NODES 16

/* Sum over all lines not near @window of strength times profile, as Chebyshev coefficients over the
 * window. Lines with FAINT_LINE_EXCLUDED do not count. */
void faint_far_sum (const FaintLayout *layout, const FaintLayoutWindow *window,
                    const FaintLine *lines, double re[FAINT_FAR_NODES], double im[FAINT_FAR_NODES]);

/* Adds the interpolated sum at @n places @x in [-1, 1] of the window, times @factor. */
void faint_far_add (const double re[FAINT_FAR_NODES], const double im[FAINT_FAR_NODES],
                    const double *x, gsize n, double factor, double *sum_re, double *sum_im);

/* The transposed way: with weights @a, @b at places @x (what a change of Re, Im kappa at each tooth
 * is worth), adds to @gradient what each free parameter of the far lines is worth; @column is the
 * factor from strength times profile to kappa. */
void faint_far_transpose (const FaintLayout *layout, const FaintLayoutWindow *window,
                          const FaintLine *lines, const double *x, const double *a, const double *b,
                          double column, double *gradient);

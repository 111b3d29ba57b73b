/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Far wings. Over a window the sum of all lines that are far from it is smooth: it is computed at
 * a few Chebyshev nodes and interpolated. Windows are paired into a tree; a line counts at the
 * widest stretch of the span that it is far from, and sums go down from there, so that the cost
 * grows with the number of lines and of windows, not with their product.
 *
 * Beyond 25 Doppler widths the profile is its own series,
 *   p = (i/pi zeta) (1 + h + 3 h^2 + 15 h^3 + 105 h^4), zeta = (nu - nu0) + i gamma_L,
 *   h = gamma_D^2/(2 ln2 zeta^2)   (asymptotic expansion of w, DLMF 7.12.1).
 *
 * Lines beyond Voigt have the same wings but for terms of (Gamma_2/zeta)^2, below 1e-7 of their peak
 * out there, which are left out.
 */
#pragma once

#include "faint/fit/layout.h"

/* With lines no nearer than a stretch's half width from its border the interpolation is good to
 * (2 + sqrt 3)^-16 = 7e-10 of the far sum. */
#define FAINT_FAR_NODES 16

typedef struct _FaintFar FaintFar;

/* The tree over the windows of @layout, which must outlive it. Which lines are far from what is
 * settled here, by the near lines of the layout. */
FaintFar *faint_far_new (const FaintLayout *layout);
void faint_far_free (FaintFar *self);

/* Compute and scatter on @threads threads (1 to begin with), which does not change a bit of the
 * outcome. */
void faint_far_use_threads (FaintFar *self, guint threads);

/* Computes the far sums of strength times profile for all windows. Lines with
 * FAINT_LINE_EXCLUDED do not count. */
void faint_far_compute (FaintFar *self, const FaintLine *lines);

/* Adds the interpolated far sum of window @window at @n places @x in [-1, 1], times @factor. Only
 * reads: windows may be served by several threads. */
void faint_far_add (const FaintFar *self, gsize window, const double *x, gsize n, double factor,
                    double *sum_re, double *sum_im);

/* The far sum of window @window at its Chebyshev places. */
void faint_far_peek (const FaintFar *self, gsize window, double re[FAINT_FAR_NODES],
                     double im[FAINT_FAR_NODES]);

/* The transposed way, in two steps. For each window: weights @a, @b at places @x, what a change of
 * Re, Im kappa at each tooth is worth (different windows may be served by different threads). Then,
 * once: adds to @gradient what each free parameter of each line is worth by its far wings; @column
 * is the factor from strength times profile to kappa. */
void faint_far_gather (FaintFar *self, gsize window, const double *x, gsize n, const double *a,
                       const double *b);
void faint_far_scatter (FaintFar *self, const FaintLine *lines, double column, double *gradient);

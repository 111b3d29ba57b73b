/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How good a fit is: statistics of normalised residuals.
 */
#pragma once

#include <glib.h>

typedef struct
{
  double chi2;    /* sum of squares */
  double lag1;    /* lag-1 autocorrelation */
  double runs_z;  /* runs test on signs (Wald & Wolfowitz, Ann. Math. Stat. 11, 147 (1940)): number
                     of runs  less its expectation, in standard deviations; negative: residuals stay
                     on one side */
  double largest; /* largest |residual| */
} FaintQuality;

/* Of @n normalised residuals in the order of the axis. NAN where a statistic does not exist (n < 3,
 * all of one sign). */
FaintQuality faint_quality (const double *residual, gsize n);

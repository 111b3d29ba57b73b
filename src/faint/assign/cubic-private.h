/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What comes next on a smooth curve through a few points. For this folder alone.
 */
#pragma once

#include <glib.h>

#define FAINT_CUBIC_MOST 12 /* points */

typedef struct
{
  guint n;
  double xi[FAINT_CUBIC_MOST], y[FAINT_CUBIC_MOST]; /* xi = 0 is asked for; of order 1 */
  double variance[FAINT_CUBIC_MOST];
} FaintCubicPoints;

/* Value and standard uncertainty at xi = 0 of the cubic through the points. @prior: standard
 * deviations of its slope, curvature and third coefficient about 0, so that two points are enough.
 * @roughness: standard deviation of the points about a cubic, held for two degrees of freedom until
 * the points' own scatter outweighs it. */
gboolean faint_cubic_predict (const FaintCubicPoints *points, const double *prior, double roughness,
                              double *value, double *sd);

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Strengths of a band: S = C L (1 + a1 m + a2 m^2)^2, where L is the relative strength that
 * populations, nuclear spin and Hoenl-London factors give (transitions.h) and the bracket is the
 * Herman-Wallis factor (Herman and Wallis, J. Chem. Phys. 23, 637 (1955)). sqrt(S/L) is linear in
 * C^(1/2), a1 C^(1/2) and a2 C^(1/2), and is fitted by linear-fit.h with its rule for outliers;
 * where few lines tell, a2 and then a1 count as 0.
 */
#pragma once

#include "faint/assign/band-constants.h"

typedef struct
{
  double scale, u_scale; /* C; NAN where no strengths are known */
  double a1, u_a1, a2, u_a2;
  double band_strength, u_band_strength; /* sum over all lines of the band at the temperature */
  double scatter; /* root mean square of ln(S / S calculated) of the lines kept */
  guint n_lines, n_left_out;
  double value[3], covariance[9]; /* of the fit: C^(1/2) times 1, a1, a2 */
} FaintIntensities;

/* @strength and @u by line, NAN where not known.
 */
FaintIntensities
faint_intensities_fit (const FaintBand *band, const FaintBandLine *lines, gsize n,
                       const double *strength, const double *u, double temperature);
/* Expected strength of a line and its uncertainty in *u; NAN where the scale is not known. */
double
faint_intensities_strength (const FaintIntensities *self, const FaintBand *band, guint ladder,
                            int j, FaintBranch branch, double temperature, double *u);
/* Adds up the lines of the ladders marked in @uses_ladder into band_strength. */
void faint_intensities_sum (FaintIntensities *self, const FaintBand *band,
                            const guint8 *uses_ladder, double temperature);

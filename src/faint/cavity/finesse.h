/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Finesse and its other faces. All follow from the amplitude survival s of one round trip of the
 * empty cavity, held as its loss 1 - s so that no digit is lost at high finesse:
 *   F = pi sqrt(s)/(1-s), mode width (FWHM) = FSR/F, ring-down time = 1/(FSR (-2 ln s)).
 * Standing wave of two mirrors: s = sqrt(R1 R2), R here the mean reflectivity sqrt(R1 R2).
 * For a ring the reflectivity that may be stated is the power that survives one round trip, s^2.
 * Free spectral range FSR = c/(optical round trip).
 */
#pragma once

#include "faint/spectrum/setup.h"

/* Hz from cm: c/(2 L) in a standing wave, c/L in a ring; NAN for a single pass, which has none. */
double faint_cavity_free_spectral_range (FaintGeometry geometry, double cavity_length);

/* Loss 1 - s from each face; and back. Exact, not only for good mirrors; ring-down time in s,
 * mode width and free spectral range in Hz. */
double faint_cavity_loss_from_finesse (double finesse);
double faint_cavity_loss_from_reflectivity (FaintGeometry geometry, double reflectivity);
double faint_cavity_loss_from_ring_down (double ring_down_time, double free_spectral_range);
double faint_cavity_loss_from_linewidth (double linewidth, double free_spectral_range);
double faint_cavity_finesse_from_loss (double loss);
double faint_cavity_reflectivity_from_loss (FaintGeometry geometry, double loss);
double faint_cavity_ring_down_from_loss (double loss, double free_spectral_range);
double faint_cavity_linewidth_from_loss (double loss, double free_spectral_range);

/* Exact Airy full width at half maximum, Hz: (2 FSR/pi) asin((1-s)/(2 sqrt s)).
 * NAN above a loss of 0.828, where the transmission never falls to half. */
double faint_cavity_airy_linewidth (double loss, double free_spectral_range);

/* Enhancement of the path by a tooth on its mode (Phi = 0): how fast -ln(power) grows with the
 * absorbance 2 Re kappa = alpha l of one round trip, at no absorption. Exactly
 *   locked  f + s/(1-s),      in the limit of high finesse F/pi
 *   swept   f + s^2/(1-s^2),  in the limit of high finesse F/(2 pi)
 * with f the share of the round trip's absorber between the couplers (response.h). Times l it is
 * the effective path. Loss 1 and f = 1 are a single pass, 1. */
double faint_cavity_enhancement (FaintCoupling coupling, double loss, double output_share);

/* The loss of the setup's cavity at @n wavenumbers (cm-1, in any order), whichever face was stated,
 * with its standard uncertainty in @u_loss (NULL: not wanted; 0 where none is stated): that of the
 * mirrors alone, without u(cavity_length), on which a ring-down time or a mode width also depends.
 * A table of finesse is interpolated by Steffen's cubic spline, which makes no value outside those
 * of the two neighbouring rows (linear with two rows), and held constant outside, where *outside
 * (may be NULL) counts the points. A single pass gives loss 1.
 * FAINT_SETUP_ERROR_MISSING when the mirrors (or the length that they need) are not described,
 * FAINT_SETUP_ERROR_VALUE when they lose nothing or everything, or a table does not rise. */
gboolean faint_cavity_loss_fill (const FaintSetup *setup, const double *wavenumber, gsize n,
                                 double *loss, double *u_loss, gsize *outside, GError **error);

/* The measured quantity of the setup's mirrors as the quantity @kind, in us, kHz or as a number,
 * with the standard uncertainty that it has by that of the mirrors alone (JCGM 100:2008, 5.1.2):
 * u(cavity_length) stays where it is, so that the budget counts it once, and there and back gives
 * the same. Unknown where nothing is stated, of a table or to a table, and where the length of the
 * cavity is not known that either of them needs. */
FaintQuantity faint_cavity_mirror_as (const FaintSetup *setup, FaintMirrorKind kind);

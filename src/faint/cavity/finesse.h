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

double faint_cavity_free_spectral_range (FaintGeometry geometry, double cavity_length); /* Hz, cm */

/* Loss 1 - s from each face; and back. */
double faint_cavity_loss_from_finesse (double finesse);
double faint_cavity_loss_from_reflectivity (FaintGeometry geometry, double reflectivity);
double faint_cavity_loss_from_ring_down (double ring_down_time, double free_spectral_range);
double faint_cavity_loss_from_linewidth (double linewidth, double free_spectral_range);
double faint_cavity_finesse_from_loss (double loss);
double faint_cavity_reflectivity_from_loss (FaintGeometry geometry, double loss);
double faint_cavity_ring_down_from_loss (double loss, double free_spectral_range);
double faint_cavity_linewidth_from_loss (double loss, double free_spectral_range);

/* Exact Airy full width at half maximum, Hz: (2 FSR/pi) asin((1-s)/(2 sqrt s)). */
double faint_cavity_airy_linewidth (double loss, double free_spectral_range);

/* Weak-absorption enhancement of the path, per unit of round-trip absorber length: F/pi locked,
 * F/(2 pi) swept in the limit of high finesse; here the exact derivative of -ln(power) at zero
 * absorption, f = share of the absorber between the couplers (response.h). */
double faint_cavity_enhancement (FaintCoupling coupling, double loss, double output_share);

/* The loss of the setup's cavity at @n wavenumbers (cm-1), whichever face was stated, with its
 * standard uncertainty in @u_loss (NULL: not wanted; 0 where none is stated). A table is
 * interpolated by a cubic spline (GSL; linear with two rows) and held constant outside, where
 * *outside (may be NULL) counts the points. A single pass gives loss 1.
 * FAINT_SETUP_ERROR_MISSING when the mirrors are not described. */
gboolean faint_cavity_loss_fill (const FaintSetup *setup, const double *wavenumber, gsize n,
                                 double *loss, double *u_loss, gsize *outside, GError **error);

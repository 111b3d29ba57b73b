/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a tooth shows of a complex absorption in the cavity, relative to the empty cavity.
 *
 *   locked       E/E0 = exp(-f kappa) (1 - s e^{i Phi}) / (1 - s e^{i Phi} e^{-kappa})
 *   swept        I/I0 = exp(-2 f Re kappa) (1 - s^2) / (1 - s^2 exp(-2 Re kappa))
 *   single pass  E/E0 = exp(-kappa)
 *
 * kappa = (N l/2) sum S_i p_i, the exponent of the field over one round trip (l the absorber in
 * one round trip, or the path of a single pass); s amplitude survival of the round trip; Phi
 * round-trip phase of the tooth away from its mode; f the share of the round trip's absorber
 * between input and output coupler: 1/2 in a standing wave; for a ring 1/2 too, unless stated.
 * Sources: Foltynowicz et al., Appl. Phys. B 110, 163 (2013); Fleisher, Long, Hodges, J. Mol.
 * Spectrosc. 352, 26 (2018); Adler et al., Annu. Rev. Anal. Chem. 3, 175 (2010).
 * Fields go as exp(-i omega t): a phase lag is positive.
 */
#pragma once

#include "faint/spectrum/spectrum.h"

typedef struct
{
  FaintObservable observable;
  FaintGeometry geometry; /* NONE: single pass */
  FaintCoupling coupling;
  double output_share; /* f; a single pass has 1 */
} FaintResponse;

FaintResponse faint_response_of (const FaintSetup *setup);

/* Per-tooth constants of the cavity, arrays of length n. */
typedef struct
{
  gsize n;
  double *loss;   /* 1 - s */
  double *u_loss; /* standard uncertainty of it */
  double *phase;  /* Phi, rad */
} FaintCavityTeeth;

/* Loss and round-trip phase of every tooth: Phi = 2 pi (detuning + slope (f - f_centre))/FSR.
 * FAINT_SETUP_ERROR where the mirrors, or the length that a detuning needs, are not stated. */
FaintCavityTeeth *faint_cavity_teeth_new (const FaintSpectrum *spectrum, GError **error);
void faint_cavity_teeth_free (FaintCavityTeeth *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (FaintCavityTeeth, faint_cavity_teeth_free)

/* Absorber length in one round trip, cm: twice the mirror spacing's part in a standing wave, the
 * given length in a ring and in a single pass. */
double faint_response_absorber_round_trip (const FaintSetup *setup);

/* Values and derivatives at teeth [first, first+n) of @teeth for kappa = kappa_re + i kappa_im
 * (arrays of length n that begin at tooth @first). All outputs have length n; any but value may
 * be NULL.
 * Power and amplitude: value real, value_im untouched; dvalue = slope_re dRe(kappa) + slope_im
 * dIm(kappa); by_loss and by_phase are the real derivatives with respect to loss and Phi.
 * Field: value + i value_im; holomorphic, dE = (slope_re + i slope_im) dkappa; by_loss, by_phase
 * complex with parts in by_loss, by_loss_im, by_phase, by_phase_im. Swept coupling has power and
 * amplitude (its square root) alone. Every result is good to a few units in the last place, as long
 * as |kappa| does not exceed a few turns; about 15 ns a tooth. */
typedef struct
{
  double *value, *value_im;
  double *slope_re, *slope_im;
  double *by_loss, *by_loss_im;
  double *by_phase, *by_phase_im;
} FaintResponseValues;
void faint_response_fill (const FaintResponse *response, const FaintCavityTeeth *teeth, gsize first,
                          gsize n, const double *kappa_re, const double *kappa_im,
                          const FaintResponseValues *out);

/* For display: the absorption that a value means, Re kappa of the round trip (array of length n),
 * with dispersion left out for power and amplitude (@kappa_im may be NULL there, else it is filled
 * with 0); from a field both parts exactly, Im kappa within (-2 pi, 2 pi]. Phi is taken into
 * account. A value that no absorption gives (above the empty cavity) is continued smoothly to
 * negative absorption, down to the threshold of gain ln s; where even that has no answer (a value
 * of 0 or below, above all that gain could give) the result is NAN. */
void faint_response_invert (const FaintResponse *response, const FaintCavityTeeth *teeth,
                            gsize first, gsize n, const double *value, const double *value_im,
                            double *kappa_re, double *kappa_im);

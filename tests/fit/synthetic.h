/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Spectra of known lines by a forward model that shares nothing with the library's: w(z) by
 * Weideman's series (SIAM J. Numer. Anal. 31, 1497 (1994)), the cavity by its closed formulas in
 * complex numbers (Foltynowicz et al., Appl. Phys. B 110, 163 (2013); Adler et al., Annu. Rev.
 * Anal. Chem. 3, 175 (2010)), constants of the SI. The conditions are invented: a weak band of
 * nitrous oxide in a 60 cm cavity.
 */
#pragma once

#include "faint/lines/line.h"
#include "faint/spectrum/spectrum.h"

#include <complex.h>

/* w(z) in the upper half plane. */
double complex synthetic_w (double complex z);

/* Complex profile of a line, cm; N l/2, molecules/cm2; and E/E0 at a round-trip phase for the
 * exponent kappa of a round trip, with swept coupling sqrt(I/I0). */
double complex synthetic_profile (const FaintLine *line, double wavenumber);
double synthetic_column_density (const FaintSetup *setup);
double complex synthetic_cavity (const FaintSetup *setup, double phase, double complex kappa);

/* Standard normal. */
double synthetic_normal (GRand *random);

/* The invented conditions with "key", "value" pairs up to a NULL in place of some (or NULL). */
FaintSetup *synthetic_setup (const char *const *pairs);

/* What is recorded. Baselines are polynomials in t from -1 to 1 over the record; one that is all
 * zero counts as 1 (real part). */
typedef struct
{
  gsize n;
  double u;     /* stated standard uncertainty of each sample */
  double noise; /* standard deviation of what is added to it */
  guint32 seed;
  gboolean polar; /* field: u along and across the phase */
  double baseline[3], baseline_im[3];
} SyntheticRecord;

/* Of the comb of @setup from its tooth 3 718 000 (7751.207 cm-1) on. */
FaintSpectrum *synthetic_record (FaintSetup *setup, const FaintLine *lines, gsize n_lines,
                                 const SyntheticRecord *record);
/* Wavenumber, cm-1, of tooth @k of such a record, @k counted from 0 and not always whole. */
double synthetic_wavenumber (double k);

/* Doppler half width of the conditions, cm-1. */
double synthetic_doppler (const FaintSetup *setup, double wavenumber);
/* A line that alone absorbs @peak of what is observed at its centre; all states free but the
 * Doppler width, which is derived. */
FaintLine synthetic_line (const FaintSetup *setup, double position, double peak, double lorentz);
/* The same lines with nothing but a position. */
void synthetic_forget (FaintLine *lines, gsize n);

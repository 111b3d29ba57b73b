/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the files of this folder share about spectra.
 */
#pragma once

#include "faint/spectrum/spectrum.h"

#define FAINT_SPECTRUM_MIN_TEETH 8

/* Both f_rep and f_0 are known. */
gboolean faint_setup_states_comb (const FaintSetup *setup);

/* Fills excluded, n_excluded, fit_u and fit_u_im from setup and axis; frees them. */
void faint_spectrum_mark_excluded (FaintSpectrum *self);
void faint_spectrum_clear_excluded (FaintSpectrum *self);

/* Adds warnings on what can still be used but should be looked at: gaps, negative samples, samples
 * far above 1, teeth too sparse for a Doppler width. */
void faint_spectrum_warn (FaintSpectrum *self);

/* Copies to @copy the warnings that faint_spectrum_finish() does not find again by itself. */
void faint_spectrum_copy_reading_warnings (const FaintSpectrum *self, FaintSpectrum *copy);

/* Hz from a number of the axis column in Hz, cm-1 or nm: the one conversion of reader and writer.
 */
double faint_frequency_from_axis (FaintAxis axis, double x);

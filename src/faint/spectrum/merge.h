/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Interleaved records: spectra of one sample taken with stepped combs, put together on their true
 * frequencies and never resampled.
 */
#pragma once

#include "faint/spectrum/spectrum.h"

/* All samples of @n spectra in the order of their frequencies, under the setup of the first.
 * Refuses, naming what differs: spectra of different observable, gas conditions or cavity.
 * Samples at the very same frequency are averaged with their weights. */
FaintSpectrum *faint_spectrum_merge (FaintSpectrum *const *spectra, gsize n, GError **error);

/* TRUE for records of one sample in one cavity, which may be merged. */
gboolean faint_spectrum_may_merge (const FaintSpectrum *first, const FaintSpectrum *other);

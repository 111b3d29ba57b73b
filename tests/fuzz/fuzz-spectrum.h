/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What every spectrum must hold to that a fuzzed reader has read.
 */
#pragma once

#include "faint/spectrum/spectrum.h"

/* Ends the program unless the spectrum, written as a comb table, is read again with the same
 * values. */
void faint_fuzz_check_spectrum (const FaintSpectrum *spectrum);

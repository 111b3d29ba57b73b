/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * From rows of numbers to the samples of a spectrum.
 */
#pragma once

#include "faint/spectrum/rows.h"
#include "faint/spectrum/spectrum.h"

/* Checks that the axis runs one way (teeth upwards), with the line where it does not. */
gboolean faint_samples_check_axis (const FaintRows *rows, const FaintText *text,
                                   const FaintRowsLayout *layout, GError **error);

/* The samples, with the comb of @setup where the axis is in teeth. Not finished yet. */
FaintSpectrum *faint_samples_new (const FaintRows *rows, FaintSetup *setup, GError **error);

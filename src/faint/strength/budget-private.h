/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the budgets of one and of several spectra share.
 */
#pragma once

#include "faint/cavity/response.h"
#include "faint/strength/budget.h"

/* Two effects of one source that are independent of each other: their root sum of squares, with the
 * sign of the larger. @have may be NAN: nothing yet. */
double faint_budget_combine (double have, double more);

/* Adds what the comb of @spectrum does to positions, strengths and widths. */
void faint_budget_book_comb (const FaintSpectrum *spectrum, FaintLine *lines, gsize n);

/* Combined uncertainties from the contributions, under the conditions of @setup. */
void faint_budget_combine_line (const FaintSetup *setup, FaintLine *line);

/* Strength at 296 K where lower-state energy and Q(T) are known. */
gboolean faint_budget_convert_line (const FaintSetup *setup, const FaintPartition *partition,
                                    FaintLine *line, GError **error);

/* u over value; 0 where u is not stated. */
double faint_budget_relative_u (FaintQuantity quantity);

/* Phase of every tooth that u of the detuning, or of its slope, stands for; new array, or NULL
 * where there is none (or it was fitted). */
double *faint_budget_detuning_phase (const FaintSpectrum *spectrum, const FaintFitInstrument *found,
                                     gboolean slope);

/* What a cavity longer by its uncertainty changes of every tooth: loss and phase, new arrays.
 * *loss is NULL where there is no cavity or no uncertainty. */
gboolean faint_budget_longer_cavity (const FaintSpectrum *spectrum, const FaintCavityTeeth *teeth,
                                     double **loss, double **phase);

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the fits of band constants share. For this folder alone.
 */
#pragma once

#include "faint/assign/band-constants.h"

FaintBand *faint_band_new (const FaintLevels *levels, const GPtrArray *ladders, gsize n);
void faint_band_add_constant (FaintBand *self, FaintConstant constant, gboolean lower, int set,
                              int ladder);
/* Takes a constant out, with a warning. */
void faint_band_give_up (FaintBand *self, guint index);
/* Values and uncertainties from self->fit. */
void faint_band_take_values (FaintBand *self);
/* How each constant enters the position of a line. */
void faint_band_row (const FaintBand *self, guint ladder, int j, FaintBranch branch, double *row);
/* What of the position does not depend on them. */
double faint_band_fixed_part (const FaintBand *self, guint ladder, int j, FaintBranch branch);

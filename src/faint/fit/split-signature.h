/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the residuals say for a pair where one line was fitted: the change of chi-square that a
 * small even split, or a small lopsidedness, promises once position, strength, width and baseline
 * have taken their part (a score test).
 */
#pragma once

#include "faint/fit/model.h"

typedef struct _FaintSplitRows FaintSplitRows;

/* Residuals and slopes of a fitted model. */
FaintSplitRows *faint_split_rows_new (FaintModel *model);
void faint_split_rows_free (FaintSplitRows *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (FaintSplitRows, faint_split_rows_free)

/* The fall of chi-square, 0 where nothing speaks for a pair. Neighbours do not take their part, so
 * in a blend it comes out too large. */
double faint_split_signature (const FaintSplitRows *self, gsize line);

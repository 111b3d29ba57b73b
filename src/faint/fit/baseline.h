/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Baselines to start from: Legendre coefficients of every window, as linear least squares.
 */
#pragma once

#include "faint/fit/model.h"

/* Without lines: a polynomial through the teeth that no line pulls down. Teeth far below (by their
 * uncertainty) or far off are left out in turn, until nothing changes. Sets the baseline part
 * of model->theta. */
void faint_baseline_start (FaintModel *model);

/* From a baseline known at every tooth (arrays of spectrum->n; @baseline_im NULL unless a field),
 * as when the windows have been cut anew. */
void faint_baseline_take (FaintModel *model, const double *baseline, const double *baseline_im);

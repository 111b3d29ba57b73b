/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The kernel in the instruction set that the whole program is built for.
 */
#include "faint/fit/far-kernel-private.h"
#include "faint/fit/find-kernel-private.h"
#include "faint/fit/rows-kernel-private.h"

const FaintFitKernel faint_fit_kernel_baseline
    = { far_sum,       far_project,  far_interpolate, far_gather, find_sum,
        rows_products, rows_project, rows_combine,    rows_add };

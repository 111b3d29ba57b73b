/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The kernel for x86-64 processors with AVX2 and FMA.
 */
#include <glib.h>
#include <math.h>
#include <string.h>

#include "faint/fit/kernel-private.h"

#ifdef FAINT_FIT_KERNEL_X86
#ifdef __clang__
#pragma clang attribute push(__attribute__((target("avx2,fma"))), apply_to = function)
#else
#pragma GCC target("avx2,fma")
#endif
#define FAINT_VECTOR_AVX 1

#include "faint/fit/far-kernel-private.h"
#include "faint/fit/find-kernel-private.h"
#include "faint/fit/rows-kernel-private.h"

const FaintFitKernel faint_fit_kernel_avx2
    = { far_sum,       far_project,  far_interpolate, far_gather, find_sum,
        rows_products, rows_project, rows_combine,    rows_add };

#ifdef __clang__
#pragma clang attribute pop
#endif
#endif

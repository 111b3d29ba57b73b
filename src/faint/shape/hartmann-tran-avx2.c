/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The Hartmann-Tran kernel for x86-64 processors with AVX2 and FMA.
 */
#include <glib.h>
#include <math.h>
#include <string.h>

#include "faint/shape/hartmann-tran-private.h"

#ifdef FAINT_FADDEEVA_X86
#ifdef __clang__
#pragma clang attribute push(__attribute__((target("avx2,fma"))), apply_to = function)
#else
#pragma GCC target("avx2,fma")
#endif
#define FAINT_VECTOR_AVX 1

#include "faint/shape/hartmann-tran-kernel-private.h"

const FaintHartmannTranKernel faint_hartmann_tran_avx2 = HARTMANN_TABLE;

#ifdef __clang__
#pragma clang attribute pop
#endif
#endif

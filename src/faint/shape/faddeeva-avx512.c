/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The kernel for x86-64 processors with AVX-512, in vectors of four: eight were measured slower.
 */
#include <glib.h>
#include <math.h>
#include <string.h>

#include "faint/shape/faddeeva-private.h"

#ifdef FAINT_FADDEEVA_X86
#ifdef __clang__
#pragma clang attribute push(                                                                      \
    __attribute__((target("avx2,fma,avx512f,avx512vl,avx512dq,avx512bw,avx512cd"))),               \
    apply_to = function)
#else
#pragma GCC target("avx2,fma,avx512f,avx512vl,avx512dq,avx512bw,avx512cd")
#endif
#define FAINT_VECTOR_AVX 1

#include "faint/shape/faddeeva-kernel-private.h"

const FaintFaddeevaKernel faint_faddeeva_avx512 = KERNEL_TABLE;

#ifdef __clang__
#pragma clang attribute pop
#endif
#endif

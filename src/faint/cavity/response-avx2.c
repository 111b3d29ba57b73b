/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The inner loop for x86-64 processors with AVX2 and FMA.
 */
#include <glib.h>
#include <math.h>
#include <string.h>

#include "faint/cavity/response-private.h"

#ifdef FAINT_RESPONSE_X86
#ifdef __clang__
#pragma clang attribute push(__attribute__((target("avx2,fma"))), apply_to = function)
#else
#pragma GCC target("avx2,fma")
#endif
#define FAINT_VECTOR_AVX 1

#include "faint/cavity/response-kernel-private.h"

const FaintResponseWeak faint_response_weak_avx2 = weak_real;

#ifdef __clang__
#pragma clang attribute pop
#endif
#endif

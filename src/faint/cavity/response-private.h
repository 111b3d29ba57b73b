/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The inner loop of response.c, in the instruction set that suits the machine.
 */
#pragma once

#include "faint/cavity/response.h"

/* Arrays from the first tooth on. */
typedef struct
{
  const double *loss, *phase, *kappa_re, *kappa_im;
} FaintResponseTeeth;

/* Fills value, slope_re and slope_im at teeth from @from on, half of the absorber behind the input
 * coupler, as long as |Re kappa| is within 2^-6, |Im kappa| and |Phi| within 2^-5 and a whole group
 * of four is left; returns the first tooth not done. */
typedef gsize (*FaintResponseWeak) (const FaintResponseTeeth *teeth, gboolean amplitude, gsize from,
                                    gsize n, const FaintResponseValues *out);

extern const FaintResponseWeak faint_response_weak_baseline;
#if defined(__x86_64__) && (defined(__GNUC__) || defined(__clang__))
#define FAINT_RESPONSE_X86 1
extern const FaintResponseWeak faint_response_weak_avx2;
#endif

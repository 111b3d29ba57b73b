/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the Hartmann-Tran kernels for the instruction sets of a machine have in common.
 */
#pragma once

#include "faint/shape/faddeeva-private.h"
#include "faint/shape/hartmann-tran.h"

/* Results; derivatives NULL where not wanted. */
typedef struct
{
  double *re, *im;
  double *const *d_re, *const *d_im;
} FaintHartmannTranOut;

typedef struct
{
  void (*value) (const FaintHartmannTran *line, const double *wavenumber, gsize n,
                 const FaintHartmannTranOut *out);
  void (*gradient) (const FaintHartmannTran *line, const double *wavenumber, gsize n,
                    const FaintHartmannTranOut *out);
} FaintHartmannTranKernel;

extern const FaintHartmannTranKernel faint_hartmann_tran_baseline;
#ifdef FAINT_FADDEEVA_X86
extern const FaintHartmannTranKernel faint_hartmann_tran_avx2;
#endif

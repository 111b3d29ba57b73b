/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/shape/hartmann-tran.h"

#include "faint/shape/hartmann-tran-private.h"

static const FaintHartmannTranKernel *
kernel (void)
{
#ifdef FAINT_FADDEEVA_X86
  if (faint_faddeeva_kernel () == &faint_faddeeva_avx2)
    return &faint_hartmann_tran_avx2;
#endif
  return &faint_hartmann_tran_baseline;
}

void
faint_hartmann_tran_fill (FaintHartmannTran line, const double *wavenumber, gsize n, double *re,
                          double *im)
{
  FaintHartmannTranOut out = { .re = re, .im = im };

  kernel ()->value (&line, wavenumber, n, &out);
}

FaintComplex
faint_hartmann_tran (FaintHartmannTran line, double wavenumber)
{
  FaintComplex p;

  faint_hartmann_tran_fill (line, &wavenumber, 1, &p.re, &p.im);
  return p;
}

void
faint_hartmann_tran_gradient (FaintHartmannTran line, const double *wavenumber, gsize n, double *re,
                              double *im, double *const d_re[FAINT_HARTMANN_TRAN_N],
                              double *const d_im[FAINT_HARTMANN_TRAN_N])
{
  FaintHartmannTranOut out = { .re = re, .im = im, .d_re = d_re, .d_im = d_im };

  kernel ()->gradient (&line, wavenumber, n, &out);
}

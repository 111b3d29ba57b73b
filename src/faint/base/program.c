/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/base/program.h"

#include <gsl/gsl_errno.h>

#ifdef __GLIBC__
#include <malloc.h>
#endif

/* Bytes; larger blocks come from the system one by one. */
#define BLOCK_KEPT (32 * 1024 * 1024)
#define FREE_KEPT (256 * 1024 * 1024)

/* OpenBLAS offers no header that declares it next to GSL's own BLAS header. */
extern void openblas_set_num_threads (int threads);

void
faint_program_begin (void)
{
  gsl_set_error_handler_off ();
  openblas_set_num_threads (1);
#ifdef __GLIBC__
  mallopt (M_MMAP_THRESHOLD, BLOCK_KEPT);
  mallopt (M_TRIM_THRESHOLD, FREE_KEPT);
#endif
}

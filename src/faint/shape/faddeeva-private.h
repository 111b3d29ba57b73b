/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the kernels for the instruction sets of a machine have in common.
 */
#pragma once

#include <glib.h>

/* Work on z_k = (at_k - origin) * scale + i y, for y >= 0. */
typedef struct
{
  const double *at;
  gsize n;
  double origin, scale, y;
} FaintFaddeevaPoints;

/* Results, one length for all, each multiplied by its factor. */
typedef struct
{
  double *w_re, *w_im;           /* w */
  double *d_re, *d_im;           /* w' */
  double *turned_re, *turned_im; /* i w' */
  double *s_re, *s_im;           /* w + z w' */
  double w_factor, d_factor, turned_factor, s_factor;
} FaintFaddeevaOut;

/* Each of the first four writes what it is named for and all before it. y >= 0 throughout. */
typedef struct
{
  void (*value) (const FaintFaddeevaPoints *points, const FaintFaddeevaOut *out);
  void (*derivative) (const FaintFaddeevaPoints *points, const FaintFaddeevaOut *out);
  void (*turned) (const FaintFaddeevaPoints *points, const FaintFaddeevaOut *out);
  void (*gradient) (const FaintFaddeevaPoints *points, const FaintFaddeevaOut *out);
  /* w at x0 + k step */
  void (*grid) (double x0, double step, gsize n, double y, double *re, double *im);
} FaintFaddeevaKernel;

extern const FaintFaddeevaKernel faint_faddeeva_baseline;
#if defined(__x86_64__) && (defined(__GNUC__) || defined(__clang__))
#define FAINT_FADDEEVA_X86 1
extern const FaintFaddeevaKernel faint_faddeeva_avx2;
#endif

/* The best kernel of this machine. */
const FaintFaddeevaKernel *faint_faddeeva_kernel (void);

/* w, w' and w + z w' where |z|^2 leaves the doubles, or x or y is not finite. */
typedef struct
{
  double w_re, w_im, d_re, d_im, s_re, s_im;
} FaintFaddeevaPoint;
FaintFaddeevaPoint faint_faddeeva_extreme (double x, double y);

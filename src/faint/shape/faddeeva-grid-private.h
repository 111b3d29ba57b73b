/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * w(z) on a uniform grid, by Taylor's series about the nearest multiple of 1/8. Included once for
 * an instruction set.
 *
 * Coefficients a_m = w^(m)/m! follow from w'' = -2 w - 2 z w' (DLMF 7.10.3):
 * (m + 1) a_(m+1) = -2 (z a_m + a_(m-1)). The recurrence grows errors by up to exp(2 x d) at
 * a distance d, so d is kept to 1/16: a factor 2.3 at x = 6.7. x - centre is exact in doubles, and
 * the cell around 0 has its centre at 0, where Im w is odd: both parts keep their digits.
 */
#pragma once

#include "faint/shape/faddeeva-kernel-private.h"

#define GRID_CELLS 8.0     /* in a unit of x */
#define GRID_LEAST 8       /* points in a cell that are worth its series */
#define GRID_DEGREE 20     /* enough for a Gaussian at x = 6.7: 0.84^21/21! = 5e-22 */
#define GRID_EPSILON 2e-17 /* of a term that is left out, against its part of w */

typedef struct
{
  KernelRow row;
  double x0, step;
  double *re, *im;
  /* Four cells, at |x| = first, first + stride, ...: coefficient m of lane i in [m][i]. */
  double first, stride;
  V4 a_re[GRID_DEGREE + 1], a_im[GRID_DEGREE + 1];
  int degree; /* 0: no cells yet */
} Grid;

/* Whether coefficient @m counts anywhere in the four cells. Around 0, Im w is compared with its
 * linear term. */
KERNEL_INLINE gboolean
grid_counts (const Grid *grid, int m, double power)
{
  V4 centre = { 0.0, 1.0, 2.0, 3.0 };
  V4i at_zero = grid->first + grid->stride * centre == 0.0;
  V4 im = v4_select (at_zero, 0.5 / GRID_CELLS * grid->a_im[1], grid->a_im[0]);

  return v4_any (v4_abs (grid->a_re[m]) * power > GRID_EPSILON * v4_abs (grid->a_re[0]))
         || v4_any (v4_abs (grid->a_im[m]) * power > GRID_EPSILON * v4_abs (im));
}

KERNEL_INLINE void
grid_expand (Grid *grid, double first, double stride)
{
  V4 x = v4_abs (first + stride * (V4){ 0.0, 1.0, 2.0, 3.0 });
  KernelResult w;
  double power = pow (0.5 / GRID_CELLS, GRID_DEGREE);
  int degree = GRID_DEGREE;

  kernel_clear (&w);
  kernel_near_any (&grid->row, x, KERNEL_DERIVATIVE, &w);
  grid->first = first;
  grid->stride = stride;
  grid->a_re[0] = w.w_re;
  grid->a_im[0] = w.w_im;
  grid->a_re[1] = w.d_re;
  grid->a_im[1] = w.d_im;
  for (int m = 1; m < GRID_DEGREE; m++)
    {
      double factor = -2.0 / (m + 1);
      V4 re = x * grid->a_re[m] - grid->row.y * grid->a_im[m] + grid->a_re[m - 1];
      V4 im = x * grid->a_im[m] + grid->row.y * grid->a_re[m] + grid->a_im[m - 1];
      grid->a_re[m + 1] = factor * re;
      grid->a_im[m + 1] = factor * im;
    }
  while (degree > 2 && !grid_counts (grid, degree, power))
    {
      degree--;
      power *= 2.0 * GRID_CELLS;
    }
  grid->degree = degree;
}

/* The series of lane @lane at distances @d[0..count-1] vectors. */
KERNEL_INLINE void
grid_series (const Grid *grid, int lane, const V4 *d, int count, V4 *re, V4 *im)
{
  const double *a_re = (const double *)grid->a_re + lane;
  const double *a_im = (const double *)grid->a_im + lane;

  for (int j = 0; j < count; j++)
    {
      re[j] = v4_of (a_re[4 * grid->degree]);
      im[j] = v4_of (a_im[4 * grid->degree]);
    }
  for (int m = 4 * grid->degree - 4; m >= 0; m -= 4)
    for (int j = 0; j < count; j++)
      {
        re[j] = a_re[m] + d[j] * re[j];
        im[j] = a_im[m] + d[j] * im[j];
      }
}

KERNEL_INLINE V4
grid_x (const Grid *grid, gsize k)
{
  return grid->x0 + ((double)k + (V4){ 0.0, 1.0, 2.0, 3.0 }) * grid->step;
}

/* Points @k to @end - 1, all in the cell of lane @lane. */
KERNEL_INLINE void
grid_cell (const Grid *grid, int lane, gsize k, gsize end)
{
  double signed_centre = grid->first + lane * grid->stride;
  double sign = signed_centre < 0.0 ? -1.0 : 1.0;
  double centre = fabs (signed_centre);
  V4 d[2], re[2], im[2];

  for (; k + 8 <= end; k += 8)
    {
      d[0] = sign * grid_x (grid, k) - centre;
      d[1] = sign * grid_x (grid, k + 4) - centre;
      grid_series (grid, lane, d, 2, re, im);
      v4_store (grid->re + k, re[0]);
      v4_store (grid->re + k + 4, re[1]);
      v4_store (grid->im + k, sign * im[0]);
      v4_store (grid->im + k + 4, sign * im[1]);
    }
  for (; k < end; k += 4)
    {
      gsize count = MIN (end - k, 4);
      d[0] = sign * grid_x (grid, k) - centre;
      grid_series (grid, lane, d, 1, re, im);
      im[0] *= sign;
      memcpy (grid->re + k, &re[0], count * sizeof (double));
      memcpy (grid->im + k, &im[0], count * sizeof (double));
    }
}

/* Points @k to @end - 1 one by one. */
KERNEL_INLINE void
grid_direct (const Grid *grid, gsize k, gsize end)
{
  for (; k < end; k += 4)
    {
      gsize count = MIN (end - k, 4);
      KernelResult w;
      kernel_point (&grid->row, grid_x (grid, k), KERNEL_VALUE, &w);
      memcpy (grid->re + k, &w.w_re, count * sizeof (double));
      memcpy (grid->im + k, &w.w_im, count * sizeof (double));
    }
}

/* The first point at or beyond @x in the direction of the grid, from @k on. */
KERNEL_INLINE gsize
grid_reach (const Grid *grid, double x, gsize k, gsize n)
{
  double reach = ceil ((x - grid->x0) / grid->step);

  if (!(reach > (double)k))
    return k;
  return reach < (double)n ? (gsize)reach : n;
}

static void
kernel_grid (double x0, double step, gsize n, double y, double *re, double *im)
{
  Grid grid = { .row = kernel_row (y), .x0 = x0, .step = step, .re = re, .im = im };
  double stride = (step < 0.0 ? -1.0 : 1.0) / GRID_CELLS;
  /* Cells are used where all of them lies in the near region. */
  double edge = y * y < KERNEL_FAR - 0.5 ? sqrt (KERNEL_FAR - 0.5 - y * y) : 0.0;
  double last = (floor (edge * GRID_CELLS) - 1.0) / GRID_CELLS;
  gsize k = 0;

  if (!(fabs (step) * GRID_CELLS * GRID_LEAST <= 1.0) || !(fabs (step) > 0.0) || last < 1.0)
    {
      grid_direct (&grid, 0, n);
      return;
    }
  gsize inner = grid_reach (&grid, -copysign (last, step), 0, n);
  grid_direct (&grid, 0, inner);
  for (k = inner; k < n;)
    {
      double cell = rint ((x0 + (double)k * step) * GRID_CELLS) / GRID_CELLS;
      int lane;
      gsize end;

      if (!(fabs (cell) <= last))
        break;
      lane = (int)((cell - grid.first) / stride);
      if (grid.degree == 0 || lane > 3)
        {
          grid_expand (&grid, cell, stride);
          lane = 0;
        }
      end = grid_reach (&grid, cell + 0.5 * stride, k + 1, n);
      grid_cell (&grid, lane, k, end);
      k = end;
    }
  grid_direct (&grid, k, n);
}

/* What a file of one instruction set offers. */
#define KERNEL_TABLE                                                                               \
  {                                                                                                \
    .value = kernel_value, .derivative = kernel_derivative, .turned = kernel_turned,               \
    .gradient = kernel_gradient, .grid = kernel_grid,                                              \
  }

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Least and greatest values of a long array, ready for any zoom: the cost of a query follows the
 * number of columns, not of samples, and no peak is lost. Constant once made; counted references;
 * safe in any thread.
 */
#pragma once

#include "figure/view.h"

typedef struct _FaintPyramid FaintPyramid;

/* Over @n samples of @y at @x (cm-1, strictly rising). NAN samples are gaps. The arrays are
 * borrowed:
 * @release (@owner) is called when the pyramid is freed, so pass a reference to what owns
 * them (NULL: the caller keeps them alive). 1e6 samples take a few ms. */
FaintPyramid *faint_pyramid_new (const double *x, const double *y, gsize n, gpointer owner,
                                 GDestroyNotify release);
FaintPyramid *faint_pyramid_ref (FaintPyramid *self);
void faint_pyramid_unref (FaintPyramid *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (FaintPyramid, faint_pyramid_unref)

/* Borrowed. */
const double *faint_pyramid_get_x (const FaintPyramid *self, gsize *n);
const double *faint_pyramid_get_y (const FaintPyramid *self, gsize *n);

/* Index of the first sample at or above @wavenumber; n if none. */
gsize faint_pyramid_index (const FaintPyramid *self, double wavenumber);
/* Index of the sample nearest to @wavenumber; G_MAXSIZE without samples. */
gsize faint_pyramid_nearest (const FaintPyramid *self, double wavenumber);

/* Least and greatest value of samples [first, end); FALSE (and *range untouched) if none is
 * finite. */
gboolean faint_pyramid_extent (const FaintPyramid *self, gsize first, gsize end, FaintRange *range);
/* The same by wavenumber, both ends included. */
gboolean
faint_pyramid_extent_across (const FaintPyramid *self, FaintRange across, FaintRange *range);

typedef struct
{
  gsize first, end; /* samples [first, end) lie in the column */
  double min, max;  /* of the finite ones; NAN if there is none */
  /* The outermost samples, for joining a column to its neighbours: NAN where they are gaps. */
  double left, right;
} FaintColumn;

/* Divides @across into @n equal columns (a sample on a border counts to the right; one on the
 * upper end to the last) and fills them. */
void
faint_pyramid_columns (const FaintPyramid *self, FaintRange across, gsize n, FaintColumn *columns);

/* Samples a column when @across has @n columns. */
double faint_pyramid_density (const FaintPyramid *self, FaintRange across, gsize n);

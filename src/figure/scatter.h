/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Points with error bars against a wavenumber, and guides at values of their own: normalised
 * errors, differences and ratios of two lists. What stands out is full, the rest hollow; what lies
 * beyond the range stands at the border, and an arrow says so.
 */
#pragma once

#include "figure/symbol.h"
#include "figure/value-frame.h"

typedef struct
{
  double x, y;
  double u; /* half length of the bar; NAN: none */
  FaintSymbol symbol;
  gboolean emphasis;
} FaintScatterPoint;

typedef struct
{
  const FaintScatterPoint *points;
  gsize n;
  const double *guides; /* horizontal lines */
  gsize n_guides;
  FaintRange across;   /* not valid: that of the points */
  FaintRange up;       /* not valid: around the middle half of the points and their bars */
  FaintValueAxis name; /* of the values */
} FaintScatter;

/* Range of values that shows the bulk of @self: the quartiles and three times their distance on
 * either side, or all where that is less, with the guides. */
FaintRange faint_scatter_range (const FaintScatter *self);
/* Where point @i stands once it is drawn in @place. */
void faint_scatter_locate (const FaintScatter *self, const FaintCanvas *canvas, FaintRect place,
                           gsize i, double *x, double *y);
void faint_scatter_draw (const FaintScatter *self, const FaintCanvas *canvas, FaintRect place);

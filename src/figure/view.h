/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What part of the data a rectangle shows. Values passed by value, pure arithmetic, no display.
 * Wavenumbers (cm-1) rise to the right, values rise upwards, pixels downwards.
 */
#pragma once

#include <glib.h>

typedef struct
{
  double lower, upper;
} FaintRange;

typedef struct
{
  double x, y, width, height; /* user units of the drawing: pixels on the screen, points on paper */
} FaintRect;

typedef struct
{
  FaintRange across; /* cm-1 */
  FaintRange up;     /* of the values */
  FaintRect place;
} FaintView;

/* Mapping both ways. Not limited to the rectangle. */
double faint_view_x (const FaintView *self, double wavenumber);
double faint_view_y (const FaintView *self, double value);
double faint_view_wavenumber (const FaintView *self, double x);
double faint_view_value (const FaintView *self, double y);
/* Wavenumbers a user unit, cm-1. */
double faint_view_unit_width (const FaintView *self);

static inline double
faint_range_width (FaintRange range)
{
  return range.upper - range.lower;
}
/* Finite, and not empty. */
gboolean faint_range_is_valid (FaintRange range);
gboolean faint_range_contains (FaintRange range, double value);
gboolean faint_rect_contains (FaintRect rect, double x, double y);

/* Narrower by @factor (above 1: zoom in) about @at, which keeps its place. */
FaintRange faint_range_zoom (FaintRange range, double at, double factor);
/* Moved by @distance. */
FaintRange faint_range_pan (FaintRange range, double distance);
/* Moved so that @at lies where the share @share (0 to 1) of its width is: a drag holds the
 * wavenumber under the pointer. */
FaintRange faint_range_hold (FaintRange range, double at, double share);
/* Widened to at least @least about its centre, narrowed to at most @limits, then moved inside them.
 * A range that is not valid gives @limits. */
FaintRange faint_range_clamp (FaintRange range, FaintRange limits, double least);
/* Widened on each side by @share of its width; an empty range by @share of its value, or 1. */
FaintRange faint_range_padded (FaintRange range, double share);
/* The least range that holds both; one that is not valid is left out. */
FaintRange faint_range_union (FaintRange a, FaintRange b);

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "figure/view.h"

#include <math.h>

double
faint_view_x (const FaintView *self, double wavenumber)
{
  double share = (wavenumber - self->across.lower) / faint_range_width (self->across);
  return self->place.x + share * self->place.width;
}

double
faint_view_y (const FaintView *self, double value)
{
  double share = (value - self->up.lower) / faint_range_width (self->up);
  return self->place.y + (1.0 - share) * self->place.height;
}

double
faint_view_wavenumber (const FaintView *self, double x)
{
  double share = (x - self->place.x) / self->place.width;
  return self->across.lower + share * faint_range_width (self->across);
}

double
faint_view_value (const FaintView *self, double y)
{
  double share = 1.0 - (y - self->place.y) / self->place.height;
  return self->up.lower + share * faint_range_width (self->up);
}

double
faint_view_unit_width (const FaintView *self)
{
  return faint_range_width (self->across) / self->place.width;
}

gboolean
faint_range_is_valid (FaintRange range)
{
  return isfinite (range.lower) && isfinite (range.upper) && range.upper > range.lower;
}

gboolean
faint_range_contains (FaintRange range, double value)
{
  return value >= range.lower && value <= range.upper;
}

gboolean
faint_rect_contains (FaintRect rect, double x, double y)
{
  return x >= rect.x && x < rect.x + rect.width && y >= rect.y && y < rect.y + rect.height;
}

FaintRange
faint_range_zoom (FaintRange range, double at, double factor)
{
  return (FaintRange){ .lower = at - (at - range.lower) / factor,
                       .upper = at + (range.upper - at) / factor };
}

FaintRange
faint_range_pan (FaintRange range, double distance)
{
  return (FaintRange){ .lower = range.lower + distance, .upper = range.upper + distance };
}

FaintRange
faint_range_hold (FaintRange range, double at, double share)
{
  double width = faint_range_width (range);
  double lower = at - share * width;
  return (FaintRange){ .lower = lower, .upper = lower + width };
}

FaintRange
faint_range_clamp (FaintRange range, FaintRange limits, double least)
{
  if (!faint_range_is_valid (range))
    return limits;
  double most = faint_range_width (limits);
  double width = MIN (MAX (faint_range_width (range), least), most);
  double centre = 0.5 * (range.lower + range.upper);

  if (width == most)
    return limits;
  if (width != faint_range_width (range))
    range = (FaintRange){ .lower = centre - 0.5 * width, .upper = centre + 0.5 * width };
  if (range.lower < limits.lower)
    return (FaintRange){ .lower = limits.lower, .upper = limits.lower + width };
  if (range.upper > limits.upper)
    return (FaintRange){ .lower = limits.upper - width, .upper = limits.upper };
  return range;
}

FaintRange
faint_range_padded (FaintRange range, double share)
{
  double pad = share * faint_range_width (range);

  if (!(pad > 0.0))
    pad = range.lower != 0.0 ? share * fabs (range.lower) : 1.0;
  return (FaintRange){ .lower = range.lower - pad, .upper = range.upper + pad };
}

FaintRange
faint_range_union (FaintRange a, FaintRange b)
{
  if (!faint_range_is_valid (a))
    return b;
  if (!faint_range_is_valid (b))
    return a;
  return (FaintRange){ .lower = MIN (a.lower, b.lower), .upper = MAX (a.upper, b.upper) };
}

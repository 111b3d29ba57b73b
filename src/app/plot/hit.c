/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/plot/hit.h"
#include "faint/shape/voigt.h"

#include <math.h>

#define SAME_PLACE 2.0 /* units: lines nearer to each other cannot be pointed at one by one */

static double
strength_of (const FaintLine *line)
{
  return isnan (line->strength.value) ? 0.0 : line->strength.value;
}

/* TRUE if @a, @distance_a units away, is meant rather than @b. */
static gboolean
is_meant (const FaintLine *a, double distance_a, const FaintLine *b, double distance_b)
{
  double step_a = floor (distance_a / SAME_PLACE), step_b = floor (distance_b / SAME_PLACE);

  if (step_a != step_b)
    return step_a < step_b;
  if (strength_of (a) != strength_of (b))
    return strength_of (a) > strength_of (b);
  return distance_a < distance_b;
}

const FaintLine *
faint_hit_line (const FaintLineList *lines, const FaintView *view, double x, double reach)
{
  gsize middle = faint_line_list_nearest (lines, faint_view_wavenumber (view, x));
  gsize n = faint_line_list_get_n (lines);
  const FaintLine *best = NULL;
  double best_distance = 0;

  if (middle == G_MAXSIZE)
    return NULL;
  /* Outwards from the nearest one, as far as the reach goes. */
  for (int side = -1; side <= 1; side += 2)
    for (gsize i = side < 0 ? middle : middle + 1; i < n; i += side)
      {
        const FaintLine *line = faint_line_list_get (lines, i);
        double distance = fabs (faint_view_x (view, line->position.value) - x);

        if (!(distance <= reach))
          break;
        if (best == NULL || is_meant (line, distance, best, best_distance))
          best = line, best_distance = distance;
      }
  return best;
}

double
faint_hit_half_width (const FaintLine *line, double otherwise)
{
  double doppler = line->doppler.value, lorentz = line->lorentz.value;

  if (isnan (doppler) && isnan (lorentz))
    return otherwise;
  doppler = isnan (doppler) ? 0 : MAX (doppler, 0);
  lorentz = isnan (lorentz) ? 0 : MAX (lorentz, 0);
  if (doppler == 0 && lorentz == 0)
    return otherwise;
  return faint_voigt_hwhm (doppler, lorentz);
}

double
faint_hit_lorentz (const FaintLine *line, double half)
{
  double doppler = line->doppler.value > 0 ? line->doppler.value : 0;
  double low = 0, high = half;

  if (!(half > doppler))
    return 0;
  if (doppler == 0)
    return half;
  for (int i = 0; i < 50; i++)
    {
      double middle = 0.5 * (low + high);

      if (faint_voigt_hwhm (doppler, middle) < half)
        low = middle;
      else
        high = middle;
    }
  return 0.5 * (low + high);
}

FaintRange
faint_hit_range (const FaintLine *line, double otherwise)
{
  double half = FAINT_HIT_WIDTHS * faint_hit_half_width (line, otherwise);

  return (FaintRange){ line->position.value - half, line->position.value + half };
}

/* Index of the first line at or above @at. */
static gsize
first_above (const FaintLineList *lines, double at)
{
  gsize low = 0, high = faint_line_list_get_n (lines);

  while (low < high)
    {
      gsize middle = low + (high - low) / 2;

      if (faint_line_list_get (lines, middle)->position.value < at)
        low = middle + 1;
      else
        high = middle;
    }
  return low;
}

const FaintLine *
faint_hit_step (const FaintLineList *lines, guint id, double at, int step)
{
  gsize n = faint_line_list_get_n (lines);
  gsize index = id == 0 ? G_MAXSIZE : faint_line_list_index_of (lines, id);
  gsize next;

  if (index != G_MAXSIZE)
    next = step > 0 ? index + 1 : index - 1;
  else
    next = step > 0 ? first_above (lines, at) : first_above (lines, at) - 1;
  return next < n ? faint_line_list_get (lines, next) : NULL; /* -1 wraps to above n */
}

gsize
faint_hit_count (const FaintLineList *lines, FaintRange across)
{
  return first_above (lines, nextafter (across.upper, INFINITY))
         - first_above (lines, across.lower);
}

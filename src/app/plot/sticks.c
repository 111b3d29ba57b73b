/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/plot/sticks.h"

#include <math.h>

/* Nearer to each other than this, in units, sticks have no markers (figure/lane-marks.c). */
#define APART_FOR_MARKERS 5.0
/* Height of a line of unknown strength. */
#define UNKNOWN 0.1

static gsize
first_at (const FaintLineList *lines, double wavenumber)
{
  gsize low = 0, high = faint_line_list_get_n (lines);

  while (low < high)
    {
      gsize middle = low + (high - low) / 2;

      if (faint_line_list_get (lines, middle)->position.value < wavenumber)
        low = middle + 1;
      else
        high = middle;
    }
  return low;
}

static void
in_view (const FaintView *view, const FaintLineList *lines, gsize *first, gsize *end)
{
  *first = first_at (lines, view->across.lower);
  *end = first_at (lines, nextafter (view->across.upper, INFINITY));
}

gboolean
faint_sticks_suit (const FaintView *view, const FaintLineList *lines, const FaintPen *pen)
{
  gsize first, end;

  if (pen->n_dash > 0)
    return FALSE;
  in_view (view, lines, &first, &end);
  return view->place.width < APART_FOR_MARKERS * (double)(end - first);
}

/* Units above the foot. */
static double
height_of (const FaintView *view, const FaintLine *line)
{
  double foot = view->place.y + view->place.height;

  if (!(line->strength.value > 0))
    return UNKNOWN * view->place.height;
  return CLAMP (foot - faint_view_y (view, log10 (line->strength.value)), 0, view->place.height);
}

static void
append (GtkSnapshot *snapshot, const FaintView *view, const FaintPen *pen, double device,
        double column, double height)
{
  GdkRGBA colour = { pen->colour.red, pen->colour.green, pen->colour.blue, pen->colour.alpha };
  double whole = ceil (height * device) / device;

  gtk_snapshot_append_color (snapshot, &colour,
                             &GRAPHENE_RECT_INIT (view->place.x + column / device,
                                                  view->place.y + view->place.height - whole,
                                                  MAX (1, round (pen->width * device)) / device,
                                                  whole));
}

void
faint_sticks_append (GtkSnapshot *snapshot, const FaintView *view, const FaintLineList *lines,
                     const FaintPen *pen, double device)
{
  double column = NAN, tallest = 0;
  gsize first, end;

  in_view (view, lines, &first, &end);
  for (gsize i = first; i < end; i++)
    {
      const FaintLine *line = faint_line_list_get (lines, i);
      double at = floor ((faint_view_x (view, line->position.value) - view->place.x) * device);

      if (at != column)
        {
          if (!isnan (column))
            append (snapshot, view, pen, device, column, tallest);
          tallest = 0;
        }
      column = at;
      tallest = MAX (tallest, height_of (view, line));
    }
  if (!isnan (column))
    append (snapshot, view, pen, device, column, tallest);
}

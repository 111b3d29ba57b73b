/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Guides, distributions, sticks, borders and marks.
 */
#include "figure/lane-private.h"

#include <math.h>

#define MARKER_RADIUS 2.4
#define APART_FOR_MARKERS 5.0

static void
add_rule_up (const FaintCanvas *canvas, const FaintView *view, double wavenumber)
{
  double x = faint_canvas_snap (canvas, faint_view_x (view, wavenumber));
  cairo_move_to (canvas->cr, x, view->place.y);
  cairo_rel_line_to (canvas->cr, 0.0, view->place.height);
}

void
faint_lane_guides (const FaintCanvas *canvas, const FaintView *view)
{
  static const double at[] = { -3.0, -1.0, 0.0, 1.0, 3.0 };

  faint_canvas_clip (canvas, view->place);
  for (guint i = 0; i < G_N_ELEMENTS (at); i++)
    {
      double y = faint_canvas_snap (canvas, faint_view_y (view, at[i]));
      faint_canvas_pen (canvas, at[i] == 0.0 ? FAINT_PART_AXIS : FAINT_PART_GUIDE);
      cairo_move_to (canvas->cr, view->place.x, y);
      cairo_rel_line_to (canvas->cr, view->place.width, 0.0);
      cairo_stroke (canvas->cr);
    }
  cairo_restore (canvas->cr);
}

void
faint_distribution_fill (FaintDistribution *self, const double *y, gsize n, FaintRange up)
{
  *self = (FaintDistribution){ .up = up };
  faint_distribution_add (self, y, n);
}

void
faint_distribution_add (FaintDistribution *self, const double *y, gsize n)
{
  double bins_per_unit = FAINT_DISTRIBUTION_BINS / faint_range_width (self->up);

  for (gsize i = 0; i < n; i++)
    {
      double bin = (y[i] - self->up.lower) * bins_per_unit;
      if (!isfinite (y[i]))
        continue;
      self->n++;
      if (bin >= 0.0 && bin < FAINT_DISTRIBUTION_BINS)
        self->count[(gsize)bin]++;
    }
}

/* Share of the width at which the peak of the normal density stands. */
#define NORMAL_PEAK 0.8

static void
draw_bars (const FaintCanvas *canvas, const FaintView *view, const FaintDistribution *self)
{
  double bin = faint_range_width (self->up) / FAINT_DISTRIBUTION_BINS;
  double densest = 1.0 / sqrt (2.0 * G_PI);

  for (int i = 0; i < FAINT_DISTRIBUTION_BINS; i++)
    {
      double density = (double)self->count[i] / (double)self->n / bin;
      double top = faint_view_y (view, self->up.lower + (i + 1) * bin);
      double bottom = faint_view_y (view, self->up.lower + i * bin);
      double length = NORMAL_PEAK * view->place.width * density / densest;
      cairo_rectangle (canvas->cr, view->place.x, top, length, bottom - top);
    }
  faint_canvas_pen (canvas, FAINT_PART_DISTRIBUTION);
  cairo_fill (canvas->cr);
}

void
faint_lane_distribution (const FaintCanvas *canvas, FaintRect place, FaintRange up,
                         const FaintDistribution *distribution)
{
  FaintView view = { .across = { 0.0, 1.0 }, .up = up, .place = place };

  if (distribution->n == 0)
    return;
  faint_canvas_clip (canvas, place);
  draw_bars (canvas, &view, distribution);
  for (int i = 0; i <= 100; i++)
    {
      double value = up.lower + faint_range_width (up) * i / 100.0;
      double x = place.x + NORMAL_PEAK * place.width * exp (-0.5 * value * value);
      cairo_line_to (canvas->cr, x, faint_view_y (&view, value));
    }
  faint_canvas_pen (canvas, FAINT_PART_NORMAL);
  cairo_stroke (canvas->cr);
  cairo_restore (canvas->cr);
}

gboolean
faint_lane_sticks_range (const FaintLineList *lines, FaintRange *range)
{
  gsize n = lines != NULL ? faint_line_list_get_n (lines) : 0;
  double least = INFINITY, greatest = -INFINITY;

  for (gsize i = 0; i < n; i++)
    {
      double strength = faint_line_list_get (lines, i)->strength.value;
      if (!(strength > 0.0) || !isfinite (strength))
        continue;
      least = MIN (least, log10 (strength));
      greatest = MAX (greatest, log10 (strength));
    }
  if (!(least <= greatest))
    return FALSE;
  /* Room for the marker on top, and a foot on which the weakest line still stands. */
  double span = MAX (greatest - least, 1.0);
  *range = (FaintRange){ least - 0.25 * span, greatest + 0.15 * span };
  /* Two powers of ten at least, so that the axis has a scale. */
  if (floor (range->upper) - ceil (range->lower) < 1.0)
    range->lower = floor (range->lower) - 0.05;
  return TRUE;
}

static void
draw_marker (const FaintCanvas *canvas, FaintMarker marker, double x, double y)
{
  cairo_t *cr = canvas->cr;
  double radius = MARKER_RADIUS * canvas->scale;

  cairo_set_dash (cr, NULL, 0, 0.0);
  switch (marker)
    {
    case FAINT_MARKER_DISC:
    case FAINT_MARKER_RING:
      cairo_arc (cr, x, y, radius, 0.0, 2.0 * G_PI);
      break;
    case FAINT_MARKER_TRIANGLE:
      cairo_move_to (cr, x, y - 1.2 * radius);
      cairo_line_to (cr, x - 1.1 * radius, y + 0.8 * radius);
      cairo_line_to (cr, x + 1.1 * radius, y + 0.8 * radius);
      cairo_close_path (cr);
      break;
    case FAINT_MARKER_SQUARE:
      cairo_rectangle (cr, x - radius, y - radius, 2.0 * radius, 2.0 * radius);
      break;
    case FAINT_MARKER_CROSS:
      cairo_move_to (cr, x - 1.4 * radius, y - 1.4 * radius);
      cairo_line_to (cr, x + 1.4 * radius, y + 1.4 * radius);
      cairo_move_to (cr, x - 1.4 * radius, y + 1.4 * radius);
      cairo_line_to (cr, x + 1.4 * radius, y - 1.4 * radius);
      break;
    case FAINT_MARKER_NONE:
      return;
    }
  if (marker == FAINT_MARKER_RING || marker == FAINT_MARKER_CROSS)
    cairo_stroke (cr);
  else
    cairo_fill (cr);
}

gsize
faint_lane_line_index (const FaintLineList *lines, double wavenumber)
{
  gsize first = 0, end = faint_line_list_get_n (lines);
  while (first < end)
    {
      gsize middle = first + (end - first) / 2;
      if (faint_line_list_get (lines, middle)->position.value < wavenumber)
        first = middle + 1;
      else
        end = middle;
    }
  return first;
}

double
faint_lane_stick_top (const FaintView *view, const FaintLine *line)
{
  double foot = view->place.y + view->place.height;
  if (!(line->strength.value > 0.0))
    return foot - 0.1 * view->place.height;
  return MIN (faint_view_y (view, log10 (line->strength.value)), foot);
}

/* Where sticks share pixels only the tallest of a pixel is drawn. */
static void
add_sticks (const FaintCanvas *canvas, const FaintView *view, const FaintLineList *lines,
            gsize first, gsize end)
{
  double foot = view->place.y + view->place.height, column = NAN, top = foot;

  for (gsize i = first; i < end; i++)
    {
      const FaintLine *line = faint_line_list_get (lines, i);
      double at = faint_view_x (view, line->position.value);
      double x = canvas->snap ? faint_canvas_snap (canvas, at)
                              : (floor (at / canvas->column) + 0.5) * canvas->column;
      if (x != column && !isnan (column))
        {
          cairo_move_to (canvas->cr, column, foot);
          cairo_line_to (canvas->cr, column, top);
        }
      top = x == column ? MIN (top, faint_lane_stick_top (view, line))
                        : faint_lane_stick_top (view, line);
      column = x;
    }
  if (!isnan (column))
    {
      cairo_move_to (canvas->cr, column, foot);
      cairo_line_to (canvas->cr, column, top);
    }
}

void
faint_lane_sticks (const FaintCanvas *canvas, const FaintView *view, const FaintLineList *lines,
                   FaintPart part)
{
  gsize first = faint_lane_line_index (lines, view->across.lower);
  gsize end = faint_lane_line_index (lines, nextafter (view->across.upper, INFINITY));

  faint_canvas_clip (canvas, view->place);
  if (canvas->snap && canvas->palette->pen[part].n_dash == 0)
    cairo_set_antialias (canvas->cr, CAIRO_ANTIALIAS_NONE);
  faint_canvas_pen (canvas, part);
  add_sticks (canvas, view, lines, first, end);
  cairo_stroke (canvas->cr);

  cairo_set_antialias (canvas->cr, CAIRO_ANTIALIAS_DEFAULT);
  double apart = view->place.width / canvas->scale / (double)MAX (end - first, 1);
  for (gsize i = first; i < end && apart >= APART_FOR_MARKERS; i++)
    {
      const FaintLine *line = faint_line_list_get (lines, i);
      if (line->strength.value > 0.0)
        draw_marker (canvas, canvas->palette->pen[part].marker,
                     faint_view_x (view, line->position.value), faint_lane_stick_top (view, line));
    }
  cairo_restore (canvas->cr);
}

void
faint_lane_windows (const FaintCanvas *canvas, const FaintView *view, const FaintFit *fit)
{
  guint visible = 0;

  for (gsize i = 1; i < fit->n_windows; i++)
    visible += faint_range_contains (view->across, fit->windows[i].lower);
  /* More borders than strokes would only grey the lane. */
  if (visible == 0 || visible * 8.0 * canvas->scale > view->place.width)
    return;
  faint_canvas_clip (canvas, view->place);
  for (gsize i = 1; i < fit->n_windows; i++)
    {
      double border = 0.5 * (fit->windows[i - 1].upper + fit->windows[i].lower);
      if (faint_range_contains (view->across, border))
        add_rule_up (canvas, view, border);
    }
  faint_canvas_pen (canvas, FAINT_PART_WINDOW);
  cairo_stroke (canvas->cr);
  cairo_restore (canvas->cr);
}

void
faint_lane_mark (const FaintCanvas *canvas, const FaintView *view, double wavenumber)
{
  if (!faint_range_contains (view->across, wavenumber))
    return;
  faint_canvas_clip (canvas, view->place);
  add_rule_up (canvas, view, wavenumber);
  faint_canvas_pen (canvas, FAINT_PART_SELECTION);
  cairo_stroke (canvas->cr);
  cairo_restore (canvas->cr);
}

void
faint_lane_range (const FaintCanvas *canvas, const FaintView *view, FaintRange range)
{
  FaintColour colour = canvas->palette->pen[FAINT_PART_SELECTION].colour;
  double left = faint_view_x (view, range.lower), right = faint_view_x (view, range.upper);

  if (!faint_range_is_valid (range))
    return;
  faint_canvas_clip (canvas, view->place);
  left = MAX (left, view->place.x - 10.0);
  right = MIN (right, view->place.x + view->place.width + 10.0);
  colour.alpha = 0.2;
  faint_colour_set (canvas->cr, colour);
  cairo_rectangle (canvas->cr, left, view->place.y, right - left, view->place.height);
  cairo_fill_preserve (canvas->cr);
  faint_canvas_pen (canvas, FAINT_PART_SELECTION);
  cairo_set_line_width (canvas->cr, canvas->scale);
  cairo_stroke (canvas->cr);
  cairo_restore (canvas->cr);
}

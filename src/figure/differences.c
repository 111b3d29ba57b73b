/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "figure/differences.h"

#include <math.h>

#define RADIUS 3.2 /* of a symbol, times the canvas' scale */
#define MARK_RADIUS 7.0
#define PADDING 0.08

static FaintValueFrame
frame_of (const FaintDifferences *self)
{
  return (FaintValueFrame){
    .across = { .name = self->name, .whole = TRUE },
    .up = { .name = "observed − calculated", .brief = "o − c", .symbol = "cm⁻¹" }
  };
}

static double
u_or_zero (const FaintDifference *item)
{
  return item->u > 0 && isfinite (item->u) ? item->u : 0;
}

/* The zero lies in the middle, so that a slope is not read as an offset. */
static double
largest (const FaintDifferences *self, gboolean kept_only)
{
  double most = 0;

  for (gsize i = 0; i < self->n; i++)
    if ((self->items[i].kept || !kept_only) && isfinite (self->items[i].difference))
      most = MAX (most, fabs (self->items[i].difference) + u_or_zero (&self->items[i]));
  return most;
}

FaintView
faint_differences_layout (const FaintDifferences *self, const FaintCanvas *canvas, FaintRect place)
{
  FaintView view
      = { .place = faint_value_frame_inside (canvas, place), .across = { INFINITY, -INFINITY } };
  double most = largest (self, TRUE);

  if (!(most > 0))
    most = largest (self, FALSE);
  if (!(most > 0))
    most = 1;
  view.up = (FaintRange){ -(1 + PADDING) * most, (1 + PADDING) * most };
  for (gsize i = 0; i < self->n; i++)
    {
      view.across.lower = MIN (view.across.lower, self->items[i].number);
      view.across.upper = MAX (view.across.upper, self->items[i].number);
    }
  if (self->n == 0)
    view.across = (FaintRange){ 0, 1 };
  view.across.lower -= 1;
  view.across.upper += 1;
  return view;
}

/* Place of a point; one that lies beyond stands at the border: TRUE. */
static gboolean
place_of (const FaintView *view, const FaintDifference *item, double margin, double *x, double *y)
{
  double at = faint_view_y (view, item->difference);

  *x = faint_view_x (view, item->number);
  *y = CLAMP (at, view->place.y + margin, view->place.y + view->place.height - margin);
  return *y != at && !faint_range_contains (view->up, item->difference);
}

static void
add_bar (const FaintCanvas *canvas, const FaintView *view, const FaintDifference *item)
{
  double x = faint_canvas_snap (canvas, faint_view_x (view, item->number));

  if (!(u_or_zero (item) > 0) || !faint_range_contains (view->up, item->difference))
    return;
  cairo_move_to (canvas->cr, x, faint_view_y (view, item->difference - item->u));
  cairo_line_to (canvas->cr, x, faint_view_y (view, item->difference + item->u));
}

/* Points out of the plot. */
static void
add_arrow (const FaintCanvas *canvas, double x, double y, gboolean upwards)
{
  double arm = RADIUS * canvas->scale, way = upwards ? -1 : 1;

  cairo_move_to (canvas->cr, x - arm, y + way * 2.2 * arm);
  cairo_line_to (canvas->cr, x, y + way * 3.4 * arm);
  cairo_line_to (canvas->cr, x + arm, y + way * 2.2 * arm);
}

static void
draw_kind (const FaintDifferences *self, const FaintCanvas *canvas, const FaintView *view,
           gboolean kept)
{
  double radius = RADIUS * canvas->scale, x, y;
  FaintPart part = kept ? FAINT_PART_FITTED : FAINT_PART_OBSERVED;

  for (gsize i = 0; i < self->n; i++)
    if (self->items[i].kept == kept)
      add_bar (canvas, view, &self->items[i]);
  faint_canvas_pen (canvas, part);
  cairo_set_line_width (canvas->cr, canvas->scale);
  cairo_stroke (canvas->cr);
  for (gsize i = 0; i < self->n; i++)
    if (self->items[i].kept == kept && isfinite (self->items[i].difference))
      {
        place_of (view, &self->items[i], 4 * radius, &x, &y);
        faint_symbol_add (canvas->cr, self->items[i].symbol, x, y, radius,
                          kept ? 0 : 1.2 * canvas->scale);
      }
  cairo_fill (canvas->cr);
  for (gsize i = 0; i < self->n; i++)
    if (self->items[i].kept == kept && isfinite (self->items[i].difference)
        && place_of (view, &self->items[i], 4 * radius, &x, &y))
      add_arrow (canvas, x, y, self->items[i].difference > 0);
  cairo_stroke (canvas->cr);
}

void
faint_differences_draw (const FaintDifferences *self, const FaintCanvas *canvas, FaintRect place)
{
  FaintView view = faint_differences_layout (self, canvas, place);
  FaintValueFrame frame = frame_of (self);
  double zero = faint_canvas_snap (canvas, faint_view_y (&view, 0));

  faint_value_frame_background (canvas, &view, &frame);
  faint_canvas_clip (canvas, view.place);
  cairo_move_to (canvas->cr, view.place.x, zero);
  cairo_line_to (canvas->cr, view.place.x + view.place.width, zero);
  faint_canvas_pen (canvas, FAINT_PART_GUIDE);
  cairo_stroke (canvas->cr);
  draw_kind (self, canvas, &view, FALSE);
  draw_kind (self, canvas, &view, TRUE);
  cairo_restore (canvas->cr);
  faint_value_frame_draw (canvas, &view, &frame);
}

guint
faint_differences_at (const FaintDifferences *self, const FaintView *view, double x, double y,
                      double reach)
{
  double least = reach, at_x, at_y;
  guint id = 0;

  for (gsize i = 0; i < self->n; i++)
    {
      double distance;

      place_of (view, &self->items[i], 4 * RADIUS, &at_x, &at_y);
      distance = hypot (at_x - x, at_y - y);
      if (distance <= least)
        {
          least = distance;
          id = self->items[i].id;
        }
    }
  return id;
}

void
faint_differences_mark (const FaintDifferences *self, const FaintCanvas *canvas, FaintRect place,
                        guint id)
{
  FaintView view = faint_differences_layout (self, canvas, place);
  double x, y;

  faint_canvas_clip (canvas, view.place);
  for (gsize i = 0; i < self->n; i++)
    if (self->items[i].id == id)
      {
        place_of (&view, &self->items[i], 4 * RADIUS * canvas->scale, &x, &y);
        cairo_new_sub_path (canvas->cr);
        cairo_arc (canvas->cr, x, y, MARK_RADIUS * canvas->scale, 0, 2 * G_PI);
      }
  faint_canvas_pen (canvas, FAINT_PART_SELECTION);
  cairo_set_line_width (canvas->cr, 2 * canvas->scale);
  cairo_stroke (canvas->cr);
  cairo_restore (canvas->cr);
}

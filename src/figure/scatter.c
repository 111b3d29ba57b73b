/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "figure/scatter.h"

#include <math.h>

#include "faint/spectrum/rank.h"

#define RADIUS 2.4 /* of a symbol, times the canvas' scale */
#define PADDING 0.06

static void
widen (FaintRange *range, double lower, double upper)
{
  range->lower = MIN (range->lower, lower);
  range->upper = MAX (range->upper, upper);
}

FaintRange
faint_scatter_range (const FaintScatter *self)
{
  g_autofree double *y = g_new (double, MAX (self->n, 1));
  FaintRange all = { INFINITY, -INFINITY }, bulk;
  double low, high;
  gsize n = 0;

  for (gsize i = 0; i < self->n; i++)
    if (isfinite (self->points[i].y))
      {
        double u = isfinite (self->points[i].u) ? self->points[i].u : 0.0;

        y[n++] = self->points[i].y;
        widen (&all, self->points[i].y - u, self->points[i].y + u);
      }
  if (n > 0)
    {
      low = faint_rank_select (y, n, n / 4);
      high = faint_rank_select (y, n, n - 1 - n / 4);
      bulk = (FaintRange){ low - 3.0 * (high - low), high + 3.0 * (high - low) };
      all = (FaintRange){ MAX (all.lower, bulk.lower), MIN (all.upper, bulk.upper) };
    }
  for (gsize k = 0; k < self->n_guides; k++)
    widen (&all, self->guides[k], self->guides[k]);
  return faint_range_padded (faint_range_is_valid (all) ? all : (FaintRange){ -1, 1 }, PADDING);
}

static FaintView
view_of (const FaintScatter *self, const FaintCanvas *canvas, FaintRect place)
{
  FaintView view = { .across = { INFINITY, -INFINITY },
                     .up = faint_range_is_valid (self->up) ? self->up : faint_scatter_range (self),
                     .place = faint_value_frame_inside (canvas, place) };

  for (gsize i = 0; i < self->n; i++)
    widen (&view.across, self->points[i].x, self->points[i].x);
  if (faint_range_is_valid (self->across))
    view.across = self->across;
  else if (faint_range_is_valid (view.across))
    view.across = faint_range_padded (view.across, 0.02);
  else
    view.across = (FaintRange){ view.across.lower - 1, view.across.lower + 1 };
  if (!isfinite (view.across.lower))
    view.across = (FaintRange){ 0, 1 };
  return view;
}

static void
draw_guides (const FaintScatter *self, const FaintCanvas *canvas, const FaintView *view)
{
  for (gsize k = 0; k < self->n_guides; k++)
    {
      double y = faint_canvas_snap (canvas, faint_view_y (view, self->guides[k]));

      cairo_move_to (canvas->cr, view->place.x, y);
      cairo_line_to (canvas->cr, view->place.x + view->place.width, y);
    }
  faint_canvas_pen (canvas, FAINT_PART_GUIDE);
  cairo_stroke (canvas->cr);
}

/* An arrow out of the plot. */
static void
add_arrow (const FaintCanvas *canvas, double x, double y, gboolean upwards)
{
  double arm = RADIUS * canvas->scale, way = upwards ? -1 : 1;

  cairo_move_to (canvas->cr, x - arm, y + way * 2.2 * arm);
  cairo_line_to (canvas->cr, x, y + way * 3.4 * arm);
  cairo_line_to (canvas->cr, x + arm, y + way * 2.2 * arm);
}

/* Height of a value; at the border where it lies beyond. */
static double
height_of (const FaintCanvas *canvas, const FaintView *view, double value)
{
  double margin = 4.0 * RADIUS * canvas->scale, y = faint_view_y (view, value);

  if (faint_range_contains (view->up, value))
    return y;
  return CLAMP (y, view->place.y + margin, view->place.y + view->place.height - margin);
}

void
faint_scatter_locate (const FaintScatter *self, const FaintCanvas *canvas, FaintRect place, gsize i,
                      double *x, double *y)
{
  FaintView view = view_of (self, canvas, place);

  *x = faint_view_x (&view, self->points[i].x);
  *y = height_of (canvas, &view, self->points[i].y);
}

static void
draw_points (const FaintScatter *self, const FaintCanvas *canvas, const FaintView *view,
             gboolean emphasis)
{
  double radius = RADIUS * canvas->scale;

  faint_canvas_pen (canvas, emphasis ? FAINT_PART_FITTED : FAINT_PART_OBSERVED);
  cairo_set_line_width (canvas->cr, canvas->scale);
  for (gsize i = 0; i < self->n; i++)
    {
      const FaintScatterPoint *it = &self->points[i];
      double x = faint_view_x (view, it->x), y = height_of (canvas, view, it->y);

      if (it->emphasis != emphasis || !isfinite (it->y))
        continue;
      if (!faint_range_contains (view->up, it->y))
        add_arrow (canvas, x, y, it->y > view->up.upper);
      else if (isfinite (it->u))
        {
          cairo_move_to (canvas->cr, x, faint_view_y (view, it->y - it->u));
          cairo_line_to (canvas->cr, x, faint_view_y (view, it->y + it->u));
        }
    }
  cairo_stroke (canvas->cr);
  for (gsize i = 0; i < self->n; i++)
    {
      const FaintScatterPoint *it = &self->points[i];

      if (it->emphasis == emphasis && isfinite (it->y))
        faint_symbol_add (canvas->cr, it->symbol, faint_view_x (view, it->x),
                          height_of (canvas, view, it->y), radius, emphasis ? 0.0 : canvas->scale);
    }
  cairo_fill (canvas->cr);
}

void
faint_scatter_draw (const FaintScatter *self, const FaintCanvas *canvas, FaintRect place)
{
  FaintView view = view_of (self, canvas, place);
  FaintValueFrame frame
      = { .across = { .name = "wavenumber", .symbol = "cm⁻¹" }, .up = self->name };

  faint_value_frame_background (canvas, &view, &frame);
  faint_canvas_clip (canvas, view.place);
  draw_guides (self, canvas, &view);
  draw_points (self, canvas, &view, FALSE);
  draw_points (self, canvas, &view, TRUE);
  cairo_restore (canvas->cr);
  faint_value_frame_draw (canvas, &view, &frame);
}

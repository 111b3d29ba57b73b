/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Samples and curves. What is drawn depends on how far samples stand apart on the surface: where
 * several share a column, the column from the least to the greatest of them says all there is to
 * see.
 */
#include "figure/lane.h"

#include <math.h>

/* Distances of samples in strokes of width 1 (a pixel on the screen). */
#define APART_FOR_MARKERS 3.0
#define APART_FOR_POINTS 0.5
/* Markers grow with their distance, so that they stand out of a curve through them. */
#define LEAST_RADIUS 1.8
#define LARGEST_RADIUS 3.0
#define RADIUS_GROWTH 0.2
#define POINT_SIZE 2.0
/* A backing store never has more device columns than this. */
#define MOST_COLUMNS 32768

/* Samples in view and one beyond each end. */
static void
samples_in_view (const FaintView *view, const FaintPyramid *samples, gsize *first, gsize *end)
{
  gsize n;
  faint_pyramid_get_x (samples, &n);
  *first = faint_pyramid_index (samples, view->across.lower);
  *end = MIN (faint_pyramid_index (samples, view->across.upper) + 1, n);
  if (*first > 0)
    --*first;
}

static double
distance_apart (const FaintCanvas *canvas, const FaintView *view, gsize n)
{
  return view->place.width / canvas->scale / (double)MAX (n, 1);
}

/* Far outside values would leave cairo's number range. */
static double
y_limited (const FaintView *view, double value)
{
  double y = faint_view_y (view, value), far = 2.0 * view->place.height + 100.0;
  return CLAMP (y, view->place.y - far, view->place.y + far);
}

static FaintColumn *
columns_new (const FaintCanvas *canvas, const FaintView *view, const FaintPyramid *samples,
             gsize *n)
{
  *n = (gsize)CLAMP (ceil (view->place.width / canvas->column - 1e-6), 1.0, MOST_COLUMNS);
  FaintColumn *columns = g_new (FaintColumn, *n);
  faint_pyramid_columns (samples, view->across, *n, columns);
  return columns;
}

/* One box a column on the pixel grid, reaching to where the column before it ended. */
static void
add_boxes (const FaintCanvas *canvas, const FaintView *view, const FaintColumn *columns, gsize n)
{
  double width = view->place.width / (double)n, pixel = canvas->column, before = NAN;

  for (gsize i = 0; i < n; i++)
    {
      const FaintColumn *column = &columns[i];
      if (isnan (column->min))
        {
          before = column->first < column->end ? NAN : before;
          continue;
        }
      double min = column->min, max = column->max;
      if (!isnan (before) && !isnan (column->left))
        {
          min = MIN (min, before);
          max = MAX (max, before);
        }
      before = column->right;
      double top = floor (y_limited (view, max) / pixel) * pixel;
      double bottom = ceil (y_limited (view, min) / pixel) * pixel;
      cairo_rectangle (canvas->cr, view->place.x + (double)i * width, top, width,
                       MAX (bottom - top, pixel));
    }
}

static void
draw_boxes (const FaintCanvas *canvas, const FaintView *view, const FaintPyramid *samples,
            FaintPart part)
{
  gsize n;
  g_autofree FaintColumn *columns = columns_new (canvas, view, samples, &n);

  cairo_set_antialias (canvas->cr, CAIRO_ANTIALIAS_NONE);
  faint_canvas_pen (canvas, part);
  add_boxes (canvas, view, columns, n);
  cairo_fill (canvas->cr);
}

static void
add_point (cairo_t *cr, double x, double y, gboolean *joined)
{
  if (*joined)
    cairo_line_to (cr, x, y);
  else
    cairo_move_to (cr, x, y);
  *joined = TRUE;
}

/* On paper boxes side by side would show seams: a line from least to greatest instead. */
static void
draw_envelope_line (const FaintCanvas *canvas, const FaintView *view, const FaintPyramid *samples,
                    FaintPart part)
{
  gsize n;
  g_autofree FaintColumn *columns = columns_new (canvas, view, samples, &n);
  double width = view->place.width / (double)n;
  gboolean joined = FALSE;

  for (gsize i = 0; i < n; i++)
    {
      const FaintColumn *column = &columns[i];
      double x = view->place.x + ((double)i + 0.5) * width;
      if (isnan (column->left))
        joined = joined && column->first == column->end;
      if (isnan (column->min))
        continue;
      add_point (canvas->cr, x, y_limited (view, column->min), &joined);
      add_point (canvas->cr, x, y_limited (view, column->max), &joined);
      joined = !isnan (column->right);
    }
  faint_canvas_pen (canvas, part);
  cairo_set_line_width (canvas->cr, canvas->column * 1.2);
  cairo_set_line_join (canvas->cr, CAIRO_LINE_JOIN_BEVEL);
  cairo_stroke (canvas->cr);
}

static void
draw_columns (const FaintCanvas *canvas, const FaintView *view, const FaintPyramid *samples,
              FaintPart part)
{
  if (canvas->snap)
    draw_boxes (canvas, view, samples, part);
  else
    draw_envelope_line (canvas, view, samples, part);
}

static void
draw_points (const FaintCanvas *canvas, const FaintView *view, const FaintPyramid *samples,
             gsize first, gsize end)
{
  const double *x = faint_pyramid_get_x (samples, NULL), *y = faint_pyramid_get_y (samples, NULL);
  double size = POINT_SIZE * canvas->scale;

  cairo_set_antialias (canvas->cr, canvas->snap ? CAIRO_ANTIALIAS_NONE : CAIRO_ANTIALIAS_DEFAULT);
  for (gsize i = first; i < end; i++)
    if (!isnan (y[i]))
      cairo_rectangle (canvas->cr, faint_view_x (view, x[i]) - 0.5 * size,
                       y_limited (view, y[i]) - 0.5 * size, size, size);
  cairo_fill (canvas->cr);
}

static void
draw_error_bars (const FaintCanvas *canvas, const FaintView *view, const FaintPyramid *samples,
                 const double *u, gsize first, gsize end)
{
  const double *x = faint_pyramid_get_x (samples, NULL), *y = faint_pyramid_get_y (samples, NULL);

  for (gsize i = first; i < end; i++)
    if (!isnan (y[i]) && isfinite (u[i]))
      {
        double at = faint_canvas_snap (canvas, faint_view_x (view, x[i]));
        cairo_move_to (canvas->cr, at, y_limited (view, y[i] - u[i]));
        cairo_line_to (canvas->cr, at, y_limited (view, y[i] + u[i]));
      }
  cairo_stroke (canvas->cr);
}

static void
draw_markers (const FaintCanvas *canvas, const FaintView *view, const FaintPyramid *samples,
              gsize first, gsize end, double apart, FaintMarker marker)
{
  const double *x = faint_pyramid_get_x (samples, NULL), *y = faint_pyramid_get_y (samples, NULL);
  double growth = RADIUS_GROWTH * (apart - APART_FOR_MARKERS);
  double radius = MIN (LEAST_RADIUS + growth, LARGEST_RADIUS) * canvas->scale;

  if (marker == FAINT_MARKER_RING)
    {
      cairo_set_dash (canvas->cr, NULL, 0, 0.0);
      cairo_set_line_width (canvas->cr, canvas->scale);
    }
  cairo_set_antialias (canvas->cr, CAIRO_ANTIALIAS_DEFAULT);
  for (gsize i = first; i < end; i++)
    {
      double at = faint_view_y (view, y[i]);
      if (isnan (at) || at < view->place.y - radius
          || at > view->place.y + view->place.height + radius)
        continue;
      cairo_new_sub_path (canvas->cr);
      cairo_arc (canvas->cr, faint_view_x (view, x[i]), at, radius, 0.0, 2.0 * G_PI);
      if (marker == FAINT_MARKER_RING)
        cairo_stroke (canvas->cr);
      else
        cairo_fill (canvas->cr);
    }
}

gboolean
faint_lane_samples_apart (const FaintCanvas *canvas, const FaintView *view,
                          const FaintPyramid *samples)
{
  gsize first, end;

  samples_in_view (view, samples, &first, &end);
  return distance_apart (canvas, view, end - first) >= APART_FOR_MARKERS;
}

void
faint_lane_samples (const FaintCanvas *canvas, const FaintView *view, const FaintPyramid *samples,
                    const double *u, FaintPart part)
{
  gsize first, end;
  samples_in_view (view, samples, &first, &end);
  double apart = distance_apart (canvas, view, end - first);

  faint_canvas_clip (canvas, view->place);
  if (apart < APART_FOR_POINTS)
    draw_columns (canvas, view, samples, part);
  else
    {
      faint_canvas_pen (canvas, part);
      if (apart >= APART_FOR_MARKERS && u != NULL)
        draw_error_bars (canvas, view, samples, u, first, end);
      if (apart >= APART_FOR_MARKERS)
        draw_markers (canvas, view, samples, first, end, apart, canvas->palette->pen[part].marker);
      else
        draw_points (canvas, view, samples, first, end);
    }
  cairo_restore (canvas->cr);
}

static void
draw_polyline (const FaintCanvas *canvas, const FaintView *view, const FaintPyramid *curve,
               double gap, FaintPart part)
{
  const double *x = faint_pyramid_get_x (curve, NULL), *y = faint_pyramid_get_y (curve, NULL);
  gsize first, end;
  gboolean joined = FALSE;

  samples_in_view (view, curve, &first, &end);
  for (gsize i = first; i < end; i++)
    {
      joined = joined && x[i] - x[i - 1] <= gap;
      if (isnan (y[i]))
        joined = FALSE;
      else
        add_point (canvas->cr, faint_view_x (view, x[i]), y_limited (view, y[i]), &joined);
    }
  cairo_set_antialias (canvas->cr, canvas->snap ? CAIRO_ANTIALIAS_FAST : CAIRO_ANTIALIAS_DEFAULT);
  cairo_set_line_join (canvas->cr, CAIRO_LINE_JOIN_BEVEL);
  faint_canvas_pen (canvas, part);
  cairo_stroke (canvas->cr);
}

void
faint_lane_curve (const FaintCanvas *canvas, const FaintView *view, const FaintPyramid *curve,
                  double gap, FaintPart part)
{
  gsize first, end;
  samples_in_view (view, curve, &first, &end);

  faint_canvas_clip (canvas, view->place);
  if (distance_apart (canvas, view, end - first) < APART_FOR_POINTS)
    draw_columns (canvas, view, curve, part);
  else
    draw_polyline (canvas, view, curve, gap, part);
  cairo_restore (canvas->cr);
}

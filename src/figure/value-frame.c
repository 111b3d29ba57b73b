/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "figure/value-frame.h"

#include <math.h>

#include "figure/value-scale.h"

static double
tick_length (const FaintCanvas *canvas)
{
  return 0.25 * faint_canvas_text_height (canvas);
}

FaintRect
faint_value_frame_inside (const FaintCanvas *canvas, FaintRect place)
{
  double height = faint_canvas_text_height (canvas), tick = tick_length (canvas);
  double left = 1.4 * height + faint_canvas_text_width (canvas, "−0.00000") + 2.5 * tick;
  double right = 0.5 * faint_canvas_text_width (canvas, "−0.000");
  double bottom = 2.3 * height + 2 * tick;

  return (FaintRect){ place.x + left, place.y + 0.6 * height, MAX (place.width - left - right, 1),
                      MAX (place.height - bottom - 0.6 * height, 1) };
}

/* Whole numbers have no ticks between them. */
static FaintValueScale
scale_of (FaintRange range, guint most, const FaintValueAxis *axis)
{
  if (axis->whole)
    most = (guint)CLAMP (faint_range_width (range), 1.0, (double)most);
  FaintValueScale scale = faint_value_scale (range, most);

  if (axis->whole && scale.ticks.step < 1)
    scale = (FaintValueScale){ .ticks = faint_ticks (range.lower, range.upper, 1) };
  return scale;
}

static FaintValueScale
scale_across (const FaintCanvas *canvas, const FaintView *view, const FaintValueAxis *axis)
{
  double width = faint_canvas_text_width (canvas, "−0.000");

  return scale_of (view->across, (guint)CLAMP (view->place.width / (1.5 * width), 1.0, 11.0), axis);
}

static FaintValueScale
scale_up (const FaintCanvas *canvas, const FaintView *view, const FaintValueAxis *axis)
{
  double height = faint_canvas_text_height (canvas);

  return scale_of (view->up, (guint)CLAMP (view->place.height / (1.7 * height), 1.0, 13.0), axis);
}

void
faint_value_frame_background (const FaintCanvas *canvas, const FaintView *view,
                              const FaintValueFrame *frame)
{
  FaintValueScale across = scale_across (canvas, view, &frame->across);
  FaintValueScale up = scale_up (canvas, view, &frame->up);
  FaintRect place = view->place;

  faint_canvas_fill (canvas, FAINT_PART_BACKGROUND, place);
  for (guint i = 0; i < across.ticks.n; i++)
    {
      double x = faint_canvas_snap (canvas, faint_view_x (view, across.ticks.at[i]));

      cairo_move_to (canvas->cr, x, place.y);
      cairo_line_to (canvas->cr, x, place.y + place.height);
    }
  for (guint i = 0; i < up.ticks.n; i++)
    {
      double y = faint_canvas_snap (canvas, faint_view_y (view, up.ticks.at[i]));

      cairo_move_to (canvas->cr, place.x, y);
      cairo_line_to (canvas->cr, place.x + place.width, y);
    }
  faint_canvas_pen (canvas, FAINT_PART_GRID);
  cairo_stroke (canvas->cr);
}

static char *
axis_label (const FaintCanvas *canvas, const FaintValueScale *scale, const char *name,
            const char *symbol)
{
  return faint_value_scale_label (scale, faint_canvas_words (canvas, name), symbol);
}

static void
draw_across (const FaintCanvas *canvas, const FaintView *view, const FaintValueAxis *axis)
{
  FaintValueScale scale = scale_across (canvas, view, axis);
  double bottom = view->place.y + view->place.height, length = tick_length (canvas);
  g_autofree char *label = axis_label (canvas, &scale, axis->name, axis->symbol);

  for (guint i = 0; i < scale.ticks.n; i++)
    {
      double x = faint_view_x (view, scale.ticks.at[i]);
      g_autofree char *number = faint_value_scale_tick (&scale, scale.ticks.at[i]);

      cairo_move_to (canvas->cr, faint_canvas_snap (canvas, x), faint_canvas_snap (canvas, bottom));
      cairo_rel_line_to (canvas->cr, 0, length);
      faint_canvas_pen (canvas, FAINT_PART_AXIS);
      cairo_stroke (canvas->cr);
      faint_canvas_text (canvas, FAINT_PART_TEXT, number, x, bottom + 1.5 * length, 0.5, 0);
    }
  faint_canvas_text (canvas, FAINT_PART_TEXT, label, view->place.x + view->place.width / 2,
                     bottom + 2 * length + 1.1 * faint_canvas_text_height (canvas), 0.5, 0);
}

static void
draw_up (const FaintCanvas *canvas, const FaintView *view, const FaintValueAxis *axis)
{
  FaintValueScale scale = scale_up (canvas, view, axis);
  double length = tick_length (canvas), height = faint_canvas_text_height (canvas);
  double widest = 0;
  g_autofree char *label = axis_label (canvas, &scale, axis->name, axis->symbol);

  for (guint i = 0; i < scale.ticks.n; i++)
    {
      double y = faint_view_y (view, scale.ticks.at[i]);
      g_autofree char *number = faint_value_scale_tick (&scale, scale.ticks.at[i]);

      cairo_move_to (canvas->cr, faint_canvas_snap (canvas, view->place.x),
                     faint_canvas_snap (canvas, y));
      cairo_rel_line_to (canvas->cr, -length, 0);
      faint_canvas_pen (canvas, FAINT_PART_AXIS);
      cairo_stroke (canvas->cr);
      faint_canvas_text (canvas, FAINT_PART_TEXT, number, view->place.x - 2 * length, y, 1, 0.5);
      widest = MAX (widest, faint_canvas_text_width (canvas, number));
    }
  if (axis->brief && faint_canvas_text_width (canvas, label) > view->place.height + 1.2 * height)
    {
      g_free (label);
      label = axis_label (canvas, &scale, axis->brief, axis->symbol);
    }
  if (faint_canvas_text_width (canvas, label) <= view->place.height + 1.2 * height)
    faint_canvas_text_upwards (canvas, FAINT_PART_TEXT, label,
                               view->place.x - 2.5 * length - widest - 0.8 * height,
                               view->place.y + view->place.height / 2);
}

void
faint_value_frame_draw (const FaintCanvas *canvas, const FaintView *view,
                        const FaintValueFrame *frame)
{
  FaintRect place = view->place;
  double left = faint_canvas_snap (canvas, place.x);
  double bottom = faint_canvas_snap (canvas, place.y + place.height);

  cairo_save (canvas->cr);
  faint_canvas_pen (canvas, FAINT_PART_AXIS);
  cairo_move_to (canvas->cr, left, place.y);
  cairo_line_to (canvas->cr, left, bottom);
  cairo_line_to (canvas->cr, place.x + place.width, bottom);
  cairo_stroke (canvas->cr);
  draw_across (canvas, view, &frame->across);
  draw_up (canvas, view, &frame->up);
  cairo_restore (canvas->cr);
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Axes, ticks, grid and labels of a lane.
 */
#include "figure/lane.h"
#include "figure/ticks.h"
#include "figure/value-scale.h"

#include <math.h>

/* Least distance of tick labels, heights of a line of text: digits are lower than a line. */
#define LABEL_DISTANCE 0.85
/* A label smaller than this share of its size is not worth reading; the brief one is the last that
 * tells what a lane shows. */
#define LEAST_SHARE 0.85
#define LEAST_BRIEF 0.6

static double
tick_length (const FaintCanvas *canvas)
{
  return 0.25 * faint_canvas_text_height (canvas);
}

double
faint_frame_left (const FaintCanvas *canvas)
{
  double height = faint_canvas_text_height (canvas);
  return 1.4 * height + faint_canvas_text_width (canvas, "0.00000") + 2.5 * tick_length (canvas);
}

double
faint_frame_bottom (const FaintCanvas *canvas)
{
  return 2.3 * faint_canvas_text_height (canvas) + 2.0 * tick_length (canvas);
}

double
faint_frame_right (const FaintCanvas *canvas)
{
  return 0.5 * faint_canvas_text_width (canvas, "0000.000");
}

static FaintValueScale
value_scale (const FaintCanvas *canvas, const FaintView *view)
{
  double height = faint_canvas_text_height (canvas);
  return faint_value_scale (view->up, (guint)CLAMP (view->place.height / (1.5 * height), 2.0, 9.0));
}

/* Ticks across in the displayed unit: as many as their labels leave room for. */
static FaintTicks
ticks_across (const FaintCanvas *canvas, const FaintView *view, const FaintAxisUnit *unit)
{
  double from = faint_axis_unit_value (unit, view->across.lower);
  double to = faint_axis_unit_value (unit, view->across.upper);
  double label_width = faint_canvas_text_width (canvas, "0000.00");
  FaintTicks ticks = { 0 };

  for (int round = 0; round < 3; round++)
    {
      guint most = (guint)CLAMP (view->place.width / (1.35 * label_width), 1.0, 12.0);
      ticks = faint_ticks (from, to, most);
      if (ticks.n == 0)
        break;
      g_autofree char *label = faint_ticks_label (&ticks, ticks.at[ticks.n - 1]);
      double width = faint_canvas_text_width (canvas, label);
      if (width <= label_width)
        break;
      label_width = width;
    }
  return ticks;
}

static FaintTicks
ticks_log (const FaintCanvas *canvas, const FaintView *view)
{
  double height = faint_canvas_text_height (canvas);
  guint most = (guint)CLAMP (view->place.height / (1.5 * height), 2.0, 9.0);
  return faint_ticks_log (pow (10.0, view->up.lower), pow (10.0, view->up.upper), most);
}

void
faint_lane_background (const FaintCanvas *canvas, const FaintView *view, const FaintFrame *frame)
{
  cairo_t *cr = canvas->cr;
  FaintRect place = view->place;

  faint_canvas_fill (canvas, FAINT_PART_BACKGROUND, place);
  if (!frame->grid)
    return;
  FaintTicks across = ticks_across (canvas, view, &frame->unit);
  FaintTicks up = frame->logarithmic ? ticks_log (canvas, view) : value_scale (canvas, view).ticks;
  for (guint i = 0; i < across.n; i++)
    {
      double wavenumber = faint_axis_unit_wavenumber (&frame->unit, across.at[i]);
      double x = faint_canvas_snap (canvas, faint_view_x (view, wavenumber));
      cairo_move_to (cr, x, place.y);
      cairo_line_to (cr, x, place.y + place.height);
    }
  for (guint i = 0; i < up.n; i++)
    {
      double value = frame->logarithmic ? log10 (up.at[i]) : up.at[i];
      double y = faint_canvas_snap (canvas, faint_view_y (view, value));
      cairo_move_to (cr, place.x, y);
      cairo_line_to (cr, place.x + place.width, y);
    }
  faint_canvas_pen (canvas, FAINT_PART_GRID);
  cairo_stroke (cr);
}

/* A tick, and its label where it does not touch the one below it, whose middle is *@last. */
static void
draw_tick_up (const FaintCanvas *canvas, const FaintView *view, double value, const char *label,
              double *last)
{
  double x = faint_canvas_snap (canvas, view->place.x), length = tick_length (canvas);
  double y = faint_canvas_snap (canvas, faint_view_y (view, value));
  double half = 0.5 * faint_canvas_text_height (canvas);

  faint_canvas_pen (canvas, FAINT_PART_AXIS);
  cairo_move_to (canvas->cr, x - length, y);
  cairo_line_to (canvas->cr, x, y);
  cairo_stroke (canvas->cr);
  /* A label stays beside its own lane. */
  double middle
      = CLAMP (y, view->place.y + 0.7 * half,
               MAX (view->place.y + view->place.height - 0.7 * half, view->place.y + 0.7 * half));
  if (*last - middle < LABEL_DISTANCE * 2.0 * half)
    return;
  *last = middle;
  faint_canvas_text (canvas, FAINT_PART_TEXT, label, x - 2.0 * length, middle, 1.0, 0.5);
}

static void
draw_ticks_up (const FaintCanvas *canvas, const FaintView *view, const FaintFrame *frame)
{
  double last = INFINITY;

  if (frame->logarithmic)
    {
      FaintTicks ticks = ticks_log (canvas, view);
      for (guint i = 0; i < ticks.n; i++)
        {
          g_autofree char *label = faint_ticks_label_power (ticks.at[i]);
          draw_tick_up (canvas, view, log10 (ticks.at[i]), label, &last);
        }
      return;
    }
  FaintValueScale scale = value_scale (canvas, view);
  for (guint i = 0; i < scale.ticks.n; i++)
    {
      g_autofree char *label = faint_value_scale_tick (&scale, scale.ticks.at[i]);
      draw_tick_up (canvas, view, scale.ticks.at[i], label, &last);
    }
}

static void
draw_tick_across (const FaintCanvas *canvas, const FaintView *view, double wavenumber,
                  double length)
{
  double x = faint_view_x (view, wavenumber);
  double y = faint_canvas_snap (canvas, view->place.y + view->place.height);

  if (x < view->place.x - 1e-6 || x > view->place.x + view->place.width + 1e-6)
    return;
  cairo_move_to (canvas->cr, faint_canvas_snap (canvas, x), y);
  cairo_rel_line_to (canvas->cr, 0.0, length);
}

static void
draw_ticks_across (const FaintCanvas *canvas, const FaintView *view, const FaintFrame *frame)
{
  FaintTicks ticks = ticks_across (canvas, view, &frame->unit);
  double length = frame->ticks_across ? tick_length (canvas) : -tick_length (canvas);

  for (guint i = 0; i < ticks.n; i++)
    draw_tick_across (canvas, view, faint_axis_unit_wavenumber (&frame->unit, ticks.at[i]), length);
  for (guint i = 0; ticks.n > 0 && i < (ticks.n + 1) * ticks.minor; i++)
    {
      double value = ticks.at[0] + ticks.step * ((double)i / ticks.minor - 1.0);
      if (i % ticks.minor != 0)
        draw_tick_across (canvas, view, faint_axis_unit_wavenumber (&frame->unit, value),
                          0.5 * length);
    }
  faint_canvas_pen (canvas, FAINT_PART_AXIS);
  cairo_stroke (canvas->cr);
}

static void
draw_labels_across (const FaintCanvas *canvas, const FaintView *view, const FaintFrame *frame)
{
  FaintTicks ticks = ticks_across (canvas, view, &frame->unit);
  FaintRect place = view->place;
  double top = place.y + place.height + 1.5 * tick_length (canvas);
  double limit = place.x + place.width + faint_frame_right (canvas);

  for (guint i = 0; i < ticks.n; i++)
    {
      g_autofree char *label = faint_ticks_label (&ticks, ticks.at[i]);
      double x = faint_view_x (view, faint_axis_unit_wavenumber (&frame->unit, ticks.at[i]));
      double half = 0.5 * faint_canvas_text_width (canvas, label);
      faint_canvas_text (canvas, FAINT_PART_TEXT, label, MIN (x, limit - half), top, 0.5, 0.0);
    }
  g_autofree char *label = faint_axis_unit_label (&frame->unit, frame->across);
  faint_canvas_text (canvas, FAINT_PART_TEXT, label, place.x + 0.5 * place.width,
                     place.y + place.height + faint_frame_bottom (canvas)
                         - 0.15 * faint_canvas_text_height (canvas),
                     0.5, 1.0);
}

/* How much of its size @label may have so that it stays beside the lane and clear of the labels of
 * its neighbours. */
static double
share_of_size (const FaintCanvas *canvas, const FaintView *view, const char *label)
{
  return MIN (view->place.height / faint_canvas_text_width (canvas, label), 1.0);
}

/* The label of the values and its share of its size, 0: it has no room. In words, where these are
 * too long a little smaller, then by the symbol of the quantity. @needed: without it the numbers of
 * the ticks say nothing. Free with g_free. */
static char *
label_up (const FaintCanvas *canvas, const FaintView *view, const FaintFrame *frame, double *share,
          gboolean *needed)
{
  FaintValueScale scale = { .base = 0.0 };
  char *label;

  if (!frame->logarithmic)
    scale = value_scale (canvas, view);
  *needed = scale.exponent != 0 || scale.base != 0.0;
  label = faint_value_scale_label (&scale, frame->label, frame->symbol);
  *share = share_of_size (canvas, view, label);
  if (*share >= LEAST_SHARE)
    return label;
  if (frame->brief != NULL)
    {
      g_free (label);
      label = faint_value_scale_label (&scale, frame->brief, frame->symbol);
      *share = share_of_size (canvas, view, label);
    }
  if (*share < (frame->brief != NULL ? LEAST_BRIEF : LEAST_SHARE))
    *share = 0.0;
  return label;
}

gboolean
faint_lane_corner (const FaintCanvas *canvas, const FaintView *view, const FaintFrame *frame,
                   FaintRect *place)
{
  double share, width;
  gboolean needed;

  if (frame->label == NULL)
    return FALSE;
  g_autofree char *label = label_up (canvas, view, frame, &share, &needed);
  if (share > 0.0 || !needed)
    return FALSE;
  width = ceil (faint_canvas_text_width (canvas, label)) + 2.0;
  *place = (FaintRect){ floor (view->place.x + view->place.width - width), view->place.y, width,
                        ceil (faint_canvas_text_height (canvas)) };
  return TRUE;
}

/* Upwards along the lane, or level in its corner, or not at all. */
static void
draw_label_up (const FaintCanvas *canvas, const FaintView *view, const FaintFrame *frame)
{
  double share;
  gboolean needed;
  g_autofree char *label = label_up (canvas, view, frame, &share, &needed);
  double x = view->place.x - faint_frame_left (canvas) + 0.6 * faint_canvas_text_height (canvas);
  double y = view->place.y + 0.5 * view->place.height;
  FaintRect corner;

  if (faint_lane_corner (canvas, view, frame, &corner))
    {
      FaintColour ground = canvas->palette->pen[FAINT_PART_BACKGROUND].colour;

      ground.alpha = 0.8;
      faint_colour_set (canvas->cr, ground);
      cairo_rectangle (canvas->cr, corner.x, corner.y, corner.width, corner.height);
      cairo_fill (canvas->cr);
      faint_canvas_text (canvas, FAINT_PART_TEXT, label, corner.x, corner.y, 0.0, 0.0);
      return;
    }
  if (share == 0.0)
    return;
  cairo_save (canvas->cr);
  cairo_translate (canvas->cr, x, y);
  cairo_scale (canvas->cr, share, share);
  faint_canvas_text_upwards (canvas, FAINT_PART_TEXT, label, 0.0, 0.0);
  cairo_restore (canvas->cr);
}

void
faint_lane_frame (const FaintCanvas *canvas, const FaintView *view, const FaintFrame *frame)
{
  cairo_t *cr = canvas->cr;
  FaintRect place = view->place;
  double left = faint_canvas_snap (canvas, place.x);
  double bottom = faint_canvas_snap (canvas, place.y + place.height);

  cairo_save (cr);
  faint_canvas_pen (canvas, FAINT_PART_AXIS);
  cairo_move_to (cr, left, place.y);
  cairo_line_to (cr, left, bottom);
  cairo_line_to (cr, place.x + place.width, bottom);
  cairo_stroke (cr);
  draw_ticks_across (canvas, view, frame);
  draw_ticks_up (canvas, view, frame);
  if (frame->label != NULL)
    draw_label_up (canvas, view, frame);
  if (frame->ticks_across)
    draw_labels_across (canvas, view, frame);
  cairo_restore (cr);
}

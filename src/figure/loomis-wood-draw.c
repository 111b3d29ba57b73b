/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "figure/loomis-wood-private.h"

/* Radius of the largest symbol, times the canvas' scale, at most and as a share of a row. */
#define LARGEST 6.5
#define LARGEST_SHARE 0.42
#define NARROW_ROWS 3.0    /* however narrow rows are, times the canvas' scale */
#define CROWDED_SHARE 0.8  /* of the mean distance of lines */
#define SMALLEST_SHARE 0.3 /* of the largest */
#define SMALLEST 1.0       /* times the canvas' scale */
#define RIM 1.0            /* of a ring, times the canvas' scale */
#define MARK_MARGIN 3.0    /* between a symbol and its mark */

FaintRect
faint_loomis_wood_inside (const FaintCanvas *canvas, FaintRect place)
{
  return faint_value_frame_inside (canvas, place);
}

static double
row_height (const FaintView *view)
{
  return view->place.height / faint_range_width (view->up);
}

/* Mean distance of the lines in a row as it would be all over the plot, user units. */
static double
spacing (const FaintLoomisWood *self, const FaintView *view)
{
  double units = 2 * self->half / faint_view_unit_width (view);

  return units * (double)self->n_rows / (double)MAX (self->n_lines, 1);
}

static double
radius_of (const FaintLoomisWood *self, const FaintCanvas *canvas, const FaintView *view,
           double weight)
{
  double rows = MAX (LARGEST_SHARE * row_height (view), NARROW_ROWS * canvas->scale);
  double room = MIN (rows, CROWDED_SHARE * spacing (self, view));
  double largest = CLAMP (room, 1.8 * canvas->scale, LARGEST * canvas->scale);
  double smallest = MAX (SMALLEST_SHARE * largest, SMALLEST * canvas->scale);

  return smallest + CLAMP (weight, 0.0, 1.0) * (largest - smallest);
}

/* Quiet lines that rows stand on, where there is room for them. */
static void
draw_rows (const FaintLoomisWood *self, const FaintCanvas *canvas, const FaintView *view)
{
  gsize first, end;

  if (row_height (view) < 8 * canvas->scale)
    return;
  _faint_loomis_wood_rows (self, view->up, &first, &end);
  for (gsize row = first; row < end; row++)
    {
      double y = faint_canvas_snap (canvas, faint_view_y (view, self->rows[row].number));

      cairo_move_to (canvas->cr, view->place.x, y);
      cairo_line_to (canvas->cr, view->place.x + view->place.width, y);
    }
  faint_canvas_pen (canvas, FAINT_PART_GRID);
  cairo_stroke (canvas->cr);
}

/* The row of a predicted position: with the centre nearest to it. */
static int
row_of (const FaintLoomisWood *self, double position)
{
  int best = -1;
  double least = self->half * (1 + 1e-12);

  for (gsize i = 0; i < self->n_rows; i++)
    {
      double distance = fabs (position - self->rows[i].centre);

      if (distance <= least)
        {
          least = distance;
          best = (int)i;
        }
    }
  return best;
}

/* Neighbours are joined, but not from one side of the plot to the other. */
static void
draw_branch (const FaintLoomisWood *self, const FaintCanvas *canvas, const FaintView *view,
             const GArray *branch)
{
  double last_offset = NAN;
  int last_row = -2;

  for (guint i = 0; i < branch->len; i++)
    {
      double position = g_array_index (branch, double, i);
      int row = isfinite (position) ? row_of (self, position) : -1;
      double offset, y;

      if (row < 0)
        {
          last_row = -2;
          continue;
        }
      offset = position - self->rows[row].centre;
      y = faint_view_y (view, self->rows[row].number);
      if (last_row >= 0 && ABS (row - last_row) <= 2 && fabs (offset - last_offset) < self->half)
        cairo_line_to (canvas->cr, faint_view_x (view, offset), y);
      else
        cairo_move_to (canvas->cr, faint_view_x (view, offset), y);
      last_row = row;
      last_offset = offset;
    }
  faint_canvas_pen (canvas, FAINT_PART_PREDICTED);
  cairo_set_line_width (canvas->cr, canvas->scale);
  cairo_stroke (canvas->cr);
}

/* The symbols of a kind, those of a row as one path. */
static void
draw_kind (const FaintLoomisWood *self, const FaintCanvas *canvas, const FaintView *view,
           gboolean assigned)
{
  gsize first, end, from, to;

  faint_canvas_pen (canvas, assigned ? FAINT_PART_FITTED : FAINT_PART_OBSERVED);
  cairo_set_fill_rule (canvas->cr, CAIRO_FILL_RULE_WINDING);
  cairo_set_antialias (canvas->cr, CAIRO_ANTIALIAS_FAST);
  _faint_loomis_wood_rows (self, view->up, &first, &end);
  for (gsize row = first; row < end; row++)
    {
      double y = faint_view_y (view, self->rows[row].number);

      _faint_loomis_wood_lines (self, row, view->across, &from, &to);
      for (gsize i = from; i < to; i++)
        {
          const FaintLoomisWoodLine *line = &self->lines[i];
          double radius = radius_of (self, canvas, view, line->weight);

          if (line->assigned == assigned)
            faint_symbol_add (canvas->cr, assigned ? line->symbol : FAINT_SYMBOL_DISC,
                              faint_view_x (view, line->position - self->rows[row].centre), y,
                              radius, assigned ? 0 : RIM * canvas->scale);
        }
      cairo_fill (canvas->cr);
    }
}

void
faint_loomis_wood_draw (const FaintLoomisWood *self, const FaintCanvas *canvas,
                        const FaintView *view)
{
  FaintValueFrame frame = { .across = { .name = "offset", .symbol = "cm⁻¹" },
                            .up = { .name = self->name, .whole = TRUE } };

  faint_value_frame_background (canvas, view, &frame);
  faint_canvas_clip (canvas, view->place);
  draw_rows (self, canvas, view);
  for (guint i = 0; i < self->branches->len; i++)
    draw_branch (self, canvas, view, g_ptr_array_index (self->branches, i));
  draw_kind (self, canvas, view, FALSE);
  draw_kind (self, canvas, view, TRUE);
  cairo_restore (canvas->cr);
  faint_value_frame_draw (canvas, view, &frame);
}

/* A ring about a line, in every row that shows it, or in one. */
static void
ring (const FaintLoomisWood *self, const FaintCanvas *canvas, const FaintView *view, guint id,
      int only)
{
  gsize first, end, from, to;

  _faint_loomis_wood_rows (self, view->up, &first, &end);
  for (gsize row = first; row < end; row++)
    {
      if (only != G_MININT && self->rows[row].number != only)
        continue;
      _faint_loomis_wood_lines (self, row, view->across, &from, &to);
      for (gsize i = from; i < to; i++)
        if (self->lines[i].id == id)
          {
            cairo_new_sub_path (canvas->cr);
            cairo_arc (
                canvas->cr, faint_view_x (view, self->lines[i].position - self->rows[row].centre),
                faint_view_y (view, self->rows[row].number),
                radius_of (self, canvas, view, self->lines[i].weight) + MARK_MARGIN * canvas->scale,
                0, 2 * G_PI);
          }
    }
}

/* The lines of a trace are joined by a broad, light stroke. */
static void
draw_trace (const FaintLoomisWood *self, const FaintCanvas *canvas, const FaintView *view,
            const GArray *picks)
{
  FaintColour colour = canvas->palette->pen[FAINT_PART_SELECTION].colour;

  for (guint i = 0; i < picks->len; i++)
    {
      FaintLoomisWoodPick pick = g_array_index (picks, FaintLoomisWoodPick, i);
      int row = faint_loomis_wood_row (self, pick.number);
      gsize from, to;

      if (row < 0)
        continue;
      _faint_loomis_wood_lines (self, (gsize)row, (FaintRange){ -INFINITY, INFINITY }, &from, &to);
      for (gsize k = from; k < to; k++)
        if (self->lines[k].id == pick.id)
          cairo_line_to (canvas->cr,
                         faint_view_x (view, self->lines[k].position - self->rows[row].centre),
                         faint_view_y (view, pick.number));
    }
  colour.alpha = 0.35;
  faint_colour_set (canvas->cr, colour);
  cairo_set_dash (canvas->cr, NULL, 0, 0);
  cairo_set_line_width (canvas->cr, 5 * canvas->scale);
  cairo_set_line_join (canvas->cr, CAIRO_LINE_JOIN_ROUND);
  cairo_stroke (canvas->cr);
  for (guint i = 0; i < picks->len; i++)
    {
      FaintLoomisWoodPick pick = g_array_index (picks, FaintLoomisWoodPick, i);

      ring (self, canvas, view, pick.id, pick.number);
    }
  faint_canvas_pen (canvas, FAINT_PART_SELECTION);
  cairo_stroke (canvas->cr);
}

void
faint_loomis_wood_mark (const FaintLoomisWood *self, const FaintCanvas *canvas,
                        const FaintView *view, guint id, const GArray *picks)
{
  faint_canvas_clip (canvas, view->place);
  if (picks && picks->len > 0)
    draw_trace (self, canvas, view, picks);
  if (id)
    {
      ring (self, canvas, view, id, G_MININT);
      faint_canvas_pen (canvas, FAINT_PART_SELECTION);
      cairo_set_line_width (canvas->cr, 2.5 * canvas->scale);
      cairo_stroke (canvas->cr);
    }
  cairo_restore (canvas->cr);
}

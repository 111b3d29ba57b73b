/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "figure/legend.h"

#include <math.h>

/* In heights of text. */
#define STROKE 2.4
#define SPACE 0.4
/* More of a lane than this would hide what the legend is about. */
#define MOST_OF_WIDTH 0.6
#define MOST_OF_HEIGHT 0.5
/* Places tried along each edge, and the width of the columns in which traces are looked at. */
#define PLACES 81
#define COLUMN 4.0

static double
entry_width (const FaintCanvas *canvas, const FaintLegendEntry *entry, double text)
{
  return (STROKE + 2.0 * SPACE) * text + faint_canvas_text_width (canvas, entry->words);
}

/* How many of the @n columns of a lane a legend at @place would cover. */
static gsize
count_covered (const FaintView *view, const FaintColumn *columns, gsize n, FaintRect place)
{
  double width = view->place.width / n;
  gsize from = (gsize)floor ((place.x - view->place.x) / width), covered = 0;

  for (gsize i = from; i < n && view->place.x + i * width < place.x + place.width; i++)
    if (!isnan (columns[i].min) && faint_view_y (view, columns[i].max) < place.y + place.height
        && faint_view_y (view, columns[i].min) > place.y)
      covered++;
  return covered;
}

/* Adds what @trace has under each of the @places. */
static void
add_covered (const FaintView *view, const FaintPyramid *trace, const FaintRect *places,
             gsize *covered)
{
  gsize n = (gsize)ceil (view->place.width / COLUMN);
  g_autofree FaintColumn *columns = g_new (FaintColumn, n);

  faint_pyramid_columns (trace, view->across, n, columns);
  for (guint i = 0; i < 2 * PLACES; i++)
    covered[i] += count_covered (view, columns, n, places[i]);
}

static FaintRect
least_covering (const FaintView *view, const FaintPyramid *const *traces, guint n_traces,
                FaintRect size, double margin)
{
  FaintRect lane = view->place, places[2 * PLACES];
  double right = lane.width - size.width - margin;
  gsize covered[2 * PLACES] = { 0 };
  guint best = 0;

  for (guint i = 0; i < 2 * PLACES; i++)
    {
      double share = (double)(i / 2) / (PLACES - 1);
      double down = i % 2 == 0 ? lane.height - size.height - margin : margin;

      places[i] = (FaintRect){ floor (lane.x + right - share * (right - margin)),
                               floor (lane.y + down), size.width, size.height };
    }
  for (guint t = 0; t < n_traces; t++)
    if (traces[t] != NULL)
      add_covered (view, traces[t], places, covered);
  for (guint i = 1; i < 2 * PLACES; i++)
    best = covered[i] < covered[best] ? i : best;
  return places[best];
}

gboolean
faint_legend_place (const FaintCanvas *canvas, const FaintView *view,
                    const FaintPyramid *const *traces, guint n_traces,
                    const FaintLegendEntry *entries, guint n, FaintRect *place)
{
  double text = faint_canvas_text_height (canvas), width = SPACE * text;
  FaintRect size = { .height = ceil (text * (1.0 + SPACE)) };

  for (guint i = 0; i < n; i++)
    width += entry_width (canvas, &entries[i], text) + SPACE * text;
  size.width = ceil (width);
  if (n == 0 || size.width > MOST_OF_WIDTH * view->place.width
      || size.height > MOST_OF_HEIGHT * view->place.height)
    return FALSE;
  *place = least_covering (view, traces, n_traces, size, SPACE * text);
  return TRUE;
}

void
faint_legend_draw (const FaintCanvas *canvas, FaintRect place, const FaintLegendEntry *entries,
                   guint n)
{
  cairo_t *cr = canvas->cr;
  double text = faint_canvas_text_height (canvas);
  double x = place.x + SPACE * text, middle = place.y + 0.5 * place.height;

  cairo_save (cr);
  faint_canvas_fill (canvas, FAINT_PART_BACKGROUND, place);
  for (guint i = 0; i < n; i++)
    {
      double at = faint_canvas_snap (canvas, middle);

      faint_canvas_pen (canvas, entries[i].part);
      cairo_move_to (cr, x, at);
      cairo_line_to (cr, x + STROKE * text, at);
      cairo_stroke (cr);
      faint_canvas_text (canvas, FAINT_PART_TEXT, entries[i].words, x + (STROKE + SPACE) * text,
                         middle, 0.0, 0.5);
      x += entry_width (canvas, &entries[i], text) + SPACE * text;
    }
  cairo_restore (cr);
}

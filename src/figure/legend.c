/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "figure/legend.h"

#include <math.h>

/* In heights of text. */
#define STROKE 2.4
#define SPACE 0.4
/* More of a lane than this would hide what the legend is about. */
#define MOST_OF_WIDTH 0.6
#define MOST_OF_HEIGHT 0.5

static double
entry_width (const FaintCanvas *canvas, const FaintLegendEntry *entry, double text)
{
  return (STROKE + 2.0 * SPACE) * text + faint_canvas_text_width (canvas, entry->words);
}

gboolean
faint_legend_place (const FaintCanvas *canvas, FaintRect lane, const FaintLegendEntry *entries,
                    guint n, FaintRect *place)
{
  double text = faint_canvas_text_height (canvas), width = SPACE * text;
  double height = ceil (text * (1.0 + SPACE));

  for (guint i = 0; i < n; i++)
    width += entry_width (canvas, &entries[i], text) + SPACE * text;
  width = ceil (width);
  *place = (FaintRect){ floor (lane.x + lane.width - width - SPACE * text),
                        floor (lane.y + lane.height - height - SPACE * text), width, height };
  return n > 0 && width <= MOST_OF_WIDTH * lane.width && height <= MOST_OF_HEIGHT * lane.height;
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

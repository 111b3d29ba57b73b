/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The strip that shows the whole span.
 */
#include "figure/spectrum-figure.h"

#include <math.h>

/* Heights, as shares of the strip: the envelope on top, then poor windows, then assigned lines. */
#define ENVELOPE_SHARE 0.78
#define BAR_SHARE 0.11

static FaintView
view_of (const FaintFigureData *data, FaintRect place)
{
  FaintRange up = { 0.0, 1.0 };
  faint_pyramid_extent_across (data->used, data->across, &up);
  return (FaintView){ data->across, faint_range_padded (up, 0.05),
                      (FaintRect){ place.x, place.y, place.width,
                                   floor (ENVELOPE_SHARE * place.height) } };
}

static void
draw_poor (const FaintCanvas *canvas, const FaintView *view, FaintRect bar, const FaintFit *fit,
           double poor)
{
  for (gsize i = 0; i < fit->n_windows; i++)
    {
      const FaintFitWindow *window = &fit->windows[i];
      double left = faint_view_x (view, window->lower), right = faint_view_x (view, window->upper);
      if (window->chi2_reduced > poor)
        faint_canvas_fill (canvas, FAINT_PART_POOR,
                           (FaintRect){ left, bar.y, MAX (right - left, 1.0), bar.height });
    }
}

static void
draw_assigned (const FaintCanvas *canvas, const FaintView *view, FaintRect bar,
               const FaintLineList *lines)
{
  gsize n = faint_line_list_get_n (lines);
  double before = -INFINITY;

  for (gsize i = 0; i < n; i++)
    {
      const FaintLine *line = faint_line_list_get (lines, i);
      double x = floor (faint_view_x (view, line->position.value));
      if (line->upper[0] == '\0' || x == before
          || !faint_range_contains (view->across, line->position.value))
        continue;
      cairo_rectangle (canvas->cr, x, bar.y, 1.0, bar.height);
      before = x;
    }
  faint_colour_set (canvas->cr, canvas->palette->pen[FAINT_PART_GIVEN].colour);
  cairo_fill (canvas->cr);
}

/* The rest of the strip is veiled, so that the viewport stands out without a colour of its own. */
static void
draw_viewport (const FaintCanvas *canvas, const FaintView *view, FaintRect place, FaintRange across)
{
  double right = place.x + place.width;
  double from = CLAMP (faint_view_x (view, across.lower), place.x, right);
  double to = CLAMP (faint_view_x (view, across.upper), place.x, right);
  FaintColour veil = canvas->palette->pen[FAINT_PART_BACKGROUND].colour;

  veil.alpha = 0.6;
  faint_colour_set (canvas->cr, veil);
  cairo_rectangle (canvas->cr, place.x, place.y, from - place.x, place.height);
  cairo_rectangle (canvas->cr, to, place.y, right - to, place.height);
  cairo_fill (canvas->cr);
  /* Never thinner than can be seen and gripped. */
  double middle = 0.5 * (from + to), half = MAX (0.5 * (to - from), 2.0);
  faint_canvas_pen (canvas, FAINT_PART_SELECTION);
  cairo_rectangle (canvas->cr, faint_canvas_snap (canvas, middle - half), place.y + 0.5,
                   floor (2.0 * half), place.height - 1.0);
  cairo_stroke (canvas->cr);
}

void
faint_overview_draw (const FaintCanvas *canvas, FaintRect place, const FaintFigureData *data,
                     FaintRange across, double poor)
{
  if (!faint_range_is_valid (data->across) || place.width < 1.0 || place.height < 1.0)
    return;
  FaintView view = view_of (data, place);
  double height = floor (BAR_SHARE * place.height);
  FaintRect poor_bar = { place.x, place.y + view.place.height, place.width, height };
  FaintRect assigned_bar = { place.x, poor_bar.y + height, place.width, height };

  faint_canvas_clip (canvas, place);
  faint_canvas_fill (canvas, FAINT_PART_BACKGROUND, place);
  faint_lane_samples (canvas, &view, data->used, NULL, FAINT_PART_OBSERVED);
  if (data->fit != NULL)
    draw_poor (canvas, &view, poor_bar, data->fit, poor);
  if (data->lines != NULL)
    draw_assigned (canvas, &view, assigned_bar, data->lines);
  draw_viewport (canvas, &view, place, across);
  cairo_restore (canvas->cr);
}

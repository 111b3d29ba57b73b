/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/plot/overview-draw.h"
#include "app/plot/columns.h"
#include "app/plot/theme.h"

#include <math.h>

/* From top to bottom: envelope, poor windows, lines. */
#define BAR 6.0
#define SPACE 2.0

static void
fill (GtkSnapshot *snapshot, GdkRGBA colour, double x, double y, double width, double height)
{
  gtk_snapshot_append_color (snapshot, &colour, &GRAPHENE_RECT_INIT (x, y, width, height));
}

FaintView
faint_overview_view (const FaintFigureData *data, FaintRect place)
{
  FaintRange up = { 0.0, 1.0 };

  faint_pyramid_extent_across (data->used, data->across, &up);
  place.y += SPACE;
  place.height = MAX (place.height - 2 * BAR - 4 * SPACE, 1.0);
  return (FaintView){ data->across, faint_range_padded (up, 0.05), place };
}

static void
append_poor (GtkSnapshot *snapshot, const FaintView *view, const FaintFit *fit, double y,
             const FaintPalette *palette, double poor)
{
  GdkRGBA colour = faint_plot_rgba (palette, FAINT_PART_POOR);

  for (gsize i = 0; i < fit->n_windows; i++)
    if (fit->windows[i].chi2_reduced > poor)
      {
        double from = faint_view_x (view, fit->windows[i].lower);
        double to = faint_view_x (view, fit->windows[i].upper);

        fill (snapshot, colour, from, y, MAX (to - from, 2.0), BAR);
      }
}

/* One mark a pixel; full where an assigned line lies, low where it has no assignment yet. */
static void
append_lines (GtkSnapshot *snapshot, const FaintView *view, const FaintLineList *lines, double y,
              const FaintPalette *palette)
{
  GdkRGBA colour = faint_plot_rgba (palette, FAINT_PART_FITTED);
  gsize n = faint_line_list_get_n (lines);
  double at = NAN, height = 0;

  for (gsize i = 0; i < n; i++)
    {
      const FaintLine *line = faint_line_list_get (lines, i);
      double x = floor (faint_view_x (view, line->position.value));
      double wanted = line->upper[0] != '\0' ? BAR : 0.7 * BAR;

      if (!faint_range_contains (view->across, line->position.value))
        continue;
      if (x != at && !isnan (at))
        {
          fill (snapshot, colour, at, y + BAR - height, 1, height);
          height = 0;
        }
      at = x;
      height = MAX (height, wanted);
    }
  if (!isnan (at))
    fill (snapshot, colour, at, y + BAR - height, 1, height);
}

void
faint_overview_append (GtkSnapshot *snapshot, const FaintFigureData *data, FaintRect place,
                       const FaintPalette *palette, double device, double poor)
{
  FaintView view = faint_overview_view (data, place);
  double poor_y = view.place.y + view.place.height + SPACE, lines_y = poor_y + BAR + SPACE;

  if (faint_columns_suit (&view, data->used, device))
    faint_columns_append (snapshot, &view, data->used, &palette->pen[FAINT_PART_OBSERVED], device,
                          TRUE);
  else
    {
      cairo_t *cr = gtk_snapshot_append_cairo (
          snapshot, &GRAPHENE_RECT_INIT (place.x, place.y, place.width, place.height));
      FaintCanvas canvas = faint_canvas_for_screen (cr, palette, NULL, device);

      faint_lane_curve (&canvas, &view, data->used, data->gap, FAINT_PART_OBSERVED);
      cairo_destroy (cr);
    }
  if (data->fit != NULL)
    append_poor (snapshot, &view, data->fit, poor_y, palette, poor);
  if (data->lines != NULL)
    append_lines (snapshot, &view, data->lines, lines_y, palette);
}

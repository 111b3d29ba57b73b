/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "figure/comparison-figure.h"

#include <math.h>

#include "faint/lines/parameters.h"
#include "figure/scatter.h"
#include "figure/surface.h"

#define WIDTH_MM 180.0
#define PANEL_MM 75.0
#define PNG_SCALE 2.0

static const struct
{
  guint parameter;
  const char *name, *brief, *symbol;
} panels[] = {
  { FAINT_PLACE_POSITION, "difference of positions, second − first", "Δ", "cm⁻¹" },
  { FAINT_PLACE_STRENGTH, "strength, second/first", "ratio", NULL },
  { FAINT_PLACE_LORENTZ, "Lorentz width, second/first", "ratio", NULL },
};

static GArray *
points_of (const FaintComparison *comparison, guint parameter)
{
  GArray *points = g_array_new (FALSE, FALSE, sizeof (FaintScatterPoint));

  for (guint i = 0; i < comparison->lines->len; i++)
    {
      const FaintComparedLine *line = g_ptr_array_index (comparison->lines, i);

      for (guint k = 0; k < line->values->len; k++)
        {
          const FaintComparedValue *it = &g_array_index (line->values, FaintComparedValue, k);
          gboolean shift = parameter == FAINT_PLACE_POSITION;
          FaintScatterPoint point
              = { .x = line->position,
                  .y = shift ? it->difference : it->value[1] / it->value[0],
                  .u = shift ? it->u_difference : it->u_difference / fabs (it->value[0]),
                  .symbol = line->second[0] != 0 || line->second[1] != 0 ? FAINT_SYMBOL_DIAMOND
                                                                         : FAINT_SYMBOL_DISC,
                  .emphasis = fabs (it->en) > 1.0 };

          if (it->parameter == parameter && isfinite (point.y))
            g_array_append_val (points, point);
        }
    }
  return points;
}

guint
faint_comparison_figure_panels (const FaintComparison *comparison)
{
  guint n = 0;

  for (guint k = 0; k < G_N_ELEMENTS (panels); k++)
    {
      g_autoptr (GArray) points = points_of (comparison, panels[k].parameter);
      n += points->len > 0;
    }
  return n;
}

void
faint_comparison_figure_draw (const FaintComparison *comparison, const FaintCanvas *canvas,
                              FaintRect place)
{
  guint n = faint_comparison_figure_panels (comparison), drawn = 0;

  for (guint k = 0; k < G_N_ELEMENTS (panels); k++)
    {
      g_autoptr (GArray) points = points_of (comparison, panels[k].parameter);
      const double guide = panels[k].parameter == FAINT_PLACE_POSITION ? 0.0 : 1.0;
      FaintScatter scatter
          = { .points = (const FaintScatterPoint *)(void *)points->data,
              .n = points->len,
              .guides = &guide,
              .n_guides = 1,
              .across = { NAN, NAN },
              .up = { NAN, NAN },
              .name = { panels[k].name, panels[k].brief, panels[k].symbol, FALSE } };

      if (points->len == 0)
        continue;
      faint_scatter_draw (&scatter, canvas,
                          (FaintRect){ place.x, place.y + drawn * place.height / n, place.width,
                                       place.height / n });
      drawn++;
    }
}

static void
draw_page (cairo_t *cr, guint page, gpointer data)
{
  const FaintComparison *comparison = data;
  FaintCanvas canvas = faint_canvas_for_paper (cr, NULL);
  double margin = 8.0;

  faint_comparison_figure_draw (
      comparison, &canvas,
      (FaintRect){ margin, margin, faint_surface_points (WIDTH_MM) - 2.0 * margin,
                   faint_surface_points (PANEL_MM) * faint_comparison_figure_panels (comparison)
                       - 2.0 * margin });
}

gboolean
faint_comparison_figure_write (const FaintComparison *comparison, const char *path, GError **error)
{
  guint n = faint_comparison_figure_panels (comparison);
  FaintSurfaceJob job = { .width = faint_surface_points (WIDTH_MM),
                          .height = faint_surface_points (PANEL_MM) * MAX (n, 1),
                          .scale = 1.0,
                          .pages = 1,
                          .title = "Differences of two line lists",
                          .creator = "Faintline " FAINT_VERSION,
                          .draw = draw_page,
                          .data = (gpointer)comparison };

  if (!faint_surface_format_of (path, &job.format, error))
    return FALSE;
  if (job.format == FAINT_SURFACE_PNG)
    job.scale = PNG_SCALE;
  if (n == 0)
    {
      g_set_error (error, FAINT_SURFACE_ERROR, FAINT_SURFACE_ERROR_SIZE,
                   "The lists have no line in common, so there is nothing to draw.");
      return FALSE;
    }
  return faint_surface_write (&job, path, error);
}

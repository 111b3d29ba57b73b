/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Time to draw the plot of Loomis and Wood, 1200 x 500 pixels, into memory: all rows, and zoomed
 * in; and its marks alone. The goal is 14 ms. Median of nine runs.
 */
#include "figure/loomis-wood.h"

#include <math.h>
#include <stdlib.h>

#define RUNS 9

static int
compare (const void *a, const void *b)
{
  double x = *(const double *)a, y = *(const double *)b;

  return (x > y) - (x < y);
}

static FaintLoomisWood *
plot_new (guint n, guint n_rows)
{
  FaintLoomisWood *self
      = faint_loomis_wood_new_periodic (7700.0, 100.0 / n_rows, (FaintRange){ 7700.0, 7800.0 });
  g_autofree FaintLoomisWoodLine *lines = g_new (FaintLoomisWoodLine, n);
  g_autofree double *branch = g_new (double, 100);
  g_autoptr (GRand) random = g_rand_new_with_seed (1928);

  for (guint i = 0; i < n; i++)
    lines[i] = (FaintLoomisWoodLine){ .id = i + 1,
                                      .position = 7700.0 + 100.0 * g_rand_double (random),
                                      .weight = g_rand_double (random),
                                      .symbol = i % 4,
                                      .assigned = i % 3 == 0 };
  for (guint i = 0; i < 100; i++)
    branch[i] = 7700.0 + i * 100.0 / n_rows + 1e-4 * i * i;
  faint_loomis_wood_set_lines (self, lines, n);
  faint_loomis_wood_add_branch (self, branch, 100);
  return self;
}

static double
median_ms (const FaintLoomisWood *plot, cairo_surface_t *surface, double share, gboolean marks)
{
  double ms[RUNS];

  for (int i = -1; i < RUNS; i++)
    {
      gint64 start = g_get_monotonic_time ();
      cairo_t *cr = cairo_create (surface);
      FaintCanvas canvas
          = faint_canvas_for_screen (cr, faint_palette_get (FAINT_PALETTE_LIGHT), NULL, 1.0);
      FaintView view = faint_loomis_wood_all (plot);

      view.place = faint_loomis_wood_inside (&canvas, (FaintRect){ 0, 0, 1200, 500 });
      view.up = faint_range_zoom (view.up, view.up.lower, 1 / share);
      view.across = faint_range_zoom (view.across, view.across.lower, 1 / share);
      if (marks)
        faint_loomis_wood_mark (plot, &canvas, &view, 17, NULL);
      else
        faint_loomis_wood_draw (plot, &canvas, &view);
      cairo_destroy (cr);
      cairo_surface_flush (surface);
      if (i >= 0)
        ms[i] = (double)(g_get_monotonic_time () - start) / 1000.0;
    }
  qsort (ms, RUNS, sizeof *ms, compare);
  return ms[RUNS / 2];
}

int
main (void)
{
  static const guint sizes[] = { 500, 5000, 50000 };
  static const guint rows[] = { 20, 100 };
  cairo_surface_t *surface = cairo_image_surface_create (CAIRO_FORMAT_ARGB32, 1200, 500);

  for (guint s = 0; s < G_N_ELEMENTS (sizes); s++)
    for (guint r = 0; r < G_N_ELEMENTS (rows); r++)
      {
        g_autoptr (FaintLoomisWood) plot = plot_new (sizes[s], rows[r]);

        g_print ("loomis-wood %u lines in %u rows: all %.1f ms, a quarter %.1f ms, marks %.2f ms\n",
                 sizes[s], rows[r], median_ms (plot, surface, 1, FALSE),
                 median_ms (plot, surface, 0.5, FALSE), median_ms (plot, surface, 1, TRUE));
      }
  cairo_surface_destroy (surface);
  return 0;
}

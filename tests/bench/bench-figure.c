/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Time to draw the stacked figure, 1200 x 800 pixels, into memory: whole span and zoomed in. The
 * goal is 14 ms, so that a frame of 1/60 s leaves room for the rest. Median of seven runs.
 */
#include "../figure/synthetic.h"

#define RUNS 7

static int
compare (gconstpointer a, gconstpointer b)
{
  double x = *(const double *)a, y = *(const double *)b;
  return (x > y) - (x < y);
}

static double
median_ms (void (*work) (gpointer), gpointer data)
{
  double ms[RUNS];
  work (data); /* fonts are found and cached at the first text */
  for (int i = 0; i < RUNS; i++)
    {
      gint64 start = g_get_monotonic_time ();
      work (data);
      ms[i] = (double)(g_get_monotonic_time () - start) / 1000.0;
    }
  qsort (ms, RUNS, sizeof *ms, compare);
  return ms[RUNS / 2];
}

typedef struct
{
  Synthetic *synthetic;
  cairo_surface_t *surface;
  FaintRange across;
} Work;

static void
draw_figure (gpointer data)
{
  Work *work = data;
  cairo_t *cr = cairo_create (work->surface);
  FaintCanvas canvas
      = faint_canvas_for_screen (cr, faint_palette_get (FAINT_PALETTE_LIGHT), NULL, 1.0);
  FaintSpectrumFigure figure;

  faint_spectrum_figure_init (&figure);
  faint_spectrum_figure_draw (&figure, &canvas, (FaintRect){ 0.0, 0.0, 1200.0, 800.0 },
                              &work->synthetic->data, work->across);
  cairo_destroy (cr);
  cairo_surface_flush (work->surface);
}

static void
build_pyramid (gpointer data)
{
  Work *work = data;
  const Synthetic *synthetic = work->synthetic;
  faint_pyramid_unref (faint_pyramid_new (synthetic->arrays[0], synthetic->arrays[1],
                                          synthetic->spectrum.n, NULL, NULL));
}

static void
query_columns (gpointer data)
{
  Work *work = data;
  static FaintColumn columns[1200];
  faint_pyramid_columns (work->synthetic->data.observed, work->across, 1200, columns);
}

int
main (void)
{
  static const gsize sizes[] = { 10000, 100000, 1000000 };
  static const double shares[] = { 1.0, 0.1, 0.001 };

  for (guint s = 0; s < G_N_ELEMENTS (sizes); s++)
    {
      Work work = { synthetic_new (sizes[s]),
                    cairo_image_surface_create (CAIRO_FORMAT_ARGB32, 1200, 800),
                    { 7700.0, 7800.0 } };
      g_print ("figure-%zu pyramid: %.2f ms\n", sizes[s], median_ms (build_pyramid, &work));
      g_print ("figure-%zu 1200 columns: %.3f ms\n", sizes[s], median_ms (query_columns, &work));
      for (guint i = 0; i < G_N_ELEMENTS (shares); i++)
        {
          work.across = (FaintRange){ 7730.0 - 30.0 * shares[i], 7730.0 + 70.0 * shares[i] };
          g_print ("figure-%zu draw %g of the span: %.1f ms\n", sizes[s], shares[i],
                   median_ms (draw_figure, &work));
        }
      cairo_surface_destroy (work.surface);
      synthetic_free (work.synthetic);
    }
  return 0;
}

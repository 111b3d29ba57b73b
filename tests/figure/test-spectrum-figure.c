/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The stacked figure and the overview: places of the lanes, pixels, and time.
 */
#include "synthetic.h"

#include "faint-test.h"

#include <math.h>

#define WIDTH 900
#define HEIGHT 640

static const FaintRect place = { 30.0, 20.0, 800.0, 580.0 };

static guint
count_inked_outside (cairo_surface_t *surface)
{
  guint inked = 0;

  cairo_surface_flush (surface);
  for (int y = 0; y < HEIGHT; y++)
    {
      const guint8 *row
          = cairo_image_surface_get_data (surface) + y * cairo_image_surface_get_stride (surface);
      for (int x = 0; x < WIDTH; x++)
        if (!faint_rect_contains (place, x, y))
          inked += ((const guint32 *)(gconstpointer)row)[x] != 0;
    }
  return inked;
}

/* Pixels in @rect whose colour is that of @part, fully. */
static guint
count_part (cairo_surface_t *surface, FaintRect rect, const FaintPalette *palette, FaintPart part)
{
  FaintColour colour = palette->pen[part].colour;
  guint32 want = 0xffu << 24 | (guint32)lround (colour.red * 255.0) << 16
                 | (guint32)lround (colour.green * 255.0) << 8
                 | (guint32)lround (colour.blue * 255.0);
  guint found = 0;

  cairo_surface_flush (surface);
  for (int y = (int)rect.y; y < (int)(rect.y + rect.height); y++)
    for (int x = (int)rect.x; x < (int)(rect.x + rect.width); x++)
      {
        const guint8 *row
            = cairo_image_surface_get_data (surface) + y * cairo_image_surface_get_stride (surface);
        found += ((const guint32 *)(gconstpointer)row)[x] == want;
      }
  return found;
}

static FaintCanvas
canvas_new (cairo_surface_t **surface)
{
  *surface = cairo_image_surface_create (CAIRO_FORMAT_ARGB32, WIDTH, HEIGHT);
  return faint_canvas_for_screen (cairo_create (*surface), faint_palette_get (FAINT_PALETTE_LIGHT),
                                  NULL, 1.0);
}

static void
canvas_free (FaintCanvas canvas, cairo_surface_t *surface)
{
  cairo_destroy (canvas.cr);
  cairo_surface_destroy (surface);
}

static void
add_lines (Synthetic *synthetic)
{
  FaintLine lines[] = { faint_line_unknown (), faint_line_unknown () };
  lines[0].position.value = 7720.4;
  lines[0].strength.value = 2e-24;
  lines[1].position.value = 7730.0;
  lines[1].strength.value = 3e-26;
  synthetic->data.lines = faint_line_list_new (lines, 2);
}

static void
test_layout (void)
{
  Synthetic *synthetic = synthetic_new (1000);
  cairo_surface_t *surface;
  FaintCanvas canvas = canvas_new (&surface);
  FaintSpectrumFigure figure;
  FaintFigureLayout layout;
  double bottom = place.y;

  add_lines (synthetic);
  faint_spectrum_figure_init (&figure);
  faint_spectrum_figure_layout (&figure, &canvas, place, &synthetic->data, synthetic->data.across,
                                &layout);
  g_assert_false (layout.visible[FAINT_LANE_ABSORPTION]); /* the data have none */
  g_assert_false (layout.visible[FAINT_LANE_PHASE]);
  for (int lane = 0; lane < FAINT_LANE_N; lane++)
    {
      if (!layout.visible[lane])
        continue;
      FaintRect at = layout.view[lane].place;
      g_assert_cmpfloat (at.y, >=, bottom);
      g_assert_cmpfloat (at.x, ==, layout.plots.x);
      g_assert_cmpfloat (at.y, ==, floor (at.y)); /* on the pixel grid */
      bottom = at.y + at.height;
      g_assert_cmpint (faint_figure_layout_lane_at (&layout, at.x + 5.0, at.y + 5.0), ==, lane);
    }
  g_assert_cmpfloat (bottom, <=, place.y + place.height);
  g_assert_cmpint (faint_figure_layout_lane_at (&layout, 0.0, 0.0), ==, FAINT_LANE_N);
  g_assert_cmpfloat (layout.distribution.x, >=, layout.plots.x + layout.plots.width);

  figure.show[FAINT_LANE_RESIDUAL] = FALSE;
  figure.up[FAINT_LANE_MEASUREMENT] = (FaintRange){ 0.2, 1.3 };
  faint_spectrum_figure_layout (&figure, &canvas, place, &synthetic->data, synthetic->data.across,
                                &layout);
  g_assert_false (layout.visible[FAINT_LANE_RESIDUAL]);
  g_assert_cmpfloat (layout.distribution.width, ==, 0.0);
  g_assert_cmpfloat (layout.view[FAINT_LANE_MEASUREMENT].up.lower, ==, 0.2);
  canvas_free (canvas, surface);
  synthetic_free (synthetic);
}

/* All parts are there, nothing is outside, at each density and in a place too small for anything.
 */
static void
test_draw (void)
{
  static const gsize sizes[] = { 50, 2000, 200000 };
  const FaintPalette *palette = faint_palette_get (FAINT_PALETTE_LIGHT);

  for (guint s = 0; s < G_N_ELEMENTS (sizes); s++)
    {
      Synthetic *synthetic = synthetic_new (sizes[s]);
      cairo_surface_t *surface;
      FaintCanvas canvas = canvas_new (&surface);
      FaintSpectrumFigure figure;
      FaintFigureLayout layout;

      add_lines (synthetic);
      faint_spectrum_figure_init (&figure);
      figure.grid = TRUE;
      figure.selected = faint_line_list_get (synthetic->data.lines, 0)->id;
      faint_spectrum_figure_layout (&figure, &canvas, place, &synthetic->data,
                                    synthetic->data.across, &layout);
      faint_spectrum_figure_draw (&figure, &canvas, place, &synthetic->data,
                                  synthetic->data.across);
      g_assert_cmpuint (count_inked_outside (surface), ==, 0);
      FaintRect measured = layout.view[FAINT_LANE_MEASUREMENT].place;
      FaintRect residual = layout.view[FAINT_LANE_RESIDUAL].place;
      FaintRect sticks = layout.view[FAINT_LANE_STICKS].place;
      g_assert_cmpuint (count_part (surface, measured, palette, FAINT_PART_OBSERVED), >, 50);
      g_assert_cmpuint (count_part (surface, measured, palette, FAINT_PART_MODEL), >, 50);
      g_assert_cmpuint (count_part (surface, residual, palette, FAINT_PART_RESIDUAL), >, 50);
      g_assert_cmpuint (count_part (surface, sticks, palette, FAINT_PART_FITTED), >, 50);
      faint_spectrum_figure_draw (&figure, &canvas, (FaintRect){ 40.0, 30.0, 3.0, 2.0 },
                                  &synthetic->data, synthetic->data.across);
      g_assert_cmpint (cairo_status (canvas.cr), ==, CAIRO_STATUS_SUCCESS);
      g_assert_cmpuint (count_inked_outside (surface), ==, 0);
      canvas_free (canvas, surface);
      synthetic_free (synthetic);
    }
}

/* A view without a sample, and one that is empty: drawn as axes, or not at all. */
static void
test_empty_view (void)
{
  Synthetic *synthetic = synthetic_new (1000);
  cairo_surface_t *surface;
  FaintCanvas canvas = canvas_new (&surface);
  FaintSpectrumFigure figure;

  faint_spectrum_figure_init (&figure);
  faint_spectrum_figure_draw (&figure, &canvas, place, &synthetic->data,
                              (FaintRange){ 7720.001, 7720.002 });
  faint_spectrum_figure_draw (&figure, &canvas, place, &synthetic->data,
                              (FaintRange){ 7720.0, 7720.0 });
  faint_spectrum_figure_draw (&figure, &canvas, place, &synthetic->data, (FaintRange){ 1.0, 2.0 });
  g_assert_cmpint (cairo_status (canvas.cr), ==, CAIRO_STATUS_SUCCESS);
  g_assert_cmpuint (count_inked_outside (surface), ==, 0);

  /* Between two samples the range of values is that of these two, so that the curve between them
   * stays in view. Sample 202 lies at 7720.22, sample 203 at 7720.32 (steps of 100/999). */
  FaintFigureLayout layout;
  faint_spectrum_figure_layout (&figure, &canvas, place, &synthetic->data,
                                (FaintRange){ 7720.25, 7720.26 }, &layout);
  FaintRange up = layout.view[FAINT_LANE_MEASUREMENT].up;
  for (int i = 202; i <= 203; i++)
    {
      g_assert_true (faint_range_contains (up, synthetic->arrays[1][i]));
      g_assert_true (faint_range_contains (up, synthetic->arrays[2][i]));
    }
  canvas_free (canvas, surface);
  synthetic_free (synthetic);
}

static void
test_overview (void)
{
  Synthetic *synthetic = synthetic_new (100000);
  const FaintPalette *palette = faint_palette_get (FAINT_PALETTE_LIGHT);
  cairo_surface_t *surface;
  FaintCanvas canvas = canvas_new (&surface);
  /* the middle fifth of the span: 0.4 to 0.6 of the width */
  FaintRect inside = { place.x + 0.42 * place.width, place.y, 0.16 * place.width, place.height };
  FaintRect outside = { place.x, place.y, 0.38 * place.width, place.height };

  faint_overview_draw (&canvas, place, &synthetic->data, (FaintRange){ 7740.0, 7760.0 }, 2.0);
  g_assert_cmpuint (count_part (surface, inside, palette, FAINT_PART_OBSERVED), >, 500);
  g_assert_cmpuint (count_part (surface, outside, palette, FAINT_PART_OBSERVED), ==,
                    0); /* veiled */
  g_assert_cmpuint (count_inked_outside (surface), ==, 0);
  canvas_free (canvas, surface);
  synthetic_free (synthetic);
}

/* A canvas as of the exported figure: 180 mm by 140 mm in points, three pixels to the point. */
static FaintCanvas
paper_new (cairo_surface_t **surface, FaintRect *page)
{
  FaintCanvas canvas;
  cairo_t *cr;

  *page = (FaintRect){ .width = 180.0 / 25.4 * 72.0, .height = 140.0 / 25.4 * 72.0 };
  *surface = cairo_image_surface_create (CAIRO_FORMAT_ARGB32, (int)(3.0 * page->width),
                                         (int)(3.0 * page->height));
  cr = cairo_create (*surface);
  cairo_scale (cr, 3.0, 3.0);
  canvas = faint_canvas_for_paper (cr, NULL);
  return canvas;
}

/* Dark pixels in @rect, points. */
static guint
count_dark (cairo_surface_t *surface, FaintRect rect)
{
  guint found = 0;

  cairo_surface_flush (surface);
  for (int y = (int)(3.0 * rect.y); y < (int)(3.0 * (rect.y + rect.height)); y++)
    for (int x = (int)(3.0 * rect.x); x < (int)(3.0 * (rect.x + rect.width)); x++)
      {
        const guint8 *row
            = cairo_image_surface_get_data (surface) + y * cairo_image_surface_get_stride (surface);
        guint32 pixel = ((const guint32 *)(gconstpointer)row)[x];

        found += pixel >> 24 > 128 && (pixel >> 8 & 0xff) < 128;
      }
  return found;
}

/* Every lane of an exported figure says what it shows, alone and with the others: there is ink
 * upwards at its left edge, where numbers of ticks do not reach. */
static void
test_labels (void)
{
  Synthetic *synthetic = synthetic_new (1000);

  add_lines (synthetic);
  for (int alone = -1; alone < FAINT_LANE_N; alone++)
    {
      FaintSpectrumFigure figure;
      FaintFigureLayout layout;
      cairo_surface_t *surface;
      FaintRect page;
      FaintCanvas canvas = paper_new (&surface, &page);

      faint_spectrum_figure_init (&figure);
      for (int lane = 0; alone >= 0 && lane < FAINT_LANE_N; lane++)
        figure.show[lane] = lane == alone;
      /* as low as it is beside all others */
      figure.share[FAINT_LANE_STICKS] = alone < 0 ? 1.4 : 2.0;
      faint_canvas_fill (&canvas, FAINT_PART_BACKGROUND, page);
      faint_spectrum_figure_draw (&figure, &canvas, page, &synthetic->data, synthetic->data.across);
      faint_spectrum_figure_layout (&figure, &canvas, page, &synthetic->data,
                                    synthetic->data.across, &layout);
      for (int lane = 0; lane < FAINT_LANE_N; lane++)
        {
          FaintRect edge = layout.view[lane].place;

          edge.x = 0.0;
          edge.width = 1.3 * faint_canvas_text_height (&canvas);
          if (layout.visible[lane])
            g_assert_cmpuint (count_dark (surface, edge), >, 100);
        }
      canvas_free (canvas, surface);
    }
  synthetic_free (synthetic);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/spectrum-figure/layout", test_layout);
  g_test_add_func ("/spectrum-figure/draw", test_draw);
  g_test_add_func ("/spectrum-figure/labels", test_labels);
  g_test_add_func ("/spectrum-figure/empty-view", test_empty_view);
  g_test_add_func ("/spectrum-figure/overview", test_overview);
  return g_test_run ();
}

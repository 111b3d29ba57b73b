/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Lanes judged by their pixels: what must be seen is there, and nothing is drawn outside.
 */
#include "figure/lane.h"

#include "faint-test.h"

#include <math.h>

#define WIDTH 320
#define HEIGHT 200

typedef struct
{
  cairo_surface_t *surface;
  FaintCanvas canvas;
} Sheet;

static const FaintRect place = { 40.0, 30.0, 240.0, 140.0 };

static Sheet
sheet_new (void)
{
  Sheet sheet = { cairo_image_surface_create (CAIRO_FORMAT_ARGB32, WIDTH, HEIGHT), { 0 } };
  sheet.canvas = faint_canvas_for_screen (cairo_create (sheet.surface),
                                          faint_palette_get (FAINT_PALETTE_LIGHT), NULL, 1.0);
  return sheet;
}

static void
sheet_free (Sheet sheet)
{
  cairo_destroy (sheet.canvas.cr);
  cairo_surface_destroy (sheet.surface);
}

/* Opacity, 0 to 255; the sheet starts transparent. */
static guint
alpha_at (const Sheet *sheet, int x, int y)
{
  cairo_surface_flush (sheet->surface);
  const guint8 *row = cairo_image_surface_get_data (sheet->surface)
                      + y * cairo_image_surface_get_stride (sheet->surface);
  return ((const guint32 *)(gconstpointer)row)[x] >> 24;
}

static guint
count_inked (const Sheet *sheet, FaintRect rect)
{
  guint inked = 0;
  for (int y = (int)rect.y; y < (int)(rect.y + rect.height); y++)
    for (int x = (int)rect.x; x < (int)(rect.x + rect.width); x++)
      inked += alpha_at (sheet, x, y) > 0;
  return inked;
}

static void
assert_nothing_outside (const Sheet *sheet)
{
  guint all = count_inked (sheet, (FaintRect){ 0.0, 0.0, WIDTH, HEIGHT });
  g_assert_cmpuint (all, ==, count_inked (sheet, place));
}

static FaintPyramid *
ramp_new (gsize n, gsize peak, double *x, double *y)
{
  for (gsize i = 0; i < n; i++)
    {
      x[i] = (double)i / (double)(n - 1);
      y[i] = i == peak ? 1.0 : 0.0;
    }
  return faint_pyramid_new (x, y, n, NULL, NULL);
}

static FaintView
unit_view (void)
{
  return (FaintView){ { 0.0, 1.0 }, { -0.1, 1.1 }, place };
}

/* One sample of a million stands out: its pixel is inked, by samples and by a curve. */
static void
test_peak_is_seen (void)
{
  gsize n = 1000000, peak = 702000; /* in the middle of column 168 of 240 */
  g_autofree double *x = g_new (double, n), *y = g_new (double, n);
  g_autoptr (FaintPyramid) pyramid = ramp_new (n, peak, x, y);
  FaintView view = unit_view ();
  int column = (int)faint_view_x (&view, x[peak]), row = (int)faint_view_y (&view, 0.98);

  for (int is_curve = 0; is_curve < 2; is_curve++)
    {
      Sheet sheet = sheet_new ();
      if (is_curve)
        faint_lane_curve (&sheet.canvas, &view, pyramid, INFINITY, FAINT_PART_MODEL);
      else
        faint_lane_samples (&sheet.canvas, &view, pyramid, NULL, FAINT_PART_OBSERVED);
      g_assert_cmpuint (alpha_at (&sheet, column, row), ==, 255);
      g_assert_cmpuint (alpha_at (&sheet, column - 1, row), ==, 0);
      g_assert_cmpuint (alpha_at (&sheet, column + 1, row), ==, 0);
      assert_nothing_outside (&sheet);
      sheet_free (sheet);
    }
}

/* Each way of drawing, at every density, with values far outside the view. */
static void
test_nothing_outside (void)
{
  static const gsize sizes[] = { 1, 2, 30, 200, 900, 50000 };
  GRand *random = g_rand_new_with_seed (7);

  for (guint s = 0; s < G_N_ELEMENTS (sizes); s++)
    {
      gsize n = sizes[s];
      g_autofree double *x = g_new (double, n), *y = g_new (double, n), *u = g_new (double, n);
      for (gsize i = 0; i < n; i++)
        {
          x[i] = 2.0 * (double)(i + 1) / (double)(n + 1) - 0.5; /* half of them out of view */
          y[i] = g_rand_double_range (random, -3.0, 3.0) * (i % 11 == 0 ? 1e12 : 1.0);
          u[i] = 0.5;
        }
      g_autoptr (FaintPyramid) pyramid = faint_pyramid_new (x, y, n, NULL, NULL);
      FaintView view = unit_view ();
      Sheet sheet = sheet_new ();
      faint_lane_samples (&sheet.canvas, &view, pyramid, u, FAINT_PART_OBSERVED);
      faint_lane_curve (&sheet.canvas, &view, pyramid, INFINITY, FAINT_PART_MODEL);
      faint_lane_guides (&sheet.canvas, &view);
      faint_lane_range (&sheet.canvas, &view, (FaintRange){ -1.0, 0.3 });
      faint_lane_mark (&sheet.canvas, &view, 0.5);
      g_assert_cmpuint (count_inked (&sheet, place), >, 0);
      assert_nothing_outside (&sheet);
      sheet_free (sheet);
    }
  g_rand_free (random);
}

/* A NAN and a wide distance each leave a hole in a curve; without them the curve is whole. */
static void
test_gaps (void)
{
  double x[101], y[101];
  FaintView view = unit_view ();
  const struct
  {
    gsize nan_at;
    double gap;
    gboolean is_open;
  } cases[] = { { 200, INFINITY, FALSE }, { 50, INFINITY, TRUE }, { 200, 0.015, TRUE } };

  for (guint c = 0; c < G_N_ELEMENTS (cases); c++)
    {
      for (gsize i = 0; i < 101; i++)
        {
          /* a hole in the axis from 0.4 to 0.6 in the third case */
          x[i] = c == 2 && i >= 50 ? 0.6 + (double)(i - 50) * 0.008 : (double)i * 0.01;
          x[i] = c == 2 && i < 50 ? (double)i * 0.008 : x[i];
          y[i] = i == cases[c].nan_at ? NAN : 0.5;
        }
      g_autoptr (FaintPyramid) pyramid = faint_pyramid_new (x, y, 101, NULL, NULL);
      Sheet sheet = sheet_new ();
      faint_lane_curve (&sheet.canvas, &view, pyramid, cases[c].gap, FAINT_PART_MODEL);
      int row = (int)faint_view_y (&view, 0.5), middle = (int)faint_view_x (&view, 0.5);
      guint ink = alpha_at (&sheet, middle, row) + alpha_at (&sheet, middle, row - 1);
      g_assert_cmpint (ink == 0, ==, cases[c].is_open);
      sheet_free (sheet);
    }
}

/* Dense columns with a hole of NAN: nothing bridges it. */
static void
test_gap_in_columns (void)
{
  gsize n = 100000;
  g_autofree double *x = g_new (double, n), *y = g_new (double, n);
  for (gsize i = 0; i < n; i++)
    {
      x[i] = (double)i / (double)(n - 1);
      /* columns 96 to 143 of 240, each as a whole */
      y[i] = x[i] >= 0.4 && x[i] < 0.6 ? NAN : (i < 50000 ? 0.0 : 1.0);
    }
  g_autoptr (FaintPyramid) pyramid = faint_pyramid_new (x, y, n, NULL, NULL);
  FaintView view = unit_view ();
  Sheet sheet = sheet_new ();
  faint_lane_samples (&sheet.canvas, &view, pyramid, NULL, FAINT_PART_OBSERVED);
  FaintRect hole = { faint_view_x (&view, 0.41), place.y, 0.18 * place.width, place.height };
  g_assert_cmpuint (count_inked (&sheet, hole), ==, 0);
  /* the step from 0 to 1 across the hole is not drawn as a wall at its end either */
  FaintRect wall = { faint_view_x (&view, 0.59), faint_view_y (&view, 0.8), 0.02 * place.width,
                     faint_view_y (&view, 0.2) - faint_view_y (&view, 0.8) };
  g_assert_cmpuint (count_inked (&sheet, wall), ==, 0);
  sheet_free (sheet);
}

/* Error bars reach one standard uncertainty up and down, and no further. */
static void
test_error_bar (void)
{
  double x[] = { 0.5 }, y[] = { 0.5 }, u[] = { 0.2 };
  g_autoptr (FaintPyramid) pyramid = faint_pyramid_new (x, y, 1, NULL, NULL);
  FaintView view = unit_view ();
  Sheet sheet = sheet_new ();
  faint_lane_samples (&sheet.canvas, &view, pyramid, u, FAINT_PART_OBSERVED);
  int column = (int)faint_view_x (&view, 0.5);
  g_assert_cmpuint (alpha_at (&sheet, column, (int)faint_view_y (&view, 0.68)), >, 200);
  g_assert_cmpuint (alpha_at (&sheet, column, (int)faint_view_y (&view, 0.32)), >, 200);
  g_assert_cmpuint (alpha_at (&sheet, column, (int)faint_view_y (&view, 0.74)), ==, 0);
  g_assert_cmpuint (alpha_at (&sheet, column, (int)faint_view_y (&view, 0.26)), ==, 0);
  sheet_free (sheet);
}

static FaintLineList *
two_lines_new (void)
{
  FaintLine lines[2] = { faint_line_unknown (), faint_line_unknown () };
  lines[0].position.value = 0.25;
  lines[0].strength.value = 1e-25;
  lines[1].position.value = 0.75;
  lines[1].strength.value = 1e-23;
  return faint_line_list_new (lines, 2);
}

static void
test_sticks (void)
{
  g_autoptr (FaintLineList) lines = two_lines_new ();
  FaintView view = { { 0.0, 1.0 }, { -26.0, -22.0 }, place };
  FaintRange range;
  Sheet sheet = sheet_new ();

  g_assert_true (faint_lane_sticks_range (lines, &range));
  g_assert_true (range.lower < -25.0 && range.upper > -23.0);
  faint_lane_sticks (&sheet.canvas, &view, lines, FAINT_PART_FITTED);
  int weak = (int)faint_view_x (&view, 0.25), strong = (int)faint_view_x (&view, 0.75);
  g_assert_cmpuint (alpha_at (&sheet, weak, (int)faint_view_y (&view, -25.1)), ==, 255);
  g_assert_cmpuint (alpha_at (&sheet, weak, (int)faint_view_y (&view, -24.7)), ==, 0);
  g_assert_cmpuint (alpha_at (&sheet, strong, (int)faint_view_y (&view, -23.1)), ==, 255);
  g_assert_cmpuint (alpha_at (&sheet, (weak + strong) / 2, (int)faint_view_y (&view, -25.5)), ==,
                    0);
  assert_nothing_outside (&sheet);
  sheet_free (sheet);
}

static void
test_distribution (void)
{
  static const double y[] = { -0.5, -0.5, 0.5, 7.0, NAN };
  FaintDistribution distribution;
  gsize sum = 0;

  faint_distribution_fill (&distribution, y, 5, (FaintRange){ -6.0, 6.0 });
  g_assert_cmpuint (distribution.n, ==, 4); /* NAN is no sample; 7 is one, outside the bins */
  for (int i = 0; i < FAINT_DISTRIBUTION_BINS; i++)
    sum += distribution.count[i];
  g_assert_cmpuint (sum, ==, 3);
  /* bins of 12/64: -0.5 lies in bin floor(5.5 x 64/12) = 29, 0.5 in bin 34 */
  g_assert_cmpuint (distribution.count[29], ==, 2);
  g_assert_cmpuint (distribution.count[34], ==, 1);

  Sheet sheet = sheet_new ();
  faint_lane_distribution (&sheet.canvas, place, (FaintRange){ -6.0, 6.0 }, &distribution);
  g_assert_cmpuint (count_inked (&sheet, place), >, 100);
  assert_nothing_outside (&sheet);
  sheet_free (sheet);
}

/* A frame stays within the space it says it needs. */
static void
test_frame_space (void)
{
  static const FaintRange ups[]
      = { { 0.0, 1.0 }, { 0.99985, 0.999852 }, { -3e-9, 5e-9 }, { 0.0, 1e9 } };

  for (guint i = 0; i < G_N_ELEMENTS (ups); i++)
    {
      cairo_surface_t *surface = cairo_image_surface_create (CAIRO_FORMAT_ARGB32, 600, 300);
      Sheet sheet = { surface, faint_canvas_for_screen (cairo_create (surface),
                                                        faint_palette_get (FAINT_PALETTE_LIGHT),
                                                        NULL, 1.0) };
      double left = ceil (faint_frame_left (&sheet.canvas));
      double bottom = ceil (faint_frame_bottom (&sheet.canvas));
      double right = ceil (faint_frame_right (&sheet.canvas));
      FaintView view = { { 7790.0, 7790.1 }, ups[i], { 20.0 + left, 20.0, 400.0, 200.0 } };
      FaintFrame frame
          = { .ticks_across = TRUE, .label = "absorption", .symbol = "cm⁻¹", .grid = TRUE };
      faint_lane_background (&sheet.canvas, &view, &frame);
      faint_lane_frame (&sheet.canvas, &view, &frame);
      guint inside
          = count_inked (&sheet, (FaintRect){ 20.0, 18.0, left + 400.0 + right, 202.0 + bottom });
      g_assert_cmpuint (inside, ==, count_inked (&sheet, (FaintRect){ 0.0, 0.0, 600.0, 300.0 }));
      sheet_free (sheet);
    }
}

/* Ink of the tick labels beside a lane of @height, in runs of rows: labels that touch would make
 * one run higher than a line of text. */
static guint
highest_label (int height)
{
  cairo_surface_t *surface = cairo_image_surface_create (CAIRO_FORMAT_ARGB32, 600, 300);
  Sheet sheet
      = { surface, faint_canvas_for_screen (cairo_create (surface),
                                            faint_palette_get (FAINT_PALETTE_LIGHT), NULL, 1.0) };
  double left = ceil (faint_frame_left (&sheet.canvas));
  double text = faint_canvas_text_height (&sheet.canvas);
  FaintView view = { { 7790.0, 7790.1 }, { -4.2, 4.3 }, { 20.0 + left, 40.0, 400.0, height } };
  FaintFrame frame = { .unit = FAINT_AXIS_UNIT_DEFAULT };
  FaintRect beside = { 20.0 + 1.2 * text, 0.0, left - 1.2 * text - 6.0, 1.0 };
  guint run = 0, highest = 0;

  faint_lane_frame (&sheet.canvas, &view, &frame);
  for (int y = 0; y < 300; y++)
    {
      beside.y = y;
      run = count_inked (&sheet, beside) > 0 ? run + 1 : 0;
      highest = MAX (highest, run);
    }
  g_assert_cmpuint (highest, >, 0); /* at least one label, however low the lane */
  g_assert_cmpuint (highest, <, 300);
  sheet_free (sheet);
  return highest;
}

/* Labels of ticks stay apart in a lane of any height. */
static void
test_low_lanes (void)
{
  guint alone = highest_label (200);

  for (int height = 8; height < 200; height += 3)
    g_assert_cmpuint (highest_label (height), <=, alone + 1); /* edges between two rows */
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/lane/peak-is-seen", test_peak_is_seen);
  g_test_add_func ("/lane/nothing-outside", test_nothing_outside);
  g_test_add_func ("/lane/gaps", test_gaps);
  g_test_add_func ("/lane/gap-in-columns", test_gap_in_columns);
  g_test_add_func ("/lane/error-bar", test_error_bar);
  g_test_add_func ("/lane/sticks", test_sticks);
  g_test_add_func ("/lane/distribution", test_distribution);
  g_test_add_func ("/lane/frame-space", test_frame_space);
  g_test_add_func ("/lane/low-lanes", test_low_lanes);
  return g_test_run ();
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The plot of Loomis and Wood: rows, traces, steps, pixels. Expected values are worked out by hand
 * from the definition of the plot (Loomis and Wood, Phys. Rev. 32, 223, 1928): a line stands at its
 * distance from the centre of its row.
 */
#include "figure/loomis-wood.h"

#include "faint-test.h"

#include <math.h>

#define WIDTH 400
#define HEIGHT 300

static const FaintView plot = { { -0.5, 0.5 }, { -0.5, 9.5 }, { 0, 0, 400, 300 } };

/* Ten rows of period 1, a branch with spacing 1.02 (offset 0.02 k), a line in the way at -0.3 of
 * row 4, and one on a border. Ids 1 to 10, 20, 30. */
static FaintLoomisWood *
ladder_new (void)
{
  FaintLoomisWood *self = faint_loomis_wood_new_periodic (100.0, 1.0, (FaintRange){ 99.6, 109.4 });
  FaintLoomisWoodLine lines[12];

  for (guint k = 0; k < 10; k++)
    lines[k] = (FaintLoomisWoodLine){ .id = k + 1, .position = 100.0 + 1.02 * k, .weight = 1 };
  lines[10] = (FaintLoomisWoodLine){ .id = 20, .position = 103.7, .weight = 1, .assigned = TRUE };
  lines[11] = (FaintLoomisWoodLine){ .id = 30, .position = 106.5, .weight = 0 };
  faint_loomis_wood_set_lines (self, lines, G_N_ELEMENTS (lines));
  return self;
}

static void
test_rows (void)
{
  g_autoptr (FaintLoomisWood) self = ladder_new ();
  FaintView all = faint_loomis_wood_all (self);
  int number;
  double offset;

  g_assert_cmpuint (faint_loomis_wood_get_n_rows (self), ==, 10);
  g_assert_cmpuint (faint_loomis_wood_get_n_lines (self), ==, 12);
  g_assert_cmpint (faint_loomis_wood_row (self, 0), ==, 0);
  g_assert_cmpint (faint_loomis_wood_row (self, 10), ==, -1);
  for (guint k = 0; k < 10; k++)
    {
      g_assert_true (faint_loomis_wood_place (self, k + 1, &number, &offset));
      g_assert_cmpint (number, ==, k);
      faint_assert_near (offset, 0.02 * k, 1e-12, "sums of doubles near 100");
    }
  g_assert_false (faint_loomis_wood_place (self, 99, &number, &offset));
  g_assert_true (all.across.lower <= -0.5 && all.across.upper >= 0.5);
  g_assert_true (all.up.lower < 0 && all.up.upper > 9);
}

/* What gives no rows, or too many to be meant, gives no plot. */
static void
test_no_rows (void)
{
  static const double periods[] = { 0.0, -1.0, NAN, 1e-9, INFINITY };

  for (guint i = 0; i < G_N_ELEMENTS (periods); i++)
    {
      g_autoptr (FaintLoomisWood) self
          = faint_loomis_wood_new_periodic (100, periods[i], (FaintRange){ 99, 110 });

      g_assert_null (self);
    }
  g_assert_null (faint_loomis_wood_new (NULL, 0, 1.0, "m"));
}

/* A line on the border of two periods stands in one row alone: a trace finds it once. */
static void
test_border (void)
{
  g_autoptr (FaintLoomisWood) self = ladder_new ();
  FaintView view = plot;
  guint found = 0;

  for (int row = 0; row < 10; row++)
    for (int side = -1; side <= 1; side += 2)
      {
        FaintLoomisWoodPick pick = faint_loomis_wood_at (self, &view, side < 0 ? 0 : WIDTH,
                                                         faint_view_y (&view, row), 2);

        found += pick.id == 30;
      }
  g_assert_cmpuint (found, ==, 1);
}

static void
test_at (void)
{
  g_autoptr (FaintLoomisWood) self = ladder_new ();
  FaintLoomisWoodPick pick = faint_loomis_wood_at (self, &plot, faint_view_x (&plot, 0.06) + 3,
                                                   faint_view_y (&plot, 3) - 4, 5.5);

  g_assert_cmpuint (pick.id, ==, 4); /* hypot (3, 4) = 5 is within 5.5 */
  g_assert_cmpint (pick.number, ==, 3);
  pick = faint_loomis_wood_at (self, &plot, faint_view_x (&plot, 0.06) + 3,
                               faint_view_y (&plot, 3) - 4, 4.5);
  g_assert_cmpuint (pick.id, ==, 0);
}

static void
assert_trace (const GArray *picks, int first, int last)
{
  int step = last > first ? 1 : -1;

  g_assert_cmpuint (picks->len, ==, ABS (last - first) + 1);
  for (guint i = 0; i < picks->len; i++)
    {
      FaintLoomisWoodPick pick = g_array_index (picks, FaintLoomisWoodPick, i);

      g_assert_cmpint (pick.number, ==, first + step * (int)i);
      g_assert_cmpuint (pick.id, ==, pick.number + 1);
    }
}

/* A drag along the branch finds its lines, in the direction of the drag, and not the one beside it;
 * ends count to half a row. */
static void
test_trace (void)
{
  g_autoptr (FaintLoomisWood) self = ladder_new ();
  double up[2][2] = { { faint_view_x (&plot, 0.02), faint_view_y (&plot, 1.2) },
                      { faint_view_x (&plot, 0.16), faint_view_y (&plot, 7.6) } };
  double down[2][2] = { { up[1][0], up[1][1] }, { up[0][0], up[0][1] } };
  g_autoptr (GArray) upwards = faint_loomis_wood_trace (self, &plot, up, 2, 12);
  g_autoptr (GArray) downwards = faint_loomis_wood_trace (self, &plot, down, 2, 12);
  g_autoptr (GArray) none = faint_loomis_wood_trace (self, &plot, up, 1, 12);

  assert_trace (upwards, 1, 8);
  assert_trace (downwards, 8, 1);
  g_assert_cmpuint (none->len, ==, 0);
}

static void
test_step (void)
{
  g_autoptr (FaintLoomisWood) self = ladder_new ();
  FaintLoomisWoodPick from = { 4, 5 };

  g_assert_cmpuint (faint_loomis_wood_step (self, from, 1, 0).id, ==, 6);
  g_assert_cmpuint (faint_loomis_wood_step (self, from, -1, 0).id, ==, 4);
  g_assert_cmpuint (faint_loomis_wood_step (self, from, 0, -1).id, ==, 20);
  g_assert_cmpuint (faint_loomis_wood_step (self, from, 0, 1).id, ==, 0);
  g_assert_cmpuint (faint_loomis_wood_step (self, (FaintLoomisWoodPick){ 0, 1 }, -1, 0).id, ==, 0);
}

static guint32
pixel (cairo_surface_t *surface, double x, double y)
{
  const guint8 *row;

  cairo_surface_flush (surface);
  row = cairo_image_surface_get_data (surface) + (int)y * cairo_image_surface_get_stride (surface);
  return ((const guint32 *)(gconstpointer)row)[(int)x] & 0xffffff;
}

static guint32
code (FaintColour colour)
{
  return (guint32)lround (255 * colour.red) << 16 | (guint32)lround (255 * colour.green) << 8
         | (guint32)lround (255 * colour.blue);
}

/* A ring has the background in its middle but for the quiet line of its row, an assigned line its
 * full colour. */
static void
test_pixels (void)
{
  g_autoptr (FaintLoomisWood) self = ladder_new ();
  cairo_surface_t *surface = cairo_image_surface_create (CAIRO_FORMAT_ARGB32, WIDTH, HEIGHT);
  const FaintPalette *palette = faint_palette_get (FAINT_PALETTE_LIGHT);
  FaintCanvas canvas = faint_canvas_for_screen (cairo_create (surface), palette, NULL, 1.0);
  FaintView view = plot;
  double y;

  view.place = faint_loomis_wood_inside (&canvas, plot.place);
  g_assert_true (view.place.width > 250 && view.place.height > 200);
  faint_loomis_wood_draw (self, &canvas, &view);
  y = faint_view_y (&view, 4);
  g_assert_cmphex (pixel (surface, faint_view_x (&view, -0.3), y), ==,
                   code (palette->pen[FAINT_PART_FITTED].colour));
  g_assert_cmphex (pixel (surface, faint_view_x (&view, 0.08), y + 2), ==,
                   code (palette->pen[FAINT_PART_BACKGROUND].colour));
  faint_loomis_wood_mark (self, &canvas, &view, 5, NULL);
  cairo_destroy (canvas.cr);
  cairo_surface_destroy (surface);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/loomis-wood/rows", test_rows);
  g_test_add_func ("/loomis-wood/no-rows", test_no_rows);
  g_test_add_func ("/loomis-wood/border", test_border);
  g_test_add_func ("/loomis-wood/at", test_at);
  g_test_add_func ("/loomis-wood/trace", test_trace);
  g_test_add_func ("/loomis-wood/step", test_step);
  g_test_add_func ("/loomis-wood/pixels", test_pixels);
  return g_test_run ();
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The picture of a correlation matrix: order of the pairs, groups, places, colours, pixels.
 * Expected values are worked out by hand or are the rules of the header.
 */
#include "figure/correlation.h"

#include "faint-test.h"

#include <math.h>

#define WIDTH 700
#define HEIGHT 620

static const FaintRect place = { 10.0, 10.0, 680.0, 600.0 };

static FaintCorrelation *
matrix_new (const double *values, const char *const *names, gsize n)
{
  return faint_correlation_new (g_memdup2 (values, n * n * sizeof *values),
                                g_strdupv ((char **)names), n);
}

/* @n parameters, four a line, correlated by a rule. */
static FaintCorrelation *
large_new (gsize n)
{
  static const char *const words[] = { "position", "strength", "Lorentz width", "Doppler width" };
  double *values = g_new (double, n *n);
  char **names = g_new0 (char *, n + 1);

  for (gsize i = 0; i < n; i++)
    {
      names[i] = g_strdup_printf ("%.3f %s", 7790.0 + (double)(i / 4), words[i % 4]);
      for (gsize j = 0; j < n; j++)
        values[i * n + j] = i == j ? 1.0 : 0.9 * cos ((double)(i + j));
    }
  return faint_correlation_new (values, names, n);
}

static FaintCorrelation *
small_new (void)
{
  static const double values[] = { 1.0, -0.9, 0.2, -0.9, 1.0, NAN, 0.2, NAN, 1.0 };
  static const char *const names[]
      = { "7790.220 position", "7790.220 strength", "7790.220 position", NULL };

  return matrix_new (values, names, 3);
}

static FaintCanvas
canvas_new (cairo_surface_t **surface, FaintPaletteKind palette)
{
  *surface = cairo_image_surface_create (CAIRO_FORMAT_ARGB32, WIDTH, HEIGHT);
  return faint_canvas_for_screen (cairo_create (*surface), faint_palette_get (palette), NULL, 1.0);
}

static void
canvas_free (FaintCanvas canvas, cairo_surface_t *surface)
{
  cairo_destroy (canvas.cr);
  cairo_surface_destroy (surface);
}

static guint32
pixel (cairo_surface_t *surface, double x, double y)
{
  const guint8 *row;

  cairo_surface_flush (surface);
  row = cairo_image_surface_get_data (surface) + (int)y * cairo_image_surface_get_stride (surface);
  return ((const guint32 *)(gconstpointer)row)[(int)x];
}

static void
test_strongest (void)
{
  g_autoptr (FaintCorrelation) matrix = small_new ();
  FaintCorrelationPair pairs[5];

  /* the one that is not finite is left out */
  g_assert_cmpuint (faint_correlation_strongest (matrix, pairs, 5), ==, 2);
  g_assert_cmpuint (pairs[0].row, ==, 0);
  g_assert_cmpuint (pairs[0].column, ==, 1);
  g_assert_cmpfloat (pairs[0].value, ==, -0.9);
  g_assert_cmpuint (pairs[1].column, ==, 2);
  g_assert_cmpuint (faint_correlation_strongest (matrix, pairs, 1), ==, 1);
}

static void
test_labels (void)
{
  g_autoptr (FaintCorrelation) matrix = small_new (), large = large_new (8);

  g_assert_cmpstr (faint_correlation_get_symbol (matrix, 1), ==, "S");
  g_assert_cmpstr (faint_correlation_get_name (matrix, 1), ==, "7790.220 strength");
  /* two lines at the same printed position are two lines */
  g_assert_cmpuint (faint_correlation_get_group (matrix, 1), ==, 0);
  g_assert_cmpuint (faint_correlation_get_group (matrix, 2), ==, 2);
  g_assert_cmpuint (faint_correlation_get_group (large, 3), ==, 0);
  g_assert_cmpuint (faint_correlation_get_group (large, 4), ==, 4);
}

/* Up to forty parameters every one has its label, beyond that labels give way. */
static void
test_layout (void)
{
  static const gsize counts[] = { 1, 2, 8, 40, 100, 300 };
  cairo_surface_t *surface;
  FaintCanvas canvas = canvas_new (&surface, FAINT_PALETTE_LIGHT);

  for (guint i = 0; i < G_N_ELEMENTS (counts); i++)
    {
      g_autoptr (FaintCorrelation) matrix = large_new (counts[i]);
      FaintCorrelationLayout layout;
      FaintRect last;
      gsize row, column;

      faint_correlation_layout (matrix, &canvas, place, &layout);
      g_assert_true (layout.side > 0);
      last = faint_correlation_cell (&layout, counts[i] - 1, counts[i] - 1);
      g_assert_true (faint_rect_contains (place, layout.cells.x, layout.cells.y));
      g_assert_cmpfloat (last.x + last.width, <=, place.x + place.width);
      g_assert_cmpfloat (last.y + last.height, <=, place.y + place.height);
      g_assert_true (faint_correlation_cell_at (matrix, &layout, last.x + last.width / 2,
                                                last.y + last.height / 2, &row, &column));
      g_assert_cmpuint (row, ==, counts[i] - 1);
      g_assert_cmpuint (column, ==, counts[i] - 1);
      g_assert_false (faint_correlation_cell_at (matrix, &layout, layout.cells.x - 1,
                                                 layout.cells.y, &row, &column));
      g_assert_cmpint (layout.symbols, ==, counts[i] <= 40);
      if (counts[i] <= 40)
        g_assert_cmpuint (layout.label_step, ==, 1);
    }
  canvas_free (canvas, surface);
}

static void
test_layout_without_room (void)
{
  g_autoptr (FaintCorrelation) matrix = large_new (40);
  cairo_surface_t *surface;
  FaintCanvas canvas = canvas_new (&surface, FAINT_PALETTE_LIGHT);
  FaintCorrelationLayout layout;
  gsize row, column;

  faint_correlation_layout (matrix, &canvas, (FaintRect){ 0, 0, 20, 20 }, &layout);
  g_assert_cmpfloat (layout.side, >=, 0);
  g_assert_false (faint_correlation_cell_at (matrix, &layout, 5, 5, &row, &column));
  faint_correlation_draw (matrix, &canvas, (FaintRect){ 0, 0, 20, 20 });
  g_assert_cmpint (cairo_status (canvas.cr), ==, CAIRO_STATUS_SUCCESS);
  canvas_free (canvas, surface);
}

/* Both ends of the scale differ in lightness in every theme, and grow away from the background. */
static void
test_colours (void)
{
  for (int kind = 0; kind < FAINT_PALETTE_N; kind++)
    {
      const FaintPalette *palette = faint_palette_get (kind);
      FaintColour ground = palette->pen[FAINT_PART_BACKGROUND].colour;
      FaintColour minus = faint_correlation_colour (palette, -1);
      FaintColour plus = faint_correlation_colour (palette, 1);
      double last_minus = 1, last_plus = 1;

      g_test_message ("%s: %.2f %.2f, ends %.2f", faint_palette_name (kind),
                      faint_colour_contrast (minus, ground), faint_colour_contrast (plus, ground),
                      faint_colour_contrast (plus, minus));
      /* 1.5 to 1 is a step of lightness that is seen without colour: common practice, no source */
      g_assert_cmpfloat (faint_colour_contrast (plus, minus), >=, 1.5);
      /* WCAG 2.1, criterion 1.4.11: 3 to 1 for parts of a picture */
      if (kind == FAINT_PALETTE_HIGH_CONTRAST || kind == FAINT_PALETTE_HIGH_CONTRAST_DARK)
        g_assert_cmpfloat (
            MIN (faint_colour_contrast (minus, ground), faint_colour_contrast (plus, ground)), >=,
            3.0);
      for (double r = 0.1; r < 1.05; r += 0.1)
        {
          double of_minus = faint_colour_contrast (faint_correlation_colour (palette, -r), ground);
          double of_plus = faint_colour_contrast (faint_correlation_colour (palette, r), ground);

          g_assert_cmpfloat (of_minus, >, last_minus);
          g_assert_cmpfloat (of_plus, >, last_plus);
          last_minus = of_minus;
          last_plus = of_plus;
        }
      g_assert_cmpfloat (faint_correlation_colour (palette, NAN).red, ==, ground.red);
    }
}

static guint32
argb (FaintColour colour)
{
  return 0xffu << 24 | (guint32)lround (colour.red * 255.0) << 16
         | (guint32)lround (colour.green * 255.0) << 8 | (guint32)lround (colour.blue * 255.0);
}

/* The colour in a corner of the cell, the sign in its middle: a stroke across for both, one upwards
 * for a positive one alone. */
static void
test_cells_say_the_sign (void)
{
  g_autoptr (FaintCorrelation) matrix = small_new ();
  cairo_surface_t *surface;
  FaintCanvas canvas = canvas_new (&surface, FAINT_PALETTE_LIGHT);
  FaintCorrelationLayout layout;
  FaintRect minus, plus;
  guint32 blue = argb (faint_correlation_colour (canvas.palette, -0.9));
  guint32 orange = argb (faint_correlation_colour (canvas.palette, 0.2));

  faint_correlation_layout (matrix, &canvas, place, &layout);
  faint_correlation_draw (matrix, &canvas, place);
  minus = faint_correlation_cell (&layout, 0, 1);
  plus = faint_correlation_cell (&layout, 0, 2);
  g_assert_cmpuint (pixel (surface, minus.x + 3, minus.y + 3), ==, blue);
  g_assert_cmpuint (pixel (surface, plus.x + 3, plus.y + 3), ==, orange);
  g_assert_cmpuint (pixel (surface, minus.x + 0.4 * minus.width, minus.y + minus.height / 2), !=,
                    blue);
  g_assert_cmpuint (pixel (surface, minus.x + minus.width / 2, minus.y + 0.4 * minus.height), ==,
                    blue);
  g_assert_cmpuint (pixel (surface, plus.x + plus.width / 2, plus.y + 0.4 * plus.height), !=,
                    orange);
  canvas_free (canvas, surface);
}

static void
test_stays_in_place (void)
{
  g_autoptr (FaintCorrelation) matrix = large_new (40);
  cairo_surface_t *surface;
  FaintCanvas canvas = canvas_new (&surface, FAINT_PALETTE_DARK);
  FaintRect inner = { 60.0, 50.0, 400.0, 300.0 };
  guint inked = 0;

  faint_correlation_draw (matrix, &canvas, inner);
  faint_correlation_mark (matrix, &canvas, inner, 3, 39);
  for (int y = 0; y < HEIGHT; y++)
    for (int x = 0; x < WIDTH; x++)
      {
        if (!faint_rect_contains (inner, x, y))
          g_assert_cmpuint (pixel (surface, x, y), ==, 0);
        else
          inked += pixel (surface, x, y) != 0;
      }
  g_assert_cmpuint (inked, >, 40 * 40);
  canvas_free (canvas, surface);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/correlation/strongest", test_strongest);
  g_test_add_func ("/correlation/labels", test_labels);
  g_test_add_func ("/correlation/layout", test_layout);
  g_test_add_func ("/correlation/layout/without-room", test_layout_without_room);
  g_test_add_func ("/correlation/colours", test_colours);
  g_test_add_func ("/correlation/cells-say-the-sign", test_cells_say_the_sign);
  g_test_add_func ("/correlation/stays-in-place", test_stays_in_place);
  return g_test_run ();
}

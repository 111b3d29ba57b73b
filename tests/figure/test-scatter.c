/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Points with guides: which range shows the bulk, and that what lies beyond is still drawn.
 * Expected values follow from the rules of the header.
 */
#include "figure/scatter.h"

#include "faint-test.h"

#include <math.h>

#define SIZE 300

/* Eight points from 1 to 8 and one far off: quartiles are the elements of rank 2 and 6 of nine, 3
 * and 7, so the bulk is 3 - 12 to 7 + 12, and what is there begins at 1. */
static const FaintScatterPoint points[] = {
  { 1, 1, NAN, FAINT_SYMBOL_DISC, FALSE },   { 2, 2, NAN, FAINT_SYMBOL_DISC, FALSE },
  { 3, 3, NAN, FAINT_SYMBOL_DISC, FALSE },   { 4, 4, 0.1, FAINT_SYMBOL_DISC, FALSE },
  { 5, 5, NAN, FAINT_SYMBOL_DISC, FALSE },   { 6, 6, NAN, FAINT_SYMBOL_DISC, FALSE },
  { 7, 7, NAN, FAINT_SYMBOL_DISC, FALSE },   { 8, 8, NAN, FAINT_SYMBOL_DISC, FALSE },
  { 9, 1000, NAN, FAINT_SYMBOL_DISC, TRUE },
};

static void
test_range (void)
{
  static const double guide = -2.0;
  FaintScatter scatter = { .points = points, .n = 8 };
  FaintRange range = faint_scatter_range (&scatter);

  g_assert_true (range.lower < 1.0 && range.lower > 0.5 && range.upper > 8.0 && range.upper < 8.5);
  scatter.n = 9;
  range = faint_scatter_range (&scatter);
  g_assert_true (range.upper > 19.0 && range.upper < 21.0 && range.lower < 1.0);
  scatter.guides = &guide;
  scatter.n_guides = 1;
  g_assert_true (faint_scatter_range (&scatter).lower < -2.0);
  scatter.n = scatter.n_guides = 0;
  g_assert_true (faint_range_is_valid (faint_scatter_range (&scatter)));
}

static cairo_surface_t *
picture (const FaintScatter *scatter)
{
  cairo_surface_t *surface = cairo_image_surface_create (CAIRO_FORMAT_ARGB32, SIZE, SIZE);
  FaintCanvas canvas = faint_canvas_for_screen (cairo_create (surface),
                                                faint_palette_get (FAINT_PALETTE_LIGHT), NULL, 1);

  faint_scatter_draw (scatter, &canvas, (FaintRect){ 0, 0, SIZE, SIZE });
  g_assert_cmpint (cairo_status (canvas.cr), ==, CAIRO_STATUS_SUCCESS);
  cairo_destroy (canvas.cr);
  cairo_surface_flush (surface);
  return surface;
}

/* Bytes in the upper @rows rows that differ from an empty plot of the same ranges. */
static guint
count_bytes (const FaintScatter *scatter, int rows)
{
  FaintScatter empty = *scatter;
  cairo_surface_t *with = picture (scatter), *without;
  gsize length = (gsize)cairo_image_surface_get_stride (with) * (gsize)rows;
  guint n = 0;

  empty.n = 0;
  without = picture (&empty);
  for (gsize i = 0; i < length; i++)
    n += cairo_image_surface_get_data (with)[i] != cairo_image_surface_get_data (without)[i];
  cairo_surface_destroy (with);
  cairo_surface_destroy (without);
  return n;
}

static void
test_beyond (void)
{
  FaintScatter scatter = { .points = points + 8, .n = 1, .across = { 0, 10 }, .up = { 0, 10 } };

  g_assert_cmpuint (count_bytes (&scatter, SIZE / 4), >, 10); /* at the upper border */
  scatter.up = (FaintRange){ 0, 2000 };
  g_assert_cmpuint (count_bytes (&scatter, SIZE / 4), ==, 0); /* in the middle */
  g_assert_cmpuint (count_bytes (&scatter, SIZE), >, 10);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/scatter/range", test_range);
  g_test_add_func ("/scatter/beyond", test_beyond);
  return g_test_run ();
}

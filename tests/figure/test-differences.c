/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Observed minus calculated: range, what lies beyond it, the pointer. Expected values follow from
 * the rules of the header.
 */
#include "figure/differences.h"

#include "faint-test.h"

#include <math.h>

static const FaintDifference items[] = {
  { 1, -5, 0.0010, 0.0005, FAINT_SYMBOL_LEFT, TRUE },
  { 2, 1, -0.0020, NAN, FAINT_SYMBOL_RIGHT, TRUE },
  { 3, 4, 0.5, 0.001, FAINT_SYMBOL_RIGHT, FALSE },
};
static const FaintDifferences all = { items, G_N_ELEMENTS (items), "m" };
static const FaintRect place = { 0, 0, 400, 240 };

static void
test_view (void)
{
  cairo_surface_t *surface = cairo_image_surface_create (CAIRO_FORMAT_ARGB32, 400, 240);
  FaintCanvas canvas = faint_canvas_for_screen (cairo_create (surface),
                                                faint_palette_get (FAINT_PALETTE_LIGHT), NULL, 1);
  FaintView view = faint_differences_layout (&all, &canvas, place);
  FaintDifferences none = { NULL, 0, "m" };

  /* the zero in the middle, the left-out line beyond */
  faint_assert_near (view.up.lower, -view.up.upper, 1e-15, "symmetric by the header");
  g_assert_true (view.up.upper >= 0.0020 && view.up.upper < 0.0025);
  g_assert_true (view.across.lower < -5 && view.across.upper > 4);
  g_assert_cmpuint (
      faint_differences_at (&all, &view, faint_view_x (&view, -5), faint_view_y (&view, 0.0010), 3),
      ==, 1);
  /* it stands at the upper border, where the pointer finds it */
  g_assert_cmpuint (faint_differences_at (&all, &view, faint_view_x (&view, 4), view.place.y, 20),
                    ==, 3);
  g_assert_cmpuint (faint_differences_at (&all, &view, view.place.x + 1, view.place.y + 1, 3), ==,
                    0);
  faint_differences_draw (&all, &canvas, place);
  faint_differences_mark (&all, &canvas, place, 3);
  g_assert_true (faint_range_is_valid (faint_differences_layout (&none, &canvas, place).up));
  faint_differences_draw (&none, &canvas, place);
  g_assert_cmpint (cairo_status (canvas.cr), ==, CAIRO_STATUS_SUCCESS);
  cairo_destroy (canvas.cr);
  cairo_surface_destroy (surface);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/differences/view", test_view);
  return g_test_run ();
}

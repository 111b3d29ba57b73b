/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Views: identities and round trips.
 */
#include "figure/view.h"

#include "faint-test.h"

#include <math.h>

static const FaintView view = {
  .across = { 7780.0, 7800.0 },
  .up = { 0.9, 1.1 },
  .place = { 50.0, 20.0, 1000.0, 400.0 },
};

static void
test_mapping (void)
{
  faint_assert_close (faint_view_x (&view, 7780.0), 50.0, 1e-15, "a corner");
  faint_assert_close (faint_view_x (&view, 7800.0), 1050.0, 1e-15, "a corner");
  faint_assert_close (faint_view_x (&view, 7785.0), 300.0, 1e-15, "a quarter of 1000");
  faint_assert_close (faint_view_y (&view, 0.9), 420.0, 1e-15, "values rise upwards");
  faint_assert_close (faint_view_y (&view, 1.1), 20.0, 1e-13, "400 x rounding of 0.2");
  faint_assert_close (faint_view_unit_width (&view), 0.02, 1e-15, "20 over 1000");
}

static void
test_round_trip (void)
{
  for (double x = -200.0; x < 1300.0; x += 37.7)
    {
      faint_assert_near (faint_view_x (&view, faint_view_wavenumber (&view, x)), x, 1e-9,
                         "ulp of 7800 is 1e-12, times 50 units a wavenumber, few roundings");
      faint_assert_near (faint_view_y (&view, faint_view_value (&view, x)), x, 1e-9,
                         "ulp of 1 times 2000 units a value, few roundings");
    }
}

static void
test_zoom_holds_place (void)
{
  double at = 7783.123;
  FaintView zoomed = view;
  for (double factor = 0.25; factor < 1e5; factor *= 3.7)
    {
      zoomed.across = faint_range_zoom (view.across, at, factor);
      faint_assert_close (faint_range_width (zoomed.across), 20.0 / factor, 1e-6,
                          "ulp of 7800 over the narrowest range of 2e-4");
      faint_assert_near (faint_view_x (&zoomed, at), faint_view_x (&view, at), 1e-3,
                         "a thousandth of a pixel: ulp of 7800 over 2e-4, times 1000");
    }
}

static void
test_pan_and_hold (void)
{
  FaintRange moved = faint_range_pan (view.across, -3.0);
  faint_assert_close (moved.lower, 7777.0, 1e-15, "exact");
  faint_assert_close (moved.upper, 7797.0, 1e-15, "exact");
  FaintView held = view;
  held.across = faint_range_hold (view.across, 7783.0, 0.75);
  faint_assert_near (faint_view_x (&held, 7783.0), 50.0 + 750.0, 1e-9, "ulp of 7800 times 50");
  faint_assert_close (faint_range_width (held.across), 20.0, 1e-12, "ulp of 7800 over 20");
}

static void
test_clamp (void)
{
  FaintRange limits = { 7700.0, 7900.0 };
  const struct
  {
    FaintRange range, want;
  } cases[] = {
    { { 7750.0, 7760.0 }, { 7750.0, 7760.0 } }, /* inside: as it is */
    { { 7690.0, 7700.0 }, { 7700.0, 7710.0 } }, /* keeps its width */
    { { 7895.0, 7915.0 }, { 7880.0, 7900.0 } },
    { { 7000.0, 9000.0 }, { 7700.0, 7900.0 } },   /* too wide */
    { { 7750.0, 7750.5 }, { 7749.75, 7750.75 } }, /* too narrow: at least 1 */
    { { 7700.0, 7700.1 }, { 7700.0, 7701.0 } },   /* too narrow, at the end */
    { { 7760.0, 7750.0 }, { 7700.0, 7900.0 } },   /* not valid */
    { { NAN, 7750.0 }, { 7700.0, 7900.0 } },
  };
  for (guint i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      FaintRange got = faint_range_clamp (cases[i].range, limits, 1.0);
      faint_assert_close (got.lower, cases[i].want.lower, 1e-12, "sums of exact numbers");
      faint_assert_close (got.upper, cases[i].want.upper, 1e-12, "sums of exact numbers");
    }
}

static void
test_ranges (void)
{
  FaintRange padded = faint_range_padded ((FaintRange){ 2.0, 4.0 }, 0.1);
  faint_assert_close (padded.lower, 1.8, 1e-15, "one rounding");
  faint_assert_close (padded.upper, 4.2, 1e-15, "one rounding");
  g_assert_true (faint_range_is_valid (faint_range_padded ((FaintRange){ 0.0, 0.0 }, 0.1)));
  g_assert_true (faint_range_is_valid (faint_range_padded ((FaintRange){ -5.0, -5.0 }, 0.1)));
  FaintRange both = faint_range_union ((FaintRange){ 1.0, 2.0 }, (FaintRange){ NAN, NAN });
  g_assert_cmpfloat (both.upper, ==, 2.0);
  both = faint_range_union ((FaintRange){ 1.0, 2.0 }, (FaintRange){ -1.0, 1.5 });
  g_assert_cmpfloat (both.lower, ==, -1.0);
  g_assert_cmpfloat (both.upper, ==, 2.0);
  g_assert_true (faint_rect_contains (view.place, 50.0, 20.0));
  g_assert_false (faint_rect_contains (view.place, 1050.0, 20.0));
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/view/mapping", test_mapping);
  g_test_add_func ("/view/round-trip", test_round_trip);
  g_test_add_func ("/view/zoom-holds-place", test_zoom_holds_place);
  g_test_add_func ("/view/pan-and-hold", test_pan_and_hold);
  g_test_add_func ("/view/clamp", test_clamp);
  g_test_add_func ("/view/ranges", test_ranges);
  return g_test_run ();
}

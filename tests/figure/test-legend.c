/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The legend stands where it hides least of the traces.
 */
#include "figure/legend.h"

#include "faint-test.h"

#include <math.h>

#define N 8000
#define WIDTH 800.0
#define HEIGHT 200.0

static const FaintView view = { { 0, N }, { 0, 1 }, { 20, 10, WIDTH, HEIGHT } };
static const FaintLegendEntry entries[]
    = { { FAINT_PART_MODEL, "fitted" }, { FAINT_PART_OTHER_MODEL, "other" } };

typedef struct
{
  cairo_surface_t *surface;
  FaintCanvas canvas;
  double x[N], y[N];
} Fixture;

static void
set_up (Fixture *self, gconstpointer data)
{
  self->surface = cairo_image_surface_create (CAIRO_FORMAT_A8, 840, 220);
  self->canvas = faint_canvas_for_screen (cairo_create (self->surface),
                                          faint_palette_get (FAINT_PALETTE_LIGHT), NULL, 1.0);
  for (gsize i = 0; i < N; i++)
    {
      self->x[i] = i + 0.5;
      self->y[i] = 0.95;
    }
}

static void
tear_down (Fixture *self, gconstpointer data)
{
  cairo_destroy (self->canvas.cr);
  cairo_surface_destroy (self->surface);
}

/* A dip of transmission to @depth every 200 samples of [@from, @end). */
static void
add_dips (Fixture *self, gsize from, gsize end, double depth)
{
  for (gsize i = from + 50; i < end; i += 200)
    self->y[i] = depth;
}

static FaintRect
place_of (Fixture *self)
{
  g_autoptr (FaintPyramid) trace = faint_pyramid_new (self->x, self->y, N, NULL, NULL);
  const FaintPyramid *const traces[] = { NULL, trace };
  FaintRect place;

  g_assert_true (faint_legend_place (&self->canvas, &view, traces, 2, entries, 2, &place));
  g_assert_cmpfloat (place.x, >=, view.place.x);
  g_assert_cmpfloat (place.x + place.width, <=, view.place.x + WIDTH);
  g_assert_cmpfloat (place.y, >=, view.place.y);
  g_assert_cmpfloat (place.y + place.height, <=, view.place.y + HEIGHT);
  return place;
}

/* No sample nor the line between two of them is under @place. */
static void
assert_hides_nothing (const Fixture *self, FaintRect place)
{
  for (gsize i = 0; i < N; i++)
    {
      double x = faint_view_x (&view, self->x[i]), y = faint_view_y (&view, self->y[i]);

      if (x >= place.x && x <= place.x + place.width)
        g_assert_cmpfloat (y, <, place.y);
    }
}

static void
test_free_corner (Fixture *self, gconstpointer data)
{
  FaintRect place = place_of (self);

  assert_hides_nothing (self, place);
  g_assert_cmpfloat (place.x + place.width, >, view.place.x + WIDTH - 20); /* nothing in the way */
  g_assert_cmpfloat (place.y, >, view.place.y + HEIGHT / 2);
}

static void
test_dips_at_the_right (Fixture *self, gconstpointer data)
{
  add_dips (self, N / 2, N, 0.02);
  assert_hides_nothing (self, place_of (self));
}

static void
test_gap_between_branches (Fixture *self, gconstpointer data)
{
  add_dips (self, 0, 3600, 0.02);
  add_dips (self, 5400, N, 0.02);
  assert_hides_nothing (self, place_of (self));
}

/* Deep dips all over: the upper edge, where only their flanks are, is no better; it stands where
 * they are fewest. */
static void
test_least_of_evils (Fixture *self, gconstpointer data)
{
  FaintRect place;

  add_dips (self, 0, N, 0.02);
  for (gsize i = 1250; i < 2800; i += 200) /* at 145 to 300 from the left there is one alone */
    self->y[i] = i == 2050 ? 0.02 : 0.95;
  place = place_of (self);
  g_assert_cmpfloat (place.x + place.width / 2, >, view.place.x + 125);
  g_assert_cmpfloat (place.x + place.width / 2, <, view.place.x + 280);
}

static void
test_small_lane (Fixture *self, gconstpointer data)
{
  FaintView small = view;
  FaintRect place;

  small.place.height = 20;
  g_assert_false (faint_legend_place (&self->canvas, &small, NULL, 0, entries, 2, &place));
  g_assert_false (faint_legend_place (&self->canvas, &view, NULL, 0, entries, 0, &place));
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
#define ADD(name, function)                                                                        \
  g_test_add ("/figure/legend/" name, Fixture, NULL, set_up, function, tear_down)
  ADD ("free-corner", test_free_corner);
  ADD ("dips-at-the-right", test_dips_at_the_right);
  ADD ("gap-between-branches", test_gap_between_branches);
  ADD ("least-of-evils", test_least_of_evils);
  ADD ("small-lane", test_small_lane);
  return g_test_run ();
}

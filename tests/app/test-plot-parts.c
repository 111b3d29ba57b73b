/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The parts of the plots that need no display: rectangles of columns, which line is meant, steps
 * back through views, steady ranges, grips of the overview. Expected values are worked out by hand
 * from the definitions in the headers.
 */
#include "app/plot/area.h"
#include "app/plot/columns.h"
#include "app/plot/hit.h"
#include "app/plot/overview.h"
#include "app/plot/view-history.h"
#include "faint-test.h"

#include <math.h>

static void
test_span (void)
{
  FaintRange up = { 0, 10 };
  int top, bottom;

  /* 100 rows of 0.1: values 2 to 3 lie 70 to 80 rows below the top. */
  g_assert_true (faint_columns_span (up, 100, 2, 3, 0, &top, &bottom));
  g_assert_cmpint (top, ==, 70);
  g_assert_cmpint (bottom, ==, 80);
  /* A single value is as thick as the pen, wherever it falls. */
  for (double value = 1; value < 9; value += 0.037)
    {
      g_assert_true (faint_columns_span (up, 100, value, value, 2, &top, &bottom));
      g_assert_cmpint (bottom - top, ==, 2);
      g_assert_cmpint (ABS (top + 1 - (int)round (100 - 10 * value)), <=, 1);
    }
}

static void
test_span_outside (void)
{
  FaintRange up = { 0, 10 };
  int top, bottom;

  g_assert_false (faint_columns_span (up, 100, 11, 12, 1, &top, &bottom));
  g_assert_false (faint_columns_span (up, 100, -5, -1, 1, &top, &bottom));
  g_assert_false (faint_columns_span (up, 100, NAN, NAN, 1, &top, &bottom));
  /* Cut at both ends. */
  g_assert_true (faint_columns_span (up, 100, -1e300, 1e300, 1, &top, &bottom));
  g_assert_cmpint (top, ==, 0);
  g_assert_cmpint (bottom, ==, 100);
}

static FaintLineList *
lines_at (const double *position, const double *strength, gsize n)
{
  FaintLine line[8];

  g_assert_cmpuint (n, <=, G_N_ELEMENTS (line));
  for (gsize i = 0; i < n; i++)
    {
      line[i] = faint_line_unknown ();
      line[i].id = i + 1;
      line[i].position.value = position[i];
      line[i].strength.value = strength[i];
    }
  return faint_line_list_new (line, n);
}

static void
test_hit (void)
{
  const double position[] = { 100.0, 110.0, 110.5, 150.0 };
  const double strength[] = { 1e-25, 1e-26, 1e-24, NAN };
  g_autoptr (FaintLineList) lines = lines_at (position, strength, 4);
  FaintView view = { { 100, 200 }, { 0, 1 }, { 0, 0, 100, 100 } }; /* a unit a wavenumber */

  g_assert_cmpuint (faint_hit_line (lines, &view, 2, 8)->id, ==, 1);
  /* Two that share a place: the strong one, although the other is nearer. */
  g_assert_cmpuint (faint_hit_line (lines, &view, 10, 8)->id, ==, 3);
  g_assert_cmpuint (faint_hit_line (lines, &view, 45, 8)->id, ==, 4);
  g_assert_null (faint_hit_line (lines, &view, 30, 8));
}

static void
test_hit_empty (void)
{
  g_autoptr (FaintLineList) none = faint_line_list_new (NULL, 0);
  FaintView view = { { 100, 200 }, { 0, 1 }, { 0, 0, 100, 100 } };

  g_assert_null (faint_hit_line (none, &view, 10, 1000));
  g_assert_null (faint_hit_step (none, 0, 150, 1));
  g_assert_null (faint_hit_step (none, 0, 150, -1));
  g_assert_cmpuint (faint_hit_count (none, (FaintRange){ 0, 1e9 }), ==, 0);
}

static void
test_step (void)
{
  const double position[] = { 100.0, 110.0, 150.0 };
  const double strength[] = { 1e-25, 1e-26, 1e-24 };
  g_autoptr (FaintLineList) lines = lines_at (position, strength, 3);

  g_assert_cmpuint (faint_hit_step (lines, 0, 105, 1)->id, ==, 2);
  g_assert_cmpuint (faint_hit_step (lines, 0, 105, -1)->id, ==, 1);
  g_assert_cmpuint (faint_hit_step (lines, 2, 0, 1)->id, ==, 3);
  g_assert_cmpuint (faint_hit_step (lines, 2, 0, -1)->id, ==, 1);
  g_assert_null (faint_hit_step (lines, 3, 0, 1));
  g_assert_null (faint_hit_step (lines, 1, 0, -1));
  /* A line that was removed meanwhile: from the place instead. */
  g_assert_cmpuint (faint_hit_step (lines, 77, 120, 1)->id, ==, 3);
  g_assert_cmpuint (faint_hit_count (lines, (FaintRange){ 100, 110 }), ==, 2);
}

static void
test_half_width (void)
{
  FaintLine line = faint_line_unknown ();

  line.position.value = 100;
  g_assert_cmpfloat (faint_hit_half_width (&line, 0.5), ==, 0.5);
  line.lorentz.value = 0.02;
  line.doppler.value = 0;
  /* A pure Lorentzian's half width is its parameter. */
  faint_assert_close (faint_hit_half_width (&line, 0.5), 0.02, 1e-9,
                      "the solver's stated accuracy is 1e-10");
  faint_assert_close (faint_hit_range (&line, 0.5).upper, 100.3, 1e-12, "15 half widths, rounding");
}

static FaintRange
view (double lower)
{
  return (FaintRange){ lower, lower + 1 };
}

static void
test_history (void)
{
  g_autoptr (FaintViewHistory) history = faint_view_history_new ();
  const gint64 rest = FAINT_VIEW_HISTORY_REST_US;
  gint64 now = 10 * rest;
  FaintRange back;

  faint_view_history_note (history, view (0), now);
  /* A pan of fifty steps, quickly: one step back to where it began. */
  now += 2 * rest;
  for (int i = 1; i <= 50; i++)
    faint_view_history_note (history, view (i), now += rest / 50);
  g_assert_cmpuint (faint_view_history_get_n (history), ==, 1);
  /* A jump straight after keeps the end of the pan. */
  faint_view_history_jump (history);
  faint_view_history_note (history, view (1000), now += 1);
  g_assert_cmpuint (faint_view_history_get_n (history), ==, 2);

  g_assert_true (faint_view_history_back (history, &back));
  g_assert_cmpfloat (back.lower, ==, 50);
  /* The window now shows it, which is no new step. */
  faint_view_history_note (history, back, now += 5 * rest);
  g_assert_true (faint_view_history_back (history, &back));
  g_assert_cmpfloat (back.lower, ==, 0);
  g_assert_false (faint_view_history_back (history, &back));
}

static void
test_history_bounds (void)
{
  g_autoptr (FaintViewHistory) history = faint_view_history_new ();
  FaintRange back;

  for (int i = 0; i < 3 * FAINT_VIEW_HISTORY_MAX; i++)
    faint_view_history_note (history, view (i), (gint64)i * FAINT_VIEW_HISTORY_REST_US);
  g_assert_cmpuint (faint_view_history_get_n (history), ==, FAINT_VIEW_HISTORY_MAX);
  g_assert_true (faint_view_history_back (history, &back));
  g_assert_cmpfloat (back.lower, ==, 3 * FAINT_VIEW_HISTORY_MAX - 2);
  faint_view_history_note (history, (FaintRange){ NAN, NAN }, 0);
  faint_view_history_clear (history);
  g_assert_false (faint_view_history_back (history, &back));
}

static void
test_steady (void)
{
  FaintRange held = { 0, 10 };

  /* Fits and fills most of it: stays. */
  g_assert_cmpfloat (faint_plot_area_steady (held, (FaintRange){ 1, 9 }).upper, ==, 10);
  /* Out of it, or little of it: anew. */
  g_assert_cmpfloat (faint_plot_area_steady (held, (FaintRange){ 1, 11 }).upper, ==, 11);
  g_assert_cmpfloat (faint_plot_area_steady (held, (FaintRange){ 1, 2 }).upper, ==, 2);
  g_assert_cmpfloat (faint_plot_area_steady ((FaintRange){ NAN, NAN }, held).upper, ==, 10);
}

static void
test_grip (void)
{
  g_assert_cmpint (faint_overview_grip (100, 200, 98), ==, FAINT_GRIP_LEFT);
  g_assert_cmpint (faint_overview_grip (100, 200, 203), ==, FAINT_GRIP_RIGHT);
  g_assert_cmpint (faint_overview_grip (100, 200, 150), ==, FAINT_GRIP_BODY);
  g_assert_cmpint (faint_overview_grip (100, 200, 50), ==, FAINT_GRIP_BESIDE);
  /* A narrow frame can still be moved. */
  g_assert_cmpint (faint_overview_grip (100, 106, 103), ==, FAINT_GRIP_BODY);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/plot/columns/span", test_span);
  g_test_add_func ("/plot/columns/outside", test_span_outside);
  g_test_add_func ("/plot/hit/line", test_hit);
  g_test_add_func ("/plot/hit/empty", test_hit_empty);
  g_test_add_func ("/plot/hit/step", test_step);
  g_test_add_func ("/plot/hit/half-width", test_half_width);
  g_test_add_func ("/plot/history/steps", test_history);
  g_test_add_func ("/plot/history/bounds", test_history_bounds);
  g_test_add_func ("/plot/area/steady", test_steady);
  g_test_add_func ("/plot/overview/grip", test_grip);
  return g_test_run ();
}

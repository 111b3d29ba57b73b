/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Steps of 1, 2 or 5 times a power of ten are common practice, no source. Expected ticks were
 * written down by hand.
 */
#include "figure/ticks.h"

#include "faint-test.h"

#include <math.h>

typedef struct
{
  double from, to;
  guint most;
  guint n;
  double first, step;
  int decimals;
  const char *first_label;
} Case;

static const Case cases[] = {
  { 0.0, 1.0, 6, 6, 0.0, 0.2, 1, "0.0" },
  { 0.0, 10.0, 11, 11, 0.0, 1.0, 0, "0" },
  { 0.0, 10.0, 10, 6, 0.0, 2.0, 0, "0" },
  { 7790.2, 7791.1, 5, 5, 7790.2, 0.2, 1, "7790.2" },
  /* 1e-5 wide: a step of 2e-6 */
  { 7790.220341, 7790.220351, 6, 5, 7790.220342, 2e-6, 6, "7790.220342" },
  /* the same, inverted */
  { 7790.220351, 7790.220341, 6, 5, 7790.220342, 2e-6, 6, "7790.220342" },
  { -3.5, 3.5, 7, 7, -3.0, 1.0, 0, "−3" },
  { -0.045, 0.045, 5, 5, -0.04, 0.02, 2, "−0.04" },
  { 1283.0, 1284.0, 3, 3, 1283.0, 0.5, 1, "1283.0" },
  { 7.67e5, 7.73e5, 4, 3, 768000.0, 2000.0, 0, "768000" },
  { 1.3e-26, 4.1e-26, 3, 3, 2e-26, 1e-26, 26, NULL },
  { 0.0, 1e300, 6, 6, 0.0, 2e299, 0, "0" },
  { 2.0, 3.0, 1, 1, 2.0, 2.0, 0, "2" },
};

static void
test_ranges (void)
{
  for (guint c = 0; c < G_N_ELEMENTS (cases); c++)
    {
      const Case *want = &cases[c];
      FaintTicks ticks = faint_ticks (want->from, want->to, want->most);
      g_test_message ("range %g to %g", want->from, want->to);
      g_assert_cmpuint (ticks.n, ==, want->n);
      faint_assert_close (ticks.at[0], want->first, 4e-16, "one rounding, two ulp");
      faint_assert_close (ticks.step, want->step, 4e-16, "one rounding, two ulp");
      g_assert_cmpint (ticks.decimals, ==, want->decimals);
      if (want->first_label == NULL)
        continue;
      g_autofree char *label = faint_ticks_label (&ticks, ticks.at[0]);
      g_assert_cmpstr (label, ==, want->first_label);
    }
}

static void
test_nothing (void)
{
  g_assert_cmpuint (faint_ticks (5.0, 5.0, 6).n, ==, 0);
  g_assert_cmpuint (faint_ticks (NAN, 5.0, 6).n, ==, 0);
  g_assert_cmpuint (faint_ticks (0.0, INFINITY, 6).n, ==, 0);
  g_assert_cmpuint (faint_ticks (-1.7e308, 1.7e308, 6).n, ==, 0); /* the width overflows */
  /* two neighbouring doubles: no step fits between them */
  g_assert_cmpuint (faint_ticks (7790.0, nextafter (7790.0, 8000.0), 6).n, ==, 0);
}

/* Whatever the range: never more than asked, inside, evenly spaced, labels all different. */
static void
test_properties (void)
{
  GRand *random = g_rand_new_with_seed (1);

  for (guint round = 0; round < 2000; round++)
    {
      double width = pow (10.0, g_rand_double_range (random, -6.0, 6.0));
      double from = g_rand_double_range (random, -8000.0, 8000.0);
      guint most = (guint)g_rand_int_range (random, 1, FAINT_TICKS_MAX + 1);
      FaintTicks ticks = faint_ticks (from, from + width, most);
      g_assert_cmpuint (ticks.n, <=, most);
      g_autofree char *before = NULL;
      for (guint i = 0; i < ticks.n; i++)
        {
          char *label = faint_ticks_label (&ticks, ticks.at[i]);
          g_assert_cmpfloat (ticks.at[i], >=, from - 1e-8 * width);
          g_assert_cmpfloat (ticks.at[i], <=, from + width + 1e-8 * width);
          if (i > 0)
            faint_assert_near (ticks.at[i] - ticks.at[i - 1], ticks.step, 4e-12,
                               "ulp of 8000 is 1e-12; two roundings");
          g_assert_cmpstr (label, !=, before);
          g_free (before);
          before = label;
        }
    }
  g_rand_free (random);
}

static void
test_logarithmic (void)
{
  FaintTicks ticks = faint_ticks_log (3e-27, 5e-23, 6);
  g_assert_cmpuint (ticks.n, ==, 4);
  for (guint i = 0; i < 4; i++)
    {
      static const char *const labels[] = { "10⁻²⁶", "10⁻²⁵", "10⁻²⁴", "10⁻²³" };
      g_autofree char *label = faint_ticks_label_power (ticks.at[i]);
      g_assert_cmpstr (label, ==, labels[i]);
    }
  ticks = faint_ticks_log (1.0, 1e10, 6);
  g_assert_cmpuint (ticks.n, ==, 6); /* every second power */
  g_assert_cmpfloat (ticks.at[1], ==, 100.0);
  g_assert_cmpuint (faint_ticks_log (0.0, 1.0, 6).n, ==, 0);
  g_assert_cmpuint (faint_ticks_log (2.0, 3.0, 6).n, ==, 0);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/ticks/ranges", test_ranges);
  g_test_add_func ("/ticks/nothing", test_nothing);
  g_test_add_func ("/ticks/properties", test_properties);
  g_test_add_func ("/ticks/logarithmic", test_logarithmic);
  return g_test_run ();
}

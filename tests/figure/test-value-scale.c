/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Labels in quantity calculus (SI Brochure, 9th edition, 5.4.1: the value of a quantity over its
 * unit is a number). Expected labels were written down by hand.
 */
#include "figure/value-scale.h"

#include "faint-test.h"

#include <math.h>
#include <string.h>

typedef struct
{
  FaintRange up;
  guint most;
  const char *symbol;
  const char *label;    /* of the axis, for the quantity "q" */
  const char *ticks[6]; /* all of them */
} Case;

static const Case cases[] = {
  { { 0.0, 1.0 }, 6, NULL, "q", { "0.0", "0.2", "0.4", "0.6", "0.8", "1.0" } },
  { { -3.2, 3.2 }, 4, "rad", "q/rad", { "−2", "0", "2" } },
  { { -3e-9, 5e-9 }, 5, "cm⁻¹", "q/(10⁻⁹ cm⁻¹)", { "−2", "0", "2", "4" } },
  { { 0.0, 1e9 }, 6, NULL, "q/10⁹", { "0.0", "0.2", "0.4", "0.6", "0.8", "1.0" } },
  { { 0.99985, 0.999852 }, 5, NULL, "(q − 0.99985)/10⁻⁶", { "0.0", "0.5", "1.0", "1.5", "2.0" } },
  { { 2.000001, 2.000009 }, 5, "V", "(q − 2.00000 V)/(10⁻⁶ V)", { "2", "4", "6", "8" } },
  /* one tick asked for, none would tell the scale: more are given */
  { { 0.5, 1.2 }, 1, NULL, "q", { "0.5", "1.0" } },
};

static void
test_labels (void)
{
  for (guint c = 0; c < G_N_ELEMENTS (cases); c++)
    {
      const Case *want = &cases[c];
      FaintValueScale scale = faint_value_scale (want->up, want->most);
      g_autofree char *label = faint_value_scale_label (&scale, "q", want->symbol);
      g_assert_cmpstr (label, ==, want->label);
      for (guint i = 0; i < scale.ticks.n; i++)
        {
          g_autofree char *tick = faint_value_scale_tick (&scale, scale.ticks.at[i]);
          g_assert_cmpuint (i, <, 6);
          g_assert_cmpstr (tick, ==, want->ticks[i]);
        }
      g_assert_true (scale.ticks.n == 6 || want->ticks[scale.ticks.n] == NULL);
    }
}

/* Whatever the range: labels are short, all different, and with the axis label give the values. */
static void
test_properties (void)
{
  GRand *random = g_rand_new_with_seed (11);

  for (guint round = 0; round < 3000; round++)
    {
      double width = pow (10.0, g_rand_double_range (random, -9.0, 9.0));
      double lower = g_rand_double_range (random, -2.0, 2.0) * (round % 2 ? 1.0 : width);
      FaintValueScale scale = faint_value_scale ((FaintRange){ lower, lower + width }, 5);
      double unit = pow (10.0, scale.exponent);
      g_autofree char *before = NULL;
      g_assert_cmpuint (scale.ticks.n, >=, 2);
      for (guint i = 0; i < scale.ticks.n; i++)
        {
          char *tick = faint_value_scale_tick (&scale, scale.ticks.at[i]);
          gboolean is_negative = g_str_has_prefix (tick, "−");
          double shown = g_ascii_strtod (tick + (is_negative ? strlen ("−") : 0), NULL);
          g_assert_cmpint (g_utf8_strlen (tick, -1), <=, 8);
          g_assert_cmpstr (tick, !=, before);
          faint_assert_near ((is_negative ? -shown : shown) * unit + scale.base, scale.ticks.at[i],
                             1e-6 * scale.ticks.step + 4e-16, "a label tells its tick; ulp of 2");
          g_free (before);
          before = tick;
        }
    }
  g_rand_free (random);
}

static void
test_nothing (void)
{
  FaintValueScale scale = faint_value_scale ((FaintRange){ NAN, 1.0 }, 5);
  g_autofree char *label = faint_value_scale_label (&scale, "q", "");
  g_assert_cmpuint (scale.ticks.n, ==, 0);
  g_assert_cmpstr (label, ==, "q");
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/value-scale/labels", test_labels);
  g_test_add_func ("/value-scale/properties", test_properties);
  g_test_add_func ("/value-scale/nothing", test_nothing);
  return g_test_run ();
}

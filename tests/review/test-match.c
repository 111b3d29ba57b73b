/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Which lines of two lists are the same: by cases that a person decides at a glance, and against
 * trying every matching of short lists.
 */
#include <math.h>
#include <stdlib.h>

#include "faint-test.h"
#include "faint/review/match.h"

static const FaintMatchOptions options = { .reach = 3.0, .scale = 1.5 };

static FaintMatchLine
line (double position, double strength)
{
  return (FaintMatchLine){ .position = position, .strength = strength, .half_width = 1.0 };
}

/* Compares with "n0 n1" for each group. */
static void
assert_groups (const FaintMatchLine *a, gsize na, const FaintMatchLine *b, gsize nb,
               const char *wanted)
{
  g_autoptr (GArray) matches = faint_match_lines (a, na, b, nb, &options);
  g_autoptr (GString) text = g_string_new (NULL);
  gsize sum[2] = { 0, 0 };

  for (guint i = 0; i < matches->len; i++)
    {
      const FaintMatch *it = &g_array_index (matches, FaintMatch, i);

      g_assert_true (it->first[0] == sum[0] && it->first[1] == sum[1]); /* every line, in order */
      sum[0] += it->n[0];
      sum[1] += it->n[1];
      g_string_append_printf (text, "%s%u%u", i > 0 ? " " : "", it->n[0], it->n[1]);
    }
  g_assert_true (sum[0] == na && sum[1] == nb);
  g_assert_cmpstr (text->str, ==, wanted);
}

static void
test_pairs (void)
{
  const FaintMatchLine a[] = { line (10, 1), line (20, 2), line (40, 1) };
  const FaintMatchLine b[] = { line (10.2, 1), line (20.1, 2), line (30, 5), line (40, 1) };

  assert_groups (a, 3, b, 4, "11 11 01 11");
  assert_groups (b, 4, a, 3, "11 11 10 11");
  assert_groups (a, 3, b, 0, "10 10 10");
  assert_groups (a, 0, b, 0, "");
}

/* Further apart than the reach is not the same, however like in strength. */
static void
test_reach (void)
{
  const FaintMatchLine a[] = { line (10, 1) }, b[] = { line (13.1, 1) }, c[] = { line (12.9, 1) };

  assert_groups (a, 1, b, 1, "10 01");
  assert_groups (a, 1, c, 1, "11");
}

/* In a crowd the strength tells: the faint line between two strong ones goes to the faint one. */
static void
test_strength (void)
{
  const FaintMatchLine a[] = { line (10, 100), line (11.6, 1) };
  const FaintMatchLine b[] = { line (10.1, 100), line (10.9, 90), line (11.9, 1) };

  assert_groups (a, 2, b, 3, "11 01 11");
}

static void
test_blend (void)
{
  const FaintMatchLine one[] = { line (10, 2) };
  const FaintMatchLine two[] = { line (9.6, 1.1), line (10.5, 0.9) };
  const FaintMatchLine strong_and_faint[] = { line (10, 2), line (10.8, 0.05) };
  const FaintMatchLine apart[] = { line (6.5, 1.1), line (13.5, 0.9) };

  assert_groups (one, 1, two, 2, "12");
  assert_groups (two, 2, one, 1, "21");
  assert_groups (two, 2, two, 2, "11 11");
  /* A twentieth more beside a line that answers by itself is a line of its own. */
  assert_groups (one, 1, strong_and_faint, 2, "11 01");
  assert_groups (one, 1, apart, 2, "01 10 01");
}

/* Least cost of all matchings of pairs alone, by trying all: the cost of a pair is the square of
 * its distance in reaches plus that of its logarithm of strengths in scales, at most 1.1, and of a
 * line alone 0.6, as the header and its file say. */
static double
least_cost (const FaintMatchLine *a, gsize na, const FaintMatchLine *b, gsize nb)
{
  double best, x, s;

  if (na == 0 || nb == 0)
    return 0.6 * (double)(na + nb);
  best = MIN (0.6 + least_cost (a + 1, na - 1, b, nb), 0.6 + least_cost (a, na, b + 1, nb - 1));
  x = (a->position - b->position) / 3.0;
  s = log (a->strength / b->strength) / 1.5;
  if (fabs (x) <= 1.0)
    best = MIN (best, x * x + MIN (s * s, 1.1) + least_cost (a + 1, na - 1, b + 1, nb - 1));
  return best;
}

static double
cost_of (const GArray *matches, const FaintMatchLine *a, const FaintMatchLine *b)
{
  double sum = 0.0;

  for (guint i = 0; i < matches->len; i++)
    {
      const FaintMatch *it = &g_array_index (matches, FaintMatch, i);

      if (it->n[0] == 1 && it->n[1] == 1)
        sum += least_cost (a + it->first[0], 1, b + it->first[1], 1);
      else
        sum += 0.6 * (it->n[0] + it->n[1]);
    }
  return sum;
}

/* Strengths that rise tenfold from line to line never make a blend of two, so that pairs are all
 * there is. */
static void
test_against_all (void)
{
  g_autoptr (GRand) random = g_rand_new_with_seed (5);

  for (guint trial = 0; trial < 40; trial++)
    {
      FaintMatchLine list[2][7];
      g_autoptr (GArray) matches = NULL;

      for (guint l = 0; l < 2; l++)
        for (guint i = 0; i < 7; i++)
          list[l][i] = line (2.0 * i + 3.0 * g_rand_double (random),
                             pow (10.0, (i * 3 + l * (trial % 2)) % 7));
      for (guint l = 0; l < 2; l++)
        for (guint i = 1; i < 7; i++)
          list[l][i].position = MAX (list[l][i].position, list[l][i - 1].position);
      matches = faint_match_lines (list[0], 7, list[1], 7, &options);
      faint_assert_near (cost_of (matches, list[0], list[1]), least_cost (list[0], 7, list[1], 7),
                         1e-12, "sums of a few numbers in another order");
    }
}

static void
test_shift (void)
{
  g_autoptr (GRand) random = g_rand_new_with_seed (8);
  FaintMatchLine a[60], b[60], c[60];

  for (guint i = 0; i < 60; i++)
    {
      double at = 20.0 * i + 10.0 * g_rand_double (random);

      b[i] = line (at, 1);
      a[i] = line (at + 7.3 + 0.02 * (g_rand_double (random) - 0.5), 1);
      c[i] = line (20.0 * i + 10.0 * g_rand_double (random), 1);
    }
  faint_assert_near (faint_match_shift (a, 60, b, 60, 15.0, 0.5), 7.3, 0.01,
                     "the median of 60 numbers spread over 0.02");
  g_assert_true (faint_match_shift (c, 60, b, 60, 15.0, 0.5) == 0.0); /* lines at random */
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/review/match/pairs", test_pairs);
  g_test_add_func ("/review/match/reach", test_reach);
  g_test_add_func ("/review/match/strength", test_strength);
  g_test_add_func ("/review/match/blend", test_blend);
  g_test_add_func ("/review/match/against-all", test_against_all);
  g_test_add_func ("/review/match/shift", test_shift);
  return g_test_run ();
}

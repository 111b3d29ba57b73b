/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Ties between lines of a list. The numbers are chosen so that they are exact in binary and can be
 * followed by hand.
 */
#include "faint/lines/line-list.h"
#include "faint/lines/parameters.h"
#include "faint-test.h"

#include <string.h>

static FaintLine
line_at (guint id, double position, double lorentz)
{
  FaintLine line = faint_line_unknown ();

  line.id = id;
  line.position.value = position;
  line.lorentz.value = lorentz;
  return line;
}

static void
tie (FaintParameter *parameter, guint id, double factor, double offset)
{
  parameter->state = FAINT_STATE_TIED;
  parameter->tied_to = id;
  parameter->tie_factor = factor;
  parameter->tie_offset = offset;
}

static void
assert_tie (const FaintParameter *parameter, guint id, double factor, double offset, double value)
{
  g_assert_cmpint (parameter->state, ==, FAINT_STATE_TIED);
  g_assert_cmpuint (parameter->tied_to, ==, id);
  g_assert_true (parameter->tie_factor == factor);
  g_assert_true (parameter->tie_offset == offset);
  g_assert_true (parameter->value == value);
}

static void
assert_free (const FaintParameter *parameter, double value)
{
  g_assert_cmpint (parameter->state, ==, FAINT_STATE_FREE);
  g_assert_cmpuint (parameter->tied_to, ==, 0);
  g_assert_true (parameter->tie_factor == 1.0 && parameter->tie_offset == 0.0);
  g_assert_true (parameter->value == value);
}

static const FaintParameter *
lorentz_of (const FaintLineList *list, guint id)
{
  return &faint_line_list_find (list, id)->lorentz;
}

/* 1 -> 2 -> 3 -> 4, given so that every order of following is met. */
static void
test_chain (void)
{
  FaintLine lines[] = { line_at (3, 30.0, 9.0), line_at (1, 10.0, 9.0), line_at (4, 40.0, 0.5),
                        line_at (2, 20.0, NAN) };
  g_autoptr (FaintLineList) list = NULL;

  tie (&lines[1].lorentz, 2, 2.0, 1.0);
  tie (&lines[3].lorentz, 3, 4.0, -1.0);
  tie (&lines[0].lorentz, 4, 0.5, 0.25);
  lines[0].flags = FAINT_LINE_LORENTZ_FIXED; /* states rule */
  list = faint_line_list_new (lines, G_N_ELEMENTS (lines));
  assert_free (lorentz_of (list, 4), 0.5);
  assert_tie (lorentz_of (list, 3), 4, 0.5, 0.25, 0.5);
  /* 4 (x/2 + 1/4) - 1 = 2 x */
  assert_tie (lorentz_of (list, 2), 4, 2.0, 0.0, 1.0);
  /* 2 (2 x) + 1 */
  assert_tie (lorentz_of (list, 1), 4, 4.0, 1.0, 3.0);
  g_assert_cmpuint (faint_line_list_find (list, 3)->flags, ==, FAINT_LINE_LORENTZ_TIED);
  g_assert_cmpuint (faint_line_list_find (list, 4)->flags, ==, 0);
}

static void
test_what_cannot_hold (void)
{
  FaintLine lines[] = { line_at (1, 1.0, 0.125), line_at (2, 2.0, 0.25), line_at (3, 3.0, 0.5),
                        line_at (4, 4.0, 7.0),   line_at (5, 5.0, 2.0),  line_at (6, 6.0, 4.0),
                        line_at (7, 7.0, 8.0),   line_at (8, 8.0, 1.0),  line_at (9, 9.0, 1e300) };
  g_autoptr (FaintLineList) list = NULL;

  tie (&lines[0].lorentz, 3, 2.0, 0.0); /* leads into the circle below, is none of it */
  tie (&lines[1].lorentz, 2, 1.0, 0.0); /* itself */
  tie (&lines[2].lorentz, 5, 1.0, 0.0); /* 3 -> 5 -> 3, a circle */
  tie (&lines[4].lorentz, 3, 1.0, 0.0);
  tie (&lines[3].lorentz, 77, 1.0, 0.0); /* missing */
  tie (&lines[5].lorentz, 4, 0.0, 1.0);  /* no relation */
  tie (&lines[6].lorentz, 4, NAN, 0.0);
  tie (&lines[7].lorentz, 9, 1e300, 0.0); /* 1e300 x 1e300 is no number */
  tie (&lines[8].lorentz, 1, 1e300, 0.0);
  list = faint_line_list_new (lines, G_N_ELEMENTS (lines));
  assert_tie (lorentz_of (list, 1), 3, 2.0, 0.0, 1.0);
  assert_free (lorentz_of (list, 2), 0.25);
  assert_free (lorentz_of (list, 3), 0.5);
  assert_free (lorentz_of (list, 5), 2.0);
  assert_free (lorentz_of (list, 4), 7.0);
  assert_free (lorentz_of (list, 6), 4.0);
  assert_free (lorentz_of (list, 7), 8.0);
  assert_free (lorentz_of (list, 8), 1.0);
  /* 1 follows 3 with 2, so 9 follows 3 with 2e300 */
  assert_tie (lorentz_of (list, 9), 3, 2e300, 0.0, 1e300);
}

static void
test_values (void)
{
  FaintLine lines[] = { line_at (1, 10.0, NAN), line_at (2, 1.0, 0.5), line_at (3, 11.0, 0.25) };
  g_autoptr (FaintLineList) list = NULL;

  tie (&lines[1].lorentz, 1, 1.0, 0.0);  /* to what is not known: keeps its own */
  tie (&lines[1].position, 1, 1.0, 4.0); /* moves behind both others */
  lines[2].strength.value = 3.0;
  lines[2].strength.u = 0.5;
  lines[2].strength.state = FAINT_STATE_FIXED;
  tie (&lines[0].strength, 3, 0.5, 0.0); /* to what is fixed */
  lines[0].strength.u = 0.25;
  for (guint k = FAINT_PLACE_DOPPLER; k < FAINT_PARAMETER_N; k++)
    {
      faint_line_nth_parameter (&lines[2], k)->value = k + 1.0;
      tie (faint_line_nth_parameter (&lines[0], k), 3, 2.0, 1.0);
    }
  list = faint_line_list_new (lines, 3);
  assert_tie (lorentz_of (list, 2), 1, 1.0, 0.0, 0.5);
  g_assert_cmpuint (faint_line_list_index_of (list, 2), ==, 2);
  g_assert_true (faint_line_list_get (list, 2)->position.value == 14.0);
  assert_tie (&faint_line_list_find (list, 1)->strength, 3, 0.5, 0.0, 1.5);
  g_assert_true (faint_line_list_find (list, 1)->strength.u == 0.25);
  for (guint k = FAINT_PLACE_DOPPLER; k < FAINT_PARAMETER_N; k++)
    assert_tie (faint_line_peek_nth_parameter (faint_line_list_find (list, 1), k), 3, 2.0, 1.0,
                2.0 * (k + 1.0) + 1.0);
}

static void
test_removed (void)
{
  FaintLine lines[] = { line_at (1, 40.0, 0.5), line_at (2, 10.0, NAN), line_at (3, 20.0, NAN),
                        line_at (4, 30.0, NAN), line_at (5, 50.0, 4.0), line_at (6, 60.0, NAN) };
  const guint gone[] = { 2, 1, 99 };
  g_autoptr (FaintLineList) list = NULL;
  g_autoptr (FaintLineList) fewer = NULL;

  tie (&lines[1].lorentz, 1, 8.0, 0.0); /* goes too: not the one that is set free */
  tie (&lines[2].lorentz, 1, 2.0, 1.0);
  tie (&lines[3].lorentz, 1, 4.0, 1.5);
  tie (&lines[5].lorentz, 5, 2.0, 0.0); /* has nothing to do with it */
  list = faint_line_list_new (lines, G_N_ELEMENTS (lines));
  fewer = faint_line_list_with_removed (list, gone, G_N_ELEMENTS (gone));
  g_assert_cmpuint (faint_line_list_get_n (fewer), ==, 4);
  assert_free (lorentz_of (fewer, 3), 2.0);
  /* y = 2 x + 1 and z = 4 x + 1.5 give z = 2 y - 0.5 */
  assert_tie (lorentz_of (fewer, 4), 3, 2.0, -0.5, 3.5);
  assert_tie (lorentz_of (fewer, 6), 5, 2.0, 0.0, 8.0);
  g_assert_cmpuint (faint_line_list_find (fewer, 3)->flags, ==, 0);
  /* the old list is as it was */
  assert_tie (lorentz_of (list, 4), 1, 4.0, 1.5, 3.5);
}

static void
test_replaced_and_added (void)
{
  FaintLine lines[] = { line_at (1, 10.0, 0.5), line_at (2, 20.0, NAN), line_at (3, 30.0, 0.125) };
  FaintLine changed, added = line_at (0, 40.0, NAN);
  guint id = 0;
  g_autoptr (FaintLineList) list = NULL, other = NULL, tied = NULL, circle = NULL, more = NULL;

  tie (&lines[1].lorentz, 1, 2.0, 0.0);
  list = faint_line_list_new (lines, 3);
  changed = *faint_line_list_find (list, 1);
  changed.lorentz.value = 0.75;
  other = faint_line_list_with_replaced (list, &changed);
  assert_tie (lorentz_of (other, 2), 1, 2.0, 0.0, 1.5);
  tie (&changed.lorentz, 3, 4.0, 0.0); /* a root is tied itself: those tied to it go along */
  tied = faint_line_list_with_replaced (list, &changed);
  assert_tie (lorentz_of (tied, 1), 3, 4.0, 0.0, 0.5);
  assert_tie (lorentz_of (tied, 2), 3, 8.0, 0.0, 1.0);
  tie (&changed.lorentz, 2, 1.0, 0.0);
  circle = faint_line_list_with_replaced (list, &changed);
  assert_free (lorentz_of (circle, 1), 0.75);
  assert_free (lorentz_of (circle, 2), 1.0);
  tie (&added.lorentz, 2, 1.0, 0.0);
  more = faint_line_list_with_added (list, &added, &id);
  assert_tie (lorentz_of (more, id), 1, 2.0, 0.0, 1.0);
}

/* Of any list: ties lead to what is not tied, making it again changes nothing, and removing lines
 * leaves the values of the others. */
static void
test_random (void)
{
  g_autoptr (GRand) random = g_rand_new_with_seed (4242);

  for (guint run = 0; run < 200; run++)
    {
      FaintLine lines[20];
      guint gone[6];
      g_autoptr (FaintLineList) list = NULL, again = NULL, fewer = NULL;

      for (guint i = 0; i < 20; i++)
        {
          lines[i] = line_at (i + 1, g_rand_double_range (random, 1.0, 9.0),
                              g_rand_double_range (random, 1.0, 2.0));
          if (g_rand_boolean (random))
            tie (&lines[i].lorentz, (guint)g_rand_int_range (random, 1, 22),
                 g_rand_double_range (random, 0.5, 2.0), g_rand_double (random));
        }
      list = faint_line_list_new (lines, 20);
      again = faint_line_list_new (faint_line_list_get (list, 0), 20);
      for (guint i = 0; i < 6; i++)
        gone[i] = (guint)g_rand_int_range (random, 1, 21);
      fewer = faint_line_list_with_removed (list, gone, 6);
      for (guint id = 1; id <= 20; id++)
        {
          const FaintParameter *one = lorentz_of (list, id);
          const FaintLine *left = faint_line_list_find (fewer, id);

          g_assert_cmpmem (one, sizeof *one, lorentz_of (again, id), sizeof *one);
          if (one->state == FAINT_STATE_TIED)
            g_assert_cmpint (lorentz_of (list, one->tied_to)->state, ==, FAINT_STATE_FREE);
          if (left != NULL)
            faint_assert_close (left->lorentz.value, one->value, 1e-12,
                                "some roundings, times 2^20 at most through a factor and its "
                                "inverse");
        }
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/lines/ties/chain", test_chain);
  g_test_add_func ("/lines/ties/what-cannot-hold", test_what_cannot_hold);
  g_test_add_func ("/lines/ties/values", test_values);
  g_test_add_func ("/lines/ties/removed", test_removed);
  g_test_add_func ("/lines/ties/replaced-and-added", test_replaced_and_added);
  g_test_add_func ("/lines/ties/random", test_random);
  return g_test_run ();
}

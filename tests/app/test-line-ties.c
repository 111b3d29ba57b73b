/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Ties, splitting and profiles on lists, and their words. Expected values are the rules that the
 * headers state, worked out by hand for round numbers.
 */
#include <string.h>

#include "app/lines/line-model.h"
#include "app/lines/line-shape.h"
#include "app/lines/line-ties.h"
#include "app/lines/line-words.h"
#include "faint-test.h"

/* Ids 1 to 3; the second is the strongest. */
static FaintLineList *
three_lines (void)
{
  FaintLine lines[3];

  for (guint i = 0; i < 3; i++)
    {
      lines[i] = faint_line_unknown ();
      lines[i].id = i + 1;
      lines[i].position.value = 7790.0 + i;
      lines[i].strength.value = i == 1 ? 4e-25 : 1e-25;
      lines[i].lorentz.value = 1e-3 * (i + 1);
      lines[i].doppler.value = 7e-3;
    }
  return faint_line_list_new (lines, 3);
}

static const guint all[] = { 1, 2, 3 };

static const FaintParameter *
parameter (FaintLineList *lines, guint id, FaintPlace place)
{
  return faint_line_peek_parameter (faint_line_list_find (lines, id), place);
}

static void
test_tie_widths (void)
{
  g_autoptr (FaintLineList) lines = three_lines ();
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintLineList) tied = faint_line_ties_tie (lines, all, 3, FAINT_PLACE_LORENTZ, &error);

  g_assert_no_error (error);
  g_assert_cmpint (parameter (tied, 2, FAINT_PLACE_LORENTZ)->state, ==, FAINT_STATE_FREE);
  for (guint id = 1; id <= 3; id += 2)
    {
      const FaintParameter *width = parameter (tied, id, FAINT_PLACE_LORENTZ);

      g_assert_cmpint (width->state, ==, FAINT_STATE_TIED);
      g_assert_cmpuint (width->tied_to, ==, 2);
      g_assert_cmpfloat (width->tie_factor, ==, 1.0);
      g_assert_cmpfloat (width->tie_offset, ==, 0.0);
      /* the strongest line's */
      g_assert_cmpfloat (width->value, ==, 2e-3);
      g_assert_true (faint_line_list_find (tied, id)->flags & FAINT_LINE_LORENTZ_TIED);
      g_assert_cmpint (parameter (tied, id, FAINT_PLACE_POSITION)->state, ==, FAINT_STATE_FREE);
    }
}

static void
test_tie_strengths_keeps_ratio (void)
{
  g_autoptr (FaintLineList) lines = three_lines ();
  g_autoptr (FaintLineList) tied = faint_line_ties_tie (lines, all, 3, FAINT_PLACE_STRENGTH, NULL);
  const FaintParameter *strength = parameter (tied, 1, FAINT_PLACE_STRENGTH);

  g_assert_cmpuint (strength->tied_to, ==, 2);
  faint_assert_close (strength->tie_factor, 0.25, 1e-15, "one division");
  faint_assert_close (strength->value, 1e-25, 1e-15, "a division and a product");
}

static void
test_tie_positions_keeps_distance (void)
{
  g_autoptr (FaintLineList) lines = three_lines ();
  g_autoptr (FaintLineList) tied = faint_line_ties_tie (lines, all, 3, FAINT_PLACE_POSITION, NULL);

  /* whole numbers: exact */
  g_assert_cmpfloat (parameter (tied, 1, FAINT_PLACE_POSITION)->tie_offset, ==, -1.0);
  g_assert_cmpfloat (parameter (tied, 3, FAINT_PLACE_POSITION)->tie_offset, ==, 1.0);
  g_assert_cmpfloat (parameter (tied, 3, FAINT_PLACE_POSITION)->value, ==, 7792.0);
}

/* The strongest is released when it was tied itself. */
static void
test_tie_again (void)
{
  g_autoptr (FaintLineList) lines = three_lines ();
  FaintLine line = *faint_line_list_find (lines, 2);
  g_autoptr (FaintLineList) first = NULL, second = NULL;

  g_assert_true (faint_line_ties_tie_to (lines, &line, FAINT_PLACE_LORENTZ, 1));
  first = faint_line_list_with_replaced (lines, &line);
  g_assert_cmpuint (parameter (first, 2, FAINT_PLACE_LORENTZ)->tied_to, ==, 1);
  second = faint_line_ties_tie (first, all, 3, FAINT_PLACE_LORENTZ, NULL);
  g_assert_cmpint (parameter (second, 2, FAINT_PLACE_LORENTZ)->state, ==, FAINT_STATE_FREE);
  g_assert_cmpuint (parameter (second, 1, FAINT_PLACE_LORENTZ)->tied_to, ==, 2);
  g_assert_cmpuint (parameter (second, 3, FAINT_PLACE_LORENTZ)->tied_to, ==, 2);
}

static void
test_tie_to_refuses (void)
{
  g_autoptr (FaintLineList) lines = three_lines ();
  FaintLine line = *faint_line_list_find (lines, 1), other = *faint_line_list_find (lines, 2);
  g_autoptr (FaintLineList) tied = NULL;

  g_assert_false (faint_line_ties_tie_to (lines, &line, FAINT_PLACE_LORENTZ, 1));
  g_assert_false (faint_line_ties_tie_to (lines, &line, FAINT_PLACE_LORENTZ, 77));
  /* a Voigt profile has no such parameter */
  g_assert_false (faint_line_ties_tie_to (lines, &line, FAINT_PLACE_SPEED_WIDTH, 2));
  g_assert_cmpint (line.lorentz.state, ==, FAINT_STATE_FREE);
  /* what follows the line cannot be followed by it */
  g_assert_true (faint_line_ties_tie_to (lines, &other, FAINT_PLACE_LORENTZ, 1));
  tied = faint_line_list_with_replaced (lines, &other);
  g_assert_false (faint_line_ties_tie_to (tied, &line, FAINT_PLACE_LORENTZ, 2));
  /* but a third one that would follow it follows what it follows */
  line = *faint_line_list_find (tied, 3);
  g_assert_true (faint_line_ties_tie_to (tied, &line, FAINT_PLACE_LORENTZ, 2));
  g_assert_cmpuint (line.lorentz.tied_to, ==, 1);
}

static void
test_tie_needs_values (void)
{
  FaintLine unknown[] = { faint_line_unknown (), faint_line_unknown () };
  const guint ids[] = { 1, 2 };
  g_autoptr (FaintLineList) lines = NULL, tied = NULL;
  g_autoptr (GError) error = NULL;

  unknown[0].position.value = 7790;
  unknown[1].position.value = 7791;
  lines = faint_line_list_new (unknown, 2);
  tied = faint_line_ties_tie (lines, ids, 2, FAINT_PLACE_LORENTZ, &error);
  g_assert_null (tied);
  g_assert_error (error, FAINT_LINE_TIES_ERROR, FAINT_LINE_TIES_ERROR_VALUE);
  g_clear_error (&error);
  g_assert_null (faint_line_ties_split (lines, 1, NULL, &error));
  g_assert_error (error, FAINT_LINE_TIES_ERROR, FAINT_LINE_TIES_ERROR_VALUE);
}

static void
test_suggest (void)
{
  g_autoptr (FaintLineList) lines = three_lines ();
  const FaintLine *found
      = faint_line_ties_suggest (lines, faint_line_list_find (lines, 3), FAINT_PLACE_LORENTZ);

  g_assert_nonnull (found);
  g_assert_cmpuint (found->id, ==, 2);
  g_assert_null (
      faint_line_ties_suggest (lines, faint_line_list_find (lines, 3), FAINT_PLACE_CORRELATION));
}

static void
test_release (void)
{
  g_autoptr (FaintLineList) lines = three_lines ();
  g_autoptr (FaintLineList) tied = faint_line_ties_tie (lines, all, 3, FAINT_PLACE_LORENTZ, NULL);
  guint n = 0;
  g_autoptr (FaintLineList) released = faint_line_ties_release (tied, all, 3, &n);
  g_autoptr (FaintLineList) none = NULL;

  g_assert_cmpuint (n, ==, 2);
  g_assert_cmpint (parameter (released, 3, FAINT_PLACE_LORENTZ)->state, ==, FAINT_STATE_FREE);
  g_assert_cmpfloat (parameter (released, 3, FAINT_PLACE_LORENTZ)->value, ==, 2e-3);
  none = faint_line_ties_release (released, all, 3, &n);
  g_assert_cmpuint (n, ==, 0);
}

static void
test_split (void)
{
  g_autoptr (FaintLineList) lines = three_lines ();
  guint second = 0;
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintLineList) split = faint_line_ties_split (lines, 2, &second, &error);
  double lower, upper;

  g_assert_no_error (error);
  g_assert_cmpuint (faint_line_list_get_n (split), ==, 4);
  g_assert_cmpuint (second, ==, 4);
  lower = parameter (split, 2, FAINT_PLACE_POSITION)->value;
  upper = parameter (split, 4, FAINT_PLACE_POSITION)->value;
  /* Half width of Lorentz 2e-3 and Doppler 7e-3: 0.5346 * 2e-3 + sqrt (0.2166 * 4e-6 + 49e-6) =
   * 8.130815e-3, by hand with the formula of Olivero and Longbothum (1977) */
  faint_assert_near (upper - lower, 8.130815e-3, 2e-9, "seven digits of the number above");
  faint_assert_near ((lower + upper) / 2, 7791.0, 2e-12, "sums near 7791");
  g_assert_cmpfloat (parameter (split, 2, FAINT_PLACE_STRENGTH)->value, ==, 2e-25);
  g_assert_cmpfloat (parameter (split, 4, FAINT_PLACE_STRENGTH)->value, ==, 2e-25);
  g_assert_cmpfloat (parameter (split, 4, FAINT_PLACE_LORENTZ)->value, ==, 2e-3);
}

static void
test_profile (void)
{
  g_autoptr (FaintLineList) lines = three_lines ();
  FaintLine line = *faint_line_list_find (lines, 2);

  faint_line_set_profile (&line, FAINT_PROFILE_SPEED_DEPENDENT_VOIGT);
  g_assert_cmpint (line.speed_width.state, ==, FAINT_STATE_FREE);
  faint_assert_close (line.speed_width.value, 2e-4, 1e-15, "one product");
  g_assert_cmpint (line.speed_shift.state, ==, FAINT_STATE_FIXED);
  g_assert_cmpfloat (line.speed_shift.value, ==, 0.0);
  g_assert_true (isnan (line.velocity_changing.value));
  line.speed_width.value = 3e-4;
  faint_line_set_profile (&line, FAINT_PROFILE_HARTMANN_TRAN);
  /* what is known stays */
  g_assert_cmpfloat (line.speed_width.value, ==, 3e-4);
  g_assert_cmpint (line.velocity_changing.state, ==, FAINT_STATE_FREE);
  g_assert_cmpint (line.correlation.state, ==, FAINT_STATE_FIXED);
  faint_line_set_profile (&line, FAINT_PROFILE_VOIGT);
  g_assert_true (isnan (line.speed_width.value));
  g_assert_true (isnan (line.correlation.value));
}

static void
test_words (void)
{
  g_autoptr (FaintLineList) lines = three_lines ();
  g_autoptr (FaintLineList) tied = faint_line_ties_tie (lines, all, 3, FAINT_PLACE_STRENGTH, NULL);
  g_autoptr (FaintLineList) apart = faint_line_ties_tie (lines, all, 3, FAINT_PLACE_POSITION, NULL);
  g_autoptr (FaintLineModel) model = faint_line_model_new ();
  g_autoptr (FaintLineItem) item = NULL;
  g_autofree char *ratio
      = faint_tie_in_words (tied, faint_line_list_find (tied, 1), FAINT_PLACE_STRENGTH);
  g_autofree char *distance
      = faint_tie_in_words (apart, faint_line_list_find (apart, 1), FAINT_PLACE_POSITION);
  g_autofree char *cell = NULL, *why = NULL, *name = NULL;

  g_assert_cmpstr (ratio, ==, "0.25 × strength of line 2 (7791.000)");
  g_assert_cmpstr (distance, ==, "position of line 2 (7791.000) − 1");
  g_assert_null (faint_tie_in_words (tied, faint_line_list_find (tied, 2), FAINT_PLACE_STRENGTH));

  faint_line_model_set_list (model, tied);
  item = g_list_model_get_item (G_LIST_MODEL (model), 0);
  cell = faint_line_item_text (item, FAINT_LINE_COLUMN_STRENGTH);
  why = faint_line_item_explain (item, FAINT_LINE_COLUMN_STRENGTH);
  g_assert_true (g_str_has_prefix (cell, "⇢ 1e-25"));
  g_assert_cmpstr (why, ==, "Tied: 0.25 × strength of line 2 (7791.000)");
  g_assert_null (faint_line_item_explain (item, FAINT_LINE_COLUMN_POSITION));

  name = faint_fit_parameter_in_words ("7790.220 Lorentz width");
  g_assert_cmpstr (name, ==, "7790.220 Lorentz width");
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/line-ties/widths", test_tie_widths);
  g_test_add_func ("/line-ties/strengths", test_tie_strengths_keeps_ratio);
  g_test_add_func ("/line-ties/positions", test_tie_positions_keeps_distance);
  g_test_add_func ("/line-ties/again", test_tie_again);
  g_test_add_func ("/line-ties/refuses", test_tie_to_refuses);
  g_test_add_func ("/line-ties/needs-values", test_tie_needs_values);
  g_test_add_func ("/line-ties/suggest", test_suggest);
  g_test_add_func ("/line-ties/release", test_release);
  g_test_add_func ("/line-ties/split", test_split);
  g_test_add_func ("/line-ties/profile", test_profile);
  g_test_add_func ("/line-ties/words", test_words);
  return g_test_run ();
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The line list as a container: order, ids, texts, new lists from old ones. The expected results
 * are counted by hand.
 */
#include "faint/lines/line-list.h"
#include "faint-test.h"

#include <string.h>

static FaintLine
line_at (double position, guint id, const char *upper)
{
  FaintLine line = faint_line_unknown ();

  line.position.value = position;
  line.id = id;
  line.upper = upper;
  return line;
}

static void
test_order_and_ids (void)
{
  const FaintLine lines[] = {
    line_at (7791.5, 4, "c"), line_at (NAN, 0, "lost"), line_at (7790.25, 0, "a"),
    line_at (7791.5, 4, "d"), line_at (7790.5, 9, "b"),
  };
  const char *const order[] = { "a", "b", "c", "d", "lost" }; /* equal positions keep their order */
  const guint ids[] = { 11, 9, 4, 12, 10 }; /* from 10 on: 0 and the second 4, in the order given */
  g_autoptr (FaintLineList) list = faint_line_list_new (lines, G_N_ELEMENTS (lines));

  g_assert_cmpuint (faint_line_list_get_n (list), ==, 5);
  for (gsize i = 0; i < 5; i++)
    {
      const FaintLine *line = faint_line_list_get (list, i);
      g_assert_cmpstr (line->upper, ==, order[i]);
      g_assert_cmpstr (line->remark, ==, "");
      g_assert_cmpuint (line->id, ==, ids[i]);
      g_assert_true (faint_line_list_find (list, ids[i]) == line);
      g_assert_cmpuint (faint_line_list_index_of (list, ids[i]), ==, i);
    }
  g_assert_null (faint_line_list_find (list, 77));
  g_assert_true (faint_line_list_index_of (list, 0) == G_MAXSIZE);
}

static void
test_nearest (void)
{
  const FaintLine lines[] = { line_at (10.0, 0, ""), line_at (12.0, 0, ""), line_at (NAN, 0, "") };
  g_autoptr (FaintLineList) list = faint_line_list_new (lines, 3);
  g_autoptr (FaintLineList) empty = faint_line_list_new (NULL, 0);
  g_autoptr (FaintLineList) lost = faint_line_list_new (&lines[2], 1);

  g_assert_cmpuint (faint_line_list_nearest (list, -5.0), ==, 0);
  g_assert_cmpuint (faint_line_list_nearest (list, 10.9), ==, 0);
  g_assert_cmpuint (faint_line_list_nearest (list, 11.1), ==, 1);
  g_assert_cmpuint (faint_line_list_nearest (list, 1e9), ==, 1);
  g_assert_true (faint_line_list_nearest (empty, 1.0) == G_MAXSIZE);
  g_assert_true (faint_line_list_nearest (lost, 1.0) == G_MAXSIZE);
}

static void
test_edits_make_new_lists (void)
{
  const FaintLine lines[] = { line_at (10.0, 1, "a"), line_at (12.0, 2, "b") };
  FaintLineList *old = faint_line_list_new (lines, 2);
  FaintLine added = line_at (11.0, 2, "new"), moved = line_at (9.0, 2, "b moved");
  const guint gone[] = { 1, 55 };
  guint id = 0;
  g_autoptr (FaintLineList) more = faint_line_list_with_added (old, &added, &id);
  g_autoptr (FaintLineList) other = faint_line_list_with_replaced (old, &moved);
  g_autoptr (FaintLineList) fewer = faint_line_list_with_removed (more, gone, 2);

  g_assert_cmpuint (faint_line_list_get_n (old), ==, 2);
  g_assert_cmpstr (faint_line_list_find (old, 2)->upper, ==, "b");
  faint_line_list_unref (old); /* the new lists own their texts */
  g_assert_cmpuint (id, ==, 3);
  g_assert_cmpstr (faint_line_list_get (more, 1)->upper, ==, "new");
  g_assert_cmpstr (faint_line_list_get (more, 2)->upper, ==, "b");
  g_assert_cmpstr (faint_line_list_get (other, 0)->upper, ==, "b moved");
  g_assert_cmpuint (faint_line_list_get (other, 0)->id, ==, 2);
  g_assert_cmpuint (faint_line_list_get_n (fewer), ==, 2);
  g_assert_cmpuint (faint_line_list_get (fewer, 0)->id, ==, 3);
}

static void
test_fixed_has_no_uncertainty (void)
{
  FaintLine line = line_at (10.0, 1, "");
  g_autoptr (FaintLineList) list = NULL;

  line.lorentz = (FaintParameter){ 0.01, 1e-4, 1e-4, FAINT_STATE_FIXED, 0, 1.0, 0.0 };
  line.strength = (FaintParameter){ 1e-26, 1e-28, 1e-28, FAINT_STATE_FREE, 0, 1.0, 0.0 };
  line.flags = FAINT_LINE_STRENGTH_FIXED | FAINT_LINE_BLENDED;
  list = faint_line_list_new (&line, 1);
  g_assert_true (isnan (faint_line_list_get (list, 0)->lorentz.u));
  g_assert_true (isnan (faint_line_list_get (list, 0)->lorentz.u_noise));
  g_assert_cmpuint (faint_line_list_get (list, 0)->flags, ==,
                    FAINT_LINE_LORENTZ_FIXED | FAINT_LINE_BLENDED);
  g_assert_true (faint_line_list_get (list, 0)->strength.u == 1e-28);
}

static void
test_flag_words (void)
{
  for (guint flags = 0; flags < 1 << 12; flags++)
    {
      g_autofree char *text = faint_line_flags_to_text (flags);
      g_assert_cmpuint (faint_line_flags_from_text (text), ==, flags);
    }
  g_assert_cmpuint (faint_line_flags_from_text ("from-tomorrow blended"), ==, FAINT_LINE_BLENDED);
}

static void
test_frequency (void)
{
  /* c = 299 792 458 m/s exactly (SI Brochure, 9th ed., 2019): 1 cm-1 is 29 979.2458 MHz. */
  faint_assert_close (faint_line_frequency_mhz (1.0), 29979.2458, 2.3e-16, "one rounding");
  faint_assert_close (faint_line_frequency_mhz (7790.0), 233538324.782, 2.3e-16, "one rounding");
}

static void
test_not_utf8 (void)
{
  FaintLine line = line_at (1.0, 1, "caf\xe9");
  g_autoptr (FaintLineList) list = faint_line_list_new (&line, 1);

  g_assert_true (g_utf8_validate (faint_line_list_get (list, 0)->upper, -1, NULL));
}

static void
test_many (void)
{
  const gsize n = 100000;
  g_autofree FaintLine *lines = g_new (FaintLine, n);
  g_autoptr (FaintLineList) list = NULL;

  for (gsize i = 0; i < n; i++)
    lines[i] = line_at ((double)((i * 7919) % n), 0, "P12");
  list = faint_line_list_new (lines, n);
  for (gsize i = 0; i < n; i++)
    g_assert_true (faint_line_list_get (list, i)->position.value == (double)i);
  g_assert_cmpuint (faint_line_list_find (list, (guint)n)->id, ==, n);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/lines/list/order-and-ids", test_order_and_ids);
  g_test_add_func ("/lines/list/nearest", test_nearest);
  g_test_add_func ("/lines/list/edits", test_edits_make_new_lists);
  g_test_add_func ("/lines/list/fixed", test_fixed_has_no_uncertainty);
  g_test_add_func ("/lines/list/flag-words", test_flag_words);
  g_test_add_func ("/lines/list/frequency", test_frequency);
  g_test_add_func ("/lines/list/not-utf8", test_not_utf8);
  g_test_add_func ("/lines/list/many", test_many);
  return g_test_run ();
}

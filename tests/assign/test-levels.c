/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Levels from constants and tables, selection rules, Hoenl-London factors.
 */
#include "faint/assign/transitions.h"

#include "faint-test.h"

#include <math.h>
#include <string.h>

static FaintLevels *
levels_of (const char *text)
{
  char *folder = faint_test_folder_new ();
  g_autofree char *path = faint_test_file (folder, "it.levels", text);
  GError *error = NULL;
  FaintLevels *levels = faint_levels_read (path, &error);

  g_assert_no_error (error);
  faint_test_folder_remove (folder);
  return levels;
}

/* Lower-state differences R(J-1) - P(J+1) of 14N2 16O, 000, from B0 = 12561.6348 MHz,
 * D0 = 5.2808 kHz (NIST triatomic spectral tables), computed apart from this program. */
static void
test_differences (void)
{
  const struct
  {
    int j;
    double difference;
  } stated[] = { { 1, 2.514060 }, { 5, 9.218002 }, { 10, 17.596821 }, { 20, 34.346743 } };
  g_autoptr (FaintLevels) levels
      = levels_of ("# molecule = linear\n# B = 12561.6348(21) MHz\n# D = 5.2808 kHz\n");

  for (guint i = 0; i < G_N_ELEMENTS (stated); i++)
    faint_assert_near (faint_levels_at (levels, 0, stated[i].j + 1)->energy
                           - faint_levels_at (levels, 0, stated[i].j - 1)->energy,
                       stated[i].difference, 6e-7, "six decimals are stated");
  /* u(F) = u(B) x; 2.1 kHz times 12. D states none and is rounded to 0.1 Hz: half of that over the
   * root of three (JCGM 100:2008, 4.3.7), times 144. */
  faint_assert_close (faint_levels_at (levels, 0, 3)->u,
                      hypot (12.0 * 2.1e3, 144.0 * 0.05 / sqrt (3.0)) / 29979245800.0, 1e-9,
                      "sum of two squares");
}

/* Bands of a linear molecule from l = 1: e and f lie q x apart. */
static void
test_doubling (void)
{
  g_autoptr (FaintLevels) levels
      = levels_of ("# molecule = linear\n# l = 1\n# B = 0.4195 cm-1\n# q = 7.92e-4 cm-1\n"
                   "# state = b\n# origin = 588.77 cm-1\n");
  const FaintLevel *e = faint_levels_find (levels, "b:J9e");
  const FaintLevel *f = faint_levels_find (levels, "b:J9f");
  g_autoptr (GPtrArray) ladders = faint_ladders_new (levels);
  const FaintLadder *ladder;

  g_assert_nonnull (e);
  g_assert_nonnull (f);
  faint_assert_close (f->energy - e->energy, 90.0 * 7.92e-4, 1e-10, "cancellation of 600 cm-1");
  g_assert_null (faint_levels_find (levels, "b:J0e"));
  g_assert_cmpuint (ladders->len, ==, 2);
  ladder = g_ptr_array_index (ladders, 0);
  /* P and R keep the parity, Q changes it (Herzberg, 1945, page 387). */
  g_assert_true (faint_ladder_lower (ladder, levels, FAINT_BRANCH_R, 10) == e);
  g_assert_true (faint_ladder_lower (ladder, levels, FAINT_BRANCH_Q, 9) == f);
}

/* F(J,K) = B x + (A - B) K^2 - D_J x^2 - D_JK x K^2 - D_K K^4 by hand for J = 5, K = 3, and the two
 * components of an inversion. */
static void
test_top (void)
{
  g_autoptr (FaintLevels) levels = levels_of (
      "# molecule = symmetric-top\n# B = 9.94 cm-1\n# C = 6.23 cm-1\n# D_J = 8e-4 cm-1\n"
      "# D_JK = -1.5e-3 cm-1\n# D_K = 9e-4 cm-1\n# origin_a = 0.79341 cm-1\n# K_max = 6\n"
      "# J_max = 12\n# spin_weight_K0_even = 0\n# spin_weight_K0_odd = 4\n# spin_weight_K3n = 4\n"
      "# spin_weight_other = 2\n");
  const FaintLevel *s = faint_levels_find (levels, "J5 K3 s");
  const FaintLevel *a = faint_levels_find (levels, "J5 K3 a");
  g_autoptr (GPtrArray) ladders = faint_ladders_new (levels);

  g_assert_nonnull (s);
  faint_assert_close (s->energy,
                      9.94 * 30.0 - 3.71 * 9.0 - 8e-4 * 900.0 + 1.5e-3 * 270.0 - 9e-4 * 81.0, 1e-12,
                      "rounding of five terms");
  faint_assert_close (a->energy - s->energy, 0.79341, 1e-10, "cancellation of 260 cm-1");
  g_assert_cmpfloat (s->weight, ==, 4.0);
  /* K = 0: one component absent for each J. */
  g_assert_cmpfloat (faint_levels_find (levels, "J4 K0 s")->weight, ==, 0.0);
  g_assert_cmpfloat (faint_levels_find (levels, "J4 K0 a")->weight, ==, 4.0);
  g_assert_null (faint_levels_find (levels, "J2 K3 s"));
  /* Parallel: s to a. */
  g_assert_cmpuint (ladders->len, ==, 14);
  for (guint i = 0; i < ladders->len; i++)
    {
      const FaintLadder *ladder = g_ptr_array_index (ladders, i);

      g_assert_cmpint (ladder->upper.component, !=,
                       faint_levels_get_stack (levels, ladder->stack[FAINT_BRANCH_R])->component);
    }
}

/* Factors of symmetric tops normalised to 1 and, of a perpendicular band, to 2 for each sign
 * (formulas: Herzberg, 1945, page 422; numbers computed apart from this program). Ours are
 * normalised to 1 for each sign. */
static void
test_hoenl_london (void)
{
  const struct
  {
    int j, k;
    double parallel[3], plus[3], minus[3];
  } stated[] = {
    { 1, 1, { 0, 0.5, 0.5 }, { 0, 0, 2 }, { 0.6666666667, 1, 0.3333333333 } },
    { 2,
      1,
      { 0.3, 0.1666666667, 0.5333333333 },
      { 0, 0.6666666667, 1.3333333333 },
      { 0.6, 1, 0.4 } },
    { 5,
      3,
      { 0.2909090909, 0.3, 0.4090909091 },
      { 0.0363636364, 0.6, 1.3636363636 },
      { 1.0181818182, 0.8, 0.1818181818 } },
    { 10,
      7,
      { 0.2428571429, 0.4454545455, 0.3116883117 },
      { 0.0285714286, 0.4909090909, 1.4805194805 },
      { 1.2952380952, 0.6181818182, 0.0865800866 } },
  };

  for (guint i = 0; i < G_N_ELEMENTS (stated); i++)
    for (int b = 0; b < FAINT_BRANCH_N; b++)
      {
        int j = stated[i].j, k = stated[i].k;

        faint_assert_near (faint_hoenl_london (b, j, k, 0), stated[i].parallel[b], 6e-11,
                           "ten decimals are stated");
        faint_assert_near (2.0 * faint_hoenl_london (b, j, k, 1), stated[i].plus[b], 6e-11,
                           "ten decimals are stated");
        faint_assert_near (2.0 * faint_hoenl_london (b, j, k, -1), stated[i].minus[b], 6e-11,
                           "ten decimals are stated");
      }
  /* A band between states without angular momentum: P(J) J and R(J) J+1 over 2J+1. */
  faint_assert_close (faint_hoenl_london (FAINT_BRANCH_P, 7, 0, 0), 7.0 / 15.0, 1e-15, "rounding");
  faint_assert_close (faint_hoenl_london (FAINT_BRANCH_R, 0, 0, 0), 1.0, 1e-15, "rounding");
  g_assert_cmpfloat (faint_hoenl_london (FAINT_BRANCH_P, 0, 0, 0), ==, 0.0);
}

/* Q_rot(296 K) of 12C2H2 with weights 1 and 3: 350.526 (computed apart from this program; times the
 * harmonic vibrational factor it is within 1e-4 of the tabulated 412.45). */
static void
test_sum (void)
{
  g_autoptr (FaintLevels) levels
      = levels_of ("# molecule = linear\n# B = 1.176646487 cm-1\n# D = 1.62696e-6 cm-1\n"
                   "# spin_weight_even = 1\n# spin_weight_odd = 3\n");

  faint_assert_near (faint_levels_sum (levels, 296.0), 350.526, 6e-4, "three decimals are stated");
}

static void
test_table (void)
{
  g_autoptr (FaintLevels) levels = levels_of (
      "# columns = J stack energy/cm-1 u(energy)/cm-1 label weight\n# upper_state = v\n"
      "0 A 0.0 0 000 1\n1 A 0.838 1e-5 101 3\n2 A 2.514 1e-5 202 1\n1 B 5.1 2e-5 111 1\n"
      "2 B 6.8 2e-5 212 3\n");
  g_autoptr (GPtrArray) ladders = faint_ladders_new (levels);
  g_autofree char *label = NULL;

  g_assert_cmpuint (faint_levels_get_n (levels), ==, 5);
  g_assert_cmpuint (ladders->len, ==, 2);
  g_assert_cmpfloat (faint_levels_find (levels, "212")->energy, ==, 6.8);
  g_assert_null (faint_levels_at (levels, 1, 0));
  faint_assert_close (faint_levels_u_difference (levels, faint_levels_find (levels, "212"),
                                                 faint_levels_find (levels, "111")),
                      hypot (2e-5, 2e-5), 1e-12, "levels of a table are independent");
  label = faint_ladder_label (g_ptr_array_index (ladders, 1), levels, 2);
  g_assert_cmpstr (label, ==, "v:J2 B");
}

static void
assert_refused (const char *text, const char *words)
{
  char *folder = faint_test_folder_new ();
  g_autofree char *path = faint_test_file (folder, "it.levels", text);
  GError *error = NULL;

  g_assert_null (faint_levels_read (path, &error));
  faint_assert_error_says (error, FAINT_LEVELS_ERROR, words);
  faint_test_folder_remove (folder);
}

static void
test_refused (void)
{
  GError *error = NULL;

  assert_refused ("# molecule = bent\n", "line 1: The molecule is 'bent'");
  assert_refused ("# molecule = linear\n", "B is not above 0");
  assert_refused ("# molecule = linear\n# B = 0.4\n", "line 2: B:");
  assert_refused ("# molecule = linear\n# B = 0.4 cm-1\n# B = 0.4 cm-1\n", "line 3: B is stated");
  assert_refused ("# molecule = linear\n# Bee = 0.4 cm-1\n", "'Bee' is not known");
  assert_refused ("# molecule = linear\n# J_max = many\n", "J_max is 'many'");
  assert_refused ("# molecule = linear\n# spin_weight_odd = -1\n", "spin_weight_odd is '-1'");
  assert_refused ("# band = skew\n", "The band is 'skew'");
  assert_refused ("# title = nothing\n", "Neither constants nor a table");
  assert_refused ("1 2 3\n", "line 1: Found '1 2 3' before");
  assert_refused ("# columns = J label\n", "needs energy/cm-1, J and label");
  assert_refused ("# columns = J label energy/cm-1 colour\n", "'colour' is not known");
  assert_refused ("# columns = J label energy/cm-1\n1 a\n", "line 2: Found 2 fields; expected 3");
  assert_refused ("# columns = J label energy/cm-1\n1 a x\n", "found 'x'; expected a number");
  assert_refused ("# columns = J label energy/cm-1\n0.5 a 1\n", "expected whole J");
  assert_refused ("# columns = J label energy/cm-1\n1 a 1\n1 b 2\n", "A second level with J 1");
  assert_refused ("# columns = J label energy/cm-1\n0 a 0\n1 b 2\n", "has 2 levels");
  assert_refused ("# columns = J label energy/cm-1\n# molecule = linear\n0 a 0\n1 b 2\n2 c 6\n",
                  "a table and constants");
  g_assert_null (faint_levels_read ("/nowhere/it.levels", &error));
  faint_assert_error_says (error, FAINT_LEVELS_ERROR, "/nowhere/it.levels");
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/assign/levels/differences", test_differences);
  g_test_add_func ("/assign/levels/doubling", test_doubling);
  g_test_add_func ("/assign/levels/top", test_top);
  g_test_add_func ("/assign/levels/hoenl-london", test_hoenl_london);
  g_test_add_func ("/assign/levels/sum", test_sum);
  g_test_add_func ("/assign/levels/table", test_table);
  g_test_add_func ("/assign/levels/refused", test_refused);
  return g_test_run ();
}

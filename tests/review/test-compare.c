/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Two lists side by side: two published ones of the same band, a worked normalised error, blends,
 * shifts and scales that were put in.
 */
#include <math.h>
#include <string.h>

#include "faint-test.h"
#include "faint/lines/parameters.h"
#include "faint/review/compare.h"
#include "faint/review/review.h"

static FaintLine
line (double position, double u, double strength, double u_strength)
{
  FaintLine it = faint_line_unknown ();

  it.position.value = position;
  it.position.u = u;
  it.strength.value = strength;
  it.strength.u = u_strength;
  return it;
}

static const FaintComparedSummary *
summary_of (const FaintComparison *comparison, guint parameter)
{
  for (guint i = 0; i < comparison->summaries->len; i++)
    {
      const FaintComparedSummary *it
          = &g_array_index (comparison->summaries, FaintComparedSummary, i);
      if (it->parameter == parameter)
        return it;
    }
  return NULL;
}

static const FaintSystematic *
finding_of (const FaintComparison *comparison, guint parameter)
{
  for (guint i = 0; i < comparison->systematic->len; i++)
    {
      const FaintSystematic *it = g_ptr_array_index (comparison->systematic, i);
      if (it->parameter == parameter)
        return it;
    }
  return NULL;
}

/* The lines of @set, positions from wavelengths or frequencies. */
static FaintLineList *
published (const char *set)
{
  FaintTestTable *table = faint_test_table_read ("metrology_lines.csv");
  g_autoptr (GArray) lines = g_array_new (FALSE, FALSE, sizeof (FaintLine));

  for (guint i = 0; i < table->rows->len; i++)
    {
      FaintLine it = faint_line_unknown ();
      double wavelength, u_expanded;

      if (strcmp (faint_test_table_text (table, i, "set"), set) != 0)
        continue;
      wavelength = faint_test_table_number (table, i, "vacuum_wavelength_nm");
      if (*faint_test_table_text (table, i, "frequency_kHz") != '\0')
        {
          it.position.value = faint_test_table_number (table, i, "frequency_kHz") / 29979245.8;
          it.position.u = faint_test_table_number (table, i, "u_kHz_k1") / 29979245.8;
        }
      else
        {
          u_expanded = faint_test_table_number (table, i, "U_nm_k2");
          it.position.value = 1e7 / wavelength;
          it.position.u = 0.5 * u_expanded * 1e7 / (wavelength * wavelength);
        }
      g_array_append_val (lines, it);
    }
  faint_test_table_free (table);
  return faint_line_list_new ((const FaintLine *)(void *)lines->data, lines->len);
}

/* 12C2H2 nu1 + nu3 near zero pressure (BIPM, recommended values, acetylene, 2007, table 3) and at
 * 6.7 kPa (Gilbert and Swann, NIST SP 260-133 (2001)). The shift by pressure is 0.007 to 0.025 pm a
 * kPa towards longer wavelengths, near 0.017 (Swann and Gilbert, JOSA B 17, 1263 (2000), table 2),
 * so 0.11 pm or -4.9e-4 cm-1 between the lists, which uncertainties of 0.05 pm a line cannot hide.
 */
static void
test_published (void)
{
  g_autoptr (FaintLineList) low = published ("BIPM-T3"), high = published ("SRM2517a");
  FaintCompareOptions options;
  g_autoptr (FaintComparison) comparison = NULL;
  const FaintComparedSummary *positions;
  const FaintSystematic *shift;

  faint_compare_options_init (&options);
  comparison = faint_compare_lists (low, high, &options);
  g_assert_cmpuint (comparison->n_pairs, ==, 27);
  g_assert_cmpuint (comparison->n_alone[0], ==, 63 - 27);
  g_assert_cmpuint (comparison->n_alone[1], ==, 0);
  positions = summary_of (comparison, FAINT_PLACE_POSITION);
  faint_assert_close (positions->median, -0.017e-3 * 6.7 * 1e7 / (1530.0 * 1530.0), 0.1,
                      "the middle of the published slopes, 0.016 to 0.018");
  g_assert_cmpuint (positions->n_en, ==, 27);
  shift = finding_of (comparison, FAINT_PLACE_POSITION);
  g_assert_nonnull (shift);
  g_assert_true (shift->constant < 0.0 && fabs (shift->z) > 5.0);
  g_assert_null (summary_of (comparison, FAINT_PLACE_STRENGTH));
}

/* ISO 13528:2015, 9.7: E_n = (x - x_pt)/sqrt(U^2(x) + U^2(x_pt)), by hand with U = 2 u of 0.3 and
 * 0.4: 0.4/0.5. The probability of 0.8 x 2 standard deviations or more is 0.1096 (table of the
 * normal distribution). */
static void
test_normalised_error (void)
{
  FaintReviewJudgement it = faint_review_compare (10.4, 0.15, 10.0, 0.2, 2.0);

  faint_assert_close (it.en, 0.8, 1e-12, "four operations");
  faint_assert_close (it.difference, 0.4, 1e-12, "one");
  faint_assert_close (it.u, 0.25, 1e-12, "two squares");
  faint_assert_near (it.probability, 0.1096, 5e-5, "four decimals of the table");
  it = faint_review_compare (10.4, NAN, 10.0, 0.2, 2.0); /* a claim that states none */
  faint_assert_close (it.en, 1.0, 1e-12, "0.4 over 2 times 0.2");
}

/* Two lines that the second list has as one: sum of strengths, mean position by strength. */
static void
test_blend (void)
{
  const FaintLine first[] = { line (1000.0000, 1e-5, 3.0, 0.03), line (1000.0010, 1e-5, 1.0, 0.04),
                              line (1001.0, 1e-5, 1.0, 0.01) };
  const FaintLine second[] = { line (1000.0003, 1e-5, 4.05, 0.02), line (1001.0, 1e-5, 1.0, NAN),
                               line (1002.0, 1e-5, 1.0, 0.01) };
  g_autoptr (FaintLineList) a = faint_line_list_new (first, 3), b = faint_line_list_new (second, 3);
  g_autoptr (FaintComparison) comparison = NULL;
  const FaintComparedLine *blend;
  const FaintComparedValue *position, *strength;
  FaintCompareOptions options;

  faint_compare_options_init (&options);
  comparison = faint_compare_lists (a, b, &options);
  g_assert_cmpuint (comparison->n_pairs, ==, 2);
  g_assert_cmpuint (comparison->n_blends, ==, 1);
  g_assert_cmpuint (comparison->n_alone[1], ==, 1);
  blend = g_ptr_array_index (comparison->lines, 0);
  g_assert_true (blend->id[0] == 1 && blend->second[0] == 2 && blend->id[1] == 1
                 && blend->second[1] == 0);
  position = &g_array_index (blend->values, FaintComparedValue, 0);
  strength = &g_array_index (blend->values, FaintComparedValue, 1);
  faint_assert_near (position->difference, 1000.0003 - 1000.00025, 1e-12, "rounding");
  faint_assert_close (strength->difference, 0.05, 1e-12, "rounding");
  faint_assert_close (strength->u_difference, sqrt (0.03 * 0.03 + 0.04 * 0.04 + 0.02 * 0.02), 1e-12,
                      "independent parts");
  /* No uncertainty on one side: a difference, and no E_n. */
  strength
      = &g_array_index (((FaintComparedLine *)g_ptr_array_index (comparison->lines, 1))->values,
                        FaintComparedValue, 1);
  g_assert_true (isnan (strength->en));
  faint_assert_close (strength->u_difference, 0.01, 1e-12, "that of the first alone");
}

/* A list moved by more than half the distance of its lines and scaled: found, taken off for
 * matching, and told. */
static void
test_moved (void)
{
  FaintLine first[40], second[40];
  g_autoptr (GRand) random = g_rand_new_with_seed (4);
  g_autoptr (FaintLineList) a = NULL, b = NULL;
  g_autoptr (FaintComparison) comparison = NULL;
  FaintCompareOptions options;

  for (guint i = 0; i < 40; i++)
    {
      double at = 7000.0 + 0.05 * i + 0.02 * g_rand_double (random);
      double strength = 1e-24 * (1.0 + 9.0 * g_rand_double (random));

      first[i] = line (at, 1e-5, strength, 0.01 * strength);
      second[i]
          = line (at + 0.03 + 1e-5 * (g_rand_double (random) - 0.5), 1e-5,
                  0.9 * strength * (1.0 + 0.01 * (g_rand_double (random) - 0.5)), 0.01 * strength);
    }
  a = faint_line_list_new (first, 40);
  b = faint_line_list_new (second, 40);
  faint_compare_options_init (&options);
  comparison = faint_compare_lists (a, b, &options);
  faint_assert_near (comparison->shift, 0.03, 1e-5, "the spread of the differences");
  g_assert_cmpuint (comparison->n_pairs, ==, 40);
  faint_assert_near (finding_of (comparison, FAINT_PLACE_POSITION)->constant, 0.03, 1e-5,
                     "the same");
  faint_assert_close (exp (finding_of (comparison, FAINT_PLACE_STRENGTH)->constant), 0.9, 0.002,
                      "half a per cent over the root of 40, some times");
  g_assert_true (finding_of (comparison, FAINT_PLACE_POSITION)->beyond);
}

/* Nothing to compare is no failure. */
static void
test_empty (void)
{
  const FaintLine one = line (1000.0, 1e-5, 1.0, 0.1);
  g_autoptr (FaintLineList) none = faint_line_list_new (NULL, 0), a = faint_line_list_new (&one, 1);
  FaintCompareOptions options;
  g_autoptr (FaintComparison) comparison = NULL;
  g_autofree char *text = NULL;

  faint_compare_options_init (&options);
  comparison = faint_compare_lists (none, a, &options);
  text = faint_comparison_to_csv (comparison);
  g_assert_cmpuint (comparison->n_pairs, ==, 0);
  g_assert_cmpuint (comparison->n_alone[1], ==, 1);
  g_assert_nonnull (strstr (text, "\n,,1,,1000,,"));
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/review/compare/published", test_published);
  g_test_add_func ("/review/compare/normalised-error", test_normalised_error);
  g_test_add_func ("/review/compare/blend", test_blend);
  g_test_add_func ("/review/compare/moved", test_moved);
  g_test_add_func ("/review/compare/empty", test_empty);
  return g_test_run ();
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Claims of lines that the spectrum does not tell apart are judged as what it does tell: the sum of
 * their strengths and its centre, with the covariances of the fit.
 */
#include <gsl/gsl_errno.h>
#include <math.h>
#include <string.h>

#include "faint-test.h"
#include "faint/review/compared.h"
#include "faint/simulate/scene.h"
#include "review-scene.h"

#define FIRST 7751.0
#define STEP 0.2
#define STRENGTH 2e-26
#define LINES 12
#define APART 0.002 /* cm-1, of a Doppler half width of 0.0072 */

/* A spectrum of lone lines of which the sixth is a group of @n close ones, and its analysis. */
static FaintAnalysis *
analysis_with (guint n, guint seed)
{
  g_autofree char *folder = faint_test_folder_new ();
  g_autoptr (GString) text = g_string_new (
      "# scene 1\n# repetition_rate = 250 MHz\n# offset_frequency = 20 MHz\n# observable = power\n"
      "# temperature = 296.15 K\n# pressure = 10 hPa\n# mole_fraction = 1\n"
      "# molar_mass = 44.0011 g/mol\n# cavity = standing-wave\n# coupling = locked\n"
      "# cavity_length = 59.958 cm\n# finesse = 12000\n# first_tooth = 929430\n# teeth = 330\n"
      "# interleave = 4\n# noise = 3e-4\n# baseline = 1 0.004 -0.002\n"
      "# columns = position/cm-1 strength/(cm/molecule) lorentz_hwhm/cm-1\n");
  g_autoptr (FaintScene) scene = NULL;
  g_autoptr (FaintSpectrum) spectrum = NULL;
  g_autofree char *path = NULL;
  g_autoptr (GError) error = NULL;

  for (guint i = 0; i < LINES; i++)
    for (guint k = 0; k < (i == 5 ? n : 1); k++)
      g_string_append_printf (text, "%.6f %.5e 1e-3\n", FIRST + i * STEP + k * APART, STRENGTH);
  path = faint_test_file (folder, "blend.scene", text->str);
  scene = faint_scene_read (path, &error);
  g_assert_no_error (error);
  spectrum = faint_scene_simulate (scene, seed, NULL, &error);
  g_assert_no_error (error);
  faint_test_folder_remove (g_steal_pointer (&folder));
  return faint_analysis_new_for_spectrum (spectrum);
}

/* The truth, with uncertainties of 5e-5 cm-1 and 1 %; the group has ids from 100 on. */
static GArray *
claims_of (guint n)
{
  GArray *claims = g_array_new (FALSE, FALSE, sizeof (FaintLine));

  for (guint i = 0; i < LINES; i++)
    for (guint k = 0; k < (i == 5 ? n : 1); k++)
      {
        FaintLine it = faint_line_unknown ();

        it.id = i == 5 ? 100 + k : i + 1;
        it.position.value = FIRST + i * STEP + k * APART;
        it.position.u = 5e-5;
        it.strength.value = STRENGTH;
        it.strength.u = 0.01 * STRENGTH;
        it.lorentz.value = 1e-3;
        it.lorentz.u = 3e-5;
        g_array_append_val (claims, it);
      }
  return claims;
}

static FaintLine *
with_id (GArray *claims, guint id)
{
  for (guint i = 0; i < claims->len; i++)
    if (g_array_index (claims, FaintLine, i).id == id)
      return &g_array_index (claims, FaintLine, i);
  g_assert_not_reached ();
}

static FaintReview *
review_of (FaintAnalysis *analysis, const GArray *claims)
{
  const ReviewScene scene = { .analysis = analysis };
  FaintReview *review = review_scene_review (&scene, claims);

  for (guint i = 0; i < review->lines->len; i++)
    {
      const FaintReviewLine *line = g_ptr_array_index (review->lines, i);
      if (line->claimed->len > 1 || line->verdict != FAINT_REVIEW_AGREES)
        g_test_message ("%.4f: %s", line->position, line->words);
    }
  return review;
}

static const FaintReviewValue *
value_of (const FaintReviewLine *line, guint parameter)
{
  for (guint k = 0; k < line->values->len; k++)
    {
      const FaintReviewValue *it = &g_array_index (line->values, FaintReviewValue, k);
      if (it->parameter == parameter)
        return it;
    }
  g_assert_not_reached ();
}

/* The blend of @n, honest: one verdict for all of it, and the sum known far better than its parts.
 */
static void
check_honest (guint n, guint seed)
{
  g_autoptr (FaintAnalysis) analysis = analysis_with (n, seed);
  g_autoptr (GArray) claims = claims_of (n);
  g_autoptr (FaintReview) review = review_of (analysis, claims);
  const FaintReviewLine *blend = faint_review_find_claimed (review, 100);
  const FaintReviewValue *sum;

  g_assert_true (review->passed);
  g_assert_cmpuint (review->counts[FAINT_REVIEW_AGREES], ==, LINES);
  g_assert_cmpuint (blend->claimed->len, ==, n);
  for (guint k = 1; k < n; k++)
    g_assert_true (faint_review_find_claimed (review, 100 + k) == blend);
  g_assert_nonnull (strstr (blend->words, "judged by the sum of their strengths"));
  sum = value_of (blend, FAINT_PLACE_STRENGTH);
  faint_assert_close (sum->claimed, n * STRENGTH, 1e-12, "the sum");
  faint_assert_close (sum->u_claimed, 0.01 * STRENGTH * sqrt (n), 1e-9,
                      "independent claims add in squares");
  faint_assert_near (sum->refitted, n * STRENGTH, 4.5 * sum->u_refitted,
                     "4.5 standard uncertainties");
  g_assert_cmpfloat (sum->u_refitted, <, 0.02 * n * STRENGTH);
  faint_assert_near (
      value_of (blend, FAINT_PLACE_POSITION)->refitted, FIRST + 5 * STEP + 0.5 * (n - 1) * APART,
      4.5 * value_of (blend, FAINT_PLACE_POSITION)->u_refitted, "4.5 standard uncertainties");
  g_assert_cmpfloat (value_of (blend, FAINT_PLACE_POSITION)->u_refitted, <, 2e-4);
}

static void
test_doublet (void)
{
  for (guint seed = 1; seed <= 5; seed++)
    check_honest (2, seed);
}

static void
test_triplet (void)
{
  for (guint seed = 1; seed <= 5; seed++)
    check_honest (3, seed);
}

/* One of the two too strong by 40 %: 20 % of the sum, which only the sum shows. */
static void
test_sum (void)
{
  g_autoptr (FaintAnalysis) analysis = analysis_with (2, 3);
  g_autoptr (GArray) claims = claims_of (2);
  g_autoptr (FaintReview) review = NULL;
  const FaintReviewLine *blend;

  with_id (claims, 100)->strength.value *= 1.2;
  with_id (claims, 101)->strength.value *= 1.2;
  review = review_of (analysis, claims);
  blend = faint_review_find_claimed (review, 101);
  g_assert_false (review->passed);
  g_assert_cmpuint (review->counts[FAINT_REVIEW_DIFFERS], ==, 1);
  g_assert_cmpint (blend->verdict, ==, FAINT_REVIEW_DIFFERS);
  g_assert_cmpint (value_of (blend, FAINT_PLACE_STRENGTH)->verdict, ==, FAINT_REVIEW_DIFFERS);
  g_assert_cmpint (value_of (blend, FAINT_PLACE_POSITION)->verdict, ==, FAINT_REVIEW_AGREES);
  g_assert_nonnull (strstr (blend->words, "sum of strengths 1."));
}

/* Both moved by a quarter of a half width: the centre is off, the sum is not. */
static void
test_centre (void)
{
  g_autoptr (FaintAnalysis) analysis = analysis_with (2, 4);
  g_autoptr (GArray) claims = claims_of (2);
  g_autoptr (FaintReview) review = NULL;
  const FaintReviewLine *blend;

  with_id (claims, 100)->position.value += 0.002;
  with_id (claims, 101)->position.value += 0.002;
  review = review_of (analysis, claims);
  blend = faint_review_find_claimed (review, 100);
  g_assert_cmpint (blend->verdict, ==, FAINT_REVIEW_DIFFERS);
  g_assert_cmpint (value_of (blend, FAINT_PLACE_POSITION)->verdict, ==, FAINT_REVIEW_DIFFERS);
  g_assert_cmpint (value_of (blend, FAINT_PLACE_STRENGTH)->verdict, ==, FAINT_REVIEW_AGREES);
  g_assert_nonnull (strstr (blend->words, "centre shifted by 0.00"));
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  gsl_set_error_handler_off ();
  g_test_add_func ("/review/blends/doublet", test_doublet);
  g_test_add_func ("/review/blends/triplet", test_triplet);
  g_test_add_func ("/review/blends/sum", test_sum);
  g_test_add_func ("/review/blends/centre", test_centre);
  return g_test_run ();
}

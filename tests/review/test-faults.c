/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Faults that were put into honest claims, each named for what it is, one at a time and among
 * others; and faults of the whole list.
 */
#include <gsl/gsl_errno.h>
#include <math.h>
#include <string.h>

#include "faint-test.h"
#include "faint/lines/parameters.h"
#include "review-scene.h"

#define LINES 60

static gsl_rng *random_numbers;
static ReviewScene scene;

static GArray *
claims_new (void)
{
  return review_scene_claims (&scene, random_numbers);
}

static FaintLine *
claim_at (GArray *claims, guint i)
{
  return &g_array_index (claims, FaintLine, i);
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
  return NULL;
}

static const FaintSystematic *
finding_of (const FaintReview *review, guint parameter)
{
  for (guint i = 0; i < review->systematic->len; i++)
    {
      const FaintSystematic *it = g_ptr_array_index (review->systematic, i);
      if (it->parameter == parameter)
        return it;
    }
  return NULL;
}

static const FaintSystematicCause *
cause_of (const FaintSystematic *finding, const char *key)
{
  for (guint i = 0; i < finding->causes->len; i++)
    {
      const FaintSystematicCause *it = g_ptr_array_index (finding->causes, i);
      if (strcmp (it->key, key) == 0)
        return it;
    }
  return NULL;
}

/* The line after @skip others that are stronger than @least too. */
static guint
stronger_than (double least, guint skip)
{
  for (guint i = 0; i < LINES; i++)
    if (faint_line_list_get (scene.truth, i)->strength.value > least && skip-- == 0)
      return i;
  g_assert_not_reached ();
}

static guint
strong (guint skip)
{
  return stronger_than (3e-27, skip);
}

/* Five faults in one list; every other line stays good. */
/* It says what is the case, and gives no advice that only who fits can follow. */
static void
assert_not_seen_is_said (const FaintReview *review)
{
  gboolean said = FALSE;

  for (guint i = 0; i < review->warnings->len; i++)
    {
      const char *text = ((const FaintWarning *)g_ptr_array_index (review->warnings, i))->text;

      said |= strstr (text, "three uncertainties above nothing; position and width stay as given: ")
              != NULL;
      g_assert_null (strstr (text, "Remove"));
      g_assert_null (strstr (text, "Tie"));
    }
  g_assert_true (said);
}

static void
test_lines (void)
{
  g_autoptr (GArray) claims = claims_new ();
  guint shifted = strong (1), wrong = strong (4), wide = strong (7), missing = strong (10);
  guint missing_id = claim_at (claims, missing)->id;
  double missing_at = claim_at (claims, missing)->position.value;
  FaintLine invented = *claim_at (claims, wrong);
  g_autoptr (FaintReview) review = NULL;
  const FaintReviewLine *line;

  claim_at (claims, shifted)->position.value += 0.004;
  claim_at (claims, wrong)->strength.value *= 1.2;
  claim_at (claims, wide)->lorentz.value *= 1.5;
  invented.id = 900;
  invented.position.value
      = 0.5 * (claim_at (claims, 20)->position.value + claim_at (claims, 21)->position.value);
  g_array_append_val (claims, invented);
  g_array_remove_index (claims, missing);
  review = review_scene_review (&scene, claims);
  g_assert_false (review->passed);
  g_assert_cmpuint (review->systematic->len, ==, 0);
  g_assert_cmpuint (review->counts[FAINT_REVIEW_DIFFERS], ==, 3);
  g_assert_cmpuint (review->counts[FAINT_REVIEW_NOT_SEEN], ==, 1);
  g_assert_cmpuint (review->counts[FAINT_REVIEW_NOT_CLAIMED], ==, 1);
  line = faint_review_find_claimed (review, shifted + 1);
  g_assert_cmpint (value_of (line, FAINT_PLACE_POSITION)->verdict, ==, FAINT_REVIEW_DIFFERS);
  g_assert_cmpint (value_of (line, FAINT_PLACE_STRENGTH)->verdict, ==, FAINT_REVIEW_AGREES);
  g_assert_nonnull (strstr (line->words, "position shifted by 0.00"));
  line = faint_review_find_claimed (review, wrong + 1);
  g_assert_cmpint (value_of (line, FAINT_PLACE_STRENGTH)->verdict, ==, FAINT_REVIEW_DIFFERS);
  g_assert_nonnull (strstr (line->words, "strength 1."));
  line = faint_review_find_claimed (review, wide + 1);
  g_assert_cmpint (value_of (line, FAINT_PLACE_LORENTZ)->verdict, ==, FAINT_REVIEW_DIFFERS);
  line = faint_review_find_claimed (review, 900);
  g_assert_cmpint (line->verdict, ==, FAINT_REVIEW_NOT_SEEN);
  g_assert_cmpfloat (line->limit, <, 0.1 * invented.strength.value);
  assert_not_seen_is_said (review);
  g_assert_null (faint_review_find_claimed (review, missing_id));
  for (guint i = 0; i < review->lines->len; i++)
    {
      line = g_ptr_array_index (review->lines, i);
      if (line->verdict == FAINT_REVIEW_NOT_CLAIMED)
        faint_assert_near (line->position, missing_at, 0.001, "its position and noise");
    }
}

/* A line many half widths from where it is claimed, with nothing else about, is the same line. */
static void
test_far (void)
{
  g_autoptr (GArray) claims = claims_new ();
  guint i = strong (3);
  g_autoptr (FaintReview) review = NULL;
  const FaintReviewLine *line;

  claim_at (claims, i)->position.value += 0.06;
  review = review_scene_review (&scene, claims);
  line = faint_review_find_claimed (review, i + 1);
  g_assert_cmpint (line->verdict, ==, FAINT_REVIEW_DIFFERS);
  faint_assert_near (value_of (line, FAINT_PLACE_POSITION)->stated.difference, 0.06, 0.001,
                     "uncertainties");
  g_assert_cmpuint (review->counts[FAINT_REVIEW_NOT_CLAIMED], ==, 0);
}

/* A list analysed with a finesse of 11200 instead of 12000: strengths 12000/11200 times as strong.
 * With honest uncertainties no single line is accused, and the needed finesse is told. */
static void
test_finesse (void)
{
  g_autoptr (GArray) claims = claims_new ();
  g_autoptr (FaintReview) review = NULL;
  const FaintSystematic *scale;
  const FaintSystematicCause *finesse;

  for (guint i = 0; i < claims->len; i++)
    {
      claim_at (claims, i)->strength.value *= 12000.0 / 11200.0;
      claim_at (claims, i)->strength.u *= 12000.0 / 11200.0;
    }
  claim_at (claims, strong (5))->strength.value *= 1.2; /* and one fault of its own */
  review = review_scene_review (&scene, claims);
  scale = finding_of (review, FAINT_PLACE_STRENGTH);
  g_assert_nonnull (scale);
  g_assert_cmpint (scale->form, ==, FAINT_SYSTEMATIC_CONSTANT);
  g_assert_true (scale->beyond);
  faint_assert_close (exp (scale->constant), 12000.0 / 11200.0, 0.006,
                      "1 % over the root of 60, four times");
  finesse = cause_of (scale, "finesse");
  faint_assert_close (finesse->needed, 11200.0, 0.006, "the same");
  g_assert_false (finesse->within);
  g_assert_cmpuint (review->counts[FAINT_REVIEW_DIFFERS], ==, 1);
  g_assert_cmpint (faint_review_find_claimed (review, strong (5) + 1)->verdict, ==,
                   FAINT_REVIEW_DIFFERS);
  g_assert_false (review->passed);
}

/* Tooth numbers off by one: positions off by the repetition rate, more than a half width. */
static void
test_tooth (void)
{
  g_autoptr (GArray) claims = claims_new ();
  g_autoptr (FaintReview) review = NULL;
  const FaintSystematic *shift;

  for (guint i = 0; i < claims->len; i++)
    claim_at (claims, i)->position.value -= 250e6 / 29979245800.0;
  review = review_scene_review (&scene, claims);
  shift = finding_of (review, FAINT_PLACE_POSITION);
  g_assert_nonnull (shift);
  faint_assert_near (shift->constant, -250e6 / 29979245800.0, 1e-4, "five uncertainties or so");
  g_assert_nonnull (cause_of (shift, "tooth"));
  faint_assert_near (cause_of (shift, "offset_frequency")->needed, 20.0 - 250.0, 2.0,
                     "in MHz, five uncertainties or so");
  g_assert_cmpuint (review->counts[FAINT_REVIEW_DIFFERS], ==, 0);
  g_assert_cmpuint (review->counts[FAINT_REVIEW_NOT_SEEN], ==, 0);
}

/* Widths of another pressure. */
static void
test_pressure (void)
{
  g_autoptr (GArray) claims = claims_new ();
  g_autoptr (FaintReview) review = NULL;
  const FaintSystematic *scale;

  for (guint i = 0; i < claims->len; i++)
    claim_at (claims, i)->lorentz.value *= 1.3;
  review = review_scene_review (&scene, claims);
  scale = finding_of (review, FAINT_PLACE_LORENTZ);
  g_assert_nonnull (scale);
  faint_assert_close (cause_of (scale, "pressure")->needed, 13.0, 0.05,
                      "hPa; 3 % and more a line over the root of 60, some times");
  g_assert_null (finding_of (review, FAINT_PLACE_STRENGTH));
  g_assert_cmpuint (review->counts[FAINT_REVIEW_DIFFERS], ==, 0);
}

/* What lies outside the span is not examined; a list that lies outside it wholly is refused. */
static void
test_outside (void)
{
  g_autoptr (GArray) claims = claims_new (), far = NULL;
  g_autoptr (FaintLineList) list = NULL;
  g_autoptr (FaintReview) review = NULL, none = NULL;
  g_autoptr (GError) error = NULL;
  FaintReviewOptions options;
  FaintLine outside = *claim_at (claims, 0);

  outside.id = 901;
  outside.position.value = 8000.0;
  g_array_append_val (claims, outside);
  review = review_scene_review (&scene, claims);
  g_assert_cmpint (faint_review_find_claimed (review, 901)->verdict, ==, FAINT_REVIEW_NOT_EXAMINED);
  g_assert_true (review->passed);
  far = g_array_new (FALSE, FALSE, sizeof (FaintLine));
  g_array_append_val (far, outside);
  list = review_scene_list (far);
  faint_review_options_init (&options);
  none = faint_review_run (scene.analysis, list, NULL, &options, NULL, &error);
  g_assert_null (none);
  faint_assert_error_says (error, FAINT_REVIEW_ERROR, "None of the 1 claimed lines");
  options.confidence = 1.0;
  none = faint_review_run (scene.analysis, list, NULL, &options, NULL, &error);
  g_assert_null (none);
  faint_assert_error_says (error, FAINT_REVIEW_ERROR, "expected 0.5 to 0.999999");
}

/* Only a part of the spectrum, cut a half width beside strong lines: what lies outside is in
 * both models as claimed, so that its wings are nobody's fault. */
static void
test_edge (void)
{
  g_autoptr (GArray) claims = claims_new ();
  g_autoptr (FaintLineList) list = review_scene_list (claims);
  g_autoptr (FaintAnalysis) part = NULL;
  g_autoptr (FaintReview) review = NULL;
  g_autoptr (GError) error = NULL;
  FaintFitOptions fit = *faint_analysis_get_options (scene.analysis);
  FaintReviewOptions options;

  fit.lower = claim_at (claims, stronger_than (2e-26, 1))->position.value + 0.008;
  fit.upper = claim_at (claims, stronger_than (2e-26, 7))->position.value - 0.008;
  part = faint_analysis_with_options (scene.analysis, &fit);
  faint_review_options_init (&options);
  review = faint_review_run (part, list, NULL, &options, NULL, &error);
  g_assert_no_error (error);
  for (guint i = 0; i < review->faults->len; i++)
    g_test_message ("%s", (const char *)g_ptr_array_index (review->faults, i));
  g_assert_true (review->passed);
  g_assert_cmpuint (review->counts[FAINT_REVIEW_NOT_EXAMINED], >, 20);
  g_assert_cmpuint (review->counts[FAINT_REVIEW_AGREES], >, 10);
}

/* Claims of positions alone are judged by them alone; tables hold every line. */
static void
test_positions_alone (void)
{
  g_autoptr (GArray) claims = claims_new ();
  g_autoptr (FaintReview) review = NULL;
  g_autofree char *table = NULL, *windows = NULL, *json = NULL;

  for (guint i = 0; i < claims->len; i++)
    {
      FaintLine *it = claim_at (claims, i);
      it->strength = it->lorentz = FAINT_PARAMETER_UNKNOWN;
      it->position.value = faint_line_list_get (scene.truth, i)->position.value;
      it->position.u = NAN;
    }
  review = review_scene_review (&scene, claims);
  g_assert_true (review->passed);
  g_assert_cmpuint (review->n_values, <=, LINES);
  g_assert_true (faint_warnings_has (review->warnings, "claims-without-uncertainty"));
  table = faint_review_to_csv (review);
  windows = faint_review_windows_csv (review);
  json = faint_review_summary_json (review, "/a/list.csv", "00", 1.0);
  g_assert_nonnull (strstr (table, "without what the whole list has in common"));
  g_assert_nonnull (strstr (windows, "chi2_reduced_claimed"));
  g_assert_nonnull (strstr (json, "\"passed\": true"));
}

int
main (int argc, char **argv)
{
  int status;

  g_test_init (&argc, &argv, NULL);
  gsl_set_error_handler_off ();
  random_numbers = gsl_rng_alloc (gsl_rng_mt19937);
  scene = review_scene_new (LINES, 21, TRUE);
  g_test_add_func ("/review/faults/lines", test_lines);
  g_test_add_func ("/review/faults/far", test_far);
  g_test_add_func ("/review/faults/finesse", test_finesse);
  g_test_add_func ("/review/faults/tooth", test_tooth);
  g_test_add_func ("/review/faults/pressure", test_pressure);
  g_test_add_func ("/review/faults/outside", test_outside);
  g_test_add_func ("/review/faults/edge", test_edge);
  g_test_add_func ("/review/faults/positions-alone", test_positions_alone);
  status = g_test_run ();
  review_scene_clear (&scene);
  gsl_rng_free (random_numbers);
  return status;
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Honest claims: what the coverage factor promises, and that nobody is accused. Inputs are exact,
 * so that noise and the claims' own uncertainties are all there is. With the argument "long" more
 * of them.
 */
#include <gsl/gsl_errno.h>
#include <math.h>
#include <string.h>

#include "faint-test.h"
#include "review-scene.h"

#define LINES 200

static gboolean is_long;

/* Of normalised errors with k = 2 a normal distribution has 4.55 % beyond 1. 200 lines of three
 * values each and two lists are 1200; three standard deviations of the binomial distribution. */
static void
test_share (void)
{
  gsl_rng *random = gsl_rng_alloc (gsl_rng_mt19937);
  guint lists = is_long ? 40 : 2;
  double n = 0.0, beyond = 0.0, p = erfc (G_SQRT2), accused = 0.0;

  for (guint i = 0; i < lists; i++)
    {
      g_auto (ReviewScene) scene = review_scene_new (LINES, 100 + i, FALSE);
      g_autoptr (GArray) claims = review_scene_claims (&scene, random);
      g_autoptr (FaintReview) review = review_scene_review (&scene, claims);

      n += (double)review->n_values;
      beyond += (double)review->n_beyond;
      accused += review->passed ? 0.0 : 1.0;
      g_assert_cmpuint (review->n_values, >, 2 * LINES);
      faint_assert_close (review->beyond_expected, p * (double)review->n_values, 1e-9,
                          "its formula");
    }
  g_test_message ("%g of %g values beyond 1, %g expected; %g of %u lists fail", beyond, n, p * n,
                  accused, lists);
  faint_assert_near (beyond, p * n, 3.0 * sqrt (p * (1.0 - p) * n),
                     "three standard deviations of the binomial distribution");
  /* A list in twenty may be accused at 95 %, and it is fewer: three in a thousand in two lists. */
  g_assert_cmpfloat (accused, <=, 0.05 * lists + 3.0 * sqrt (0.05 * 0.95 * lists));
  gsl_rng_free (random);
}

/* 200 good lines: none is accused, at the confidence that is the default. */
static void
test_good (void)
{
  gsl_rng *random = gsl_rng_alloc (gsl_rng_mt19937);
  g_auto (ReviewScene) scene = review_scene_new (LINES, 7, TRUE);
  g_autoptr (GArray) claims = review_scene_claims (&scene, random);
  g_autoptr (FaintReview) review = review_scene_review (&scene, claims);

  g_assert_true (review->passed);
  g_assert_cmpuint (review->faults->len, ==, 0);
  g_assert_cmpuint (review->counts[FAINT_REVIEW_DIFFERS], ==, 0);
  g_assert_cmpuint (review->counts[FAINT_REVIEW_NOT_SEEN], ==, 0);
  g_assert_cmpuint (review->counts[FAINT_REVIEW_NOT_CLAIMED], ==, 0);
  g_assert_cmpuint (review->counts[FAINT_REVIEW_AGREES], >=, LINES - 2);
  gsl_rng_free (random);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  is_long = argc > 1 && strcmp (argv[1], "long") == 0;
  gsl_set_error_handler_off ();
  g_test_add_func ("/review/honest/share", test_share);
  g_test_add_func ("/review/honest/good", test_good);
  return g_test_run ();
}

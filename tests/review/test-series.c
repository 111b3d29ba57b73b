/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Claims of broadening, shift and lower-state energy held against spectra of several pressures and
 * temperatures: each planted fault is named for what it is, the good lines stay good, and what one
 * spectrum cannot tell is said to be untold.
 */
#include <gsl/gsl_errno.h>
#include <gsl/gsl_randist.h>
#include <math.h>
#include <string.h>

#include "faint-test.h"
#include "faint/review/compared.h"
#include "faint/simulate/scene.h"
#include "review-scene.h"

#define LINES 30
#define FRACTION 0.5 /* mole fraction of the scene */
#define COEFFICIENT(which) (FAINT_PLACE_N + (guint)FAINT_COEFFICIENT_##which)
#define BROADENING COEFFICIENT (BROADENING_MIXTURE)
#define SHIFT COEFFICIENT (SHIFT_MIXTURE)

static gsl_rng *random_numbers;
static char *folder;
static FaintAnalysis *series, *single; /* single: the second of them, 25 hPa and 296 K */
static FaintLineList *truth;

static FaintScene *
scene_under (const char *pressure, const char *temperature)
{
  const char *settings[] = { pressure, temperature, NULL };
  g_autofree char *path
      = g_build_filename (g_getenv ("FAINT_TEST_DATA"), "scenes", "series.scene", NULL);
  g_autoptr (GError) error = NULL;
  FaintScene *scene = faint_scene_read_with (path, settings, &error);

  g_assert_no_error (error);
  return scene;
}

static char *
record_under (const char *name, const char *pressure, const char *temperature, guint seed)
{
  g_autoptr (FaintScene) scene = scene_under (pressure, temperature);
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintSpectrum) spectrum = faint_scene_simulate (scene, seed, NULL, &error);
  char *path = g_build_filename (folder, name, NULL);

  g_assert_no_error (error);
  g_assert_true (faint_scene_write (scene, spectrum, path, &error));
  g_assert_no_error (error);
  return path;
}

static FaintAnalysis *
analysis_of (char **paths, gsize n)
{
  g_autoptr (GError) error = NULL;
  FaintAnalysis *analysis = faint_analysis_new ((const char *const *)paths, n, NULL, NULL, &error);

  g_assert_no_error (error);
  return analysis;
}

static void
make_series (void)
{
  g_autoptr (FaintScene) scene = scene_under ("pressure=10 hPa", "temperature=296 K");
  char *paths[] = { record_under ("low.comb", "pressure=10 hPa", "temperature=296 K", 11),
                    record_under ("middle.comb", "pressure=25 hPa", "temperature=296 K", 12),
                    record_under ("high.comb", "pressure=60 hPa", "temperature=296 K", 13),
                    record_under ("hot.comb", "pressure=25 hPa", "temperature=330 K", 14) };

  truth = faint_scene_truth (scene);
  series = analysis_of (paths, G_N_ELEMENTS (paths));
  single = analysis_of (paths + 1, 1);
  for (gsize i = 0; i < G_N_ELEMENTS (paths); i++)
    g_free (paths[i]);
}

static FaintParameter
drawn (double value, double u)
{
  FaintParameter it = FAINT_PARAMETER_UNKNOWN;

  it.value = value + gsl_ran_gaussian (random_numbers, u);
  it.u = u;
  return it;
}

static double
mixture_of (const FaintLine *line, FaintCoefficient self)
{
  return FRACTION * line->coefficient[self].value
         + (1.0 - FRACTION) * line->coefficient[self + 1].value;
}

/* A list as several spectra give it: position at 10 hPa, strength at 296 K, lower-state energy and
 * the coefficients of the mixture, drawn about the truth. */
static GArray *
claims_new (void)
{
  GArray *claims = g_array_new (FALSE, FALSE, sizeof (FaintLine));

  gsl_rng_set (random_numbers, 5); /* the same, whichever tests run */
  for (guint i = 0; i < LINES; i++)
    {
      const FaintLine *real = faint_line_list_get (truth, i);
      FaintLine it = faint_line_unknown ();
      FaintParameter strength = drawn (real->strength_296, 0.01 * real->strength_296);
      FaintParameter energy = drawn (real->lower_energy, 0.5);
      double broadening = mixture_of (real, FAINT_COEFFICIENT_BROADENING_SELF);

      it.id = i + 1;
      it.position = drawn (real->position.value, 5e-5);
      it.strength_296 = strength.value;
      it.u_strength_296 = strength.u;
      it.lower_energy = energy.value;
      it.u_lower_energy = energy.u;
      it.coefficient[FAINT_COEFFICIENT_BROADENING_MIXTURE] = drawn (broadening, 0.01 * broadening);
      it.coefficient[FAINT_COEFFICIENT_SHIFT_MIXTURE]
          = drawn (mixture_of (real, FAINT_COEFFICIENT_SHIFT_SELF), 5e-5);
      it.coefficient[FAINT_COEFFICIENT_WIDTH_EXPONENT]
          = drawn (real->coefficient[FAINT_COEFFICIENT_WIDTH_EXPONENT].value, 0.02);
      g_array_append_val (claims, it);
    }
  return claims;
}

static FaintLine *
claim_at (GArray *claims, guint i)
{
  return &g_array_index (claims, FaintLine, i);
}

static FaintReview *
review_of (const FaintAnalysis *analysis, const GArray *claims, double temperature, double pressure)
{
  g_autoptr (FaintLineList) list = review_scene_list (claims);
  g_autoptr (GError) error = NULL;
  FaintReviewOptions options;
  FaintReview *review;

  faint_review_options_init (&options);
  options.temperature = temperature;
  options.pressure = pressure;
  review = faint_review_run (analysis, list, NULL, &options, NULL, &error);
  g_assert_no_error (error);
  for (guint i = 0; i < review->faults->len; i++)
    g_test_message ("%s", (const char *)g_ptr_array_index (review->faults, i));
  for (guint i = 0; i < review->systematic->len; i++)
    g_test_message ("%s", ((FaintSystematic *)g_ptr_array_index (review->systematic, i))->words);
  for (guint i = 0; i < review->lines->len; i++)
    {
      const FaintReviewLine *line = g_ptr_array_index (review->lines, i);
      if (line->verdict != FAINT_REVIEW_AGREES)
        g_test_message ("%.4f: %s", line->position, line->words);
    }
  return review;
}

static const FaintReviewValue *
value_of (const FaintReview *review, guint id, guint parameter)
{
  const FaintReviewLine *line = faint_review_find_claimed (review, id);

  g_assert_nonnull (line);
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

/* Every claimed number is compared, and an honest list passes. */
static void
test_honest (void)
{
  static const guint compared[] = { FAINT_PLACE_POSITION,        COEFFICIENT (BROADENING_MIXTURE),
                                    COEFFICIENT (SHIFT_MIXTURE), COEFFICIENT (WIDTH_EXPONENT),
                                    FAINT_COMPARED_STRENGTH_296, FAINT_COMPARED_LOWER_ENERGY };
  g_autoptr (GArray) claims = claims_new ();
  g_autoptr (FaintReview) review = review_of (series, claims, 296.0, NAN);
  double p = erfc (G_SQRT2);

  g_assert_true (review->passed);
  g_assert_cmpuint (review->systematic->len, ==, 0);
  g_assert_cmpuint (review->counts[FAINT_REVIEW_AGREES], ==, LINES);
  for (guint i = 0; i < LINES; i++)
    for (guint k = 0; k < G_N_ELEMENTS (compared); k++)
      g_assert_nonnull (value_of (review, i + 1, compared[k]));
  g_assert_cmpuint (review->n_values, ==, LINES * G_N_ELEMENTS (compared));
  faint_assert_near ((double)review->n_beyond, p * (double)review->n_values,
                     4.0 * sqrt (p * (double)review->n_values),
                     "four standard deviations of the binomial distribution");
  g_assert_false (faint_warnings_has (review->warnings, "not-examined"));
}

/* Four faults in four lines; in each the one number that is wrong is named, and no other. */
static void
test_faults (void)
{
  const struct
  {
    guint line, parameter;
    const char *words;
  } faults[] = {
    { 6, BROADENING, "broadening of the mixture 1." },
    { 12, FAINT_COMPARED_LOWER_ENERGY, "lower-state energy off by " },
    { 20, SHIFT, "shift of the mixture has the wrong sign: off by 0.00" },
    { 25, FAINT_COMPARED_STRENGTH_296, "strength at 296 K 1." },
  };
  g_autoptr (GArray) claims = claims_new ();
  g_autoptr (FaintReview) review = NULL;

  claim_at (claims, 6)->coefficient[FAINT_COEFFICIENT_BROADENING_MIXTURE].value *= 1.2;
  claim_at (claims, 12)->lower_energy += 60.0;
  claim_at (claims, 20)->coefficient[FAINT_COEFFICIENT_SHIFT_MIXTURE].value *= -1.0;
  claim_at (claims, 25)->strength_296 *= 1.3;
  review = review_of (series, claims, 296.0, NAN);
  g_assert_false (review->passed);
  g_assert_cmpuint (review->systematic->len, ==, 0);
  g_assert_cmpuint (review->counts[FAINT_REVIEW_DIFFERS], ==, G_N_ELEMENTS (faults));
  g_assert_cmpuint (review->counts[FAINT_REVIEW_AGREES], ==, LINES - G_N_ELEMENTS (faults));
  for (guint i = 0; i < G_N_ELEMENTS (faults); i++)
    {
      const FaintReviewLine *line = faint_review_find_claimed (review, faults[i].line + 1);

      g_assert_nonnull (strstr (line->words, faults[i].words));
      for (guint k = 0; k < line->values->len; k++)
        {
          const FaintReviewValue *it = &g_array_index (line->values, FaintReviewValue, k);

          g_assert_cmpint (it->verdict, ==,
                           it->parameter == faults[i].parameter ? FAINT_REVIEW_DIFFERS
                                                                : FAINT_REVIEW_AGREES);
        }
    }
}

/* A list whose authors read their gauge 8 % too high: column and pressure too large, so that
 * strengths, broadening and shifts all come out 1.08 times too small. Both the scale of strengths
 * and that of broadening ask for the same pressure. */
static void
test_gauge (void)
{
  g_autoptr (GArray) claims = claims_new ();
  g_autoptr (FaintReview) review = NULL;
  const guint scaled[] = { FAINT_COMPARED_STRENGTH_296, BROADENING };

  for (guint i = 0; i < LINES; i++)
    {
      FaintLine *it = claim_at (claims, i);

      it->strength_296 /= 1.08;
      it->coefficient[FAINT_COEFFICIENT_BROADENING_MIXTURE].value /= 1.08;
      it->coefficient[FAINT_COEFFICIENT_SHIFT_MIXTURE].value /= 1.08;
    }
  review = review_of (series, claims, 296.0, NAN);
  g_assert_false (review->passed);
  g_assert_cmpuint (review->counts[FAINT_REVIEW_DIFFERS], ==, 0);
  for (guint k = 0; k < G_N_ELEMENTS (scaled); k++)
    {
      const FaintSystematic *finding = finding_of (review, scaled[k]);
      const FaintSystematicCause *pressure = NULL;
      gboolean joined = FALSE;

      g_assert_nonnull (finding);
      g_assert_cmpint (finding->form, ==, FAINT_SYSTEMATIC_CONSTANT);
      for (guint i = 0; i < finding->causes->len; i++)
        {
          const FaintSystematicCause *it = g_ptr_array_index (finding->causes, i);

          if (strcmp (it->key, "pressure") == 0 && isfinite (it->needed))
            pressure = it;
          joined |= strstr (it->words, "ask for the same pressure") != NULL;
        }
      faint_assert_close (pressure->needed, 10.0 * 1.08, 0.01,
                          "hPa; 1 % a line over the root of 30, five times");
      g_assert_true (joined);
    }
}

/* Positions that hold without pressure come to the spectra by the shift that these show, not by the
 * claimed one: a shift of wrong sign accuses itself alone. */
static void
test_zero_pressure (void)
{
  g_autoptr (GArray) claims = claims_new ();
  g_autoptr (FaintReview) review = NULL;

  for (guint i = 0; i < LINES; i++)
    claim_at (claims, i)->position
        = drawn (faint_line_list_get (truth, i)->position.value
                     - mixture_of (faint_line_list_get (truth, i), FAINT_COEFFICIENT_SHIFT_SELF)
                           * 1000.0 / 101325.0,
                 5e-5);
  claim_at (claims, 20)->coefficient[FAINT_COEFFICIENT_SHIFT_MIXTURE].value *= -1.0;
  review = review_of (series, claims, 296.0, 1e-3);
  g_assert_cmpuint (review->counts[FAINT_REVIEW_DIFFERS], ==, 1);
  g_assert_cmpint (value_of (review, 21, SHIFT)->verdict, ==, FAINT_REVIEW_DIFFERS);
  g_assert_cmpint (value_of (review, 21, FAINT_PLACE_POSITION)->verdict, ==, FAINT_REVIEW_AGREES);
}

/* Coefficients of the two gases are held against the mixture's, which is all that one composition
 * tells. */
static void
test_parts (void)
{
  g_autoptr (GArray) claims = claims_new ();
  g_autoptr (FaintReview) review = NULL;

  for (guint i = 0; i < LINES; i++)
    {
      const FaintLine *real = faint_line_list_get (truth, i);
      FaintLine *it = claim_at (claims, i);

      it->coefficient[FAINT_COEFFICIENT_BROADENING_MIXTURE] = FAINT_PARAMETER_UNKNOWN;
      for (guint c = 0; c < 2; c++)
        it->coefficient[c] = drawn (real->coefficient[c].value, 0.01 * real->coefficient[c].value);
    }
  claim_at (claims, 9)->coefficient[FAINT_COEFFICIENT_BROADENING_FOREIGN].value *= 1.5;
  review = review_of (series, claims, 296.0, NAN);
  g_assert_cmpuint (review->counts[FAINT_REVIEW_DIFFERS], ==, 1);
  g_assert_cmpint (value_of (review, 10, BROADENING)->verdict, ==, FAINT_REVIEW_DIFFERS);
  g_assert_cmpint (value_of (review, 1, BROADENING)->verdict, ==, FAINT_REVIEW_AGREES);
  g_assert_cmpint (value_of (review, 1, COEFFICIENT (BROADENING_SELF))->verdict, ==,
                   FAINT_REVIEW_NOT_EXAMINED);
  g_assert_true (faint_warnings_has (review->warnings, "not-examined"));
}

/* One spectrum tells no energy, no shift and no coefficient: a list with all energies wrong does
 * not fail, and each such number is said to be unexamined, which is no agreement. */
static void
test_single (void)
{
  g_autoptr (GArray) claims = claims_new ();
  g_autoptr (FaintReview) review = NULL;
  g_autofree char *table = NULL;

  for (guint i = 0; i < LINES; i++)
    {
      claim_at (claims, i)->position.value
          += mixture_of (faint_line_list_get (truth, i), FAINT_COEFFICIENT_SHIFT_SELF) * 1500.0
             / 101325.0; /* from 10 to 25 hPa */
      claim_at (claims, i)->lower_energy += 300.0;
      claim_at (claims, i)->coefficient[FAINT_COEFFICIENT_SHIFT_MIXTURE].value *= -1.0;
    }
  review = review_of (single, claims, 296.0, 2500.0);
  for (guint i = 0; i < LINES; i++)
    {
      const FaintReviewValue *energy = value_of (review, i + 1, FAINT_COMPARED_LOWER_ENERGY);

      g_assert_cmpint (energy->verdict, ==, FAINT_REVIEW_NOT_EXAMINED);
      g_assert_true (isnan (energy->stated.en));
      g_assert_nonnull (strstr (energy->reason, "one temperature"));
      g_assert_cmpint (value_of (review, i + 1, SHIFT)->verdict, ==, FAINT_REVIEW_NOT_EXAMINED);
      g_assert_cmpint (value_of (review, i + 1, BROADENING)->verdict, ==,
                       FAINT_REVIEW_NOT_EXAMINED);
      /* The width that the coefficient gives at this pressure is told, and judged. */
      g_assert_true (isfinite (value_of (review, i + 1, FAINT_PLACE_LORENTZ)->stated.en));
      g_assert_nonnull (
          strstr (faint_review_find_claimed (review, i + 1)->words, "not examined: "));
    }
  g_assert_true (review->passed);
  g_assert_cmpuint (review->systematic->len, ==, 0);
  g_assert_true (faint_warnings_has (review->warnings, "not-examined"));
  table = faint_review_to_csv (review);
  g_assert_nonnull (strstr (table, ",lower_energy,cm-1,"));
}

int
main (int argc, char **argv)
{
  int status;

  g_test_init (&argc, &argv, NULL);
  gsl_set_error_handler_off ();
  random_numbers = gsl_rng_alloc (gsl_rng_mt19937);
  folder = faint_test_folder_new ();
  make_series ();
  g_test_add_func ("/review/series/honest", test_honest);
  g_test_add_func ("/review/series/faults", test_faults);
  g_test_add_func ("/review/series/gauge", test_gauge);
  g_test_add_func ("/review/series/zero-pressure", test_zero_pressure);
  g_test_add_func ("/review/series/parts", test_parts);
  g_test_add_func ("/review/series/single", test_single);
  status = g_test_run ();
  faint_analysis_unref (series);
  faint_analysis_unref (single);
  faint_line_list_unref (truth);
  faint_test_folder_remove (folder);
  gsl_rng_free (random_numbers);
  return status;
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Pairs that look like one line: which are taken for two, that single lines are not, and what is
 * said of those that the data do not resolve. Half the lines are strong and tell the others'
 * widths, which are drawn from a population that spreads by 15 %. What share of which pairs must be
 * recognised is our own demand (no source); docs/statistics.md has the shares measured.
 */
#include "faint-test.h"
#include "faint/fit/doubt.h"
#include "faint/fit/split.h"
#include "pairs.h"

#include <math.h>
#include <string.h>

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_errno.h>

/* GSL's tail of chi-square against the rate of false finds in one half width. The asymptotic form
 * leaves out 1/x. */
static void
test_criterion (void)
{
  for (double threshold = 4.0; threshold <= 8.0; threshold += 1.0)
    {
      double x = faint_split_criterion (threshold);

      faint_assert_close (gsl_cdf_chisq_Q (x, 3.0),
                          sqrt (G_LN2) / (2.0 * G_PI) * exp (-0.5 * threshold * threshold), 1.0 / x,
                          "the next term of the asymptotic series is 1/x of the first");
    }
  g_assert_true (isfinite (faint_split_criterion (100.0)));
}

/* Over a thousand single lines, none of which is two and none of which is unusual. */
static void
test_singles (void)
{
  static const double snr[] = { 20, 30, 60, 100, 200, 300, 500, 700, 1000, 1500, 2000, 40, 400 };
  guint singles = 0;

  for (gsize i = 0; i < G_N_ELEMENTS (snr); i++)
    {
      PairCount count = pairs_count (&(Pair){ 1.0, snr[i], 0.0 }, 100 + 2 * (guint32)i);

      g_assert_true (count.converged);
      singles += count.singles;
      g_assert_cmpuint (count.extra, ==, 0);
      g_assert_cmpuint (count.doubtful, ==, 0);
    }
  g_assert_cmpuint (singles, >=, 1000);
}

/* What must be recognised in at least this many of twenty, and what the data do not tell. */
static void
test_pairs (void)
{
  static const struct
  {
    Pair pair;
    guint least, most;
  } cases[] = {
    { { 1.0, 60.0, 0.9 }, 17, 20 },   { { 1.0, 30.0, 1.25 }, 17, 20 },
    { { 1.0, 100.0, 0.75 }, 14, 20 }, { { 1.0, 500.0, 0.5 }, 17, 20 },
    { { 1.0, 100.0, 2.0 }, 20, 20 },  { { 0.5, 100.0, 0.9 }, 17, 20 },
    { { 0.5, 60.0, 1.25 }, 17, 20 },  { { 0.5, 200.0, 0.75 }, 17, 20 },
    { { 0.2, 200.0, 1.0 }, 17, 20 },  { { 0.2, 100.0, 1.25 }, 17, 20 },
    { { 0.2, 500.0, 0.75 }, 17, 20 }, { { 1.0, 30.0, 0.5 }, 0, 0 },
    { { 0.5, 30.0, 0.5 }, 0, 0 },     { { 0.2, 60.0, 0.5 }, 0, 0 },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      PairCount count = pairs_count (&cases[i].pair, 500 + 2 * (guint32)i);

      double pulls = pairs_pulls (&count);

      g_test_message (
          "ratio %.1f, S/N %.0f, %.2f half widths: %u of %u two, %u flagged, pulls %.2f",
          cases[i].pair.ratio, cases[i].pair.snr, cases[i].pair.distance, count.two, count.pairs,
          count.flagged, pulls);
      g_assert_true (count.converged);
      g_assert_cmpuint (count.pairs, ==, 20);
      g_assert_cmpuint (count.two, >=, cases[i].least);
      g_assert_cmpuint (count.two, <=, cases[i].most);
      g_assert_cmpuint (count.more, ==, 0);
      g_assert_cmpuint (count.extra, ==, 0);
      g_assert_cmpuint (count.doubtful, ==, 0);
      /* In a close pair all four numbers go together, so that there are 20: their root mean square
       * is 1 within 1/sqrt(40), and four of that is asked. */
      g_assert_cmpfloat (pulls, <, 1.0 + 4.0 / sqrt (40.0));
    }
}

static const FaintWarning *
find_warning (const FaintFit *fit, const char *code)
{
  for (guint i = 0; i < fit->warnings->len; i++)
    {
      const FaintWarning *warning = fit->warnings->pdata[i];

      if (g_str_equal (warning->code, code))
        return warning;
    }
  return NULL;
}

static const char *
warning_text (const FaintFit *fit, const char *code)
{
  const FaintWarning *warning = find_warning (fit, code);

  return warning != NULL ? warning->text : NULL;
}

static FaintFit *
run_given (FaintSpectrum *spectrum, FaintLineList *start)
{
  g_autoptr (GError) error = NULL;
  FaintFitOptions options;
  FaintFit *fit;

  faint_fit_options_init (&options);
  options.find_rounds = 0;
  fit = faint_fit_run (spectrum, start, &options, NULL, &error);
  g_assert_no_error (error);
  g_assert_cmpint (fit->verdict, ==, FAINT_VERDICT_CONVERGED);
  return fit;
}

/* A line that was given stays one line, and says that it may be two. */
static void
test_given (void)
{
  g_autoptr (FaintSetup) setup = synthetic_setup (NULL);
  PairTruth *truth = g_new0 (PairTruth, 1);
  FaintLine start[PAIR_SLOTS];
  g_autoptr (FaintSpectrum) spectrum = NULL;
  g_autoptr (FaintLineList) list = NULL;
  g_autoptr (FaintFit) fit = NULL;
  guint unusual = 0;

  pairs_draw (setup, &(Pair){ 1.0, 200.0, 1.5 }, 901, truth);
  spectrum = pairs_record (setup, truth, 200.0, 902);
  for (int k = 0; k < PAIR_SLOTS; k++)
    start[k] = synthetic_line (setup, truth->centre[k], PAIR_PEAK,
                               0.3 * synthetic_doppler (setup, truth->centre[k]));
  list = faint_line_list_new (start, PAIR_SLOTS);
  fit = run_given (spectrum, list);
  g_assert_cmpuint (faint_line_list_get_n (fit->lines), ==, PAIR_SLOTS);
  for (int k = 0; k < PAIR_SLOTS; k++)
    {
      gboolean flagged
          = (faint_line_list_get (fit->lines, (gsize)k)->flags & FAINT_LINE_WIDTH_UNUSUAL) != 0;

      unusual += flagged;
      g_assert_true (k % 4 == 1 || !flagged);
    }
  g_assert_cmpuint (unusual, ==, PAIR_SLOTS / 4);
  g_assert_nonnull (warning_text (fit, "widths-unusual"));
  g_assert_nonnull (g_strstr_len (warning_text (fit, "widths-unusual"), -1, "20 lines"));
  g_assert_null (warning_text (fit, "lines-split"));
  g_free (truth);
}

/* Two given lines @apart half widths from each other. */
static FaintFit *
fit_two (double apart, double noise)
{
  g_autoptr (FaintSetup) setup = synthetic_setup (NULL);
  double doppler = synthetic_doppler (setup, synthetic_wavenumber (200.0));
  g_autoptr (FaintSpectrum) spectrum = NULL;
  g_autoptr (FaintLineList) list = NULL;
  FaintLine lines[2];

  lines[0] = synthetic_line (setup, synthetic_wavenumber (200.0), 0.2, 0.3 * doppler);
  lines[1] = synthetic_line (setup, lines[0].position.value + 1.17 * apart * doppler, 0.2,
                             0.3 * doppler);
  spectrum = synthetic_record (
      setup, lines, 2, &(SyntheticRecord){ .n = 401, .u = noise, .noise = noise, .seed = 5 });
  list = faint_line_list_new (lines, 2);
  return run_given (spectrum, list);
}

/* A line of a peak of 0.2 and, a tenth of a half width beside it, one of 0.0005 whose width is tied
 * to it: within the noise only the sum is known, but the strong one is most of it. */
static void
test_undetermined_beside_strong (void)
{
  g_autoptr (FaintSetup) setup = synthetic_setup (NULL);
  double doppler = synthetic_doppler (setup, synthetic_wavenumber (200.0));
  g_autoptr (FaintSpectrum) spectrum = NULL;
  g_autoptr (FaintLineList) list = NULL;
  g_autoptr (FaintFit) fit = NULL;
  const FaintLine *strong, *faint;
  FaintLine lines[2];

  lines[0] = synthetic_line (setup, synthetic_wavenumber (200.0), 0.2, 0.3 * doppler);
  lines[1]
      = synthetic_line (setup, lines[0].position.value + 0.12 * doppler, 0.0005, 0.3 * doppler);
  lines[0].id = 1;
  lines[1].id = 2;
  for (int i = 0; i < 2; i++)
    lines[i].position.state = FAINT_STATE_FIXED;
  lines[1].lorentz.state = FAINT_STATE_TIED;
  lines[1].lorentz.tied_to = 1;
  lines[1].lorentz.tie_factor = 1.0;
  spectrum = synthetic_record (setup, lines, 2,
                               &(SyntheticRecord){ .n = 401, .u = 1e-4, .noise = 1e-4, .seed = 5 });
  list = faint_line_list_new (lines, 2);
  fit = run_given (spectrum, list);
  strong = faint_line_list_find (fit->lines, 1);
  faint = faint_line_list_find (fit->lines, 2);
  g_test_message ("strong %g(%g), faint %g(%g)", strong->strength.value, strong->strength.u,
                  faint->strength.value, faint->strength.u);
  g_assert_cmpfloat (strong->strength.u, <, 0.1 * strong->strength.value);
  g_assert_cmpfloat (faint->strength.u, >, 0.5 * fabs (faint->strength.value));
  g_assert_cmpuint (strong->flags & FAINT_LINE_NOT_DETERMINED, ==, 0);
  g_assert_cmpuint (faint->flags & FAINT_LINE_NOT_DETERMINED, !=, 0);
  g_assert_nonnull (
      g_strstr_len (warning_text (fit, "not-determined"), -1, "its strength is not determined"));
}

/* A blend of which only the sum is known says so; one that is resolved does not. */
static void
test_undetermined (void)
{
  g_autoptr (FaintFit) close = fit_two (0.3, 2e-3);
  g_autoptr (FaintFit) apart = fit_two (2.0, 2e-3);
  const char *text = warning_text (close, "not-determined");
  FaintWarning other = { (char *)"profile-doubtful", (char *)text };
  g_autofree char *fact = NULL, *whole = NULL;

  g_assert_nonnull (text);
  g_assert_nonnull (g_strstr_len (text, -1, "2 lines stand in blends"));
  g_assert_nonnull (g_strstr_len (text, -1, "Tie their widths"));
  /* up to the positions, and of another warning all */
  fact = faint_doubt_without_advice (find_warning (close, "not-determined"));
  g_assert_true (g_str_has_prefix (text, fact));
  g_assert_true (g_str_has_suffix (fact, " cm-1."));
  g_assert_null (g_strstr_len (fact, -1, "Tie"));
  whole = faint_doubt_without_advice (&other);
  g_assert_cmpstr (whole, ==, text);
  g_assert_null (warning_text (apart, "not-determined"));
  for (gsize i = 0; i < 2; i++)
    {
      g_assert_cmpuint (faint_line_list_get (close->lines, i)->flags & FAINT_LINE_NOT_DETERMINED,
                        !=, 0);
      g_assert_cmpuint (faint_line_list_get (apart->lines, i)->flags & FAINT_LINE_NOT_DETERMINED,
                        ==, 0);
    }
}

/* Teeth 1 % of the mode's width off, and nobody says so: all lines are lopsided, which the fit must
 * not take for pairs. */
static void
test_wrong_model (void)
{
  g_autoptr (FaintSetup) right
      = synthetic_setup ((const char *const[]){ "tooth_detuning", "200 Hz", NULL });
  g_autoptr (FaintSetup) wrong = synthetic_setup (NULL);
  PairTruth *truth = g_new0 (PairTruth, 1);
  g_autoptr (FaintSpectrum) recorded = NULL;
  g_autoptr (FaintSpectrum) spectrum = NULL;
  g_autoptr (FaintFit) fit = NULL;
  g_autoptr (GError) error = NULL;
  FaintFitOptions options;

  pairs_draw (right, &(Pair){ 1.0, 200.0, 0.0 }, 911, truth);
  recorded = pairs_record (right, truth, 200.0, 912);
  spectrum = pairs_record (wrong, truth, 200.0, 912);
  memcpy (spectrum->value, recorded->value, spectrum->n * sizeof (double));
  faint_fit_options_init (&options);
  fit = faint_fit_run (spectrum, NULL, &options, NULL, &error);
  g_assert_no_error (error);
  g_assert_nonnull (warning_text (fit, "profile-doubtful"));
  g_assert_null (warning_text (fit, "lines-split"));
  g_free (truth);
}

int
main (int argc, char **argv)
{
  gsl_set_error_handler_off ();
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/fit/split/criterion", test_criterion);
  g_test_add_func ("/fit/split/singles", test_singles);
  g_test_add_func ("/fit/split/pairs", test_pairs);
  g_test_add_func ("/fit/split/given", test_given);
  g_test_add_func ("/fit/split/undetermined", test_undetermined);
  g_test_add_func ("/fit/split/undetermined-beside-strong", test_undetermined_beside_strong);
  g_test_add_func ("/fit/split/wrong-model", test_wrong_model);
  return g_test_run ();
}

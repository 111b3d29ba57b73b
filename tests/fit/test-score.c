/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the data say of a detuning that was held as stated, in records by a forward model that
 * shares nothing with the library's (synthetic.h).
 */
#include "known-lines.h"

#include "faint/base/quantity.h"
#include "faint/fit/joint.h"
#include "faint/fit/score.h"

#define NOISE 1e-3
#define SEEDS 20u

/* Eight lines recorded under @recorded, as if under @stated. */
static FaintSpectrum *
record_as_stated (const char *const *recorded, const char *const *stated, guint32 seed,
                  FaintLine *truth)
{
  g_autoptr (FaintSetup) setup = synthetic_setup (recorded);
  g_autoptr (FaintSetup) other = synthetic_setup (stated);
  g_autoptr (FaintSpectrum) spectrum = NULL;
  g_autoptr (GError) error = NULL;
  SyntheticRecord record = quiet;
  FaintSpectrum *under;

  record.u = record.noise = NOISE;
  record.seed = seed;
  make_lines (setup, truth);
  spectrum = synthetic_record (setup, truth, N_LINES, &record);
  under = faint_spectrum_with_setup (spectrum, other, &error);
  g_assert_no_error (error);
  return under;
}

static FaintFit *
fit_as_stated (const char *const *recorded, const char *const *stated, guint32 seed,
               const FaintFitOptions *options)
{
  FaintLine truth[N_LINES];
  g_autoptr (FaintSpectrum) spectrum = record_as_stated (recorded, stated, seed, truth);

  return run (spectrum, truth, N_LINES, options);
}

static const char *
warning_text (const GPtrArray *warnings)
{
  const char *text = NULL;

  for (guint i = 0; i < warnings->len; i++)
    {
      const FaintWarning *warning = g_ptr_array_index (warnings, i);

      if (!g_str_equal (warning->code, "detuning-not-as-stated"))
        continue;
      g_assert_null (text); /* one warning */
      text = warning->text;
    }
  return text;
}

/* A mode of the invented cavity is 25 kHz wide: 249.8 MHz over a finesse of 10 000. */
typedef struct
{
  const char *name, *observable;
  const char *recorded, *stated; /* detuning; NULL: not stated */
  double value;                  /* Hz */
  const char *says;              /* of what was stated */
} Case;

static const Case cases[] = {
  /* Nobody contradicts it, but the data know it a hundred times better. */
  { "power", "power", "300 Hz", "0(1) kHz", 300.0, "0.0(10) kHz is stated" },
  { "amplitude", "amplitude", "-300 Hz", "0.5(2) kHz", -300.0, "0.50(20) kHz is stated" },
  { "field", "field", "100 Hz", NULL, 100.0, "none is stated, so 0 was taken" },
};

static void
assert_agree (FaintScore score, double value, double u, double part)
{
  faint_assert_near (score.value, value, part * u, "the few steps end at the freed optimum");
  faint_assert_near (score.u, u, 0.05 * u, "the normal matrix there is the same");
}

/* The warning has the number of the fit with the detuning free. */
static void
test_wrong (gconstpointer data)
{
  const Case *what = data;
  const char *recorded[]
      = { "observable", what->observable, "tooth_detuning", what->recorded, NULL };
  const char *stated[] = { "observable", what->observable,
                           what->stated != NULL ? "tooth_detuning" : NULL, what->stated, NULL };
  FaintFitOptions options = options_without_finding ();
  g_autoptr (FaintFit) held = fit_as_stated (recorded, stated, 3, &options);
  g_autoptr (FaintFit) freed = NULL;
  g_autofree char *number = NULL;
  const char *text = warning_text (held->warnings);
  FaintScore score, one_step, slope;

  g_assert_true (faint_score_detuning (&held, 1, &one_step, &slope));
  score = faint_score_refine_detuning (held, FALSE);
  g_assert_true (score.settled);
  options.detuning_free = TRUE;
  freed = fit_as_stated (recorded, stated, 3, &options);
  assert_agree (score, freed->instrument.detuning, freed->instrument.u_detuning, 0.2);
  faint_assert_near (score.value, what->value, 4.0 * score.u, "four standard uncertainties");
  faint_assert_near (one_step.value, what->value, 0.1 * fabs (what->value),
                     "a Gauss-Newton step leaves what is of second order");
  faint_assert_near (one_step.u, score.u, 0.1 * score.u, "so does the matrix where it began");
  g_assert_nonnull (text);
  number = faint_format_concise (score.value / 1e3, score.u / 1e3);
  g_assert_nonnull (strstr (text, number));
  g_assert_nonnull (strstr (text, what->says));
  g_assert_nonnull (strstr (text, "(detuning_free)"));
  g_assert_null (warning_text (freed->warnings));
}

/* With the detuning free it is the slope's turn. */
static void
test_slope (void)
{
  static const char *const recorded[]
      = { "tooth_detuning", "300 Hz", "tooth_detuning_slope", "2e-8", NULL };
  FaintFitOptions options = options_without_finding ();
  g_autoptr (FaintFit) held = NULL;
  g_autoptr (FaintFit) freed = NULL;
  const char *text;
  FaintScore score;

  options.detuning_free = TRUE;
  held = fit_as_stated (recorded, NULL, 5, &options);
  options.detuning_slope_free = TRUE;
  freed = fit_as_stated (recorded, NULL, 5, &options);
  text = warning_text (held->warnings);
  g_assert_nonnull (text);
  g_assert_nonnull (strstr (text, "(detuning_slope_free)"));
  score = faint_score_refine_detuning (held, TRUE);
  assert_agree (score, freed->instrument.detuning_slope, freed->instrument.u_detuning_slope, 0.2);
  faint_assert_near (score.value, 2e-8, 4.0 * score.u, "four standard uncertainties");
  g_assert_null (warning_text (freed->warnings));
}

/* What is stated right is left alone, and the step is as long as its uncertainty lets expect. */
static void
test_right (void)
{
  static const char *const recorded[] = { "tooth_detuning", "2 kHz", NULL };
  static const char *const loosely[] = { "tooth_detuning", "2.0(1) kHz", NULL };
  FaintFitOptions options = options_without_finding ();
  double by_detuning = 0.0, by_slope = 0.0;

  for (guint32 seed = 1; seed <= SEEDS; seed++)
    {
      g_autoptr (FaintFit) fit
          = fit_as_stated (recorded, seed % 2 ? recorded : loosely, seed, &options);
      FaintScore detuning, slope;

      g_assert_null (warning_text (fit->warnings));
      g_assert_true (faint_score_detuning (&fit, 1, &detuning, &slope));
      by_detuning += pow ((detuning.value - 2e3) / detuning.u, 2.0);
      by_slope += pow (slope.value / slope.u, 2.0);
    }
  /* Chi-square with 20 degrees of freedom is between 5.9 and 45.3 with probability 0.998 (tables;
   * from memory). */
  g_assert_cmpfloat (by_detuning, >, 5.9);
  g_assert_cmpfloat (by_detuning, <, 45.3);
  g_assert_cmpfloat (by_slope, >, 5.9);
  g_assert_cmpfloat (by_slope, <, 45.3);
}

/* No mode, no free spectral range, nothing held: nothing to say. */
static void
test_nothing_held (void)
{
  static const char *const setups[][9] = {
    { "cavity", "none", "cavity_length", "3000 m", "finesse", "", NULL },
    { "coupling", "swept", NULL },
    { NULL },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (setups); i++)
    {
      FaintFitOptions options = options_without_finding ();
      g_autoptr (FaintFit) fit = NULL;
      FaintScore detuning, slope;

      options.detuning_free = options.detuning_slope_free = setups[i][0] == NULL;
      fit = fit_as_stated (setups[i], setups[i], 7, &options);
      g_assert_false (faint_score_detuning (&fit, 1, &detuning, &slope));
      g_assert_true (isnan (detuning.value) && isnan (slope.value));
      g_assert_null (warning_text (fit->warnings));
    }
}

/* One thread or two, the same words. */
static void
test_same_words (void)
{
  static const char *const recorded[] = { "tooth_detuning", "300 Hz", NULL };
  FaintFitOptions options = options_without_finding ();
  g_autoptr (FaintFit) one = NULL;
  g_autoptr (FaintFit) two = NULL;

  options.threads = 1;
  one = fit_as_stated (recorded, NULL, 9, &options);
  options.threads = 2;
  two = fit_as_stated (recorded, NULL, 9, &options);
  g_assert_cmpstr (warning_text (one->warnings), ==, warning_text (two->warnings));
}

/* Of two spectra with the same lines the one that is not as stated is named. */
static void
test_joint (void)
{
  static const char *const recorded[] = { "tooth_detuning", "300 Hz", NULL };
  FaintFitOptions options = options_without_finding ();
  FaintLine truth[N_LINES];
  FaintSpectrum *spectra[2]
      = { record_as_stated (NULL, NULL, 11, truth), record_as_stated (recorded, NULL, 12, truth) };
  g_autoptr (FaintLineList) list = NULL;
  g_autoptr (FaintJointFit) held = NULL;
  g_autoptr (FaintJointFit) freed = NULL;
  g_autoptr (GError) error = NULL;
  FaintScore score[2], slope[2];
  const char *text;

  make_lines (spectra[0]->setup, truth);
  list = faint_line_list_new (truth, N_LINES);
  held = faint_joint_fit_run (spectra, 2, list, &options, NULL, NULL, &error);
  g_assert_no_error (error);
  options.detuning_free = TRUE;
  freed = faint_joint_fit_run (spectra, 2, list, &options, NULL, NULL, &error);
  g_assert_no_error (error);
  text = warning_text (held->warnings);
  g_assert_nonnull (text);
  g_assert_true (g_str_has_prefix (text, "Spectrum 2 "));
  g_assert_true (faint_score_detuning (held->parts, 2, score, slope));
  assert_agree (score[1], freed->parts[1]->instrument.detuning,
                freed->parts[1]->instrument.u_detuning, 1.0);
  g_assert_null (warning_text (freed->warnings));
  for (int s = 0; s < 2; s++)
    faint_spectrum_unref (spectra[s]);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  gsl_set_error_handler_off ();
  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autofree char *path = g_strdup_printf ("/fit/score/wrong/%s", cases[i].name);
      g_test_add_data_func (path, &cases[i], test_wrong);
    }
  g_test_add_func ("/fit/score/slope", test_slope);
  g_test_add_func ("/fit/score/right", test_right);
  g_test_add_func ("/fit/score/nothing-held", test_nothing_held);
  g_test_add_func ("/fit/score/same-words", test_same_words);
  g_test_add_func ("/fit/score/joint", test_joint);
  return g_test_run ();
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Parameters beyond four free ones for each line: what is tied or common, the instrument's detuning
 * and fringes, speed-dependent profiles. Each is put into a record by the forward model of these
 * tests and is to come out again within its uncertainty.
 */
#include "known-lines.h"

static const SyntheticRecord noisy = {
  .n = N_TEETH,
  .u = 4e-5,
  .noise = 4e-5,
  .seed = 11,
  .baseline = { 0.9, 0.02, -0.01 },
};

static const char *const by_noise
    = "within 4.5 standard uncertainties: beyond in 7 of 1e6 draws, and the seed is fixed";

static void
assert_within (double got, double u, double want)
{
  g_assert_cmpfloat (u, >, 0.0);
  faint_assert_near (got, want, 4.5 * u, by_noise);
}

static void
assert_lines (const FaintFit *fit, const FaintLine *truth, gsize n)
{
  g_assert_cmpint (fit->verdict, ==, FAINT_VERDICT_CONVERGED);
  for (gsize i = 0; i < n; i++)
    for (FaintPlace p = 0; p < FAINT_PLACE_DOPPLER; p++)
      {
        const FaintParameter *got
            = faint_line_peek_parameter (faint_line_list_get (fit->lines, i), p);
        assert_within (got->value, got->u_noise, faint_line_peek_parameter (&truth[i], p)->value);
      }
}

static FaintSpectrum *
record_under_other_setup (const char *const *recorded, const char *const *stated,
                          const SyntheticRecord *record, FaintLine *lines)
{
  g_autoptr (FaintSetup) setup = synthetic_setup (recorded);
  g_autoptr (FaintSetup) other = synthetic_setup (stated);
  g_autoptr (FaintSpectrum) spectrum = NULL;
  g_autoptr (GError) error = NULL;
  FaintSpectrum *under;

  make_lines (setup, lines);
  spectrum = synthetic_record (setup, lines, N_LINES, record);
  under = faint_spectrum_with_setup (spectrum, other, &error);
  g_assert_no_error (error);
  return under;
}

/* A detuning and its slope that nobody stated. */
static void
test_detuning (gconstpointer data)
{
  const char *observable = data;
  const char *recorded[] = {
    "observable", observable, "tooth_detuning", "3 kHz", "tooth_detuning_slope", "2e-8", NULL
  };
  const char *stated[] = { "observable", observable, NULL };
  FaintLine truth[N_LINES];
  SyntheticRecord record = noisy;
  g_autoptr (FaintSpectrum) spectrum = record_under_other_setup (recorded, stated, &record, truth);
  g_autoptr (FaintFit) fit = NULL;
  g_autoptr (FaintFit) blind = NULL;
  FaintFitOptions options = options_without_finding ();

  blind = run (spectrum, truth, N_LINES, &options);
  options.detuning_free = options.detuning_slope_free = TRUE;
  fit = run (spectrum, truth, N_LINES, &options);
  assert_lines (fit, truth, N_LINES);
  assert_within (fit->instrument.detuning, fit->instrument.u_detuning, 3e3);
  assert_within (fit->instrument.detuning_slope, fit->instrument.u_detuning_slope, 2e-8);
  g_assert_cmpfloat (fit->instrument.u_detuning, <, 100.0);
  g_assert_cmpfloat (fabs (fit->chi2_reduced - 1.0), <, 5.0 * sqrt (2.0 / fit->dof));
  /* Without it the same record is not understood. */
  g_assert_cmpfloat (blind->chi2_reduced, >, 1.5);
}

/* What has no modes to be detuned from is told so. */
static void
test_detuning_refused (void)
{
  static const char *const setups[][9]
      = { { "cavity", "none", "cavity_length", "3000 m", "finesse", "", NULL },
          { "coupling", "swept", NULL } };

  for (gsize i = 0; i < G_N_ELEMENTS (setups); i++)
    {
      g_autoptr (FaintSetup) setup = synthetic_setup (setups[i]);
      g_autoptr (FaintSpectrum) spectrum = NULL;
      g_autoptr (GError) error = NULL;
      FaintFitOptions options = options_without_finding ();
      FaintLine truth[N_LINES];

      make_lines (setup, truth);
      spectrum = synthetic_record (setup, truth, N_LINES, &quiet);
      options.detuning_free = TRUE;
      g_assert_null (faint_fit_run (spectrum, NULL, &options, NULL, &error));
      g_assert_error (error, FAINT_FIT_ERROR, FAINT_FIT_ERROR_OPTION);
      g_assert_nonnull (strstr (error->message, "detuning_free"));
    }
}

static double
fringe (double x, double period, double amplitude, double phase)
{
  return 1.0 + amplitude * cos (2.0 * M_PI * x / period + phase);
}

static void
add_fringes (FaintSpectrum *spectrum)
{
  for (gsize t = 0; t < spectrum->n; t++)
    {
      double factor = fringe (spectrum->wavenumber[t], 0.131, 0.02, 0.4)
                      * fringe (spectrum->wavenumber[t], 0.0617, 0.004, -1.1);
      spectrum->value[t] *= factor;
      if (spectrum->value_im != NULL)
        spectrum->value_im[t] *= factor;
    }
}

/* Two etalons under lines that are found, not given. The weaker one's period is unknown too, but
 * for the field, where strong lines' wings reach further. */
static void
test_fringes (gconstpointer data)
{
  const char *pairs[] = { "observable", data, NULL };
  g_autoptr (FaintSetup) setup = synthetic_setup (pairs);
  g_autoptr (FaintSpectrum) spectrum = NULL;
  g_autoptr (FaintFit) fit = NULL;
  FaintFitOptions options;
  FaintLine truth[N_LINES];
  const FaintFitFringe *fringes;

  make_lines (setup, truth);
  spectrum = synthetic_record (setup, truth, N_LINES, &noisy);
  add_fringes (spectrum);
  faint_fit_options_init (&options);
  options.fringes = 2;
  options.fringe_period[1] = setup->observable == FAINT_OBSERVABLE_FIELD ? 0.06 : 0.0;
  options.width_shared = FALSE;
  fit = run (spectrum, NULL, 0, &options);
  fringes = fit->instrument.fringe;
  g_assert_cmpuint (fit->instrument.n_fringes, ==, 2);
  assert_within (fringes[0].period, fringes[0].u_period, 0.131);
  assert_within (fringes[1].period, fringes[1].u_period, 0.0617);
  assert_within (faint_fit_fringe_amplitude (&fringes[0]),
                 hypot (fringes[0].u_cosine, fringes[0].u_sine), 0.02);
  assert_within (faint_fit_fringe_amplitude (&fringes[1]),
                 hypot (fringes[1].u_cosine, fringes[1].u_sine), 0.004);
  g_assert_cmpfloat (fringes[0].u_cosine, <, 1e-4);
  g_assert_cmpfloat (fabs (fit->chi2_reduced - 1.0), <, 5.0 * sqrt (2.0 / fit->dof));
  g_assert_cmpuint (faint_line_list_get_n (fit->lines), >=, N_LINES - 1);
  for (gsize i = 0; i < faint_line_list_get_n (fit->lines); i++)
    {
      const FaintLine *line = faint_line_list_get (fit->lines, i), *want = &truth[0];

      for (int k = 1; k < N_LINES; k++)
        if (fabs (truth[k].position.value - line->position.value)
            < fabs (want->position.value - line->position.value))
          want = &truth[k];
      assert_within (line->strength.value, line->strength.u_noise, want->strength.value);
    }
}

/* No etalon: the fringe asked for is said not to be there, and the lines do not mind. */
static void
test_fringe_not_there (void)
{
  g_autoptr (FaintSetup) setup = synthetic_setup (NULL);
  g_autoptr (FaintSpectrum) spectrum = NULL;
  g_autoptr (FaintFit) fit = NULL;
  FaintFitOptions options = options_without_finding ();
  FaintLine truth[N_LINES];
  gboolean told = FALSE;

  make_lines (setup, truth);
  spectrum = synthetic_record (setup, truth, N_LINES, &noisy);
  options.fringes = 1;
  options.fringe_period[0] = 0.131;
  fit = run (spectrum, truth, N_LINES, &options);
  assert_lines (fit, truth, N_LINES);
  for (guint i = 0; i < fit->warnings->len; i++)
    told |= g_str_equal (((FaintWarning *)g_ptr_array_index (fit->warnings, i))->code,
                         "fringe-not-seen");
  g_assert_true (told);
}

static void
tie (FaintLine *lines, int line, FaintPlace place, int to)
{
  FaintParameter *parameter = faint_line_parameter (&lines[line], place);
  double root = faint_line_parameter (&lines[to], place)->value;

  parameter->state = FAINT_STATE_TIED;
  parameter->tied_to = lines[to].id;
  parameter->tie_factor = place == FAINT_PLACE_STRENGTH ? parameter->value / root : 1.0;
  parameter->tie_offset = parameter->value - parameter->tie_factor * root;
}

/* The faint line of a pair and one far away follow others; the relation holds exactly, and they
 * are known better than they would be by themselves. */
static void
test_ties (void)
{
  g_autoptr (FaintSetup) setup = synthetic_setup (NULL);
  g_autoptr (FaintSpectrum) spectrum = NULL;
  g_autoptr (FaintFit) tied = NULL;
  g_autoptr (FaintFit) untied = NULL;
  FaintFitOptions options = options_without_finding ();
  FaintLine truth[N_LINES], start[N_LINES];

  make_lines (setup, truth);
  for (guint i = 0; i < N_LINES; i++)
    truth[i].id = i + 1;
  spectrum = synthetic_record (setup, truth, N_LINES, &noisy);
  untied = run (spectrum, truth, N_LINES, &options);
  memcpy (start, truth, sizeof start);
  tie (start, 4, FAINT_PLACE_POSITION, 3);
  tie (start, 4, FAINT_PLACE_STRENGTH, 3);
  tie (start, 4, FAINT_PLACE_LORENTZ, 3);
  tie (start, 0, FAINT_PLACE_LORENTZ, 7);
  tied = run (spectrum, start, N_LINES, &options);
  assert_lines (tied, truth, N_LINES);
  for (FaintPlace p = 0; p < FAINT_PLACE_DOPPLER; p++)
    {
      const FaintParameter *root
          = faint_line_peek_parameter (faint_line_list_get (tied->lines, 3), p);
      const FaintParameter *follower
          = faint_line_peek_parameter (faint_line_list_get (tied->lines, 4), p);
      const FaintParameter *alone
          = faint_line_peek_parameter (faint_line_list_get (untied->lines, 4), p);

      faint_assert_close (follower->value,
                          follower->tie_factor * root->value + follower->tie_offset, 1e-15,
                          "one rounding");
      faint_assert_close (follower->u_noise, follower->tie_factor * root->u_noise, 1e-12,
                          "the same parameter");
      g_assert_cmpfloat (follower->u_noise, <, 0.7 * alone->u_noise);
    }
  g_assert_cmpuint (faint_line_list_get (tied->lines, 4)->flags & FAINT_LINE_STRENGTH_TIED, !=, 0);
  g_assert_cmpfloat (tied->dof, ==, untied->dof + 4.0);
}

/* All widths one parameter: with N lines of one width it is known sqrt(N) times better, weighted.
 */
static void
test_common_width (void)
{
  g_autoptr (FaintSetup) setup = synthetic_setup (NULL);
  g_autoptr (FaintSpectrum) spectrum = NULL;
  g_autoptr (FaintFit) common = NULL;
  g_autoptr (FaintFit) own = NULL;
  FaintFitOptions options = options_without_finding ();
  FaintLine truth[N_LINES];
  double information = 0.0;

  for (int i = 0; i < N_LINES; i++)
    truth[i]
        = synthetic_line (setup, synthetic_wavenumber (placed[i].tooth), placed[i].peak, 0.002);
  spectrum = synthetic_record (setup, truth, N_LINES, &noisy);
  own = run (spectrum, truth, N_LINES, &options);
  options.lorentz_common = TRUE;
  common = run (spectrum, truth, N_LINES, &options);
  assert_lines (common, truth, N_LINES);
  for (int i = 0; i < N_LINES; i++)
    {
      const FaintLine *line = faint_line_list_get (common->lines, (gsize)i);

      information += pow (faint_line_list_get (own->lines, (gsize)i)->lorentz.u_noise, -2.0);
      g_assert_cmpfloat (line->lorentz.value, ==,
                         faint_line_list_get (common->lines, 0)->lorentz.value);
      g_assert_cmpint (line->lorentz.state, ==, i == 0 ? FAINT_STATE_FREE : FAINT_STATE_TIED);
    }
  /* The widths' own uncertainties contain their correlation with what stays free, so the sum of
   * their information is what is known of the common one, but for the blended pair. */
  faint_assert_close (faint_line_list_get (common->lines, 0)->lorentz.u_noise,
                      1.0 / sqrt (information), 0.02, "the pair shares teeth");
}

/* A speed-dependent width and shift, by an integral over speeds; a Voigt profile does not do. */
static void
test_speed_dependent (void)
{
  g_autoptr (FaintSetup) setup = synthetic_setup (NULL);
  g_autoptr (FaintSpectrum) spectrum = NULL;
  g_autoptr (FaintFit) fit = NULL;
  g_autoptr (FaintFit) voigt = NULL;
  FaintFitOptions options = options_without_finding ();
  FaintLine truth = synthetic_line (setup, synthetic_wavenumber (300.3), 0.5, 0.012), start;
  const FaintLine *got;

  truth.profile = FAINT_PROFILE_SPEED_DEPENDENT_VOIGT;
  truth.speed_width.value = 0.0018;
  truth.speed_shift.value = -0.0006;
  spectrum = synthetic_record (setup, &truth, 1,
                               &(SyntheticRecord){ .n = 600, .u = 5e-5, .noise = 5e-5, .seed = 3 });
  start = truth;
  start.speed_width.value = start.speed_shift.value = NAN;
  start.lorentz.value *= 1.1;
  fit = run (spectrum, &start, 1, &options);
  assert_lines (fit, &truth, 1);
  got = faint_line_list_get (fit->lines, 0);
  assert_within (got->speed_width.value, got->speed_width.u_noise, 0.0018);
  assert_within (got->speed_shift.value, got->speed_shift.u_noise, -0.0006);
  g_assert_cmpfloat (got->speed_width.u_noise, <, 2e-4);
  g_assert_cmpfloat (fabs (fit->chi2_reduced - 1.0), <, 5.0 * sqrt (2.0 / fit->dof));
  start.profile = FAINT_PROFILE_VOIGT;
  voigt = run (spectrum, &start, 1, &options);
  g_assert_cmpfloat (voigt->chi2_reduced, >, 1.5);
}

/* All that was fitted comes back from what a file keeps. */
static void
test_restore (void)
{
  static const char *const recorded[] = { "tooth_detuning", "3 kHz", NULL };
  FaintLine truth[N_LINES];
  g_autoptr (FaintSpectrum) spectrum = record_under_other_setup (recorded, NULL, &noisy, truth);
  g_autoptr (FaintFit) fit = NULL;
  g_autoptr (FaintFit) again = NULL;
  g_autoptr (GError) error = NULL;
  FaintFitOptions options = options_without_finding ();

  add_fringes (spectrum);
  options.detuning_free = options.lorentz_common = TRUE;
  options.fringes = 2;
  fit = run (spectrum, truth, N_LINES, &options);
  again = faint_fit_restore (spectrum, NULL, fit->lines, &options, fit->windows, fit->n_windows,
                             fit->baseline_coefficients, &fit->instrument, fit->width_mean,
                             fit->width_spread, &error);
  g_assert_no_error (error);
  faint_assert_close (again->chi2, fit->chi2, 1e-9,
                      "the same numbers, where a common width stood as a parameter before");
  for (gsize t = 0; t < spectrum->n; t++)
    faint_assert_near (again->model[t], fit->model[t], 1e-12, "the same numbers but for rounding");
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  gsl_set_error_handler_off ();
  g_test_add_data_func ("/fit/parameters/detuning/power", "power", test_detuning);
  g_test_add_data_func ("/fit/parameters/detuning/amplitude", "amplitude", test_detuning);
  g_test_add_data_func ("/fit/parameters/detuning/field", "field", test_detuning);
  g_test_add_func ("/fit/parameters/detuning/refused", test_detuning_refused);
  g_test_add_data_func ("/fit/parameters/fringes/power", "power", test_fringes);
  g_test_add_data_func ("/fit/parameters/fringes/field", "field", test_fringes);
  g_test_add_func ("/fit/parameters/fringes/not-there", test_fringe_not_there);
  g_test_add_func ("/fit/parameters/ties", test_ties);
  g_test_add_func ("/fit/parameters/common-width", test_common_width);
  g_test_add_func ("/fit/parameters/speed-dependent", test_speed_dependent);
  g_test_add_func ("/fit/parameters/restore", test_restore);
  return g_test_run ();
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Several spectra at once: lines whose coefficients and energies are put in by the formulas as they
 * stand in the literature are to come out again within their uncertainty.
 */
#include "faint/fit/joint.h"
#include "known-lines.h"
#include "series.h"

static FaintJointFit *
run_series (const Conditions *conditions, gsize n, const Truth *truth, int n_lines,
            FaintLineList *start, const FaintFitOptions *options, double noise)
{
  FaintSpectrum *spectra[8];
  double sums[9];
  g_autoptr (GError) error = NULL;
  FaintJointFit *fit;

  for (gsize s = 0; s < n; s++)
    {
      spectra[s] = spectrum_under (&conditions[s], truth, n_lines, (guint32)(21 + s), noise);
      sums[s] = partition_sum (number (spectra[s]->setup->temperature));
    }
  sums[n] = partition_sum (296.0);
  fit = faint_joint_fit_run (spectra, n, start, options, sums, NULL, &error);
  if (fit == NULL)
    g_error ("%s", error->message);
  for (gsize s = 0; s < n; s++)
    faint_spectrum_unref (spectra[s]);
  return fit;
}

/* Sum of squares of pulls and their number, by kind. */
typedef struct
{
  const char *what;
  double square;
  int n;
} Pulls;

static void
add_pull (Pulls *pulls, double got, double u, double want)
{
  g_assert_true (isfinite (u) && u > 0.0);
  faint_assert_near (got, want, 5.0 * u, "five standard uncertainties; the seeds are fixed");
  pulls->square += (got - want) * (got - want) / (u * u);
  pulls->n++;
}

/* The sum of n squared pulls has mean n and standard deviation sqrt(2 n); correlation between lines
 * is small. */
static void
assert_pulls (const Pulls *pulls)
{
  double expected = 5.0 * sqrt (2.0 * pulls->n);

  g_test_message ("%s: %d pulls, mean square %.3f", pulls->what, pulls->n,
                  pulls->square / pulls->n);
  g_assert_cmpfloat (fabs (pulls->square - pulls->n), <, expected);
}

static const FaintLine *
line_near (const FaintLineList *lines, double position)
{
  gsize at = faint_line_list_nearest (lines, position);

  g_assert_cmpuint (at, <, faint_line_list_get_n (lines));
  return faint_line_list_get (lines, at);
}

static void
add_coefficient (Pulls *pulls, const FaintLine *line, FaintCoefficient coefficient, double want)
{
  const FaintParameter *parameter = &line->coefficient[coefficient];

  add_pull (pulls, parameter->value, parameter->u_noise, want);
}

/* Pressures of the pure gas at two temperatures: broadening, shift, exponent, energy, strength. */
static void
test_pure (void)
{
  static const Conditions conditions[] = {
    { "5 hPa", "296 K", "1", "12000" },
    { "40 hPa", "296 K", "1", "9000" },
    { "20 hPa", "230 K", "1", "12000" },
    { "60 hPa", "320 K", "1", "7000" },
  };
  Truth truth[18];
  Pulls position = { "position" }, strength = { "strength" }, self = { "self" },
        shift = { "shift" }, exponent = { "exponent" }, energy = { "energy" };
  g_autoptr (FaintJointFit) fit = NULL;
  FaintFitOptions options;

  make_truth (truth, 18);
  faint_fit_options_init (&options);
  options.width_shared = FALSE;
  fit = run_series (conditions, G_N_ELEMENTS (conditions), truth, 18, NULL, &options, 1e-4);
  g_assert_cmpint (fit->verdict, ==, FAINT_VERDICT_CONVERGED);
  g_assert_cmpuint (faint_line_list_get_n (fit->lines), ==, 18);
  g_assert_cmpfloat (fabs (fit->chi2_reduced - 1.0), <, 5.0 * sqrt (2.0 / fit->dof));
  g_assert_true (fit->determined[FAINT_COEFFICIENT_BROADENING_SELF]
                 && fit->determined[FAINT_COEFFICIENT_SHIFT_SELF] && fit->energies
                 && !fit->determined[FAINT_COEFFICIENT_BROADENING_FOREIGN]);
  for (int i = 0; i < 18; i++)
    {
      const FaintLine *line = line_near (fit->lines, truth[i].position);

      add_coefficient (&position, line, FAINT_COEFFICIENT_POSITION_ZERO, truth[i].position);
      add_coefficient (&self, line, FAINT_COEFFICIENT_BROADENING_SELF, truth[i].self);
      add_coefficient (&shift, line, FAINT_COEFFICIENT_SHIFT_SELF, truth[i].shift_self);
      add_coefficient (&exponent, line, FAINT_COEFFICIENT_WIDTH_EXPONENT, truth[i].exponent);
      add_pull (&energy, line->lower_energy, line->u_lower_energy, truth[i].energy);
      add_pull (&strength, line->strength_296, line->u_strength_296, truth[i].strength_296);
      g_assert_cmpuint (line->flags & FAINT_LINE_ENERGY_FITTED, !=, 0);
    }
  assert_pulls (&position);
  assert_pulls (&strength);
  assert_pulls (&self);
  assert_pulls (&shift);
  assert_pulls (&exponent);
  assert_pulls (&energy);
}

/* Mixtures at one temperature: self and foreign apart; given lines with only positions. */
static void
test_mixtures (void)
{
  static const Conditions conditions[] = {
    { "20 hPa", "296 K", "1", "12000" },
    { "60 hPa", "296 K", "0.3", "12000" },
    { "150 hPa", "296 K", "0.1", "12000" },
  };
  Truth truth[14];
  FaintLine start[14];
  Pulls self = { "self" }, foreign = { "foreign" }, strength = { "strength" },
        shift = { "foreign shift" };
  g_autoptr (FaintJointFit) fit = NULL;
  g_autoptr (FaintLineList) list = NULL;
  FaintFitOptions options = options_without_finding ();

  make_truth (truth, 14);
  for (int i = 0; i < 14; i++)
    {
      start[i] = faint_line_unknown ();
      start[i].position.value = truth[i].position + 2e-4;
      start[i].strength.value = 1.3 * truth[i].strength_296;
      start[i].lorentz.value = 0.002;
      start[i].doppler.state = FAINT_STATE_DERIVED;
    }
  list = faint_line_list_new (start, 14);
  fit = run_series (conditions, G_N_ELEMENTS (conditions), truth, 14, list, &options, 1e-4);
  g_assert_cmpint (fit->verdict, ==, FAINT_VERDICT_CONVERGED);
  g_assert_false (fit->energies);
  for (int i = 0; i < 14; i++)
    {
      const FaintLine *line = line_near (fit->lines, truth[i].position);

      add_coefficient (&self, line, FAINT_COEFFICIENT_BROADENING_SELF, truth[i].self);
      add_coefficient (&foreign, line, FAINT_COEFFICIENT_BROADENING_FOREIGN, truth[i].foreign);
      add_coefficient (&shift, line, FAINT_COEFFICIENT_SHIFT_FOREIGN, truth[i].shift_foreign);
      add_pull (&strength, line->strength.value, line->strength.u_noise, truth[i].strength_296);
      g_assert_true (isnan (line->lower_energy));
    }
  assert_pulls (&self);
  assert_pulls (&foreign);
  assert_pulls (&shift);
  assert_pulls (&strength);
}

/* Two records of the same conditions are worth sqrt(2) of one. */
static void
test_repeated (void)
{
  static const Conditions conditions[]
      = { { "10 hPa", "296 K", "1", "12000" }, { "10 hPa", "296 K", "1", "12000" } };
  Truth truth[12];
  FaintLine start[12];
  g_autoptr (FaintJointFit) fit = NULL;
  g_autoptr (FaintLineList) list = NULL;
  g_autoptr (FaintSpectrum) alone = NULL;
  g_autoptr (FaintFit) single = NULL;
  g_autoptr (FaintSetup) setup = synthetic_setup (NULL);
  FaintFitOptions options = options_without_finding ();

  make_truth (truth, 12);
  alone = spectrum_under (&conditions[0], truth, 12, 21, 1e-4);
  lines_under (alone->setup, truth, 12, start);
  list = faint_line_list_new (start, 12);
  fit = run_series (conditions, 2, truth, 12, list, &options, 1e-4);
  single = faint_fit_run (alone, list, &options, NULL, NULL);
  g_assert_cmpint (fit->verdict, ==, FAINT_VERDICT_CONVERGED);
  for (gsize i = 0; i < 12; i++)
    for (FaintPlace p = 0; p < FAINT_PLACE_DOPPLER; p++)
      {
        double u = faint_line_peek_parameter (faint_line_list_get (fit->lines, i), p)->u_noise;
        double u_single
            = faint_line_peek_parameter (faint_line_list_get (single->lines, i), p)->u_noise;
        faint_assert_close (u, u_single / sqrt (2.0), 0.01,
                            "two equal records; uncertainties taken where each fit ended");
      }
  g_assert_cmpuint (fit->parts[1]->spectrum->n, ==, SERIES_TEETH);
}

/* What cannot belong together, or lacks what it needs, is refused in words. */
static void
test_refused (void)
{
  static const Conditions cold = { "10 hPa", "230 K", "1", "12000" },
                          warm = { "10 hPa", "296 K", "1", "12000" };
  static const char *const heavy[] = { "molar_mass", "46.0055 g/mol", NULL };
  g_autoptr (FaintSetup) other = synthetic_setup (heavy);
  Truth truth[3];
  FaintSpectrum *spectra[2];
  g_autoptr (GError) error = NULL;
  g_autoptr (GError) second = NULL;
  FaintFitOptions options = options_without_finding ();
  FaintLine lines[3];
  FaintSpectrum *mixed[2];

  make_truth (truth, 3);
  spectra[0] = spectrum_under (&warm, truth, 3, 1, 1e-4);
  spectra[1] = spectrum_under (&cold, truth, 3, 2, 1e-4);
  g_assert_null (faint_joint_fit_run (spectra, 2, NULL, &options, NULL, NULL, &error));
  g_assert_error (error, FAINT_FIT_ERROR, FAINT_FIT_ERROR_OPTION);
  g_assert_nonnull (strstr (error->message, "partition_sums"));
  lines_under (other, truth, 3, lines);
  mixed[0] = spectra[0];
  mixed[1] = synthetic_record (other, lines, 3, &(SyntheticRecord){ .n = 1000, .u = 1e-4 });
  g_assert_null (faint_joint_fit_run (mixed, 2, NULL, &options, NULL, NULL, &second));
  g_assert_nonnull (strstr (second->message, "molar mass"));
  faint_spectrum_unref (spectra[0]);
  faint_spectrum_unref (spectra[1]);
  faint_spectrum_unref (mixed[1]);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  gsl_set_error_handler_off ();
  g_test_add_func ("/fit/joint/pure", test_pure);
  g_test_add_func ("/fit/joint/mixtures", test_mixtures);
  g_test_add_func ("/fit/joint/repeated", test_repeated);
  g_test_add_func ("/fit/joint/refused", test_refused);
  return g_test_run ();
}

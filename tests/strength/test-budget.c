/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The uncertainty budget against what it claims: every input moved by its standard uncertainty and
 * the whole fit done again. Without noise the residuals are 0 at the solution, so that the linear
 * sensitivity is exact there; half the difference between moving up and down leaves an error of
 * third order, (1e-3)^2 of the effect for inputs known to 1e-3.
 */
#include "faint/strength/budget.h"
#include "synthetic.h"
#include "faint-test.h"

#include <math.h>
#include <string.h>

#include <gsl/gsl_errno.h>

#define N_LINES 3
#define N_TEETH 600

typedef struct
{
  const char *name;
  const char *pairs[20]; /* of the setup */
  const char *input;     /* key that is moved */
  double u;              /* relative */
  FaintUncertaintySource source;
  gboolean less;   /* more of the input is less loss: contributions have the sign of the loss */
  gboolean no_sum; /* what it does to a strength cancels */
} Case;

#define DETUNED "tooth_detuning", "4 kHz"
#define RING_DOWN "ring_down_time", "7.6 us", DETUNED

static const Case cases[] = {
  { "temperature", { DETUNED, NULL }, "temperature", 1e-3, FAINT_SOURCE_TEMPERATURE },
  { "pressure", { NULL }, "pressure", 1e-3, FAINT_SOURCE_PRESSURE },
  { "mole-fraction",
    { "mole_fraction", "0.9", NULL },
    "mole_fraction",
    1e-3,
    FAINT_SOURCE_MOLE_FRACTION },
  { "abundance",
    { "isotopic_abundance", "0.9", NULL },
    "isotopic_abundance",
    1e-3,
    FAINT_SOURCE_MOLE_FRACTION },
  { "mass", { DETUNED, NULL }, "molar_mass", 1e-3, FAINT_SOURCE_MASS },
  { "finesse", { DETUNED, NULL }, "finesse", 1e-3, FAINT_SOURCE_CAVITY, TRUE },
  { "finesse-field",
    { DETUNED, "observable", "field", NULL },
    "finesse",
    1e-3,
    FAINT_SOURCE_CAVITY,
    TRUE },
  { "finesse-swept", { "coupling", "swept", NULL }, "finesse", 1e-3, FAINT_SOURCE_CAVITY, TRUE },
  { "reflectivity",
    { "mirror_reflectivity", "0.9997", NULL },
    "mirror_reflectivity",
    3e-7,
    FAINT_SOURCE_CAVITY,
    TRUE },
  { "ring-down", { RING_DOWN, NULL }, "ring_down_time", 1e-3, FAINT_SOURCE_CAVITY, TRUE },
  { "linewidth",
    { "cavity_linewidth", "20.8 kHz", DETUNED, NULL },
    "cavity_linewidth",
    1e-3,
    FAINT_SOURCE_CAVITY },
  { "detuning", { DETUNED, NULL }, "tooth_detuning", 1e-3, FAINT_SOURCE_DETUNING },
  { "detuning-field",
    { DETUNED, "observable", "field", NULL },
    "tooth_detuning",
    1e-3,
    FAINT_SOURCE_DETUNING },
  { "detuning-slope",
    { DETUNED, "tooth_detuning_slope", "1e-7", NULL },
    "tooth_detuning_slope",
    1e-3,
    FAINT_SOURCE_DETUNING },
  { "absorber-length",
    { "absorber_length", "55 cm", NULL },
    "absorber_length",
    1e-3,
    FAINT_SOURCE_LENGTH },
  { "length", { NULL }, "cavity_length", 1e-3, FAINT_SOURCE_LENGTH },
  { "length-ring-down",
    { "ring_down_time", "7.6 us", NULL },
    "cavity_length",
    1e-3,
    FAINT_SOURCE_LENGTH,
    FALSE,
    TRUE },
  { "length-detuned", { DETUNED, NULL }, "cavity_length", 1e-3, FAINT_SOURCE_LENGTH },
  { "length-ring-down-detuned",
    { RING_DOWN, NULL },
    "cavity_length",
    1e-3,
    FAINT_SOURCE_LENGTH,
    FALSE,
    TRUE },
  { "length-apart",
    { RING_DOWN, "absorber_length", "55 cm", NULL },
    "cavity_length",
    1e-3,
    FAINT_SOURCE_LENGTH },
  { "length-single-pass",
    { "cavity", "none", "cavity_length", "3000 m", "finesse", "", NULL },
    "cavity_length",
    1e-3,
    FAINT_SOURCE_LENGTH },
  { "length-ring",
    { "cavity", "ring", RING_DOWN, NULL },
    "cavity_length",
    1e-3,
    FAINT_SOURCE_LENGTH,
    FALSE,
    TRUE },
  { "repetition-rate",
    { NULL },
    "repetition_rate",
    1e-6,
    FAINT_SOURCE_REPETITION_RATE,
    FALSE,
    TRUE },
  { "offset-frequency",
    { NULL },
    "offset_frequency",
    1e-2,
    FAINT_SOURCE_OFFSET_FREQUENCY,
    FALSE,
    TRUE },
};

static FaintQuantity *
input_of (FaintSetup *setup, const char *key)
{
  static const struct
  {
    const char *key;
    gsize offset;
  } places[] = {
    { "temperature", G_STRUCT_OFFSET (FaintSetup, temperature) },
    { "pressure", G_STRUCT_OFFSET (FaintSetup, pressure) },
    { "mole_fraction", G_STRUCT_OFFSET (FaintSetup, mole_fraction) },
    { "isotopic_abundance", G_STRUCT_OFFSET (FaintSetup, abundance) },
    { "molar_mass", G_STRUCT_OFFSET (FaintSetup, molar_mass) },
    { "tooth_detuning", G_STRUCT_OFFSET (FaintSetup, tooth_detuning) },
    { "tooth_detuning_slope", G_STRUCT_OFFSET (FaintSetup, tooth_detuning_slope) },
    { "absorber_length", G_STRUCT_OFFSET (FaintSetup, absorber_length) },
    { "cavity_length", G_STRUCT_OFFSET (FaintSetup, cavity_length) },
    { "repetition_rate", G_STRUCT_OFFSET (FaintSetup, repetition_rate) },
    { "offset_frequency", G_STRUCT_OFFSET (FaintSetup, offset_frequency) },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (places); i++)
    if (g_str_equal (places[i].key, key))
      return G_STRUCT_MEMBER_P (setup, places[i].offset);
  return &setup->mirror;
}

static FaintLineList *
lines_of (const FaintSetup *setup)
{
  FaintLine lines[N_LINES];

  lines[0] = synthetic_line (setup, synthetic_wavenumber (150.3), 0.05, 0.002);
  lines[1] = synthetic_line (setup, synthetic_wavenumber (300.8), 0.6, 0.0015);
  lines[2] = synthetic_line (setup, synthetic_wavenumber (310.1), 0.3, 0.0015);
  for (int i = 0; i < N_LINES; i++)
    {
      lines[i].lower_energy = 300.0 * i;
      lines[i].u_lower_energy = 2.0;
    }
  return faint_line_list_new (lines, N_LINES);
}

static FaintSpectrum *
record_of (FaintSetup *setup, const FaintLineList *lines)
{
  FaintLine plain[N_LINES];

  for (gsize i = 0; i < N_LINES; i++)
    plain[i] = *faint_line_list_get (lines, i);
  return synthetic_record (
      setup, plain, N_LINES,
      &(SyntheticRecord){ .n = N_TEETH, .u = 1e-5, .baseline = { 0.9, 0.02, -0.01 } });
}

/* One wide window: what the lines do to each other is then all in the equations. */
static FaintFit *
fit_of (FaintSpectrum *spectrum, FaintLineList *start)
{
  g_autoptr (GError) error = NULL;
  FaintFitOptions options;
  FaintFit *fit;

  faint_fit_options_init (&options);
  options.find_rounds = 0;
  options.width_shared = FALSE;
  options.window_width = 5.0;
  fit = faint_fit_run (spectrum, start, &options, NULL, &error);
  g_assert_no_error (error);
  g_assert_cmpint (fit->verdict, ==, FAINT_VERDICT_CONVERGED);
  return fit;
}

static FaintFit *
budget_of (FaintFit *fit, const FaintPartition *partition)
{
  g_autoptr (GError) error = NULL;
  FaintFit *budget = faint_budget_apply (fit, partition, &error);

  g_assert_no_error (error);
  return budget;
}

/* The fit with the input moved by @times its uncertainty. */
static FaintFit *
moved (const FaintFit *fit, const char *input, double times)
{
  g_autoptr (FaintSetup) setup = faint_setup_copy (fit->spectrum->setup);
  g_autoptr (FaintSpectrum) spectrum = NULL;
  g_autoptr (GError) error = NULL;
  FaintQuantity *quantity = input_of (setup, input);

  quantity->value += times * quantity->u;
  spectrum = faint_spectrum_with_setup (fit->spectrum, setup, &error);
  g_assert_no_error (error);
  return fit_of (spectrum, fit->lines);
}

/* @u_noise: of the parameter; @unseen: what the library leaves out, that a Doppler width goes with
 * its position by 1e-6 of itself. */
static void
compare (double got, double want, double u_noise, double unseen)
{
  faint_assert_near (got, want, 1e-4 * fabs (want) + 1e-3 * u_noise + unseen,
                     "third order, and the ends of three fits at 3e-4 of their noise");
}

static double
half_difference (FaintParameter up, FaintParameter down, gboolean less)
{
  return (less ? -0.5 : 0.5) * (up.value - down.value);
}

/* Contributions of one input to all lines, and nothing to those of other inputs. */
static void
test_contribution (gconstpointer data)
{
  const Case *what = data;
  g_autoptr (FaintSetup) setup = synthetic_setup (what->pairs);
  g_autoptr (FaintLineList) truth = lines_of (setup);
  g_autoptr (FaintSpectrum) spectrum = NULL;
  g_autoptr (FaintFit) fit = NULL, budget = NULL, up = NULL, down = NULL;
  FaintQuantity *input = input_of (setup, what->input);

  input->u = what->u * fabs (input->value);
  spectrum = record_of (setup, truth);
  fit = fit_of (spectrum, truth);
  budget = budget_of (fit, NULL);
  up = moved (fit, what->input, 1.0);
  down = moved (fit, what->input, -1.0);
  for (gsize i = 0; i < N_LINES; i++)
    {
      const FaintLine *line = faint_line_list_get (budget->lines, i);
      const FaintLine *a = faint_line_list_get (up->lines, i);
      const FaintLine *b = faint_line_list_get (down->lines, i);

      compare (line->strength_from[what->source],
               half_difference (a->strength, b->strength, what->less), line->strength.u_noise, 0.0);
      compare (line->position_from[what->source],
               half_difference (a->position, b->position, what->less), line->position.u_noise, 0.0);
      compare (line->lorentz_from[what->source],
               half_difference (a->lorentz, b->lorentz, what->less), line->lorentz.u_noise,
               1e-6 * fabs (line->position_from[what->source]));
      for (int k = 1; k < FAINT_SOURCE_N; k++)
        if (k != (int)what->source)
          {
            /* A single pass has no cavity to be uncertain of. */
            if (setup->geometry == FAINT_GEOMETRY_NONE && k == FAINT_SOURCE_CAVITY)
              continue;
            g_assert_cmpfloat (fabs (line->strength_from[k]), ==, 0.0);
            g_assert_cmpfloat (fabs (line->position_from[k]), ==, 0.0);
          }
    }
  /* The effect is there to be seen above the noise. */
  if (!what->no_sum)
    {
      const FaintLine *line = faint_line_list_get (budget->lines, 1);
      g_assert_cmpfloat (fabs (line->strength_from[what->source]), >, 1e-6 * line->strength.value);
    }
}

/* Everything uncertain at once: the combined uncertainty is the root sum of squares of what is
 * listed (JCGM 100:2008, 5.1.2), and each entry is what the input alone gives. */
static void
test_combined (void)
{
  static const char *const inputs[]
      = { "temperature",   "pressure",   "finesse",        "tooth_detuning",
          "cavity_length", "molar_mass", "repetition_rate" };
  const char *const pairs[] = { DETUNED, NULL };
  g_autoptr (FaintSetup) setup = synthetic_setup (pairs);
  g_autoptr (FaintLineList) truth = lines_of (setup);
  g_autoptr (FaintSpectrum) spectrum = NULL;
  g_autoptr (FaintFit) fit = NULL, budget = NULL;

  for (gsize k = 0; k < G_N_ELEMENTS (inputs); k++)
    {
      FaintQuantity *input = input_of (setup, inputs[k]);
      input->u = 1e-3 * input->value * (g_str_equal (inputs[k], "repetition_rate") ? 1e-6 : 1.0);
    }
  spectrum = record_of (setup, truth);
  fit = fit_of (spectrum, truth);
  budget = budget_of (fit, NULL);
  g_assert_true (budget != fit);
  for (gsize i = 0; i < N_LINES; i++)
    {
      const FaintLine *line = faint_line_list_get (budget->lines, i);
      const FaintLine *before = faint_line_list_get (fit->lines, i);
      double strength = 0.0, position = 0.0, lorentz = 0.0;

      for (int k = 0; k < FAINT_SOURCE_N; k++)
        {
          strength += line->strength_from[k] * line->strength_from[k];
          position += line->position_from[k] * line->position_from[k];
          lorentz += line->lorentz_from[k] * line->lorentz_from[k];
        }
      faint_assert_close (line->strength.u, sqrt (strength), 1e-14, "rounding");
      faint_assert_close (line->position.u, sqrt (position), 1e-14, "rounding");
      faint_assert_close (line->lorentz.u, sqrt (lorentz), 1e-14, "rounding");
      g_assert_cmpfloat (line->strength.u_noise, ==, before->strength.u_noise);
      g_assert_cmpfloat (line->strength_from[FAINT_SOURCE_NOISE], ==, before->strength.u_noise);
      g_assert_cmpfloat (line->strength.u, >, 10.0 * before->strength.u);
      /* A Doppler width goes as sqrt(T/m). */
      faint_assert_close (line->doppler.u / line->doppler.value, 0.5e-3 * sqrt (2.0), 1e-9,
                          "half the relative uncertainties of temperature and mass, 1e-3 each");
    }
}

/* A linear molecule with the constants of nitrous oxide, rounded. */
static FaintPartition *
partition_new (void)
{
  static const double vibrations[] = { 588.8, 1284.9, 2223.8 };
  static const guint degeneracies[] = { 2, 1, 1 };

  return faint_partition_new_linear (0.419, 1.8e-7, 1.0, 1.0, vibrations, degeneracies, 3);
}

/* Strength at 296 K and its uncertainty: temperature acts through density, Doppler width and
 * conversion at once, which a fit and a conversion at the moved temperature show together. */
static void
test_reference_temperature (void)
{
  const char *const pairs[] = { "temperature", "310 K", DETUNED, NULL };
  g_autoptr (FaintSetup) setup = synthetic_setup (pairs);
  g_autoptr (FaintLineList) truth = lines_of (setup);
  g_autoptr (FaintPartition) partition = partition_new ();
  g_autoptr (FaintSpectrum) spectrum = NULL;
  g_autoptr (FaintFit) fit = NULL, budget = NULL, up = NULL, up_budget = NULL, down = NULL,
                       down_budget = NULL;
  double most = 0.0;

  setup->temperature.u = 0.05;
  setup->pressure.u = 1e-4 * setup->pressure.value;
  spectrum = record_of (setup, truth);
  fit = fit_of (spectrum, truth);
  budget = budget_of (fit, partition);
  up = moved (fit, "temperature", 1.0);
  down = moved (fit, "temperature", -1.0);
  up_budget = budget_of (up, partition);
  down_budget = budget_of (down, partition);
  for (gsize i = 0; i < N_LINES; i++)
    {
      const FaintLine *line = faint_line_list_get (budget->lines, i);
      double q, q_296, ratio;
      double by_temperature = 0.5
                              * (faint_line_list_get (up_budget->lines, i)->strength_296
                                 - faint_line_list_get (down_budget->lines, i)->strength_296);
      double by_pressure, by_noise, by_energy;

      g_assert_true (faint_partition_sum (partition, 310.0, &q, NULL));
      g_assert_true (faint_partition_sum (partition, 296.0, &q_296, NULL));
      /* The formula by hand: Rothman et al., JQSRT 60, 665 (1998), appendix A. */
      ratio = q / q_296 * exp (1.4387768775 * line->lower_energy * (1.0 / 310.0 - 1.0 / 296.0))
              * (1.0 - exp (-1.4387768775 * line->position.value / 296.0))
              / (1.0 - exp (-1.4387768775 * line->position.value / 310.0));
      faint_assert_close (line->strength_296, ratio * line->strength.value, 1e-9,
                          "c2 to 11 digits");
      by_pressure = 1e-4 * line->strength_296;
      by_noise = ratio * line->strength.u_noise;
      by_energy = 1.4387768775 * 2.0 * (1.0 / 310.0 - 1.0 / 296.0) * line->strength_296;
      faint_assert_close (line->u_strength_296,
                          sqrt (by_temperature * by_temperature + by_pressure * by_pressure
                                + by_noise * by_noise + by_energy * by_energy),
                          2e-4, "as of the contributions; a slope of Q over 1 mK");
      most = MAX (
          most,
          fabs (by_temperature / (ratio * line->strength_from[FAINT_SOURCE_TEMPERATURE]) - 1.0));
    }
  /* Density alone would give another number. */
  g_assert_cmpfloat (most, >, 0.05);
}

/* Without lower-state energy or Q(T) there is no strength at 296 K; with a strength that was held
 * there is no uncertainty of it. */
static void
test_not_known (void)
{
  g_autoptr (FaintSetup) setup = synthetic_setup (NULL);
  g_autoptr (FaintLineList) truth = lines_of (setup), start = NULL;
  g_autoptr (FaintPartition) partition = partition_new ();
  g_autoptr (FaintSpectrum) spectrum = NULL;
  g_autoptr (FaintFit) fit = NULL, with = NULL, without = NULL;
  FaintLine lines[N_LINES];

  setup->temperature.u = 0.05;
  for (gsize i = 0; i < N_LINES; i++)
    lines[i] = *faint_line_list_get (truth, i);
  lines[0].lower_energy = lines[0].u_lower_energy = NAN;
  lines[1].strength.state = FAINT_STATE_FIXED;
  start = faint_line_list_new (lines, N_LINES);
  spectrum = record_of (setup, truth);
  fit = fit_of (spectrum, start);
  with = budget_of (fit, partition);
  without = budget_of (fit, NULL);
  for (gsize i = 0; i < N_LINES; i++)
    {
      g_assert_true (isnan (faint_line_list_get (without->lines, i)->strength_296));
      g_assert_cmpint (isnan (faint_line_list_get (with->lines, i)->strength_296), ==, i == 0);
      g_assert_cmpint (isnan (faint_line_list_get (with->lines, i)->u_strength_296), ==, i < 2);
    }
  g_assert_true (isnan (faint_line_list_get (with->lines, 1)->strength.u));
}

/* Student's t for a two-sided level: tables of JCGM 100:2008, G.2, and the normal number beyond;
 * the digits by computation apart from this program. */
static void
test_coverage_factor (void)
{
  static const struct
  {
    double dof, at_95, at_99, at_9545;
  } rows[] = {
    { 2, 4.3027, 9.9248, 4.5266 },     { 5, 2.5706, 4.0321, 2.6487 },
    { 10, 2.2281, 3.1693, 2.2837 },    { 16, 2.1199, 2.9208, 2.1689 },
    { INFINITY, 1.9600, 2.5758, 2.0 },
  };
  const char *why = "printed to four decimals";

  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      faint_assert_near (faint_coverage_factor (0.95, rows[i].dof), rows[i].at_95, 6e-5, why);
      faint_assert_near (faint_coverage_factor (0.99, rows[i].dof), rows[i].at_99, 6e-5, why);
      /* 0.9545 is 95.449 974 % rounded. */
      faint_assert_near (faint_coverage_factor (0.9545, rows[i].dof), rows[i].at_9545, 2e-4, why);
    }
  faint_assert_near (faint_coverage_factor (0.95, 1e9), 1.9600, 6e-5, why);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  gsl_set_error_handler_off ();
  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autofree char *path = g_strdup_printf ("/strength/budget/%s", cases[i].name);
      g_test_add_data_func (path, &cases[i], test_contribution);
    }
  g_test_add_func ("/strength/budget/combined", test_combined);
  g_test_add_func ("/strength/budget/reference-temperature", test_reference_temperature);
  g_test_add_func ("/strength/budget/not-known", test_not_known);
  g_test_add_func ("/strength/budget/coverage-factor", test_coverage_factor);
  return g_test_run ();
}

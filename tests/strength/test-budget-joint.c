/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The budget of several spectra against what it claims: an input of all spectra moved by its
 * standard uncertainty and the whole joint fit done again, as in test-budget.c.
 */
#include "series.h"
#include "faint/strength/budget.h"
#include "faint-test.h"

#include <string.h>

#include <gsl/gsl_errno.h>

#define N_LINES 5
#define N_SPECTRA 3
#define RELATIVE 1e-3

typedef struct
{
  const char *name;
  gsize offset; /* of the input in a setup */
  FaintUncertaintySource source;
  gboolean mixtures; /* composition changes, temperature does not */
} Case;

#define AT(field) G_STRUCT_OFFSET (FaintSetup, field)
static const Case cases[] = {
  { "pressure", AT (pressure), FAINT_SOURCE_PRESSURE, FALSE },
  { "temperature", AT (temperature), FAINT_SOURCE_TEMPERATURE, FALSE },
  { "mass", AT (molar_mass), FAINT_SOURCE_MASS, FALSE },
  { "finesse", AT (mirror), FAINT_SOURCE_CAVITY, FALSE },
  { "length", AT (cavity_length), FAINT_SOURCE_LENGTH, FALSE },
  { "mixture-pressure", AT (pressure), FAINT_SOURCE_PRESSURE, TRUE },
  { "mole-fraction", AT (mole_fraction), FAINT_SOURCE_MOLE_FRACTION, TRUE },
};

static const Conditions pure[N_SPECTRA] = { { "5 hPa", "296 K", "1", "12000" },
                                            { "40 hPa", "296 K", "1", "9000" },
                                            { "20 hPa", "230 K", "1", "12000" } };
static const Conditions mixed[N_SPECTRA] = { { "20 hPa", "296 K", "0.9", "12000" },
                                             { "60 hPa", "296 K", "0.3", "12000" },
                                             { "150 hPa", "296 K", "0.1", "12000" } };

/* Q for all lines alike, so that a table of Q is not needed: the budget asks the partition itself.
 */
static FaintPartition *
partition_new (void)
{
  return faint_partition_new_linear (0.419, 1.76e-7, 1.0, 1.0, NULL, NULL, 0);
}

static FaintLineList *
start_of (const FaintSetup *setup)
{
  Truth truth[N_LINES];
  FaintLine lines[N_LINES];

  make_truth (truth, N_LINES);
  lines_under (setup, truth, N_LINES, lines);
  return faint_line_list_new (lines, N_LINES);
}

/* The records under setups whose input is @by times its uncertainty off. */
static FaintJointFit *
fit_of (FaintSpectrum *const *spectra, const Case *what, double by, const FaintPartition *partition)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintLineList) start = start_of (spectra[0]->setup);
  FaintSpectrum *moved[N_SPECTRA];
  double sums[N_SPECTRA + 1];
  FaintFitOptions options;
  FaintJointFit *fit;

  faint_fit_options_init (&options);
  options.find_rounds = 0;
  options.width_shared = FALSE;
  options.window_width = 20.0; /* one window: then all is in the equations */
  options.max_iterations = 200;
  for (gsize s = 0; s < N_SPECTRA; s++)
    {
      g_autoptr (FaintSetup) setup = faint_setup_copy (spectra[s]->setup);
      FaintQuantity *input = G_STRUCT_MEMBER_P (setup, what->offset);

      input->u = RELATIVE * input->value;
      input->value += by * input->u;
      moved[s] = faint_spectrum_with_setup (spectra[s], setup, &error);
      g_assert_no_error (error);
      g_assert_true (faint_partition_sum (partition, setup->temperature.value, &sums[s], &error));
    }
  g_assert_true (faint_partition_sum (partition, 296.0, &sums[N_SPECTRA], &error));
  fit = faint_joint_fit_run (moved, N_SPECTRA, start, &options, sums, NULL, &error);
  g_assert_no_error (error);
  g_assert_cmpint (fit->verdict, ==, FAINT_VERDICT_CONVERGED);
  for (gsize s = 0; s < N_SPECTRA; s++)
    faint_spectrum_unref (moved[s]);
  return fit;
}

static const char *const linear
    = "the fits end within 3e-4 of an uncertainty; half the difference leaves (1e-3)^2 of it; far "
      "couplings are left out of the equations";

/* A cavity's contribution has the sign of its loss. */
static void
compare (const Case *what, double claimed, double up, double down, double scale)
{
  double half = what->source == FAINT_SOURCE_CAVITY ? 0.5 * (down - up) : 0.5 * (up - down);

  faint_assert_near (claimed, half, 0.02 * fabs (half) + 1e-3 * scale, linear);
}

/* Contribution to a value of which only the combined uncertainty is told, without its sign. */
static void
compare_size (const char *of, double u, double u_noise, double up, double down)
{
  double half = 0.5 * fabs (up - down);

  g_test_message ("%s: noise %.3g, claimed %.6g, found %.6g", of, u_noise,
                  sqrt (MAX (u * u - u_noise * u_noise, 0.0)), half);
  faint_assert_near (sqrt (MAX (u * u - u_noise * u_noise, 0.0)), half,
                     0.02 * half + 2e-3 * u_noise, linear);
}

static void
compare_coefficients (const FaintLine *line, const FaintLine *up, const FaintLine *down)
{
  for (FaintCoefficient k = 0; k < FAINT_COEFFICIENT_N; k++)
    if (isfinite (line->coefficient[k].u_noise) && k != FAINT_COEFFICIENT_POSITION_ZERO)
      compare_size (faint_coefficient_name (k), line->coefficient[k].u,
                    line->coefficient[k].u_noise, up->coefficient[k].value,
                    down->coefficient[k].value);
}

static void
test_input (gconstpointer data)
{
  const Case *what = data;
  const Conditions *conditions = what->mixtures ? mixed : pure;
  g_autoptr (FaintPartition) partition = partition_new ();
  g_autoptr (FaintJointFit) plain = NULL;
  g_autoptr (FaintJointFit) fit = NULL;
  g_autoptr (FaintJointFit) up = NULL;
  g_autoptr (FaintJointFit) down = NULL;
  g_autoptr (GError) error = NULL;
  Truth truth[N_LINES];
  FaintSpectrum *spectra[N_SPECTRA];
  double moved = 0.0;

  make_truth (truth, N_LINES);
  for (gsize s = 0; s < N_SPECTRA; s++)
    spectra[s] = spectrum_under (&conditions[s], truth, N_LINES, 1, 0.0);
  plain = fit_of (spectra, what, 0.0, partition);
  fit = faint_joint_budget_apply (plain, partition, &error);
  g_assert_no_error (error);
  up = fit_of (spectra, what, 1.0, partition);
  down = fit_of (spectra, what, -1.0, partition);
  for (gsize i = 0; i < N_LINES; i++)
    {
      const FaintLine *line = faint_line_list_get (fit->lines, i);
      const FaintLine *above = faint_line_list_get (up->lines, i);
      const FaintLine *below = faint_line_list_get (down->lines, i);

      compare (what, line->position_from[what->source], above->position.value,
               below->position.value, line->position.u_noise);
      compare (what, line->strength_from[what->source], above->strength.value,
               below->strength.value, line->strength.u_noise);
      compare (what, line->lorentz_from[what->source], above->lorentz.value, below->lorentz.value,
               line->lorentz.u_noise);
      compare_coefficients (line, above, below);
      moved += fabs (line->strength_from[what->source] / line->strength.value)
               + fabs (line->lorentz_from[what->source] / line->lorentz.value);
      g_assert_cmpfloat (line->strength.u, >=, line->strength.u_noise);
    }
  g_assert_cmpfloat (moved, >, 1e-5);
  for (gsize s = 0; s < N_SPECTRA; s++)
    faint_spectrum_unref (spectra[s]);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  gsl_set_error_handler_off ();
  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autofree char *path = g_strdup_printf ("/strength/budget-joint/%s", cases[i].name);
      g_test_add_data_func (path, &cases[i], test_input);
    }
  return g_test_run ();
}

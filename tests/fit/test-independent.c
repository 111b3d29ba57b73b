/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The optimum against an independent solver: GSL's nonlinear least squares (trust region, its own
 * finite differences) on the forward model of these tests, which shares nothing with the library's.
 */
#include "known-lines.h"

#include <gsl/gsl_multifit_nlinear.h>

#define TEETH 700
#define LINES 5
#define BASELINE 3
#define PARAMETERS (3 * LINES + BASELINE)

/* Line parameters in units that differ little from 1: offsets in half widths, relative strengths.
 */
typedef struct
{
  const FaintSpectrum *spectrum;
  FaintLine start[LINES];
} Problem;

static void
lines_of (const Problem *self, const gsl_vector *x, FaintLine *lines)
{
  for (int i = 0; i < LINES; i++)
    {
      lines[i] = self->start[i];
      lines[i].position.value += 0.1 * (gsl_vector_get (x, 3 * (gsize)i) - 1.0);
      lines[i].strength.value *= gsl_vector_get (x, 3 * (gsize)i + 1);
      lines[i].lorentz.value += 0.1 * (gsl_vector_get (x, 3 * (gsize)i + 2) - 1.0);
      lines[i].doppler.value = synthetic_doppler (self->spectrum->setup, lines[i].position.value);
    }
}

static int
residuals (const gsl_vector *x, void *data, gsl_vector *f)
{
  const Problem *self = data;
  const FaintSpectrum *s = self->spectrum;
  double column = synthetic_column_density (s->setup);
  double middle = 0.5 * (s->wavenumber[0] + s->wavenumber[s->n - 1]);
  double half = 0.5 * (s->wavenumber[s->n - 1] - s->wavenumber[0]);
  FaintLine lines[LINES];

  lines_of (self, x, lines);
  for (gsize t = 0; t < s->n; t++)
    {
      double at = (s->wavenumber[t] - middle) / half, power;
      double baseline = gsl_vector_get (x, 3 * LINES)
                        + at * (gsl_vector_get (x, 3 * LINES + 1) - 1.0)
                        + at * at * (gsl_vector_get (x, 3 * LINES + 2) - 1.0);
      double complex kappa = 0.0;

      for (int i = 0; i < LINES; i++)
        kappa += lines[i].strength.value * synthetic_profile (&lines[i], s->wavenumber[t]);
      power = cabs (synthetic_cavity (s->setup, 0.0, column * kappa));
      gsl_vector_set (f, t, (baseline * power * power - s->value[t]) / s->u[t]);
    }
  return GSL_SUCCESS;
}

/* Returns chi-square where it stops. */
static double
solve_by_gsl (Problem *problem, gsl_vector *x)
{
  gsl_multifit_nlinear_parameters parameters = gsl_multifit_nlinear_default_parameters ();
  gsl_multifit_nlinear_fdf fdf = { .f = residuals, .n = TEETH, .p = PARAMETERS, .params = problem };
  gsl_multifit_nlinear_workspace *work;
  double chi2 = 0.0;
  int info;

  parameters.fdtype = GSL_MULTIFIT_NLINEAR_CTRDIFF;
  work = gsl_multifit_nlinear_alloc (gsl_multifit_nlinear_trust, &parameters, TEETH, PARAMETERS);
  gsl_multifit_nlinear_init (x, &fdf, work);
  g_assert_cmpint (gsl_multifit_nlinear_driver (200, 1e-13, 1e-14, 0.0, NULL, NULL, &info, work),
                   ==, GSL_SUCCESS);
  gsl_vector_memcpy (x, gsl_multifit_nlinear_position (work));
  for (gsize t = 0; t < TEETH; t++)
    chi2 += pow (gsl_vector_get (gsl_multifit_nlinear_residual (work), t), 2.0);
  gsl_multifit_nlinear_free (work);
  return chi2;
}

static void
make_start (const FaintSetup *setup, FaintLine *lines)
{
  static const double tooth[LINES] = { 120.4, 131.0, 300.7, 430.2, 560.9 },
                      peak[LINES] = { 0.3, 0.1, 0.8, 0.02, 0.4 };

  for (int i = 0; i < LINES; i++)
    lines[i] = synthetic_line (setup, synthetic_wavenumber (tooth[i]), peak[i], 0.002);
}

static void
test_optimum (void)
{
  g_autoptr (FaintSetup) setup = synthetic_setup (NULL);
  g_autoptr (FaintSpectrum) spectrum = NULL;
  g_autoptr (FaintFit) fit = NULL;
  FaintFitOptions options = options_without_finding ();
  Problem problem;
  FaintLine found[LINES];
  gsl_vector *x = gsl_vector_alloc (PARAMETERS);
  double chi2;

  make_start (setup, problem.start);
  spectrum = synthetic_record (
      setup, problem.start, LINES,
      &(SyntheticRecord){
          .n = TEETH, .u = 2e-4, .noise = 2e-4, .seed = 5, .baseline = { 0.9, 0.02, -0.01 } });
  problem.spectrum = spectrum;
  gsl_vector_set_all (x, 1.0);
  chi2 = solve_by_gsl (&problem, x);
  lines_of (&problem, x, found);
  gsl_vector_free (x);
  options.window_width = 50.0;
  fit = run (spectrum, problem.start, LINES, &options);
  g_assert_cmpuint (fit->n_windows, ==, 1);
  /* With finite differences GSL stops a few thousandths of a standard uncertainty away, and never
   * below what 1e-3 of them would cost us. */
  g_assert_cmpfloat (fit->chi2, <=, chi2 + 1e-6);
  for (gsize i = 0; i < LINES; i++)
    for (FaintPlace p = 0; p < FAINT_PLACE_DOPPLER; p++)
      {
        const FaintParameter *got
            = faint_line_peek_parameter (faint_line_list_get (fit->lines, i), p);
        faint_assert_near (got->value, faint_line_peek_parameter (&found[i], p)->value,
                           1e-2 * got->u_noise, "where GSL stops, see above");
      }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  gsl_set_error_handler_off ();
  g_test_add_func ("/fit/independent/optimum", test_optimum);
  return g_test_run ();
}

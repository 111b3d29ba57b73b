/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A fit as it was from what a file keeps of it, the model for a live view, and correlations.
 */
#include "faint/fit/fit.h"
#include "synthetic.h"
#include "faint-test.h"

#include <math.h>
#include <string.h>

#include <gsl/gsl_errno.h>

#define N_TEETH 1200
#define N_LINES 4

static FaintFit *
fit_of (gboolean field, gboolean ranged)
{
  const char *const pairs[] = { "observable", field ? "field" : "power", NULL };
  g_autoptr (FaintSetup) setup = synthetic_setup (pairs);
  g_autoptr (FaintSpectrum) spectrum = NULL;
  g_autoptr (FaintLineList) start = NULL;
  g_autoptr (GError) error = NULL;
  FaintLine lines[N_LINES];
  FaintFitOptions options;
  FaintFit *fit;

  lines[0] = synthetic_line (setup, synthetic_wavenumber (200.3), 0.3, 0.002);
  lines[1] = synthetic_line (setup, synthetic_wavenumber (207.3), 0.2, 0.002);
  lines[2] = synthetic_line (setup, synthetic_wavenumber (610.8), 0.7, 0.003);
  lines[3] = synthetic_line (setup, synthetic_wavenumber (1003.8), 0.1, 0.001);
  spectrum
      = synthetic_record (setup, lines, N_LINES,
                          &(SyntheticRecord){ .n = N_TEETH,
                                              .u = 1e-3,
                                              .noise = 1e-3,
                                              .seed = 21,
                                              .polar = field,
                                              .baseline = { 0.9, 0.02, -0.01 },
                                              .baseline_im = { field ? 0.3 : 0.0, 0.0, 0.0 } });
  lines[1].lorentz.state = FAINT_STATE_FIXED;
  faint_fit_options_init (&options);
  options.find_rounds = 0;
  if (ranged)
    {
      options.lower = synthetic_wavenumber (99.5);
      options.upper = synthetic_wavenumber (1100.5);
    }
  start = faint_line_list_new (lines, N_LINES);
  fit = faint_fit_run (spectrum, start, &options, NULL, &error);
  g_assert_no_error (error);
  g_assert_cmpint (fit->verdict, ==, FAINT_VERDICT_CONVERGED);
  return fit;
}

static FaintFit *
restore (const FaintFit *fit, const FaintFitWindow *windows, gsize n_windows, GError **error)
{
  return faint_fit_restore (fit->spectrum, fit->start, fit->lines, &fit->options, windows,
                            n_windows, fit->baseline_coefficients, &fit->instrument,
                            fit->width_mean, fit->width_spread, error);
}

static void
compare_array (const double *got, const double *want, double tolerance)
{
  g_assert_cmpint (got != NULL, ==, want != NULL);
  for (gsize t = 0; want != NULL && t < N_TEETH; t++)
    if (isnan (want[t]))
      g_assert_true (isnan (got[t]));
    else
      faint_assert_near (got[t], want[t], tolerance,
                         "the same arithmetic; a Doppler width follows its position again");
}

/* The same windows, model, residuals and statistics. */
static void
check_same (gboolean field, gboolean ranged)
{
  g_autoptr (FaintFit) fit = fit_of (field, ranged), again = NULL;
  g_autoptr (GError) error = NULL;

  again = restore (fit, fit->windows, fit->n_windows, &error);
  g_assert_no_error (error);
  g_assert_cmpuint (again->n_windows, ==, fit->n_windows);
  for (gsize k = 0; k < fit->n_windows; k++)
    {
      const FaintFitWindow *a = &again->windows[k], *b = &fit->windows[k];

      g_assert_cmpuint (a->first, ==, b->first);
      g_assert_cmpuint (a->n, ==, b->n);
      g_assert_cmpuint (a->n_lines, ==, b->n_lines);
      g_assert_cmpuint (a->n_parameters, ==, b->n_parameters);
      faint_assert_close (a->chi2, b->chi2, 1e-11, "rounding of 1e-15 in model values over 1e-3");
      faint_assert_close (a->lag1, b->lag1, 1e-9, "the same, of a small difference");
      g_assert_cmpfloat (a->runs_z, ==, b->runs_z);
    }
  compare_array (again->model, fit->model, 1e-15);
  compare_array (again->model_im, fit->model_im, 1e-15);
  compare_array (again->baseline, fit->baseline, 1e-15);
  compare_array (again->baseline_im, fit->baseline_im, 1e-15);
  compare_array (again->residual, fit->residual, 1e-12);
  compare_array (again->residual_im, fit->residual_im, 1e-12);
  faint_assert_close (again->chi2, fit->chi2, 1e-11, "rounding of 1e-15 in model values over 1e-3");
  g_assert_cmpfloat (again->dof, ==, fit->dof);
  g_assert_true (again->lines == fit->lines);
  g_assert_true (again->start == fit->start);
}

static void
test_power (void)
{
  check_same (FALSE, FALSE);
}

static void
test_field (void)
{
  check_same (TRUE, FALSE);
}

static void
test_range (void)
{
  check_same (FALSE, TRUE);
}

/* Windows that do not divide the spectrum. */
static void
test_bad_windows (void)
{
  g_autoptr (FaintFit) fit = fit_of (FALSE, FALSE);
  FaintFitWindow windows[2];
  GError *error = NULL;

  g_assert_cmpuint (fit->n_windows, >=, 2);
  for (int spoil = 0; spoil < 6; spoil++)
    {
      gsize n = 2;

      memcpy (windows, fit->windows, sizeof windows);
      switch (spoil)
        {
        case 0: /* a gap */
          windows[1].first++;
          break;
        case 1: /* an overlap */
          windows[1].first--;
          break;
        case 2: /* beyond the end */
          windows[1].n = N_TEETH;
          break;
        case 3: /* empty */
          windows[0].n = 0;
          break;
        case 4: /* a degree that no option allows */
          windows[0].degree = 9;
          break;
        default: /* none */
          n = 0;
        }
      g_assert_null (restore (fit, windows, n, &error));
      faint_assert_error_says (error, FAINT_FIT_ERROR, "do not divide this spectrum of 1200 teeth");
    }
}

/* Numbers in the windows whose sum runs over. */
static void
test_windows_run_over (void)
{
  g_autoptr (FaintFit) fit = fit_of (FALSE, FALSE);
  FaintFitWindow window = fit->windows[0];
  GError *error = NULL;

  window.first = G_MAXSIZE - 10;
  window.n = 100;
  g_assert_null (restore (fit, &window, 1, &error));
  faint_assert_error_says (error, FAINT_FIT_ERROR, "do not divide");
}

static void
test_not_finite (void)
{
  g_autoptr (FaintFit) fit = fit_of (FALSE, FALSE);
  g_autoptr (FaintLineList) lines = NULL;
  FaintLine line = *faint_line_list_get (fit->lines, 0);
  GError *error = NULL;

  line.strength.value = NAN;
  lines = faint_line_list_with_replaced (fit->lines, &line);
  g_assert_null (faint_fit_restore (fit->spectrum, NULL, lines, &fit->options, fit->windows,
                                    fit->n_windows, fit->baseline_coefficients, &fit->instrument,
                                    fit->width_mean, fit->width_spread, &error));
  faint_assert_error_says (error, FAINT_FIT_ERROR, "no finite model");
}

/* The live view with the fit's own lines and baselines is the fit's model. */
static void
test_evaluate (void)
{
  for (int field = 0; field < 2; field++)
    {
      g_autoptr (FaintFit) fit = fit_of (field, FALSE);
      g_autoptr (GError) error = NULL;
      g_autofree double *model = g_new (double, 2 * N_TEETH);
      double *model_im = field ? model + N_TEETH : NULL;

      g_assert_true (
          faint_model_evaluate (fit->spectrum, fit->lines, fit, model, model_im, &error));
      compare_array (model, fit->model, 1e-15);
      compare_array (model_im, fit->model_im, 1e-15);
    }
}

/* Without a fit the baseline is 1, so that without lines the model is 1; with them it is the
 * forward model of these tests. */
static void
test_evaluate_alone (void)
{
  g_autoptr (FaintSetup) setup = synthetic_setup (NULL);
  g_autoptr (FaintSpectrum) spectrum = NULL;
  g_autoptr (FaintLineList) none = faint_line_list_new (NULL, 0), one = NULL;
  g_autoptr (GError) error = NULL;
  double model[N_TEETH];
  FaintLine line = synthetic_line (setup, synthetic_wavenumber (600.0), 0.5, 0.002);

  spectrum = synthetic_record (setup, &line, 1, &(SyntheticRecord){ .n = N_TEETH, .u = 1e-3 });
  g_assert_true (faint_model_evaluate (spectrum, none, NULL, model, NULL, &error));
  for (gsize t = 0; t < N_TEETH; t++)
    g_assert_cmpfloat (model[t], ==, 1.0);
  one = faint_line_list_new (&line, 1);
  g_assert_true (faint_model_evaluate (spectrum, one, NULL, model, NULL, &error));
  for (gsize t = 0; t < N_TEETH; t++)
    faint_assert_near (model[t], spectrum->value[t], 1e-10,
                       "far wings to 1e-9 of at most 0.1 of absorption");
}

/* Symmetric, unit diagonal, no entry beyond 1; a blended pair of positions goes together, and
 * strength and Lorentz width of a line always do. */
static void
test_correlation (void)
{
  g_autoptr (FaintFit) fit = fit_of (FALSE, FALSE);
  g_auto (GStrv) names = NULL;
  g_autofree double *matrix = NULL;
  gsize n = 0;

  matrix = faint_fit_correlation (fit, 0, &names, &n);
  /* Two lines of three parameters, one of them fixed. */
  g_assert_cmpuint (n, ==, 5);
  g_assert_cmpuint (g_strv_length (names), ==, 5);
  g_assert_true (g_str_has_suffix (names[0], " position"));
  g_assert_true (g_str_has_suffix (names[1], " strength"));
  g_assert_true (g_str_has_suffix (names[2], " Lorentz width"));
  g_assert_true (g_str_has_suffix (names[4], " strength"));
  for (gsize a = 0; a < n; a++)
    for (gsize b = 0; b < n; b++)
      {
        faint_assert_close (matrix[a * n + b], matrix[b * n + a], 1e-14, "rounding");
        if (a == b)
          faint_assert_near (matrix[a * n + b], 1.0, 1e-14, "rounding");
        else
          g_assert_cmpfloat (fabs (matrix[a * n + b]), <, 1.0);
      }
  g_assert_cmpfloat (matrix[1 * n + 2], >, 0.3);
  g_assert_cmpfloat (matrix[1 * n + 4], <, -0.1);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  gsl_set_error_handler_off ();
  g_test_add_func ("/fit/restore/power", test_power);
  g_test_add_func ("/fit/restore/field", test_field);
  g_test_add_func ("/fit/restore/range", test_range);
  g_test_add_func ("/fit/restore/bad-windows", test_bad_windows);
  g_test_add_func ("/fit/restore/windows-run-over", test_windows_run_over);
  g_test_add_func ("/fit/restore/not-finite", test_not_finite);
  g_test_add_func ("/fit/restore/evaluate", test_evaluate);
  g_test_add_func ("/fit/restore/evaluate-alone", test_evaluate_alone);
  g_test_add_func ("/fit/restore/correlation", test_correlation);
  return g_test_run ();
}

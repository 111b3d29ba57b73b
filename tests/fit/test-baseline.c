/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Baselines to start from: polynomials that are known, with teeth missing, with too few left, and
 * under lines that pull the teeth down.
 */
#include "faint/fit/baseline.h"
#include "synthetic.h"
#include "faint-test.h"

#include <math.h>

#define N_TEETH 1000

static FaintModel *
model_of (FaintSpectrum *spectrum)
{
  g_autoptr (GError) error = NULL;
  FaintFitOptions options;
  FaintModel *model;

  faint_fit_options_init (&options);
  options.window_width = 0.3;
  model = faint_model_new (spectrum, faint_layout_new (spectrum, NULL, 0, &options, 0.0075), NULL,
                           2, &error);
  g_assert_no_error (error);
  g_assert_cmpuint (model->layout->n_windows, >=, 4);
  return model;
}

static FaintSpectrum *
flat_record (gboolean field)
{
  const char *pairs[] = { "observable", "field", NULL };
  g_autoptr (FaintSetup) setup = synthetic_setup (field ? pairs : NULL);

  return synthetic_record (setup, NULL, 0, &(SyntheticRecord){ N_TEETH, 1e-3 });
}

/* Coefficient @d of window @k, another one for each. */
static double
coefficient (gsize k, gsize d)
{
  return d == 0 ? 1.0 + 0.1 * (double)k : 0.01 * (double)d * pow (-1.0, (double)k);
}

/* Legendre's polynomials of degree 0 to 2, written out. */
static double
value_at (const FaintLayoutWindow *window, double wavenumber, const double c[3])
{
  double x = (wavenumber - window->centre) / window->half;

  return c[0] + c[1] * x + c[2] * (1.5 * x * x - 0.5);
}

static void
fill (const FaintModel *model, gsize first_coefficient, double *baseline)
{
  for (gsize k = 0; k < model->layout->n_windows; k++)
    {
      const FaintLayoutWindow *window = &model->layout->windows[k];
      double c[3];

      for (gsize d = 0; d < 3; d++)
        c[d] = coefficient (k, first_coefficient + d);
      for (gsize t = window->first; t < window->first + window->n; t++)
        baseline[t] = value_at (window, model->spectrum->wavenumber[t], c);
    }
}

static void
check (const FaintModel *model, gsize n)
{
  for (gsize k = 0; k < model->layout->n_windows; k++)
    for (gsize d = 0; d < n; d++)
      faint_assert_near (model->theta[model->layout->windows[k].coefficient + d],
                         coefficient (k, d), 1e-13,
                         "rounding of sums over hundreds of teeth, of size 1");
}

static void
test_take (void)
{
  for (int field = 0; field < 2; field++)
    {
      g_autoptr (FaintSpectrum) spectrum = flat_record (field);
      g_autoptr (FaintModel) model = model_of (spectrum);
      g_autofree double *re = g_new (double, N_TEETH);
      g_autofree double *im = g_new (double, N_TEETH);

      fill (model, 0, re);
      fill (model, 3, im);
      faint_baseline_take (model, re, field ? im : NULL);
      check (model, field ? 6 : 3);
      for (gsize t = 0; t < N_TEETH; t++)
        if (t % 7 == 0 || t % 50 < 20)
          re[t] = NAN;
      faint_baseline_take (model, re, field ? im : NULL);
      check (model, field ? 6 : 3);
    }
}

/* Four teeth are worth two coefficients, two that one tooth holds apart none but the first. */
static void
test_few (void)
{
  g_autoptr (FaintSpectrum) spectrum = flat_record (FALSE);
  g_autoptr (FaintModel) model = model_of (spectrum);
  const FaintLayoutWindow *window = &model->layout->windows[1];
  const double *theta = model->theta + window->coefficient;
  g_autofree double *baseline = g_new (double, N_TEETH);

  for (gsize t = 0; t < N_TEETH; t++)
    baseline[t] = NAN;
  for (gsize t = window->first; t < window->first + 4; t++)
    baseline[t] = value_at (window, spectrum->wavenumber[t], (double[]){ 1.0, 0.2, 0.0 });
  faint_baseline_take (model, baseline, NULL);
  faint_assert_near (theta[0], 1.0, 1e-9, "rounding, times the reach beyond four teeth squared");
  faint_assert_near (theta[1], 0.2, 1e-9, "rounding, times the reach beyond four teeth squared");
  g_assert_cmpfloat (theta[2], ==, 0.0);
  baseline[window->first + 2] = baseline[window->first + 3] = NAN;
  faint_baseline_take (model, baseline, NULL);
  faint_assert_near (theta[0], 0.5 * (baseline[window->first] + baseline[window->first + 1]), 1e-15,
                     "the mean of two");
  g_assert_cmpfloat (theta[1], ==, 0.0);
}

/* Teeth far below are a line's, and do not count. */
static void
test_start (void)
{
  g_autoptr (FaintSetup) setup = synthetic_setup (NULL);
  FaintLine lines[4];
  g_autoptr (FaintSpectrum) spectrum = NULL;
  g_autoptr (FaintModel) model = NULL;

  for (int i = 0; i < 4; i++)
    lines[i] = synthetic_line (setup, synthetic_wavenumber (130.0 + 240.0 * i), 0.1, 0.001);
  spectrum = synthetic_record (
      setup, lines, 4,
      &(SyntheticRecord){ .n = N_TEETH, .u = 1e-3, .noise = 1e-3, .seed = 3, .baseline = { 1.1 } });
  model = model_of (spectrum);
  faint_baseline_start (model);
  for (gsize k = 0; k < model->layout->n_windows; k++)
    faint_assert_near (model->theta[model->layout->windows[k].coefficient], 1.1, 3e-3,
                       "wings within the 2.5 standard deviations of 1e-3 that count as baseline");
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/fit/baseline/take", test_take);
  g_test_add_func ("/fit/baseline/few", test_few);
  g_test_add_func ("/fit/baseline/start", test_start);
  return g_test_run ();
}

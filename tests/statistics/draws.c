/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "draws.h"

#include <math.h>
#include <string.h>

#include <gsl/gsl_blas.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_linalg.h>

#define N_TEETH 401
#define LORENTZ_OVER_DOPPLER 0.3
/* Wider than the record: one window, hence one baseline, as in the bound. */
#define WINDOW_WIDTH 2.0
/* Of the natural scale. Central differences are then good to 1e-6 / 6 of the derivative. */
#define STEP 1e-3

/* The Voigt half width from those of its parts: Olivero and Longbothum, JQSRT 17, 233 (1977). */
static double
half_width (double doppler, double lorentz)
{
  return 0.5346 * lorentz + sqrt (0.2166 * lorentz * lorentz + doppler * doppler);
}

static double
spacing (void)
{
  return synthetic_wavenumber (1.0) - synthetic_wavenumber (0.0);
}

double
draw_half_width (void)
{
  g_autoptr (FaintSetup) setup = synthetic_setup (NULL);
  double doppler = synthetic_doppler (setup, synthetic_wavenumber (0.5 * N_TEETH));

  return half_width (doppler, LORENTZ_OVER_DOPPLER * doppler) / spacing ();
}

static gsize
count_baseline (const DrawTruth *self)
{
  return self->clean->value_im != NULL ? 6 : 3;
}

/* One step of parameter @p: of the line, or a coefficient of the baseline. */
static double
natural_step (const DrawTruth *self, gsize p)
{
  const FaintLine *line = &self->truth[MIN (p / 3, self->what->n_lines - 1)];

  if (p >= self->n_parameters)
    return STEP;
  return STEP
         * (p % 3 == 1 ? line->strength.value
                       : half_width (line->doppler.value, line->lorentz.value));
}

/* The record without noise, parameter @p raised by @by. */
static FaintSpectrum *
record_raised (const DrawTruth *self, gsize p, double by)
{
  SyntheticRecord record = self->record;
  FaintLine lines[DRAW_LINES];

  memcpy (lines, self->truth, sizeof lines);
  if (p >= self->n_parameters)
    {
      gsize c = p - self->n_parameters;
      *(c < 3 ? &record.baseline[c] : &record.baseline_im[c - 3]) += by;
    }
  else if (p % 3 == 1)
    lines[p / 3].strength.value += by;
  else if (p % 3 == 2)
    lines[p / 3].lorentz.value += by;
  else
    {
      lines[p / 3].position.value += by;
      lines[p / 3].doppler.value = synthetic_doppler (self->setup, lines[p / 3].position.value);
    }
  return synthetic_record (self->setup, lines, self->what->n_lines, &record);
}

/* d(sample)/d(parameter p), in units of the noise and of the parameter's step; a row a sample. */
static void
fill_column (const DrawTruth *self, gsize p, gsl_matrix *jacobian)
{
  double step = natural_step (self, p), scale = 0.5 / self->what->noise;
  g_autoptr (FaintSpectrum) above = record_raised (self, p, step);
  g_autoptr (FaintSpectrum) below = record_raised (self, p, -step);

  for (gsize k = 0; k < N_TEETH; k++)
    {
      gsl_matrix_set (jacobian, k, p, scale * (above->value[k] - below->value[k]));
      if (above->value_im != NULL)
        gsl_matrix_set (jacobian, N_TEETH + k, p,
                        scale * (above->value_im[k] - below->value_im[k]));
    }
}

/* Inverse of the expected Fisher matrix J^T J / noise^2, baseline and all (Cramer 1946, ch. 32;
 * Kay, Fundamentals of Statistical Signal Processing, vol. I (1993), sec. 3.9). */
static void
fill_bound (DrawTruth *self)
{
  gsize n = self->n_parameters + count_baseline (self);
  gsize rows = self->clean->value_im != NULL ? 2 * N_TEETH : N_TEETH;
  gsl_matrix *jacobian = gsl_matrix_alloc (rows, n), *fisher = gsl_matrix_alloc (n, n);

  for (gsize p = 0; p < n; p++)
    fill_column (self, p, jacobian);
  gsl_blas_dgemm (CblasTrans, CblasNoTrans, 1.0, jacobian, jacobian, 0.0, fisher);
  if (gsl_linalg_cholesky_decomp1 (fisher) != GSL_SUCCESS
      || gsl_linalg_cholesky_invert (fisher) != GSL_SUCCESS)
    g_error ("%s: the Fisher matrix has no inverse", self->what->name);
  for (gsize p = 0; p < self->n_parameters; p++)
    self->bound[p] = natural_step (self, p) * sqrt (gsl_matrix_get (fisher, p, p));
  gsl_matrix_free (jacobian);
  gsl_matrix_free (fisher);
}

DrawTruth *
draw_truth_new (const DrawCase *what)
{
  DrawTruth *self = g_new0 (DrawTruth, 1);

  self->what = what;
  self->setup = synthetic_setup (what->pairs);
  self->record = (SyntheticRecord){ .n = N_TEETH,
                                    .u = what->noise,
                                    .baseline = { 0.98, 0.01, -0.005 },
                                    .baseline_im = { 0.1, -0.02, 0.005 } };
  self->n_parameters = 3 * what->n_lines;
  for (gsize i = 0; i < what->n_lines; i++)
    {
      double position = synthetic_wavenumber (what->tooth[i]);
      double lorentz = LORENTZ_OVER_DOPPLER * synthetic_doppler (self->setup, position);

      self->truth[i] = synthetic_line (self->setup, position, what->peak[i], lorentz);
      self->value[3 * i] = position;
      self->value[3 * i + 1] = self->truth[i].strength.value;
      self->value[3 * i + 2] = lorentz;
    }
  self->clean = synthetic_record (self->setup, self->truth, what->n_lines, &self->record);
  fill_bound (self);
  return self;
}

void
draw_truth_free (DrawTruth *self)
{
  faint_spectrum_unref (self->clean);
  faint_setup_unref (self->setup);
  g_free (self);
}

static FaintSpectrum *
noisy (const DrawTruth *truth, guint32 number)
{
  const FaintSpectrum *clean = truth->clean;
  FaintSpectrum *spectrum = faint_spectrum_new (clean->n, truth->setup);
  g_autoptr (GError) error = NULL;
  GRand *random = g_rand_new_with_seed (number);
  double sd = truth->what->noise;

  spectrum->axis = clean->axis;
  memcpy (spectrum->frequency, clean->frequency, clean->n * sizeof *clean->frequency);
  memcpy (spectrum->tooth, clean->tooth, clean->n * sizeof *clean->tooth);
  for (gsize k = 0; k < clean->n; k++)
    {
      spectrum->value[k] = clean->value[k] + sd * synthetic_normal (random);
      spectrum->u[k] = sd;
      if (clean->value_im == NULL)
        continue;
      spectrum->value_im[k] = clean->value_im[k] + sd * synthetic_normal (random);
      spectrum->u_im[k] = sd;
    }
  g_rand_free (random);
  if (!faint_spectrum_finish (spectrum, &error))
    g_error ("%s", error->message);
  return spectrum;
}

/* Near the truth, but no more than a user's guess would be. */
static FaintLineList *
start_lines (const DrawTruth *truth)
{
  FaintLine lines[DRAW_LINES];

  for (gsize i = 0; i < truth->what->n_lines; i++)
    {
      lines[i] = truth->truth[i];
      lines[i].position.value += (i == 0 ? 0.05 : -0.05) * lines[i].doppler.value;
      lines[i].strength.value *= i == 0 ? 1.05 : 0.95;
      lines[i].lorentz.value *= 1.1;
    }
  return faint_line_list_new (lines, truth->what->n_lines);
}

Draw
draw_fit (const DrawTruth *truth, guint32 number)
{
  g_autoptr (FaintSpectrum) spectrum = noisy (truth, number);
  g_autoptr (FaintLineList) start = start_lines (truth);
  g_autoptr (FaintFit) fit = NULL;
  g_autoptr (GError) error = NULL;
  FaintFitOptions options;
  Draw draw;

  faint_fit_options_init (&options);
  options.find_rounds = 0;
  options.width_shared = FALSE;
  options.baseline_degree = 2;
  options.window_width = WINDOW_WIDTH;
  options.threads = 1;
  fit = faint_fit_run (spectrum, start, &options, NULL, &error);
  if (fit == NULL)
    g_error ("%s", error->message);
  g_assert_cmpuint (fit->n_windows, ==, 1);
  g_assert_cmpuint (faint_line_list_get_n (fit->lines), ==, truth->what->n_lines);
  draw.converged = fit->verdict == FAINT_VERDICT_CONVERGED;
  for (gsize i = 0; i < truth->what->n_lines; i++)
    {
      const FaintLine *line = faint_line_list_get (fit->lines, i);
      const FaintParameter *parameter[] = { &line->position, &line->strength, &line->lorentz };

      for (gsize p = 0; p < 3; p++)
        {
          draw.value[3 * i + p] = parameter[p]->value;
          draw.u[3 * i + p] = parameter[p]->u_noise;
        }
    }
  return draw;
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "fit-problem.h"

#include "faint/fit/least-squares.h"
#include "faint/fit/model.h"
#include "synthetic.h"

#include <math.h>

#define BLEND 5
#define APART 80.0    /* samples */
#define INTERLEAVED 5 /* samples from a tooth to the next: 20 in a half width */
#define NOISE 1e-3
#define LIGHT 29979245800.0 /* cm/s */

/* Sample where line @i of the problem stands: blends evenly over the record. */
static double
place_of (const FitProblem *self, gsize i, GRand *random)
{
  gsize blends = (self->n_lines + BLEND - 1) / BLEND, blend = i / BLEND;
  gsize in_it = MIN (BLEND, self->n_lines - blend * BLEND);
  double centre = (double)self->n_teeth * ((double)blend + 0.5) / (double)blends;

  return centre + APART * ((double)(i % BLEND) - 0.5 * ((double)in_it - 1.0))
         + g_rand_double_range (random, -10.0, 10.0);
}

static void
add_line (FitProblem *self, gsize i, GRand *random)
{
  FaintLine *truth = &self->truth[i], *start = &self->start[i];

  *truth = synthetic_line (
      self->setup, synthetic_wavenumber (place_of (self, i, random) / INTERLEAVED),
      g_rand_double_range (random, 0.2, 0.6), g_rand_double_range (random, 0.001, 0.003));
  truth->doppler.state = FAINT_STATE_FREE;
  *start = *truth;
  start->position.value += 0.0018 * g_rand_double_range (random, -1.0, 1.0);
  start->strength.value *= g_rand_double_range (random, 0.8, 1.2);
  start->lorentz.value *= g_rand_double_range (random, 0.8, 1.2);
  start->doppler.value *= g_rand_double_range (random, 0.9, 1.1);
}

/* The record of as many combs, each moved by a part of its tooth spacing, that fill the gaps. */
static FaintSpectrum *
record_of (const FitProblem *self)
{
  FaintSpectrum *spectrum = faint_spectrum_new (self->n_teeth, self->setup);
  GRand *random = g_rand_new_with_seed (1);
  g_autoptr (GError) error = NULL;

  spectrum->axis = FAINT_AXIS_WAVENUMBER;
  for (gsize t = 0; t < self->n_teeth; t++)
    {
      double wavenumber = synthetic_wavenumber ((double)t / INTERLEAVED);
      double x = 2.0 * (double)t / (double)(self->n_teeth - 1) - 1.0, size;
      double complex kappa = 0.0;

      for (gsize i = 0; i < self->n_lines; i++)
        kappa += self->truth[i].strength.value * synthetic_profile (&self->truth[i], wavenumber);
      size = cabs (synthetic_cavity (self->setup, 0.0, self->column * kappa));
      spectrum->frequency[t] = wavenumber * LIGHT;
      spectrum->value[t]
          = (1.0 + 0.01 * x - 0.005 * x * x) * size * size + NOISE * synthetic_normal (random);
      spectrum->u[t] = NOISE;
    }
  g_rand_free (random);
  if (!faint_spectrum_finish (spectrum, &error))
    g_error ("%s", error->message);
  return spectrum;
}

void
fit_problem_init (FitProblem *self, const char *name, gsize n_teeth, gsize n_lines)
{
  GRand *random = g_rand_new_with_seed (7);
  double q, root;

  *self = (FitProblem){ .name = name, .n_teeth = n_teeth, .n_lines = n_lines };
  self->n_parameters = FIT_PROBLEM_BASELINE + FIT_PROBLEM_PER_LINE * n_lines;
  self->setup = synthetic_setup (NULL);
  self->truth = g_new (FaintLine, n_lines);
  self->start = g_new (FaintLine, n_lines);
  for (gsize i = 0; i < n_lines; i++)
    add_line (self, i, random);
  g_rand_free (random);
  self->column = synthetic_column_density (self->setup);
  /* Finesse pi sqrt(s)/(1 - s): a quadratic in sqrt(s). */
  q = G_PI / self->setup->mirror.value;
  root = 0.5 * (sqrt (q * q + 4.0) - q);
  self->survival = root * root;
  self->spectrum = record_of (self);
}

void
fit_problem_clear (FitProblem *self)
{
  faint_spectrum_unref (self->spectrum);
  faint_setup_unref (self->setup);
  g_free (self->truth);
  g_free (self->start);
}

static FaintModel *
model_of (const FitProblem *self)
{
  g_autoptr (GError) error = NULL;
  FaintFitOptions options;
  FaintLayout *layout;
  FaintModel *model;

  faint_fit_options_init (&options);
  options.doppler_free = TRUE;
  options.window_width = 1e6; /* one window */
  layout = faint_layout_new (self->spectrum, self->start, self->n_lines, &options, 0.01);
  model = faint_model_new (self->spectrum, layout, self->start, 1, &error);
  if (model == NULL || layout->n_windows != 1 || layout->n_parameters != self->n_parameters)
    g_error ("%s: %s", self->name, error != NULL ? error->message : "not laid out as meant");
  return model;
}

static void
take_outcome (const FitProblem *self, const FaintModel *model, const double *theta, double *outcome)
{
  for (gsize d = 0; d < FIT_PROBLEM_BASELINE; d++)
    outcome[d] = theta[model->layout->windows[0].coefficient + d];
  for (gsize i = 0; i < self->n_lines; i++)
    {
      const FaintLine *start = &self->start[i], *line = &model->lines[i];
      double *at = outcome + FIT_PROBLEM_BASELINE + FIT_PROBLEM_PER_LINE * i;

      at[0] = (line->position.value - start->position.value) / start->doppler.value;
      at[1] = line->strength.value / start->strength.value;
      at[2] = line->lorentz.value / start->lorentz.value;
      at[3] = line->doppler.value / start->doppler.value;
    }
}

guint
fit_problem_solve (const FitProblem *self, double tolerance, double *outcome)
{
  g_autoptr (FaintModel) model = model_of (self);
  g_autoptr (GError) error = NULL;
  g_autofree double *lower = faint_model_lower_bounds (model);
  g_autofree double *upper = faint_model_upper_bounds (model);
  g_autofree double *most = faint_model_step_limits (model);
  g_autofree double *theta = g_memdup2 (model->theta, self->n_parameters * sizeof (double));
  FaintLeastSquares problem = { .n = self->n_parameters,
                                .bandwidth = model->layout->bandwidth,
                                .n_border = model->layout->n_border,
                                .n_groups = model->layout->n_groups,
                                .group = model->layout->group,
                                .lower = lower,
                                .upper = upper,
                                .max_step = most,
                                .evaluate = faint_model_evaluate_rows,
                                .data = model };
  FaintLeastSquaresResult result;

  if (!faint_least_squares_solve (&problem, theta, &(FaintLeastSquaresOptions){ 200, tolerance },
                                  &result, NULL, &error))
    g_error ("%s: %s", self->name, error->message);
  if (result.verdict != FAINT_LEAST_SQUARES_CONVERGED)
    g_error ("%s: not converged after %u evaluations", self->name, result.iterations);
  faint_model_set_theta (model, theta);
  take_outcome (self, model, theta, outcome);
  faint_least_squares_result_clear (&result);
  return result.iterations;
}

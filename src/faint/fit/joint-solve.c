/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The joint problem put to the solver.
 */
#include <math.h>
#include <string.h>

#include "faint/fit/joint-private.h"

#include "faint/base/words.h"

/* A step of the position stays within this many half widths, of a width within a factor. */
#define POSITION_STEP 0.5
#define WIDTH_STEP 1.0
#define ENERGY_STEP 300.0
#define EXPONENT_STEP 0.3
/* Windows that move less than this many standard uncertainties are not computed anew. */
#define SETTLED 0.02

FaintJoint *
faint_joint_new (FaintSpectrum *const *spectra, gsize n, FaintConditions *conditions,
                 const FaintFitOptions *options)
{
  FaintJoint *self = g_new0 (FaintJoint, 1);

  g_atomic_ref_count_init (&self->refs);
  self->n = n;
  self->spectra = g_new0 (FaintSpectrum *, n);
  for (gsize s = 0; s < n; s++)
    self->spectra[s] = faint_spectrum_ref (spectra[s]);
  self->conditions = conditions;
  self->options = *options;
  self->lines = g_array_new (FALSE, FALSE, sizeof (FaintJointLine));
  self->models = g_new0 (FaintModel *, n);
  self->terms = g_new0 (FaintTerms *, n);
  self->stretch = g_new0 (gsize *, n);
  self->noise_scale = 1.0;
  for (FaintJointPlace p = 0; p < FAINT_JOINT_N; p++)
    self->mean[p] = self->spread[p] = NAN;
  return self;
}

FaintJoint *
faint_joint_ref (FaintJoint *self)
{
  g_atomic_ref_count_inc (&self->refs);
  return self;
}

void
faint_joint_unref (FaintJoint *self)
{
  if (self == NULL || !g_atomic_ref_count_dec (&self->refs))
    return;
  for (gsize s = 0; s < self->n; s++)
    {
      faint_model_free (self->models[s]);
      faint_spectrum_unref (self->spectra[s]);
      g_free (self->terms[s]);
      g_free (self->stretch[s]);
    }
  g_free (self->spectra);
  g_free (self->models);
  g_free (self->terms);
  g_free (self->stretch);
  g_free (self->group);
  g_free (self->theta);
  g_free (self->gradient);
  faint_normal_factor_free (self->factor);
  faint_normal_free (self->inverse);
  faint_conditions_free (self->conditions);
  g_array_unref (self->lines);
  g_free (self);
}

/* What is known beforehand of a kind of parameter counts as one observation for each line. */
static void
add_known (const FaintJoint *self, double *chi2, double *gradient, FaintNormal *normal)
{
  for (gsize i = 0; i < self->lines->len; i++)
    for (FaintJointPlace p = 0; p < FAINT_JOINT_N; p++)
      {
        const FaintJointLine *line = faint_joint_line (self, i);
        double weight = 1.0 / (self->spread[p] * self->spread[p]);
        double distance = self->mean[p] - line->value[p];

        if (line->place[p] < 0 || !isfinite (weight) || !isfinite (distance))
          continue;
        chi2[self->group[line->place[p]]] += weight * distance * distance;
        gradient[line->place[p]] += weight * distance;
        *faint_normal_at (normal, (gsize)line->place[p], (gsize)line->place[p]) += weight;
      }
}

gboolean
faint_joint_evaluate (const double *theta, double *chi2, double *gradient, FaintNormal *normal,
                      gpointer data)
{
  FaintJoint *self = data;

  faint_normal_clear (normal);
  memset (gradient, 0, self->n_parameters * sizeof (double));
  memset (chi2, 0, self->n_groups * sizeof (double));
  faint_joint_set_theta (self, theta);
  for (gsize s = 0; s < self->n; s++)
    {
      FaintModel *model = self->models[s];
      g_autofree double *own = g_new0 (double, model->layout->n_groups + 1);
      g_autofree double *slope = g_new0 (double, MAX (model->layout->n_parameters, 1));

      if (!faint_model_compute (model, own, slope))
        return FALSE;
      for (gsize k = 0; k < model->layout->n_windows; k++)
        chi2[self->stretch[s][k]] += own[k];
      for (gsize j = 0; j < model->layout->n_parameters; j++)
        for (guint k = 0; k < self->terms[s][j].n; k++)
          gradient[self->terms[s][j].index[k]] += self->terms[s][j].factor[k] * slope[j];
      faint_model_add_products (model, self->terms[s], normal);
    }
  add_known (self, chi2, gradient, normal);
  return TRUE;
}

static double
greatest (const double *x, gsize n)
{
  double most = 0.0;

  for (gsize i = 0; i < n; i++)
    most = MAX (most, fabs (x[i]));
  return most > 0.0 ? most : 1.0;
}

/* Narrowest half width of a line in any spectrum. */
static double
narrowest (const FaintJoint *self, gsize i)
{
  double width = INFINITY;

  for (gsize s = 0; s < self->n; s++)
    width = MIN (width,
                 self->models[s]->lines[i].doppler.value + self->models[s]->lines[i].lorentz.value);
  return width;
}

static void
limit_line (const FaintJoint *self, gsize i, double *lower, double *upper, double *step)
{
  const FaintConditions *c = self->conditions;
  const FaintJointLine *line = faint_joint_line (self, i);
  double width = narrowest (self, i), most[FAINT_JOINT_N];

  for (FaintJointPlace p = 0; p < FAINT_JOINT_N; p++)
    most[p] = INFINITY;
  most[FAINT_JOINT_POSITION] = POSITION_STEP * width;
  most[FAINT_JOINT_ENERGY] = ENERGY_STEP;
  most[FAINT_JOINT_EXPONENT] = EXPONENT_STEP;
  most[FAINT_JOINT_DOPPLER] = 0.3 * width;
  for (guint k = 0; k < 2; k++)
    {
      most[FAINT_JOINT_SHIFT_A + k]
          = POSITION_STEP * width / greatest (c->part[c->shifting[k]], c->n);
      most[FAINT_JOINT_BROADENING_A + k] = WIDTH_STEP * width / greatest (c->part[k], c->n);
    }
  for (FaintJointPlace p = FAINT_JOINT_FURTHER; p < FAINT_JOINT_N; p++)
    most[p] = 0.2 * width;
  most[FAINT_JOINT_FURTHER + FAINT_PLACE_CORRELATION - FAINT_PLACE_SPEED_WIDTH] = 0.3;
  for (FaintJointPlace p = 0; p < FAINT_JOINT_N; p++)
    if (line->place[p] >= 0)
      {
        gboolean positive = p == FAINT_JOINT_BROADENING_A || p == FAINT_JOINT_BROADENING_B
                            || (p >= FAINT_JOINT_FURTHER && p != FAINT_JOINT_FURTHER + 1);

        step[line->place[p]] = most[p];
        lower[line->place[p]] = positive ? 0.0 : -INFINITY;
        if (p == FAINT_JOINT_DOPPLER)
          lower[line->place[p]] = 0.05 * line->value[p];
        if (p == FAINT_JOINT_FURTHER + FAINT_PLACE_CORRELATION - FAINT_PLACE_SPEED_WIDTH)
          upper[line->place[p]] = 1.0;
      }
}

/* Ranges and steps: of the lines by their meaning, of the instruments as their models say. */
static void
limits (const FaintJoint *self, double *lower, double *upper, double *step)
{
  for (gsize j = 0; j < self->n_parameters; j++)
    {
      lower[j] = -INFINITY;
      upper[j] = step[j] = INFINITY;
    }
  for (gsize i = 0; i < self->lines->len; i++)
    limit_line (self, i, lower, upper, step);
  for (gsize s = 0; s < self->n; s++)
    {
      const FaintLayout *layout = self->models[s]->layout;
      g_autofree double *own = faint_model_step_limits (self->models[s]);

      for (gsize j = layout->n_band; j < layout->n_parameters; j++)
        step[self->terms[s][j].index[0]] = own[j];
    }
}

/* Keeps the solution's equations for uncertainties. */
static gboolean
take_solution (FaintJoint *self, FaintLeastSquaresResult *result)
{
  g_clear_pointer (&self->factor, faint_normal_factor_free);
  g_clear_pointer (&self->inverse, faint_normal_free);
  g_free (self->gradient);
  self->gradient = g_steal_pointer (&result->gradient);
  self->iterations += result->iterations;
  self->verdict = result->verdict;
  self->distance = result->decrement;
  if (result->verdict == FAINT_LEAST_SQUARES_INVALID)
    return FALSE;
  self->factor = faint_normal_factor_new (result->normal);
  if (!faint_normal_factor (self->factor, result->normal))
    return FALSE;
  self->inverse = faint_normal_inverse (self->factor);
  return TRUE;
}

static gboolean
refresh_models (gpointer data, gboolean optimum)
{
  FaintJoint *self = data;
  gboolean any = FALSE;

  for (gsize s = 0; s < self->n; s++)
    any = faint_model_refresh (self->models[s], optimum) || any;
  return any;
}

static gboolean
distrust_stretch (gpointer data, gsize stretch)
{
  FaintJoint *self = data;
  gboolean any = FALSE;

  for (gsize s = 0; s < self->n; s++)
    for (gsize k = 0; k < self->models[s]->layout->n_windows; k++)
      if (self->stretch[s][k] == stretch)
        any = faint_model_distrust (self->models[s], k) || any;
  return any;
}

gboolean
faint_joint_solve (FaintJoint *self, double tolerance, guint max_iterations,
                   const FaintProgress *progress, GError **error)
{
  gsize n = MAX (self->n_parameters, 1);
  g_autofree double *lower = g_new (double, 3 * n);
  g_autofree double *theta = g_memdup2 (self->theta, n * sizeof (double));
  FaintLeastSquares problem = {
    .n = self->n_parameters,
    .bandwidth = self->bandwidth,
    .n_border = self->n_border,
    .n_groups = self->n_groups,
    .group = self->group,
    .lower = lower,
    .upper = lower + n,
    .max_step = lower + 2 * n,
    .evaluate = faint_joint_evaluate,
    .refresh = refresh_models,
    .distrust = distrust_stretch,
    .data = self,
  };
  FaintLeastSquaresResult result;
  gboolean solved;

  for (gsize s = 0; s < self->n; s++)
    self->models[s]->settled = SETTLED;
  limits (self, lower, lower + n, lower + 2 * n);
  if (!faint_least_squares_solve (&problem, theta,
                                  &(FaintLeastSquaresOptions){ max_iterations, tolerance }, &result,
                                  progress, error))
    return FALSE;
  faint_joint_set_theta (self, theta);
  solved = take_solution (self, &result);
  faint_least_squares_result_clear (&result);
  if (!solved)
    g_set_error_literal (
        error, FAINT_FIT_ERROR, FAINT_FIT_ERROR_NUMERIC,
        _ ("The models have no finite value with these lines and cavities. Check strengths and "
           "coefficients of the start lines, finesse and pressure of each spectrum."));
  return solved;
}

double
faint_joint_value (const FaintJoint *self, gsize spectrum, gsize line, FaintPlace place,
                   double *variance)
{
  gsize owner;
  FaintJointValue value = faint_joint_follow (self, spectrum, line, place, &owner);
  const FaintJointLine *at = faint_joint_line (self, owner);
  double sum = 0.0;
  gboolean any = FALSE;

  for (guint a = 0; a < value.n; a++)
    for (guint b = 0; b < value.n; b++)
      {
        gssize i = at->place[value.place[a]], j = at->place[value.place[b]];

        if (i < 0 || j < 0)
          continue;
        any = TRUE;
        sum += value.slope[a] * value.slope[b]
               * faint_normal_get (self->inverse, (gsize)i, (gsize)j);
      }
  *variance = any ? sum : NAN;
  return value.value;
}

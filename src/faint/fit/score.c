/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/fit/score.h"

#include <math.h>
#include <string.h>

#include <gsl/gsl_cblas.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_linalg.h>

#include "faint/fit/joint-private.h"

/* A parameter that the others can replace to this part of its own sum of squares is not determined.
 */
#define REPLACED 1e-9
/* The few steps to the freed optimum need not end closer to it than this, in standard
 * uncertainties, nor take more evaluations than this. */
#define REFINING_TOLERANCE 0.1
#define REFINING_EVALUATIONS 20
/* Windows that move less than this many standard uncertainties are not computed anew. */
#define SETTLED 0.02

/* The model as the fit left it, with detuning and slope free; its lines stand where the parameters
 * were placed, until theta is set. NULL without one. */
static FaintModel *
freed_model (const FaintFit *fit)
{
  const FaintFitWork *work = fit->work;
  const FaintModel *old = work->model;
  gsize n = old->layout->n_lines;
  g_autofree FaintLine *lines = g_memdup2 (old->lines, n * sizeof (FaintLine));
  FaintFitOptions options = fit->options;
  FaintLayout *layout;
  FaintModel *model;

  for (gsize i = 0; i < n; i++)
    lines[i].position.value = old->layout->position[i];
  options.detuning_free = options.detuning_slope_free = TRUE;
  /* Of several spectra, what lines share stands in the joint equations. */
  if (work->joint != NULL)
    options.lorentz_common = options.doppler_common = FALSE;
  layout = faint_layout_new_for (fit->spectrum, lines, n, fit->windows, fit->n_windows, &options);
  model = faint_model_new (fit->spectrum, layout, lines, options.threads, NULL);
  if (model == NULL)
    return NULL;
  memcpy (model->theta, old->theta, (gsize)layout->detuning * sizeof (double));
  faint_model_set_instrument (model, &fit->instrument);
  memcpy (model->held_fringe, old->held_fringe, sizeof model->held_fringe);
  return model;
}

/* Where parameter @j of the freed model stands in the one that was fitted; -1: it was held. */
static gssize
place_before (const FaintLayout *freed, const FaintLayout *fitted, gsize j)
{
  if ((gssize)j < freed->detuning)
    return (gssize)j;
  if ((gssize)j == freed->detuning)
    return fitted->detuning;
  if ((gssize)j == freed->detuning_slope)
    return fitted->detuning_slope;
  return fitted->fringe + (gssize)j - freed->fringe;
}

/* A spectrum with its model freed, computed where the fit ended; model NULL: nothing to free. */
typedef struct
{
  const FaintFit *fit;
  FaintModel *model;
  FaintNormal *normal;
  double *gradient;
} Freed;

static gboolean
may_be_free (const FaintFit *fit)
{
  const FaintSetup *setup = fit->spectrum->setup;

  return setup->geometry != FAINT_GEOMETRY_NONE && setup->coupling != FAINT_COUPLING_SWEPT
         && faint_quantity_is_known (setup->cavity_length)
         && !(fit->options.detuning_free && fit->options.detuning_slope_free);
}

static Freed
freed_new (const FaintFit *fit)
{
  Freed freed = { .fit = fit, .model = may_be_free (fit) ? freed_model (fit) : NULL };
  g_autofree double *chi2 = NULL;

  if (freed.model == NULL)
    return freed;
  chi2 = g_new0 (double, freed.model->layout->n_groups);
  freed.gradient = g_new0 (double, freed.model->layout->n_parameters);
  freed.normal = faint_model_normal_new (freed.model);
  if (!faint_model_evaluate_rows (freed.model->theta, chi2, freed.gradient, freed.normal,
                                  freed.model))
    g_clear_pointer (&freed.model, faint_model_free);
  return freed;
}

static void
freed_clear (Freed *freed)
{
  g_clear_pointer (&freed->model, faint_model_free);
  g_clear_pointer (&freed->normal, faint_normal_free);
  g_clear_pointer (&freed->gradient, g_free);
}

/* Products of held parameter @at with those that were fitted, of all spectra of a joint fit. */
static double *
products_with_fitted (const Freed *freed, gsize at)
{
  const FaintFitWork *work = freed->fit->work;
  const FaintJoint *joint = work->joint;
  gsize n = joint != NULL ? joint->n_parameters : work->model->layout->n_parameters;
  const FaintTerms *terms = NULL;
  double *products = g_new0 (double, MAX (n, 1));

  for (gsize s = 0; joint != NULL && s < joint->n; s++)
    if (joint->models[s] == work->model)
      terms = joint->terms[s];
  for (gsize j = 0; j < freed->model->layout->n_parameters; j++)
    {
      gssize before = place_before (freed->model->layout, work->model->layout, j);
      double product = faint_normal_get (freed->normal, at, j);

      if (before < 0)
        continue;
      if (terms == NULL)
        products[before] += product;
      for (guint k = 0; terms != NULL && k < terms[before].n; k++)
        products[terms[before].index[k]] += terms[before].factor[k] * product;
    }
  return products;
}

static FaintScore
score_from (const FaintFit *fit, double value, double variance, double chi2, gboolean settled)
{
  double left = fit->dof > 1.0 ? chi2 / (fit->dof - 1.0) : NAN;
  double scale = fit->spectrum->u_estimated ? left : MAX (left, 1.0);

  return isfinite (left) ? (FaintScore){ value, sqrt (scale * variance), left, settled }
                         : FAINT_SCORE_NONE;
}

/* The held parameters at work: information less what the fitted ones can take up, and score. */
typedef struct
{
  gsize n;
  gsize *at; /* of each in its model; 0: not among them */
  gsl_matrix *information;
  gsl_vector *score;
} Held;

static void
add_held (Held *held, const Freed *freed, double *const *products, gsize a)
{
  const FaintFitWork *work = freed[a].fit->work;
  const FaintJoint *joint = work->joint;
  gsize n = joint != NULL ? joint->n_parameters : work->model->layout->n_parameters;
  double square = faint_normal_get (freed[a].normal, held->at[a], held->at[a]);
  g_autofree double *solved = g_memdup2 (products[a], n * sizeof (double));

  faint_normal_solve (joint != NULL ? joint->factor : work->factor, solved);
  for (gsize b = 0; b < held->n; b++)
    if (products[b] != NULL)
      gsl_matrix_set (held->information, a, b,
                      (a == b ? square : 0.0) - cblas_ddot ((int)n, products[b], 1, solved, 1));
  if (!(gsl_matrix_get (held->information, a, a) > REPLACED * square))
    held->at[a] = 0;
  /* At the optimum only held parameters have a gradient left. */
  gsl_vector_set (held->score, a, freed[a].gradient[held->at[a]]);
}

/* Step and variances of all held parameters at once, in place of score and information. */
static gboolean
solve_held (Held *held)
{
  for (gsize a = 0; a < held->n; a++)
    if (held->at[a] == 0)
      {
        for (gsize b = 0; b < held->n; b++)
          {
            gsl_matrix_set (held->information, a, b, a == b ? 1.0 : 0.0);
            gsl_matrix_set (held->information, b, a, a == b ? 1.0 : 0.0);
          }
        gsl_vector_set (held->score, a, 0.0);
      }
  return gsl_linalg_cholesky_decomp1 (held->information) == GSL_SUCCESS
         && gsl_linalg_cholesky_svx (held->information, held->score) == GSL_SUCCESS
         && gsl_linalg_cholesky_invert (held->information) == GSL_SUCCESS;
}

/* One kind of parameter, freed in all spectra at once. */
static void
score_kind (const Freed *freed, gsize n, gboolean slope, FaintScore *score)
{
  g_autofree gsize *at = g_new0 (gsize, n);
  g_autofree double **products = g_new0 (double *, n);
  Held held = { n, at, gsl_matrix_calloc (n, n), gsl_vector_calloc (n) };

  for (gsize a = 0; a < n; a++)
    {
      const FaintFitOptions *options = &freed[a].fit->options;

      if (freed[a].model == NULL || (slope ? options->detuning_slope_free : options->detuning_free))
        continue;
      at[a] = (gsize)(slope ? freed[a].model->layout->detuning_slope
                            : freed[a].model->layout->detuning);
      products[a] = products_with_fitted (&freed[a], at[a]);
    }
  for (gsize a = 0; a < n; a++)
    if (products[a] != NULL)
      add_held (&held, freed, products, a);
  if (solve_held (&held))
    for (gsize a = 0; a < n; a++)
      if (at[a] > 0)
        {
          double step = gsl_vector_get (held.score, a);
          double fall = step * freed[a].gradient[at[a]];

          score[a] = score_from (freed[a].fit, freed[a].model->theta[at[a]] + step,
                                 gsl_matrix_get (held.information, a, a),
                                 MAX (freed[a].fit->chi2 - fall, 0.0), FALSE);
        }
  for (gsize a = 0; a < n; a++)
    g_free (products[a]);
  gsl_matrix_free (held.information);
  gsl_vector_free (held.score);
}

gboolean
faint_score_detuning (FaintFit *const *parts, gsize n, FaintScore *detuning, FaintScore *slope)
{
  g_autofree Freed *freed = g_new0 (Freed, n);
  gboolean any = FALSE;

  for (gsize s = 0; s < n; s++)
    {
      detuning[s] = slope[s] = FAINT_SCORE_NONE;
      freed[s] = freed_new (parts[s]);
      any = any || freed[s].model != NULL;
    }
  if (any)
    {
      score_kind (freed, n, FALSE, detuning);
      score_kind (freed, n, TRUE, slope);
    }
  for (gsize s = 0; s < n; s++)
    freed_clear (&freed[s]);
  return any;
}

/* Fits the freed model, but for what is @held, from where the fit ended. FALSE without an outcome.
 */
static gboolean
solve_freed (FaintModel *freed, const gboolean *held, FaintLeastSquaresResult *result)
{
  const FaintLayout *layout = freed->layout;
  g_autofree double *lower = faint_model_lower_bounds (freed);
  g_autofree double *upper = faint_model_upper_bounds (freed);
  g_autofree double *most = faint_model_step_limits (freed);
  g_autofree double *theta = g_memdup2 (freed->theta, layout->n_parameters * sizeof (double));
  FaintLeastSquares problem = {
    .n = layout->n_parameters,
    .bandwidth = layout->bandwidth,
    .n_border = layout->n_border,
    .n_groups = layout->n_groups,
    .group = layout->group,
    .lower = lower,
    .upper = upper,
    .max_step = most,
    .evaluate = faint_model_evaluate_rows,
    .refresh = faint_model_refresh,
    .distrust = faint_model_distrust,
    .data = freed,
  };

  freed->settled = SETTLED;
  for (gsize j = 0; j < layout->n_parameters; j++)
    if (held[j])
      lower[j] = upper[j] = theta[j];
  if (!faint_least_squares_solve (
          &problem, theta, &(FaintLeastSquaresOptions){ REFINING_EVALUATIONS, REFINING_TOLERANCE },
          result, NULL, NULL))
    return FALSE;
  faint_model_set_theta (freed, theta);
  return result->verdict != FAINT_LEAST_SQUARES_INVALID && result->normal != NULL;
}

FaintScore
faint_score_refine_detuning (const FaintFit *fit, gboolean slope)
{
  const FaintModel *fitted = ((const FaintFitWork *)fit->work)->model;
  g_autoptr (FaintModel) freed = may_be_free (fit) ? freed_model (fit) : NULL;
  g_autoptr (FaintNormalFactor) factor = NULL;
  g_autofree double *unit = NULL;
  g_autofree gboolean *held = NULL;
  FaintLeastSquaresResult result;
  FaintScore score = FAINT_SCORE_NONE;
  gsize at, other;

  if (freed == NULL)
    return score;
  at = (gsize)(slope ? freed->layout->detuning_slope : freed->layout->detuning);
  other = (gsize)(slope ? freed->layout->detuning : freed->layout->detuning_slope);
  unit = g_new0 (double, freed->layout->n_parameters);
  unit[at] = 1.0;
  held = g_new0 (gboolean, freed->layout->n_parameters);
  held[other] = !(slope ? fit->options.detuning_free : fit->options.detuning_slope_free);
  freed->width_mean = fitted->width_mean;
  freed->width_spread = fitted->width_spread;
  if (solve_freed (freed, held, &result))
    {
      faint_normal_hold (result.normal, NULL, held);
      factor = faint_normal_factor_new (result.normal);
      if (faint_normal_factor (factor, result.normal))
        {
          faint_normal_solve (factor, unit);
          score = score_from (fit, freed->theta[at], unit[at], result.chi2,
                              result.verdict == FAINT_LEAST_SQUARES_CONVERGED);
        }
    }
  faint_least_squares_result_clear (&result);
  return score;
}

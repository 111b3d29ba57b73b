/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/assign/linear-fit.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_multifit.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "faint/base/words.h"

#define START_ROUNDS 40  /* of the robust start */
#define RULE_ROUNDS 50   /* of the rule for outliers */
#define RANK_LIMIT 1e-13 /* of singular values of the balanced matrix */
#define MAD_TO_SIGMA 1.4826

G_DEFINE_QUARK (faint - fit - constants - error - quark, faint_fit_constants_error)

typedef struct
{
  const FaintLinearProblem *problem;
  gsl_matrix *x, *covariance;
  gsl_vector *w, *y, *c;
  gsl_multifit_linear_workspace *space;
  double *sorted;
} Work;

static void
work_begin (Work *work, const FaintLinearProblem *problem)
{
  gsize n = problem->n, p = problem->p;

  work->problem = problem;
  work->x = gsl_matrix_alloc (n, p);
  work->covariance = gsl_matrix_alloc (p, p);
  work->w = gsl_vector_alloc (n);
  work->y = gsl_vector_alloc (n);
  work->c = gsl_vector_alloc (p);
  work->space = gsl_multifit_linear_alloc (n, p);
  work->sorted = g_new (double, n);
  for (gsize i = 0; i < n; i++)
    {
      gsl_vector_set (work->y, i, problem->y[i]);
      for (gsize k = 0; k < p; k++)
        gsl_matrix_set (work->x, i, k, problem->x[i * p + k]);
    }
}

static void
work_end (Work *work)
{
  gsl_matrix_free (work->x);
  gsl_matrix_free (work->covariance);
  gsl_vector_free (work->w);
  gsl_vector_free (work->y);
  gsl_vector_free (work->c);
  gsl_multifit_linear_free (work->space);
  g_free (work->sorted);
}

/* With the weights in work->w; FALSE where they do not determine all unknowns. */
static gboolean
solve (Work *work)
{
  double chi2;
  gsize rank;

  return gsl_multifit_wlinear_tsvd (work->x, work->w, work->y, RANK_LIMIT, work->c,
                                    work->covariance, &chi2, &rank, work->space)
             == GSL_SUCCESS
         && rank == work->problem->p;
}

static void
take_residuals (const Work *work, FaintLinearFit *fit)
{
  const FaintLinearProblem *problem = work->problem;

  for (gsize i = 0; i < problem->n; i++)
    {
      const double *x = problem->x + i * problem->p;
      double model = 0.0;

      for (gsize k = 0; k < problem->p; k++)
        model += x[k] * gsl_vector_get (work->c, k);
      fit->residual[i] = problem->y[i] - model;
    }
}

static int
compare (const void *a, const void *b)
{
  double x = *(const double *)a, y = *(const double *)b;

  return (x > y) - (x < y);
}

static double
median_ratio (Work *work, const FaintLinearFit *fit)
{
  gsize n = work->problem->n;

  for (gsize i = 0; i < n; i++)
    work->sorted[i] = fabs (fit->residual[i]) / work->problem->u[i];
  qsort (work->sorted, n, sizeof (double), compare);
  return work->sorted[n / 2];
}

/* Least absolute deviations, by weights that fall with the residual. */
static gboolean
start (Work *work, FaintLinearFit *fit, double limit)
{
  const FaintLinearProblem *problem = work->problem;
  double s;

  for (gsize i = 0; i < problem->n; i++)
    gsl_vector_set (work->w, i, 1.0 / (problem->u[i] * problem->u[i]));
  for (guint round = 0; round < START_ROUNDS; round++)
    {
      double floor;

      if (!solve (work))
        return FALSE;
      take_residuals (work, fit);
      floor = fmax (1e-3 * median_ratio (work, fit), 1e-3);
      for (gsize i = 0; i < problem->n; i++)
        {
          double r = fmax (fabs (fit->residual[i]) / problem->u[i], floor);

          gsl_vector_set (work->w, i, 1.0 / (problem->u[i] * problem->u[i] * r));
        }
    }
  /* p residuals vanish at the optimum and say nothing. */
  s = MAD_TO_SIGMA * median_ratio (work, fit);
  s = fmax (1.0, work->sorted[MIN (problem->n - 1, (problem->n + problem->p) / 2)] * MAD_TO_SIGMA);
  for (gsize i = 0; i < problem->n; i++)
    fit->kept[i] = fabs (fit->residual[i]) <= limit * s * problem->u[i];
  return TRUE;
}

static double
variance_at (const Work *work, const double *x)
{
  gsize p = work->problem->p;
  double sum = 0.0;

  for (gsize i = 0; i < p; i++)
    for (gsize k = 0; k < p; k++)
      sum += x[i] * x[k] * gsl_matrix_get (work->covariance, i, k);
  return fmax (sum, 0.0);
}

/* Fits the kept points; fills all of @fit but the choice. */
static gboolean
fit_kept (Work *work, FaintLinearFit *fit)
{
  const FaintLinearProblem *problem = work->problem;

  fit->n_kept = 0;
  fit->chi2 = 0.0;
  for (gsize i = 0; i < problem->n; i++)
    {
      fit->n_kept += fit->kept[i];
      gsl_vector_set (work->w, i, fit->kept[i] ? 1.0 / (problem->u[i] * problem->u[i]) : 0.0);
    }
  if (fit->n_kept < problem->p || !solve (work))
    return FALSE;
  take_residuals (work, fit);
  for (gsize i = 0; i < problem->n; i++)
    {
      double r = fit->residual[i] / problem->u[i];

      fit->chi2 += fit->kept[i] ? r * r : 0.0;
      fit->u_model[i] = sqrt (variance_at (work, problem->x + i * problem->p));
    }
  fit->chi2_reduced
      = fit->n_kept > problem->p ? fit->chi2 / (double)(fit->n_kept - problem->p) : NAN;
  fit->scale = fit->chi2_reduced > 1.0 ? sqrt (fit->chi2_reduced) : 1.0;
  return TRUE;
}

/* Leaves out and takes back by the rule; FALSE when nothing changed. */
static gboolean
apply_rule (const Work *work, FaintLinearFit *fit, double limit)
{
  gboolean changed = FALSE;

  for (gsize i = 0; i < fit->n; i++)
    {
      double u = work->problem->u[i], h = fit->u_model[i] * fit->u_model[i];
      double variance = fit->kept[i] ? u * u - h : u * u + h;
      gboolean keep;

      /* A point that alone determines something is on the model and cannot be judged. */
      if (fit->kept[i] && variance < 1e-6 * u * u)
        continue;
      keep = fabs (fit->residual[i]) <= limit * fit->scale * sqrt (variance);
      changed = changed || keep != fit->kept[i];
      fit->kept[i] = keep;
    }
  return changed;
}

static void
take_result (const Work *work, FaintLinearFit *fit)
{
  for (gsize i = 0; i < fit->p; i++)
    {
      fit->value[i] = gsl_vector_get (work->c, i);
      for (gsize k = 0; k < fit->p; k++)
        fit->covariance[i * fit->p + k]
            = gsl_matrix_get (work->covariance, i, k) * fit->scale * fit->scale;
    }
  for (gsize i = 0; i < fit->n; i++)
    fit->u_model[i] *= fit->scale;
}

static FaintLinearFit *
new_fit (gsize n, gsize p)
{
  FaintLinearFit *fit = g_new0 (FaintLinearFit, 1);

  fit->n = n;
  fit->p = p;
  fit->value = g_new0 (double, p);
  fit->covariance = g_new0 (double, p *p);
  fit->residual = g_new0 (double, n);
  fit->u_model = g_new0 (double, n);
  fit->kept = g_new0 (guint8, n);
  return fit;
}

void
faint_linear_fit_free (FaintLinearFit *self)
{
  if (self == NULL)
    return;
  g_free (self->value);
  g_free (self->covariance);
  g_free (self->residual);
  g_free (self->u_model);
  g_free (self->kept);
  g_free (self);
}

FaintLinearFit *
faint_linear_fit (const FaintLinearProblem *problem, double limit, GError **error)
{
  g_autoptr (FaintLinearFit) fit = NULL;
  gboolean good;
  Work work;

  if (problem->p == 0 || problem->n < problem->p)
    {
      g_set_error (
          error, FAINT_FIT_CONSTANTS_ERROR, FAINT_FIT_CONSTANTS_ERROR_TOO_FEW,
          _ ("%zu lines for %zu constants; expected at least as many lines. Fix some constants."),
          problem->n, problem->p);
      return NULL;
    }
  fit = new_fit (problem->n, problem->p);
  work_begin (&work, problem);
  good = start (&work, fit, limit) && fit_kept (&work, fit);
  for (guint round = 0; good && round < RULE_ROUNDS && apply_rule (&work, fit, limit); round++)
    good = fit_kept (&work, fit);
  if (good)
    take_result (&work, fit);
  work_end (&work);
  if (good)
    return g_steal_pointer (&fit);
  g_set_error (error, FAINT_FIT_CONSTANTS_ERROR, FAINT_FIT_CONSTANTS_ERROR_NOT_DETERMINED,
               _ ("The %zu lines do not determine all of the %zu constants. Fix some of them, or "
                  "add lines of other J."),
               problem->n, problem->p);
  return NULL;
}

double
faint_linear_fit_u (const FaintLinearFit *self, const double *x)
{
  double sum = 0.0;

  for (gsize i = 0; i < self->p; i++)
    for (gsize k = 0; k < self->p; k++)
      sum += x[i] * x[k] * self->covariance[i * self->p + k];
  return sqrt (fmax (sum, 0.0));
}

double
faint_linear_fit_correlation (const FaintLinearFit *self, gsize i, gsize k)
{
  return self->covariance[i * self->p + k]
         / sqrt (self->covariance[i * self->p + i] * self->covariance[k * self->p + k]);
}

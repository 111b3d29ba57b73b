/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/fit/least-squares.h"

#include <math.h>
#include <string.h>

#define DAMPING_START 1e-3
#define DAMPING_LEAST 1e-12
#define DAMPING_MOST 1e12
/* Below this the damped step is the Newton step to a part in 10^4. */
#define DAMPING_NEGLIGIBLE 1e-4
/* Groups this far apart still share data. */
#define REACH 2
/* Steps refused in a row before all groups are damped. */
#define PATIENCE 6
/* Steps are relaxed in groups whose step promises a fall of chi-square of at most this. */
#define RELAX_WITHIN 30.0
#define RELAX_LEAST 0.25
#define RELAX_MOST 2.0
/* Steps this small, in standard uncertainties, need not lower chi-square at once. */
#define FREEDOM 0.03
/* A failed step is a group's fault if its chi-square rose by this part of the largest rise. */
#define FAULT 0.01

typedef struct
{
  const FaintLeastSquares *problem;
  double *theta, *trial, *step, *most_diagonal;
  double *chi2, *trial_chi2; /* of each group */
  double *gradient, *trial_gradient;
  FaintNormal *normal, *trial_normal, *damped;
  FaintNormalFactor *factor;
  double *damping; /* of each group */
  gboolean *held;
  gsize border_group; /* of the border's parameters; n_groups if there are none */
  guint rejections;   /* in a row */
  gboolean looked;    /* the present point has been computed without approximation */
  double *before;     /* the step that was last taken, before relaxation; 0 where there is none */
  double *relax;      /* of each group: share of the step that is taken */
  double *gain;       /* of each group: fall of chi-square that the full step promises */
} Workspace;

static Workspace *
workspace_new (const FaintLeastSquares *problem, double *theta)
{
  Workspace *w = g_new0 (Workspace, 1);
  gsize n = problem->n;

  w->problem = problem;
  w->theta = theta;
  w->border_group = problem->n_border > 0 ? problem->group[n - 1] : problem->n_groups;
  w->trial = g_new0 (double, n);
  w->step = g_new0 (double, n);
  w->most_diagonal = g_new0 (double, n);
  w->gradient = g_new0 (double, n);
  w->trial_gradient = g_new0 (double, n);
  w->held = g_new0 (gboolean, n);
  w->before = g_new0 (double, n);
  w->relax = g_new0 (double, problem->n_groups);
  w->gain = g_new0 (double, problem->n_groups);
  w->chi2 = g_new0 (double, problem->n_groups);
  w->trial_chi2 = g_new0 (double, problem->n_groups);
  w->damping = g_new0 (double, problem->n_groups);
  for (gsize k = 0; k < problem->n_groups; k++)
    {
      w->damping[k] = DAMPING_START;
      w->relax[k] = 1.0;
    }
  w->normal = faint_normal_new (n - problem->n_border, problem->bandwidth, problem->n_border);
  w->trial_normal = faint_normal_duplicate (w->normal);
  w->damped = faint_normal_duplicate (w->normal);
  w->factor = faint_normal_factor_new (w->normal);
  return w;
}

static void
workspace_free (Workspace *w)
{
  g_free (w->trial);
  g_free (w->step);
  g_free (w->most_diagonal);
  g_free (w->gradient);
  g_free (w->trial_gradient);
  g_free (w->held);
  g_free (w->before);
  g_free (w->relax);
  g_free (w->gain);
  g_free (w->chi2);
  g_free (w->trial_chi2);
  g_free (w->damping);
  faint_normal_free (w->normal);
  faint_normal_free (w->trial_normal);
  faint_normal_free (w->damped);
  faint_normal_factor_free (w->factor);
  g_free (w);
}

static double
total (const double *chi2, gsize n)
{
  double sum = 0.0;

  for (gsize k = 0; k < n; k++)
    sum += chi2[k];
  return sum;
}

/* A parameter at its bound that wants to go further out is held for this step. */
static void
choose_held (Workspace *w)
{
  const double *lower = w->problem->lower, *upper = w->problem->upper;

  for (gsize j = 0; j < w->problem->n; j++)
    w->held[j] = (lower != NULL && w->theta[j] <= lower[j] && w->gradient[j] <= 0.0)
                 || (upper != NULL && w->theta[j] >= upper[j] && w->gradient[j] >= 0.0);
}

/* Solves for the damped step; damping of a lost column falls back on the largest diagonal it had.
 */
static gboolean
solve_step (Workspace *w)
{
  gsize n = w->problem->n;

  faint_normal_copy (w->damped, w->normal);
  memcpy (w->step, w->gradient, n * sizeof (double));
  for (gsize j = 0; j < n; j++)
    {
      double *diagonal = faint_normal_at (w->damped, j, j);
      w->most_diagonal[j] = MAX (w->most_diagonal[j], *diagonal);
      *diagonal += w->damping[w->problem->group[j]] * w->most_diagonal[j];
    }
  faint_normal_hold (w->damped, w->step, w->held);
  if (!faint_normal_factor (w->factor, w->damped))
    return FALSE;
  faint_normal_solve (w->factor, w->step);
  for (gsize j = 0; j < n; j++)
    if (!isfinite (w->step[j]))
      return FALSE;
  return TRUE;
}

static double
decrement_of (const Workspace *w)
{
  double sum = 0.0;

  for (gsize j = 0; j < w->problem->n; j++)
    sum += w->held[j] ? 0.0 : w->step[j] * w->gradient[j];
  return sqrt (MAX (sum, 0.0));
}

/* What each group has of it, by the last step. */
static double *
distances_of (const Workspace *w)
{
  double *distance = g_new0 (double, MAX (w->problem->n_groups, 1));

  for (gsize j = 0; j < w->problem->n; j++)
    distance[w->problem->group[j]] += w->held[j] ? 0.0 : w->step[j] * w->gradient[j];
  for (gsize k = 0; k < w->problem->n_groups; k++)
    distance[k] = sqrt (MAX (distance[k], 0.0));
  return distance;
}

/* Near the optimum the steps of a group of blended lines follow each other by a nearly constant
 * factor q, often close to -1: the curvature of the model, which the normal matrix leaves out,
 * makes them overshoot. Taking the share 1/(1 - q) of the full step cancels that (Aitken's process,
 * with q measured in the metric of the normal matrix's diagonal). */
static void
choose_relaxation (Workspace *w)
{
  const FaintLeastSquares *problem = w->problem;
  g_autofree double *product = g_new0 (double, problem->n_groups);
  g_autofree double *square = g_new0 (double, problem->n_groups);
  double *gain = w->gain;

  memset (gain, 0, problem->n_groups * sizeof (double));
  for (gsize j = 0; j < problem->n; j++)
    {
      double metric = w->most_diagonal[j];

      gain[problem->group[j]] += w->held[j] ? 0.0 : w->step[j] * w->gradient[j];
      product[problem->group[j]] += w->before[j] * w->step[j] * metric;
      square[problem->group[j]] += w->before[j] * w->before[j] * metric;
    }
  for (gsize k = 0; k < problem->n_groups; k++)
    {
      double q = square[k] > 0.0 ? product[k] / square[k] : 0.0;

      if (w->damping[k] > DAMPING_NEGLIGIBLE || gain[k] > RELAX_WITHIN || fabs (q) > 1.5)
        w->relax[k] = 1.0;
      else if (square[k] > 0.0)
        w->relax[k] = CLAMP (w->relax[k] / (1.0 - MIN (q, 0.8)), RELAX_LEAST, RELAX_MOST);
    }
  memcpy (w->before, w->step, problem->n * sizeof (double));
  for (gsize j = 0; j < problem->n; j++)
    w->step[j] *= w->relax[problem->group[j]];
}

static void
apply_limits (Workspace *w)
{
  const FaintLeastSquares *problem = w->problem;

  for (gsize j = 0; j < problem->n; j++)
    {
      if (problem->max_step != NULL)
        w->step[j] = CLAMP (w->step[j], -problem->max_step[j], problem->max_step[j]);
      w->trial[j] = w->theta[j] + w->step[j];
      if (problem->lower != NULL && w->trial[j] < problem->lower[j])
        w->trial[j] = problem->lower[j];
      if (problem->upper != NULL && w->trial[j] > problem->upper[j])
        w->trial[j] = problem->upper[j];
      w->step[j] = w->trial[j] - w->theta[j];
    }
}

static double
largest_damping (const Workspace *w)
{
  double most = 0.0;

  for (gsize k = 0; k < w->problem->n_groups; k++)
    most = MAX (most, w->damping[k]);
  return most;
}

static void
accept_trial (Workspace *w, double negligible)
{
  FaintNormal *normal = w->normal;
  double *gradient = w->gradient;

  for (gsize k = 0; k < w->problem->n_groups; k++)
    {
      /* A neighbour's step may cost a group a little; that is no reason to damp it. */
      double factor = w->trial_chi2[k] <= w->chi2[k] * 1.01 + negligible ? 0.1 : 3.0;
      w->damping[k] = CLAMP (w->damping[k] * factor, DAMPING_LEAST, DAMPING_MOST);
      w->chi2[k] = w->trial_chi2[k];
    }
  w->rejections = 0;
  w->looked = FALSE;
  memcpy (w->theta, w->trial, w->problem->n * sizeof (double));
  w->normal = w->trial_normal;
  w->trial_normal = normal;
  w->gradient = w->trial_gradient;
  w->trial_gradient = gradient;
}

static double
largest_rise (const Workspace *w)
{
  double most = 0.0;

  for (gsize k = 0; k < w->problem->n_groups; k++)
    most = MAX (most, w->trial_chi2[k] - w->chi2[k]);
  return most;
}

/* More damping where the step failed, and next door: a parameter's step shows in its neighbours'
 * data too. Everywhere when no group can be named, or when naming them has not helped for long. */
static void
reject_trial (Workspace *w, gboolean finite)
{
  const gsize n = w->problem->n_groups;
  gboolean everywhere = !finite || ++w->rejections > PATIENCE;
  double fault = FAULT * largest_rise (w);

  memset (w->before, 0, w->problem->n * sizeof (double));

  for (gsize k = 0; k < n; k++)
    {
      gboolean rose = everywhere;

      /* What all share is damped with anyone. */
      if (k == w->border_group)
        rose = TRUE;
      for (gsize j = k > REACH ? k - REACH : 0; j <= k + REACH && j < n && !rose; j++)
        rose = w->trial_chi2[j] - w->chi2[j] > fault;
      if (!rose)
        continue;
      /* Near the optimum it is the length of the step that is wrong, not its direction. */
      if (finite && w->rejections <= PATIENCE && w->damping[k] <= DAMPING_NEGLIGIBLE
          && w->relax[k] > RELAX_LEAST && w->gain[k] <= RELAX_WITHIN)
        w->relax[k] = MAX (0.5 * w->relax[k], RELAX_LEAST);
      else
        w->damping[k] = MAX (w->damping[k], 1e-6) * 10.0;
    }
}

/* Computes the present point again without approximation; FALSE if there was none in it. */
static gboolean
look_again (Workspace *w, gboolean optimum, FaintLeastSquaresResult *result)
{
  const FaintLeastSquares *problem = w->problem;

  if (problem->refresh == NULL || !problem->refresh (problem->data, optimum))
    return FALSE;
  result->iterations++;
  memset (w->before, 0, problem->n * sizeof (double));
  return problem->evaluate (w->theta, w->chi2, w->gradient, w->normal, problem->data);
}

/* Groups where the step failed are computed without approximation from now on. If one of them was
 * not so far, the present point is looked at again; FALSE otherwise. */
static gboolean
distrust_failed (Workspace *w, FaintLeastSquaresResult *result)
{
  const FaintLeastSquares *problem = w->problem;
  double most = largest_rise (w);
  gboolean any = FALSE;

  for (gsize k = 0; k < problem->n_groups && problem->distrust != NULL; k++)
    if (w->trial_chi2[k] - w->chi2[k] > FAULT * most)
      any = problem->distrust (problem->data, k) || any;
  if (!any)
    return FALSE;
  result->iterations++;
  memset (w->before, 0, problem->n * sizeof (double));
  return problem->evaluate (w->theta, w->chi2, w->gradient, w->normal, problem->data);
}

/* A rise within the rounding of the sum is no rise: near the optimum the last steps move chi2 by
 * less than its own digits. Nor is one that the tolerance allows: with noiseless data chi2 itself
 * is rounding. Steps of a few hundredths of a standard uncertainty move a position by a few units
 * in its last place, and what that does to every tooth does not add up to nothing; and what they do
 * to groups far away, which the matrix leaves out, is taken up there by the next step only. They
 * may cost what the longest of them is worth: it is the decrement that tells the optimum, and if
 * they lead astray they grow and lose this freedom. */
static double
rise_allowed (double chi2, double decrement, double tolerance)
{
  double rise = tolerance * tolerance + 1e-12 * chi2;

  return decrement <= FREEDOM ? rise + FREEDOM * FREEDOM : rise;
}

/* One step. Returns TRUE when the loop is over; result->verdict says why. */
static gboolean
advance (Workspace *w, double tolerance, FaintLeastSquaresResult *result)
{
  const FaintLeastSquares *problem = w->problem;
  double before = total (w->chi2, problem->n_groups), negligible = tolerance * tolerance;
  gboolean finite;

  choose_held (w);
  if (!solve_step (w))
    {
      reject_trial (w, FALSE);
      result->verdict = FAINT_LEAST_SQUARES_STALLED;
      return largest_damping (w) >= DAMPING_MOST;
    }
  result->decrement = decrement_of (w);
  if (result->decrement <= tolerance && largest_damping (w) <= DAMPING_NEGLIGIBLE)
    {
      result->verdict = FAINT_LEAST_SQUARES_CONVERGED;
      return !look_again (w, TRUE, result);
    }
  choose_relaxation (w);
  apply_limits (w);
  finite = problem->evaluate (w->trial, w->trial_chi2, w->trial_gradient, w->trial_normal,
                              problem->data);
  result->iterations++;
  if (finite
      && total (w->trial_chi2, problem->n_groups)
             <= before + rise_allowed (before, result->decrement, tolerance))
    {
      accept_trial (w, negligible);
      return FALSE;
    }
  if (finite && distrust_failed (w, result))
    return FALSE;
  if (!w->looked && (!finite || w->rejections >= PATIENCE) && look_again (w, FALSE, result))
    {
      w->looked = TRUE;
      return FALSE;
    }
  reject_trial (w, finite);
  result->verdict = FAINT_LEAST_SQUARES_STALLED;
  return largest_damping (w) >= DAMPING_MOST;
}

gboolean
faint_least_squares_solve (const FaintLeastSquares *problem, double *theta,
                           const FaintLeastSquaresOptions *options, FaintLeastSquaresResult *result,
                           const FaintProgress *progress, GError **error)
{
  Workspace *w = workspace_new (problem, theta);
  gboolean alive = TRUE;
  gboolean over = FALSE;

  *result = (FaintLeastSquaresResult){ .verdict = FAINT_LEAST_SQUARES_INVALID, .iterations = 1 };
  if (problem->evaluate (theta, w->chi2, w->gradient, w->normal, problem->data))
    {
      while (!over && result->iterations < options->max_iterations)
        {
          alive = faint_progress_step (progress, -1.0, "Fitting", error);
          over = !alive || advance (w, options->tolerance, result);
        }
      if (!over)
        result->verdict = FAINT_LEAST_SQUARES_LIMIT;
    }
  result->chi2 = total (w->chi2, problem->n_groups);
  if (alive)
    {
      /* The step of the end itself, neither damped nor cut short. */
      for (gsize k = 0; k < problem->n_groups; k++)
        w->damping[k] = 0.0;
      result->distance = solve_step (w) ? distances_of (w) : NULL;
      result->normal = g_steal_pointer (&w->normal);
      result->gradient = g_steal_pointer (&w->gradient);
    }
  workspace_free (w);
  return alive;
}

void
faint_least_squares_result_clear (FaintLeastSquaresResult *result)
{
  g_clear_pointer (&result->normal, faint_normal_free);
  g_clear_pointer (&result->gradient, g_free);
  g_clear_pointer (&result->distance, g_free);
}

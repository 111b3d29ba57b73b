/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Weighted nonlinear least squares by Levenberg-Marquardt steps on banded normal equations with a
 * border (normal.h; GSL's band Cholesky), for problems whose parameters fall into groups that know
 * each other mostly next door. Damping is kept for each group on its own, so that one badly started
 * line does not hold up a thousand good ones. The loop is ours, so that it can report, be
 * cancelled, and stop when the remaining distance to the optimum is a stated part of a standard
 * uncertainty.
 *
 * References: More, in Numerical Analysis, LNM 630, 105 (1978); Nocedal & Wright, Numerical
 * Optimization (2006), ch. 10.
 */
#pragma once

#include "faint/base/progress.h"
#include "faint/fit/normal.h"

typedef struct
{
  gsize n;         /* parameters */
  gsize bandwidth; /* |i - j| at most, for any two parameters with a product in J^T W J, of those
                      in the band */
  gsize n_border;  /* the last of the n parameters, which may have products with all */
  gsize n_groups;
  const guint *group;     /* of each parameter, 0 .. n_groups-1 */
  const double *lower;    /* bound of each parameter, -INFINITY for none; NULL: no bounds */
  const double *upper;    /* INFINITY for none; NULL: no bounds */
  const double *max_step; /* largest change in one step, INFINITY for none; NULL: no limits */
  /* At @theta: @chi2 of each group (its data), gradient J^T W (observed - model) in @gradient and
   * J^T W J in @normal, both cleared by the callee. Returns FALSE if the model has no finite value
   * there. */
  gboolean (*evaluate) (const double *theta, double *chi2, double *gradient, FaintNormal *normal,
                        gpointer data);
  /* If evaluate() may answer approximately near points that it has seen: makes the next answers
   * exact; FALSE if they all were. Asked with @optimum when the optimum seems to be reached, which
   * is then looked at again, and without when a step fails, which may be for what was approximate.
   * NULL: always exact. */
  gboolean (*refresh) (gpointer data, gboolean optimum);
  /* Of such a problem: @group is answered exactly from now on; FALSE if it was already. Asked where
   * a step fails. NULL: always exact. */
  gboolean (*distrust) (gpointer data, gsize group);
  gpointer data;
} FaintLeastSquares;

typedef struct
{
  guint max_iterations;
  double tolerance; /* stop when the Newton decrement sqrt(g^T H^-1 g), a distance to the optimum in
                       standard uncertainties, is below this */
} FaintLeastSquaresOptions;

typedef enum
{
  FAINT_LEAST_SQUARES_CONVERGED,
  FAINT_LEAST_SQUARES_STALLED, /* no step lowers chi2 */
  FAINT_LEAST_SQUARES_LIMIT,   /* iteration limit */
  FAINT_LEAST_SQUARES_INVALID, /* the start itself has no finite value */
} FaintLeastSquaresVerdict;

typedef struct
{
  FaintLeastSquaresVerdict verdict;
  guint iterations;    /* evaluations of model and Jacobian */
  double chi2;         /* sum over groups */
  double decrement;    /* at the end */
  FaintNormal *normal; /* at the end, undamped; owned by the caller */
  double *gradient;    /* at the end, length n; owned by the caller */
  double *distance; /* of each group at the end: its part of the decrement, undamped; NULL if there
                       is none; owned by the caller */
} FaintLeastSquaresResult;

/* Improves @theta (length n). Returns FALSE only when cancelled (@error set); every numerical
 * outcome is a verdict. Free the result's arrays with faint_least_squares_result_clear(). */
gboolean
faint_least_squares_solve (const FaintLeastSquares *problem, double *theta,
                           const FaintLeastSquaresOptions *options, FaintLeastSquaresResult *result,
                           const FaintProgress *progress, GError **error);
void faint_least_squares_result_clear (FaintLeastSquaresResult *result);

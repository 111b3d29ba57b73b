/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Weighted linear least squares that does not believe every point.
 *
 * The rule for outliers: a start that gross errors cannot move (least absolute deviations) gives
 * the scatter s of the points, in units of their own uncertainties, 1 at least; points within
 * @limit of these are fitted. Then again and again: s is the root of the reduced chi-square of the
 * fitted points, 1 at least; a point is left out when its residual exceeds @limit times s times its
 * uncertainty, leverage counted, and comes back when it does not; until none changes. Points left
 * out keep their residuals. Uncertainties of the result are scaled by s.
 */
#pragma once

#include <glib.h>

#define FAINT_FIT_CONSTANTS_ERROR (faint_fit_constants_error_quark ())
GQuark faint_fit_constants_error_quark (void);
typedef enum
{
  FAINT_FIT_CONSTANTS_ERROR_TOO_FEW,        /* fewer points than unknowns, or none over */
  FAINT_FIT_CONSTANTS_ERROR_NOT_DETERMINED, /* the points do not tell all unknowns */
  FAINT_FIT_CONSTANTS_ERROR_OPTION,         /* not an option, or not a value for it */
} FaintFitConstantsError;

typedef struct
{
  gsize n, p;
  const double *x; /* n rows of p */
  const double *y, *u;
} FaintLinearProblem;

typedef struct
{
  gsize n, p, n_kept;
  double *value;      /* p */
  double *covariance; /* p x p, scaled by scale squared */
  double *residual;   /* n, y minus model */
  double *u_model;    /* n, standard uncertainty of the model at the point */
  guint8 *kept;       /* n */
  double chi2;        /* of the kept points, with their own uncertainties */
  double chi2_reduced;
  double scale; /* s */
} FaintLinearFit;

FaintLinearFit *faint_linear_fit (const FaintLinearProblem *problem, double limit, GError **error);
void faint_linear_fit_free (FaintLinearFit *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (FaintLinearFit, faint_linear_fit_free)

/* Standard uncertainty of the model at the row @x of p numbers. */
double faint_linear_fit_u (const FaintLinearFit *self, const double *x);
double faint_linear_fit_correlation (const FaintLinearFit *self, gsize i, gsize k);

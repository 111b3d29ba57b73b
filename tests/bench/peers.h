/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * General-purpose solvers on a WrittenModel, from its start to the solver's own tolerance. Each
 * fills @theta with its outcome and returns the steps it took, or 0 where it refused.
 */
#pragma once

#include "written-model.h"

G_BEGIN_DECLS

typedef guint (*PeerSolve) (WrittenModel *model, const FitProblem *problem, double tolerance,
                            double *theta);

/* GSL multifit_nlinear, Levenberg-Marquardt, Cholesky solver. */
guint
peer_gsl_multifit (WrittenModel *model, const FitProblem *problem, double tolerance, double *theta);
/* GSL multilarge_nlinear, Levenberg-Marquardt, Cholesky solver: normal equations by dsyrk. */
guint peer_gsl_multilarge (WrittenModel *model, const FitProblem *problem, double tolerance,
                           double *theta);
#ifdef HAVE_CERES
/* Ceres, DENSE_NORMAL_CHOLESKY. */
guint peer_ceres (WrittenModel *model, const FitProblem *problem, double tolerance, double *theta);
#endif

G_END_DECLS

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * One window of the model: its teeth as whitened rows, and their sums into gradient and normal
 * matrix. The workspace holds one window at a time.
 */
#pragma once

#include "faint/fit/model.h"

/* Room for the largest window of @layout. */
FaintModelWorkspace *faint_model_workspace_new (const FaintLayout *layout);
void faint_model_workspace_free (FaintModelWorkspace *work);

/* Profiles, kappa, response, baseline and residual rows of @window from self->lines and
 * self->theta;
 * @with_inputs: the derivatives with respect to the inputs too. */
void
faint_window_rows_compute (FaintModel *self, const FaintLayoutWindow *window, gboolean with_inputs);

/* Sum of squared residual rows. */
double faint_window_rows_chi2 (const FaintModel *self, const FaintLayoutWindow *window);

/* Which rows are projected on the Jacobian. */
typedef enum
{
  FAINT_ROWS_RESIDUAL, /* observed - model */
  FAINT_ROWS_INPUT,    /* what faint_window_rows_input() left */
} FaintRows;
/* gradient += J^T rows; hessian += J^T J (NULL: not wanted). */
void faint_window_rows_accumulate (FaintModel *self, const FaintLayoutWindow *window,
                                   FaintRows rows, double *gradient, gsl_matrix *hessian);

/* Change of the model rows for a change of an input (model.h). */
void faint_window_rows_input (FaintModel *self, const FaintLayoutWindow *window,
                              FaintModelInput input, const double *weight);

void faint_window_rows_copy (const FaintModel *self, const FaintLayoutWindow *window,
                             const FaintModelArrays *out);

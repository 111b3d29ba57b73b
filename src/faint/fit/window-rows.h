/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * One window of the model: its teeth as whitened rows, and their sums into gradient and normal
 * matrix. The workspace holds one window at a time.
 */
#pragma once

#include "faint/fit/far.h"
#include "faint/fit/model.h"

/* Room for the largest window of @layout; @beyond_voigt: there are profiles other than Voigt's. */
FaintModelWorkspace *faint_model_workspace_new (const FaintLayout *layout, gboolean beyond_voigt);
void faint_model_workspace_free (FaintModelWorkspace *work);

/* Profiles, kappa, response, baseline and residual rows of window @window (its index) from
 * self->lines, the far sums and self->theta, into @work; @with_inputs: the derivatives with respect
 * to the inputs too. Different windows may be computed at once with workspaces of their own. */
void faint_window_rows_compute (const FaintModel *self, FaintModelWorkspace *work, gsize window,
                                gboolean with_inputs);

/* Sum of squared residual rows. */
double
faint_window_rows_chi2 (const FaintModel *self, const FaintModelWorkspace *work, gsize window);

/* Which rows, other than the residuals, are projected on the Jacobian. */
typedef enum
{
  FAINT_ROWS_INPUT,     /* what faint_window_rows_input() left */
  FAINT_ROWS_DIRECTION, /* what a change of theta by self->direction makes of the model */
} FaintRows;

/* What a window adds to gradient and normal matrix, by its own parameters. */
typedef struct _FaintWindowSums
{
  gsize most, used;   /* parameters: room for, and there */
  gsize n_pieces;     /* that the window is computed in; 0: not chosen yet */
  gsize *index;       /* of each in theta */
  double *projection; /* J^T rows */
  double *products;   /* J^T J, used x used, lower half; not filled when not wanted */
  /* Where and what it was when it was last computed in full, for windows that have settled. */
  gboolean known;
  gboolean exact; /* never by the linear model */
  double chi2;
  double *theta, *slope; /* of each parameter; slope: the projection there */
  double far_re[FAINT_FAR_NODES], far_im[FAINT_FAR_NODES];
  double worth; /* what a change of kappa is worth at most to a tooth, in its uncertainties */
} FaintWindowSums;
FaintWindowSums *faint_window_sums_new (const FaintLayout *layout);
void faint_window_sums_free (FaintWindowSums *sums, const FaintLayout *layout);

/* Computes a window for a step of the fit: its sum of squares, and @sums of its residuals, with the
 * products; gathers the residuals' weight for the lines far away in self->far. The teeth's rows are
 * left in @work, the near lines' are not. */
void faint_window_evaluate (FaintModel *self, FaintModelWorkspace *work, gsize window,
                            FaintWindowSums *sums, double *chi2);
/* The same for other rows, of a window that has been computed in @work; no products. */
void faint_window_rows_sum (FaintModel *self, FaintModelWorkspace *work, gsize window,
                            FaintRows rows, FaintWindowSums *sums);
/* Keeps the window as it has just been computed, with its @chi2. */
void faint_window_sums_remember (const FaintModel *self, const FaintModelWorkspace *work,
                                 gsize window, double chi2);
/* If the window's parameters are within @settled standard uncertainties of where it was last
 * computed, and the far wings over it as good as unmoved: its sums and *chi2 by the linear model
 * from there, whose error is of the second order. */
gboolean
faint_window_sums_predict (const FaintModel *self, gsize window, double settled, double *chi2);

/* gradient += sums; normal += products, whose parameters depend on those of @normal by @terms
 * (NULL: they are the same). */
void faint_window_sums_add (const FaintWindowSums *sums, double *gradient);
void faint_window_sums_add_products (const FaintWindowSums *sums, const FaintTerms *terms,
                                     FaintNormal *normal);

/* Change of the model rows for a change of an input (model.h). */
void faint_window_rows_input (const FaintModel *self, FaintModelWorkspace *work, gsize window,
                              FaintModelInput input, const double *weight);

/* Fills and copies the baseline alone, the rest of @out being NULL. */
void faint_window_rows_baseline (const FaintModel *self, FaintModelWorkspace *work, gsize window,
                                 const FaintModelArrays *out);

void faint_window_rows_copy (const FaintModel *self, const FaintModelWorkspace *work, gsize window,
                             const FaintModelArrays *out);

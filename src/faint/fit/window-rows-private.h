/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Arrays of the window at hand, shared by window-rows.c, which fills them, and window-sums.c.
 */
#pragma once

#include "faint/fit/kernel-private.h"
#include "faint/fit/window-rows.h"

struct _FaintModelWorkspace
{
  const FaintFitKernel *kernel;
  gsize teeth, near, parameters, degree; /* capacities */
  double *x, *legendre;                  /* place in [-1, 1]; degree + 1 rows of polynomials */
  double *near_re, *near_im;             /* near lines, one row of teeth each: p */
  double *position_re, *position_im;     /* dp/dnu0 */
  double *doppler_re, *doppler_im;       /* dp/dgamma_D */
  double *turned_re, *turned_im;         /* dp/dgamma_L of the line at hand, not kept */
  gboolean beyond_voigt;                 /* some near line is: the next are there */
  double *lorentz_re, *lorentz_im;       /* dp/dGamma_0 of lines beyond Voigt */
  double *further_re[FAINT_PLACE_N], *further_im[FAINT_PLACE_N]; /* from FAINT_PLACE_SPEED_WIDTH */
  double *kappa_re, *kappa_im;
  double *value, *value_im, *slope_re, *slope_im; /* of the response alone */
  double *by_loss, *by_loss_im, *by_phase, *by_phase_im;
  double *baseline, *baseline_im; /* with fringes */
  double *fringe;                 /* product of all fringes' factors */
  double *by_fringe[FAINT_FRINGES_MOST][FAINT_FRINGE_PARAMETERS]; /* its relative change */
  double *cos_phase, *sin_phase; /* turn of a field's rows; 1, 0 otherwise */
  double *row_re[2], *row_im[2]; /* d row/d Re kappa, d Im kappa */
  double *residual[2], *input[2];
  double *weight_re, *weight_im; /* what kappa of a tooth is worth */
  double *jacobian;              /* parameters rows of channels * teeth */
  double *products;              /* parameters x parameters */
  double *projection;            /* parameters */
  gsize *index;                  /* in theta, of each Jacobian row */
};

/* A complex change (re, im) of the model at tooth @t as two whitened rows. */
static inline void
whiten (const FaintModelWorkspace *w, const double *u, const double *u_im, gsize t, double re,
        double im, double *along, double *across)
{
  *along = (re * w->cos_phase[t] + im * w->sin_phase[t]) / u[t];
  *across = (im * w->cos_phase[t] - re * w->sin_phase[t]) / u_im[t];
}

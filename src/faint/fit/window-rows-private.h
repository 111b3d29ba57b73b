/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Arrays of the window at hand, shared by window-rows.c, which fills them, and window-sums.c.
 */
#pragma once

#include "faint/fit/kernel-private.h"
#include "faint/fit/window-rows.h"

/* What a parameter of a near line changes of kappa: along re + i across im, by rows of teeth. For
 * the Lorentz width, dp/dgamma_L = -i dp/dnu0, re and im are those of the position, exchanged. */
typedef struct
{
  double along, across;
  const double *re, *im;
} FaintKappaRow;

/* Jacobian rows that stand for all smooth lines of a stretch. */
#define FAINT_SMOOTH_ROWS (2 * FAINT_FAR_NODES)
/* With fewer lines near a window it is never cut into pieces. */
#define FAINT_SMOOTH_LEAST_LINES 4

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
  double *inverse_u;             /* of one channel */
  gsize n_rows, n_smooth;
  gsize *row_slot;  /* of each Jacobian row, among the window's parameters */
  gboolean *smooth; /* of each near line: over the stretch at hand it is known from ... */
  double node[FAINT_FAR_NODES]; /* ... its values at these places (cm-1), kept in the first ones of
                                   near_re and so on */
  double *place;                /* of each tooth among them, in [-1, 1] */
  gsize *smooth_slot;           /* of each parameter of a smooth line ... */
  FaintKappaRow *smooth_kappa;  /* ... and what it changes there */
  double *gathered;             /* room for the products of a stretch */
};

/* A complex change (re, im) of the model at tooth @t as two whitened rows. */
static inline void
whiten (const FaintModelWorkspace *w, const double *u, const double *u_im, gsize t, double re,
        double im, double *along, double *across)
{
  *along = (re * w->cos_phase[t] + im * w->sin_phase[t]) / u[t];
  *across = (im * w->cos_phase[t] - re * w->sin_phase[t]) / u_im[t];
}

/* faint_window_rows_compute() for a stretch of a window's teeth, with w->smooth as it is. */
void _faint_window_stretch_compute (const FaintModel *self, FaintModelWorkspace *w, gsize index,
                                    const FaintLayoutWindow *stretch, gboolean with_inputs);
void _faint_window_stretch_weigh (const FaintModel *self, const FaintModelWorkspace *w,
                                  const FaintLayoutWindow *stretch, const double *by,
                                  const double *by_im, const double *weight, double *along,
                                  double *across);

/* Jacobian rows of one baseline polynomial: d model = P E (field: also i P E). */
void _faint_window_baseline_row (const FaintModel *self, FaintModelWorkspace *w,
                                 const FaintLayoutWindow *stretch, gsize degree, gboolean imaginary,
                                 double *row);
/* All Jacobian rows of the stretch but those of smooth lines, and which parameters there are. */
void _faint_window_jacobian_fill (const FaintModel *self, FaintModelWorkspace *w,
                                  const FaintLayoutWindow *stretch, FaintWindowSums *sums);
/* What @rows of the window say to the lines far away. The Jacobian rows of the whole window begin
 * with the baseline's. */
void _faint_window_far_fill (FaintModel *self, FaintModelWorkspace *w, gsize index,
                             const FaintWindowSums *sums, double *const *rows);

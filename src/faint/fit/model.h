/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The model of a spectrum and its Jacobian: lines -> kappa -> cavity response -> times baseline,
 * for all windows of a layout, in the rows that the solver wants.
 *
 * A tooth gives one row (power, amplitude) or two (field). A row is whitened: divided by its
 * standard uncertainty; for a field whose data came as amplitude and phase the two rows lie along
 * and across the observed direction.
 */
#pragma once

#include "faint/cavity/response.h"
#include "faint/fit/layout.h"
#include "faint/fit/normal.h"
#include "faint/shape/hartmann-tran.h"

typedef struct _FaintModelWorkspace FaintModelWorkspace;

typedef struct
{
  const FaintSpectrum *spectrum; /* referenced */
  FaintLayout *layout;           /* owned */
  FaintResponse response;
  FaintCavityTeeth *teeth; /* owned */
  double column;           /* from sum of strength times profile (1/cm-1) to kappa: N l_rt/2 */
  double doppler_per_wavenumber; /* derived Doppler width over position; NAN if T or mass unknown */
  FaintLine *lines;              /* owned copies; values follow theta */
  double detuning, detuning_slope; /* Hz, Hz/Hz; as the phases in teeth have them */
  double fringe_origin;            /* cm-1, where the phase of fringes counts from */
  FaintFitFringe fringe[FAINT_FRINGES_MOST];
  double *theta; /* parameters in the order of the layout */
  double width_mean,
      width_spread; /* what is known of the Lorentz widths beforehand, cm-1; NAN: nothing */
  double settled;   /* windows whose parameters are within this many standard uncertainties of where
                       they were last computed follow by the linear model; 0: none (the start) */
  gint predicted;   /* windows that did since faint_model_refresh(); atomic */
  double *distance; /* of each window from the optimum, standard uncertainties, by the last
                       solution; owned; NULL: not known */
  gboolean held_fringe[FAINT_FRINGES_MOST]; /* not seen: its period is no parameter */
  guint threads;
  FaintModelWorkspace **work;    /* one for each thread */
  const double *direction;       /* of theta, while an input of that kind is projected */
  struct _FaintFar *far;         /* wings of far lines */
  struct _FaintWindowSums *sums; /* of each window */
} FaintModel;

/* Computes on @threads threads (0: one for each processor), which does not change a bit of the
 * outcome. Takes @layout. @lines (n of the layout) are copied. Baseline coefficients start at 1, 0,
 * 0... */
FaintModel *faint_model_new (FaintSpectrum *spectrum, FaintLayout *layout, const FaintLine *lines,
                             guint threads, GError **error);
/* The same with the constants of the teeth at hand, which it takes. */
FaintModel *
faint_model_new_of_teeth (FaintSpectrum *spectrum, FaintLayout *layout, const FaintLine *lines,
                          guint threads, FaintCavityTeeth *teeth);
void faint_model_free (FaintModel *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (FaintModel, faint_model_free)

/* Lines and instrument take their values from @theta (which becomes self->theta). */
void faint_model_set_theta (FaintModel *self, const double *theta);

/* The instrument as it is, or as it is now to be (theta follows where it is fitted). */
FaintFitInstrument faint_model_get_instrument (const FaintModel *self);
void faint_model_set_instrument (FaintModel *self, const FaintFitInstrument *instrument);

/* What the fringes make of the baseline at @wavenumber. */
double faint_model_fringe_factor (const FaintModel *self, double wavenumber);

/* A line as the Hartmann-Tran profile takes it. */
FaintHartmannTran faint_model_hartmann_tran (const FaintLine *line);

/* A cleared matrix for the normal equations of all parameters. */
FaintNormal *faint_model_normal_new (const FaintModel *self);

/* Bounds and step limits of every parameter, new arrays of n_parameters. */
double *faint_model_lower_bounds (const FaintModel *self);
double *faint_model_upper_bounds (const FaintModel *self);
double *faint_model_step_limits (const FaintModel *self);

/* The callback of FaintLeastSquares; @data is the FaintModel. chi2 of each window includes what the
 * widths known beforehand add. */
gboolean faint_model_evaluate_rows (const double *theta, double *chi2, double *gradient,
                                    FaintNormal *normal, gpointer data);

/* The same in two steps, for a model that is part of a larger problem. At the present theta: chi2
 * of each window and the gradient; FALSE if the model has no finite value. What is known of widths
 * is left out. */
gboolean faint_model_compute (FaintModel *self, double *chi2, double *gradient);

/* Further callbacks. All windows are to be computed anew: TRUE if any was not since the last time;
 * at an @optimum, windows then settle at a quarter of the distance from now on. */
gboolean faint_model_refresh (gpointer data, gboolean optimum);
/* Window @window is to be computed each time from now on. FALSE if it was already, or is none. */
gboolean faint_model_distrust (gpointer data, gsize window);

/* How a parameter of a model depends on those of a larger problem: a change of index[k] by one
 * changes it by factor[k]. */
#define FAINT_TERMS_MOST 4
typedef struct
{
  guint n;
  gsize index[FAINT_TERMS_MOST];
  double factor[FAINT_TERMS_MOST];
} FaintTerms;

/* Then: J^T W J added to @normal; @terms for each parameter (NULL: they are those of @normal). */
void
faint_model_add_products (const FaintModel *self, const FaintTerms *terms, FaintNormal *normal);

/* Per tooth of the whole spectrum at the present theta; arrays of spectrum->n, any may be NULL;
 * teeth outside the layout are left alone. */
typedef struct
{
  double *model, *model_im;
  double *baseline, *baseline_im;
  double *residual, *residual_im;
  double *slope_re,
      *slope_im; /* row coefficients of dRe kappa, dIm kappa (first channel), whitened */
  double *slope2_re, *slope2_im; /* of the second channel */
} FaintModelArrays;
gboolean faint_model_fill (FaintModel *self, const FaintModelArrays *out);
/* The baselines alone, with their fringes; @baseline_im may be NULL. */
void faint_model_fill_baseline (FaintModel *self, double *baseline, double *baseline_im);

/* J^T W (dM/dq) for one input q, summed into @gradient (cleared first). */
typedef enum
{
  FAINT_INPUT_LOSS,    /* dM for the loss of every tooth raised by weight[t] */
  FAINT_INPUT_PHASE,   /* dM for the phase of every tooth raised by weight[t] */
  FAINT_INPUT_DOPPLER, /* dM for every derived Doppler width raised by the relative amount weight[0]
                        */
  FAINT_INPUT_COLUMN,  /* dM for the column of absorber raised by the relative amount weight[0] */
  FAINT_INPUT_THETA,   /* dM for theta moved by weight[j], by the lines near each window */
} FaintModelInput;
gboolean faint_model_project_input (FaintModel *self, FaintModelInput input, const double *weight,
                                    double *gradient);

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The fit of all lines of a spectrum at once: options in, spectrum and start lines in, one constant
 * result out. The span is divided into windows, each with its own baseline (Legendre
 * polynomial); all windows and lines are solved jointly by weighted nonlinear least squares.
 */
#pragma once

#include "faint/base/progress.h"
#include "faint/base/warnings.h"
#include "faint/lines/line-list.h"
#include "faint/spectrum/spectrum.h"

#define FAINT_FIT_ERROR (faint_fit_error_quark ())
GQuark faint_fit_error_quark (void);
typedef enum
{
  FAINT_FIT_ERROR_TOO_FEW_TEETH,
  FAINT_FIT_ERROR_OPTION,  /* an option that does not exist or has an impossible value */
  FAINT_FIT_ERROR_NUMERIC, /* the data leave no finite number to work with */
} FaintFitError;

#define FAINT_FRINGES_MOST 3

typedef struct
{
  double threshold;      /* find: standard deviations of the matched filter; 3 to 100, default 5 */
  guint find_rounds;     /* find again in the residuals this many times; 0: take the lines as given;
                            default 6 */
  guint baseline_degree; /* of each window; 0 to 8, default 2 */
  double window_width;   /* cm-1, least width of a window; 0: chosen from the line width */
  guint max_iterations;  /* 1 to 1000, default 60 */
  gboolean doppler_free; /* fit each Doppler width; FALSE: from temperature and mass */
  gboolean width_shared; /* the spread of the Lorentz widths of well-determined lines informs the
                            widths of faint ones; default TRUE */
  gboolean lorentz_common, doppler_common;     /* all free widths of the kind are one parameter
                                                  (Doppler:     in proportion to the position) */
  gboolean detuning_free, detuning_slope_free; /* fit the teeth's detuning from their modes */
  guint fringes;                               /* etalon fringes in the baseline; 0 to 3 */
  double fringe_period[FAINT_FRINGES_MOST];    /* cm-1, to begin with; 0: looked for */
  guint threads;       /* 0: one for each processor; the outcome does not depend on it */
  double lower, upper; /* cm-1: fit lines and teeth in this range only; NAN: all */
} FaintFitOptions;
void faint_fit_options_init (FaintFitOptions *options);

/* The options as keys for the analysis file, the command line and the window:
 * threshold, find_rounds, baseline_degree, window_width, max_iterations, doppler_free,
 * width_shared, lorentz_common, doppler_common, detuning_free, detuning_slope_free, fringes,
 * fringe_period_1 to _3, range_lower, range_upper. set returns FALSE with an error for a bad value
 * and, with *known FALSE, for a key that is none of them. */
const char *const *faint_fit_option_keys (void);
gboolean faint_fit_options_set (FaintFitOptions *options, const char *key, const char *text,
                                gboolean *known, GError **error);
char *faint_fit_options_get (const FaintFitOptions *options, const char *key);

typedef enum
{
  FAINT_VERDICT_CONVERGED, /* within 1e-3 standard uncertainty of the optimum */
  FAINT_VERDICT_STALLED,   /* no step lowers chi2 any more, but the optimum is not shown */
  FAINT_VERDICT_LIMIT,     /* iteration limit */
} FaintVerdict;
const char *
faint_verdict_name (FaintVerdict verdict); /* "converged", "stalled", "iteration limit" */

typedef struct
{
  gsize first, n;          /* teeth of the spectrum */
  gsize n_used;            /* those that are not excluded */
  double lower, upper;     /* cm-1, borders: first and last tooth of it */
  guint degree;            /* of the Legendre baseline */
  gsize first_coefficient; /* into FaintFit.baseline_coefficients; 2(degree+1) of them for a field
                              (re, im) */
  gsize n_lines, n_parameters;
  double chi2, dof, chi2_reduced;
  double lag1;    /* lag-1 autocorrelation of normalised residuals */
  double runs_z;  /* runs test: standard normal under randomness */
  double largest; /* largest |normalised residual| */
} FaintFitWindow;

/* An etalon fringe multiplies the baseline by 1 + cosine cos(2 pi x/period) + sine sin(...), x the
 * wavenumber less that of the middle of the fitted range. */
typedef struct
{
  double period, cosine, sine;       /* cm-1, 1, 1 */
  double u_period, u_cosine, u_sine; /* from noise */
} FaintFitFringe;

/* What a fit found of the instrument; NAN where it was not asked. */
typedef struct
{
  double detuning, u_detuning;             /* Hz, at the centre of the spectrum */
  double detuning_slope, u_detuning_slope; /* Hz/Hz */
  guint n_fringes;
  FaintFitFringe fringe[FAINT_FRINGES_MOST];
} FaintFitInstrument;
#define FAINT_FIT_INSTRUMENT_NONE                                                                  \
  ((FaintFitInstrument){                                                                           \
      .detuning = NAN, .u_detuning = NAN, .detuning_slope = NAN, .u_detuning_slope = NAN })
/* Amplitude sqrt(cosine^2 + sine^2) of a fringe. */
double faint_fit_fringe_amplitude (const FaintFitFringe *fringe);

typedef struct
{
  FaintSpectrum *spectrum;
  FaintFitOptions options;
  FaintLineList *start; /* the list it began with, or NULL when lines were found */
  FaintLineList *lines; /* fitted; u_noise filled, u = u_noise until strength/budget.h */
  FaintVerdict verdict;
  guint iterations;
  double distance; /* remaining distance to the optimum, standard uncertainties */
  double chi2, dof, chi2_reduced;
  gsize n_windows;
  FaintFitWindow *windows;
  double *baseline_coefficients;
  FaintFitInstrument instrument;
  /* per tooth of the spectrum, length spectrum->n; teeth outside the fitted range hold NAN */
  double *model, *model_im;       /* baseline times response; _im: NULL unless a field */
  double *baseline, *baseline_im; /* baseline alone */
  double *residual, *residual_im; /* (observed - model)/u, NAN at excluded teeth; _im: NULL unless a
                                     field */
  double width_mean,
      width_spread; /* of the Lorentz widths that informed faint lines; NAN when not used */
  double noise_equivalent_absorption;      /* cm-1, one standard deviation, per tooth (median) */
  double noise_equivalent_absorption_root; /* cm-1 Hz^-1/2 per spectral element; NAN without
                                              recording time */
  double false_finds_expected;             /* in pure noise at this threshold and span */
  GPtrArray *warnings;
  gpointer work; /* fit/fit-private.h: the factored normal matrix, for the uncertainty budget */
  gatomicrefcount refs;
} FaintFit;

/* Finds (unless options->find_rounds is 0) and fits. @start: lines to begin with, or NULL for none.
 * Deterministic: same inputs, same bits. Safe in any thread. Cancellable. */
FaintFit *
faint_fit_run (FaintSpectrum *spectrum, FaintLineList *start, const FaintFitOptions *options,
               const FaintProgress *progress, GError **error);
FaintFit *faint_fit_ref (FaintFit *self);
void faint_fit_unref (FaintFit *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (FaintFit, faint_fit_unref)

/* The result as it was, from what a file keeps of it: @lines with all their uncertainties,
 * @windows (first, n, degree are used), the baseline coefficients (in the order of the windows) and
 * @instrument (NULL: nothing of it was fitted). @width_mean, @width_spread: as in the result. A
 * parameter that is free and has no uncertainty was held for want of data, and is again.
 * Model, residuals and the statistics of the windows are computed anew; @start may be NULL. The
 * caller sets verdict, iterations, distance and the like. */
FaintFit *
faint_fit_restore (FaintSpectrum *spectrum, FaintLineList *start, FaintLineList *lines,
                   const FaintFitOptions *options, const FaintFitWindow *windows, gsize n_windows,
                   const double *baseline_coefficients, const FaintFitInstrument *instrument,
                   double width_mean, double width_spread, GError **error);
/* @self, restored, is one of a series: what its lines have in common with other spectra is not
 * known to it, so it has neither correlations nor covariances. */
void faint_fit_set_part_of_series (FaintFit *self);

/* Number of baseline coefficients of all windows together. */
gsize faint_fit_count_coefficients (const FaintFit *self);

/* Correlation matrix of the free parameters of the lines of window @window (0-based): @names gets
 * n new strings ("7790.220 position"), @matrix n*n values, row by row; free both. NULL when the
 * window has no free parameter, and of a series that was read from a file. */
double *faint_fit_correlation (const FaintFit *self, gsize window, char ***names, gsize *n);

/* Covariance, from noise, of what @self fitted of two lines of its list, library units; that of one
 * parameter with itself is its variance. NAN where one of the two was not fitted, INFINITY where
 * the data do not determine it. */
double faint_fit_covariance (const FaintFit *self, guint id_a, FaintPlace place_a, guint id_b,
                             FaintPlace place_b);

/* The model over all teeth for any lines and, if @fit is not NULL, its baselines (else baseline 1):
 * for a live view of an edit. @model, @model_im of length spectrum->n; @model_im NULL unless a
 * field. Setup as in @spectrum. */
gboolean
faint_model_evaluate (const FaintSpectrum *spectrum, const FaintLineList *lines,
                      const FaintFit *fit, double *model, double *model_im, GError **error);

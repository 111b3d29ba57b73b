/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/fit/model.h"

#include <math.h>
#include <string.h>

#include "faint/base/parallel.h"
#include "faint/base/units.h"
#include "faint/cavity/finesse.h"
#include "faint/fit/far.h"
#include "faint/fit/window-rows.h"

/* Fewer windows are not worth a thread of their own. */
#define WINDOWS_PER_THREAD 6

static double
column_of (const FaintSetup *setup)
{
  double density = faint_number_density (setup->pressure.value, setup->temperature.value)
                   * setup->mole_fraction.value;

  if (faint_quantity_is_known (setup->abundance))
    density *= setup->abundance.value;
  return 0.5 * density * faint_response_absorber_round_trip (setup);
}

static void
initial_theta (FaintModel *self)
{
  const FaintLayout *layout = self->layout;

  for (gsize k = 0; k < layout->n_windows; k++)
    self->theta[layout->windows[k].coefficient] = 1.0;
  for (gsize i = 0; i < layout->n_lines; i++)
    for (FaintPlace p = 0; p < FAINT_PLACE_N; p++)
      if (layout->place[i][p] >= 0 && layout->factor[i][p] != 0.0)
        self->theta[layout->place[i][p]]
            = (faint_line_parameter (&self->lines[i], p)->value - layout->offset[i][p])
              / layout->factor[i][p];
  /* Roots have the last word on what follows them. */
  for (gsize i = 0; i < layout->n_lines; i++)
    for (FaintPlace p = 0; p < FAINT_PLACE_N; p++)
      if (layout->place[i][p] >= 0
          && faint_line_peek_parameter (&self->lines[i], p)->state == FAINT_STATE_FREE
          && layout->factor[i][p] == 1.0)
        self->theta[layout->place[i][p]] = faint_line_parameter (&self->lines[i], p)->value;
  if (layout->detuning >= 0)
    self->theta[layout->detuning] = self->detuning;
  if (layout->detuning_slope >= 0)
    self->theta[layout->detuning_slope] = self->detuning_slope;
  for (guint k = 0; k < layout->n_fringes; k++)
    self->theta[layout->fringe + FAINT_FRINGE_PARAMETERS * k + 2] = self->fringe[k].period;
}

/* Where fringes and detuning begin. */
static void
initial_instrument (FaintModel *self)
{
  const FaintLayout *layout = self->layout;
  const FaintSpectrum *s = self->spectrum;
  FaintQuantity detuning = s->setup->tooth_detuning, slope = s->setup->tooth_detuning_slope;

  self->detuning = faint_quantity_is_known (detuning) ? detuning.value : 0.0;
  self->detuning_slope = faint_quantity_is_known (slope) ? slope.value : 0.0;
  if (layout->n_teeth > 0)
    self->fringe_origin
        = 0.5 * (s->wavenumber[layout->first] + s->wavenumber[layout->first + layout->n_teeth - 1]);
  for (int k = 0; k < FAINT_FRINGES_MOST; k++)
    self->fringe[k].period = 1.0;
}

FaintHartmannTran
faint_model_hartmann_tran (const FaintLine *line)
{
  gboolean full = line->profile == FAINT_PROFILE_HARTMANN_TRAN;

  return (FaintHartmannTran){
    .position = line->position.value,
    .doppler = line->doppler.value,
    .lorentz = line->lorentz.value,
    .lorentz_2 = isnan (line->speed_width.value) ? 0.0 : line->speed_width.value,
    .shift_2 = isnan (line->speed_shift.value) ? 0.0 : line->speed_shift.value,
    .velocity_changing
    = !full || isnan (line->velocity_changing.value) ? 0.0 : line->velocity_changing.value,
    .correlation = !full || isnan (line->correlation.value) ? 0.0 : line->correlation.value,
  };
}

static gboolean
any_beyond_voigt (const FaintLine *lines, gsize n)
{
  for (gsize i = 0; i < n; i++)
    if (lines[i].profile != FAINT_PROFILE_VOIGT)
      return TRUE;
  return FALSE;
}

FaintNormal *
faint_model_normal_new (const FaintModel *self)
{
  return faint_normal_new (self->layout->n_band, self->layout->bandwidth, self->layout->n_border);
}

FaintModel *
faint_model_new (FaintSpectrum *spectrum, FaintLayout *layout, const FaintLine *lines,
                 guint threads, GError **error)
{
  FaintCavityTeeth *teeth = faint_cavity_teeth_new (spectrum, error);

  if (teeth != NULL)
    return faint_model_new_of_teeth (spectrum, layout, lines, threads, teeth);
  faint_layout_free (layout);
  return NULL;
}

FaintModel *
faint_model_new_of_teeth (FaintSpectrum *spectrum, FaintLayout *layout, const FaintLine *lines,
                          guint threads, FaintCavityTeeth *teeth)
{
  const FaintSetup *setup = spectrum->setup;
  FaintModel *self = g_new0 (FaintModel, 1);

  self->spectrum = faint_spectrum_ref (spectrum);
  self->layout = layout;
  self->teeth = teeth;
  self->response = faint_response_of (setup);
  self->column = column_of (setup);
  self->doppler_per_wavenumber
      = faint_doppler_hwhm (1.0, setup->temperature.value, setup->molar_mass.value);
  self->lines = g_memdup2 (lines, layout->n_lines * sizeof (FaintLine));
  self->theta = g_new0 (double, MAX (layout->n_parameters, 1));
  self->width_mean = self->width_spread = NAN;
  self->threads = (guint)CLAMP (faint_parallel_threads (threads), 1,
                                MAX (layout->n_windows / WINDOWS_PER_THREAD, 1));
  self->work = g_new (FaintModelWorkspace *, self->threads);
  for (guint i = 0; i < self->threads; i++)
    self->work[i] = faint_model_workspace_new (layout, any_beyond_voigt (lines, layout->n_lines));
  self->far = faint_far_new (layout);
  faint_far_use_threads (self->far, self->threads);
  self->sums = faint_window_sums_new (layout);
  initial_instrument (self);
  initial_theta (self);
  return self;
}

void
faint_model_free (FaintModel *self)
{
  if (self == NULL)
    return;
  for (guint i = 0; i < self->threads; i++)
    faint_model_workspace_free (self->work[i]);
  g_free (self->work);
  faint_far_free (self->far);
  faint_window_sums_free (self->sums, self->layout);
  faint_cavity_teeth_free (self->teeth);
  faint_layout_free (self->layout);
  faint_spectrum_unref ((FaintSpectrum *)self->spectrum);
  g_free (self->lines);
  g_free (self->theta);
  g_free (self->distance);
  g_free (self);
}

/* Phase of every tooth from its detuning, physics of cavity/response.h. */
static void
set_detuning (FaintModel *self, double detuning, double slope)
{
  const FaintSpectrum *s = self->spectrum;
  const FaintSetup *setup = s->setup;
  double range = faint_cavity_free_spectral_range (setup->geometry, setup->cavity_length.value);
  double centre = faint_spectrum_centre_frequency (s);

  if (detuning == self->detuning && slope == self->detuning_slope)
    return;
  self->detuning = detuning;
  self->detuning_slope = slope;
  for (gsize t = 0; t < s->n; t++)
    self->teeth->phase[t] = 2.0 * G_PI * (detuning + slope * (s->frequency[t] - centre)) / range;
}

static void
take_instrument (FaintModel *self)
{
  const FaintLayout *layout = self->layout;

  if (layout->detuning >= 0 || layout->detuning_slope >= 0)
    set_detuning (self, layout->detuning >= 0 ? self->theta[layout->detuning] : self->detuning,
                  layout->detuning_slope >= 0 ? self->theta[layout->detuning_slope]
                                              : self->detuning_slope);
  for (guint k = 0; k < layout->n_fringes; k++)
    {
      const double *theta = self->theta + layout->fringe + FAINT_FRINGE_PARAMETERS * k;

      self->fringe[k].cosine = theta[0];
      self->fringe[k].sine = theta[1];
      self->fringe[k].period = theta[2];
    }
}

double
faint_model_fringe_factor (const FaintModel *self, double wavenumber)
{
  double factor = 1.0;

  for (guint k = 0; k < self->layout->n_fringes; k++)
    {
      double angle = 2.0 * G_PI * (wavenumber - self->fringe_origin) / self->fringe[k].period;

      factor *= 1.0 + self->fringe[k].cosine * cos (angle) + self->fringe[k].sine * sin (angle);
    }
  return factor;
}

FaintFitInstrument
faint_model_get_instrument (const FaintModel *self)
{
  FaintFitInstrument instrument = FAINT_FIT_INSTRUMENT_NONE;

  if (self->layout->detuning >= 0)
    instrument.detuning = self->detuning;
  if (self->layout->detuning_slope >= 0)
    instrument.detuning_slope = self->detuning_slope;
  instrument.n_fringes = self->layout->n_fringes;
  memcpy (instrument.fringe, self->fringe, sizeof self->fringe);
  return instrument;
}

void
faint_model_set_instrument (FaintModel *self, const FaintFitInstrument *instrument)
{
  const FaintLayout *layout = self->layout;

  if (layout->detuning >= 0 && isfinite (instrument->detuning))
    self->theta[layout->detuning] = instrument->detuning;
  if (layout->detuning_slope >= 0 && isfinite (instrument->detuning_slope))
    self->theta[layout->detuning_slope] = instrument->detuning_slope;
  for (guint k = 0; k < MIN (layout->n_fringes, instrument->n_fringes); k++)
    {
      double *theta = self->theta + layout->fringe + FAINT_FRINGE_PARAMETERS * k;

      theta[0] = instrument->fringe[k].cosine;
      theta[1] = instrument->fringe[k].sine;
      theta[2] = instrument->fringe[k].period;
    }
  take_instrument (self);
}

void
faint_model_set_theta (FaintModel *self, const double *theta)
{
  const FaintLayout *layout = self->layout;

  if (theta != self->theta)
    memcpy (self->theta, theta, layout->n_parameters * sizeof (double));
  for (gsize i = 0; i < layout->n_lines; i++)
    {
      FaintLine *line = &self->lines[i];

      for (FaintPlace p = 0; p < FAINT_PLACE_N; p++)
        if (layout->place[i][p] >= 0)
          faint_line_parameter (line, p)->value
              = layout->factor[i][p] * theta[layout->place[i][p]] + layout->offset[i][p];
      if (line->doppler.state == FAINT_STATE_DERIVED)
        line->doppler.value = self->doppler_per_wavenumber * line->position.value;
    }
  take_instrument (self);
}

/* What is known of the widths beforehand counts as one observation for each free width. */
static void
add_known_widths (const FaintModel *self, double *chi2, double *gradient, FaintNormal *normal)
{
  const FaintLayout *layout = self->layout;
  double weight = 1.0 / (self->width_spread * self->width_spread);

  if (!isfinite (self->width_mean) || !(self->width_spread > 0.0))
    return;
  for (gsize i = 0; i < layout->n_lines; i++)
    {
      gssize at = layout->place[i][FAINT_PLACE_LORENTZ];
      double distance = self->width_mean - self->lines[i].lorentz.value;
      double factor = layout->factor[i][FAINT_PLACE_LORENTZ];

      /* A width that lines share is not one of a population. */
      if (at < 0 || at >= (gssize)layout->n_band
          || self->lines[i].lorentz.state != FAINT_STATE_FREE)
        continue;
      chi2[layout->group[at]] += weight * distance * distance;
      gradient[at] += weight * distance * factor;
      *faint_normal_at (normal, (gsize)at, (gsize)at) += weight * factor * factor;
    }
}

/* What all threads need of one pass over the windows. */
typedef struct
{
  FaintModel *model;
  double *chi2; /* of each window */
  const FaintModelArrays *out;
  FaintModelInput input;
  const double *weight;
} Pass;

/* Lines and far wings for the present theta; then @work for every window. */
static void
for_all_windows (Pass *pass, void (*work) (gsize window, guint thread, gpointer data))
{
  FaintModel *self = pass->model;

  faint_far_compute (self->far, self->lines);
  faint_parallel_for (self->layout->n_windows, self->threads, work, pass);
}

static void
evaluate_window (gsize window, guint thread, gpointer data)
{
  Pass *pass = data;
  FaintModel *self = pass->model;
  FaintModelWorkspace *work = self->work[thread];

  if (self->settled > 0.0 && !self->sums[window].exact
      && faint_window_sums_predict (self, (gsize)window, self->settled, &pass->chi2[window]))
    {
      g_atomic_int_inc (&self->predicted);
      return;
    }
  faint_window_evaluate (self, work, window, &self->sums[window], &pass->chi2[window]);
  if (self->settled > 0.0)
    faint_window_sums_remember (self, work, (gsize)window, pass->chi2[window]);
}

/* Windows add in their order, whoever computed them. */
static void
add_windows (FaintModel *self, double *gradient)
{
  for (gsize k = 0; k < self->layout->n_windows; k++)
    faint_window_sums_add (&self->sums[k], gradient);
  faint_far_scatter (self->far, self->lines, self->column, gradient);
}

/* A speed at which the width would be negative has no profile (shape/hartmann-tran.h). */
static gboolean
profiles_exist (const FaintModel *self)
{
  for (gsize i = 0; i < self->layout->n_lines; i++)
    if (self->lines[i].profile != FAINT_PROFILE_VOIGT
        && self->lines[i].speed_width.value > 2.0 / 3.0 * self->lines[i].lorentz.value)
      return FALSE;
  return TRUE;
}

gboolean
faint_model_refresh (gpointer data, gboolean optimum)
{
  FaintModel *self = data;
  gboolean any = g_atomic_int_get (&self->predicted) > 0;

  for (gsize k = 0; k < self->layout->n_windows; k++)
    self->sums[k].known = FALSE;
  g_atomic_int_set (&self->predicted, 0);
  if (any && optimum)
    self->settled *= 0.25;
  return any;
}

gboolean
faint_model_distrust (gpointer data, gsize window)
{
  FaintModel *self = data;
  FaintWindowSums *sums;

  if (window >= self->layout->n_windows || self->sums[window].exact)
    return FALSE;
  sums = &self->sums[window];
  sums->exact = TRUE;
  sums->known = FALSE;
  return TRUE;
}

gboolean
faint_model_compute (FaintModel *self, double *chi2, double *gradient)
{
  Pass pass = { .model = self, .chi2 = chi2 };

  memset (gradient, 0, self->layout->n_parameters * sizeof (double));
  if (!profiles_exist (self))
    return FALSE;
  for_all_windows (&pass, evaluate_window);
  for (gsize k = 0; k < self->layout->n_windows; k++)
    if (!isfinite (chi2[k]))
      return FALSE;
  add_windows (self, gradient);
  return TRUE;
}

void
faint_model_add_products (const FaintModel *self, const FaintTerms *terms, FaintNormal *normal)
{
  for (gsize k = 0; k < self->layout->n_windows; k++)
    faint_window_sums_add_products (&self->sums[k], terms, normal);
}

gboolean
faint_model_evaluate_rows (const double *theta, double *chi2, double *gradient, FaintNormal *normal,
                           gpointer data)
{
  FaintModel *self = data;

  faint_normal_clear (normal);
  faint_model_set_theta (self, theta);
  if (!faint_model_compute (self, chi2, gradient))
    return FALSE;
  faint_model_add_products (self, NULL, normal);
  add_known_widths (self, chi2, gradient, normal);
  return TRUE;
}

static void
copy_window (gsize window, guint thread, gpointer data)
{
  Pass *pass = data;
  FaintModel *self = pass->model;

  faint_window_rows_compute (self, self->work[thread], window, FALSE);
  faint_window_rows_copy (self, self->work[thread], window, pass->out);
  pass->chi2[window] = faint_window_rows_chi2 (self, self->work[thread], window);
}

gboolean
faint_model_fill (FaintModel *self, const FaintModelArrays *out)
{
  g_autofree double *chi2 = g_new0 (double, MAX (self->layout->n_windows, 1));
  Pass pass = { .model = self, .chi2 = chi2, .out = out };
  gboolean finite = TRUE;

  faint_model_set_theta (self, self->theta);
  for_all_windows (&pass, copy_window);
  for (gsize k = 0; k < self->layout->n_windows; k++)
    finite = finite && isfinite (chi2[k]);
  return finite;
}

static void
baseline_window (gsize window, guint thread, gpointer data)
{
  Pass *pass = data;

  faint_window_rows_baseline (pass->model, pass->model->work[thread], window, pass->out);
}

void
faint_model_fill_baseline (FaintModel *self, double *baseline, double *baseline_im)
{
  FaintModelArrays out = { .baseline = baseline, .baseline_im = baseline_im };
  Pass pass = { .model = self, .out = &out };

  faint_parallel_for (self->layout->n_windows, self->threads, baseline_window, &pass);
}

static void
project_window (gsize window, guint thread, gpointer data)
{
  Pass *pass = data;
  FaintModel *self = pass->model;
  FaintModelWorkspace *work = self->work[thread];

  faint_window_rows_compute (self, work, window, TRUE);
  pass->chi2[window] = faint_window_rows_chi2 (self, work, window);
  if (pass->input != FAINT_INPUT_THETA)
    faint_window_rows_input (self, work, window, pass->input, pass->weight);
  faint_window_rows_sum (self, work, window,
                         pass->input == FAINT_INPUT_THETA ? FAINT_ROWS_DIRECTION : FAINT_ROWS_INPUT,
                         &self->sums[window]);
  self->sums[window].known = FALSE;
}

gboolean
faint_model_project_input (FaintModel *self, FaintModelInput input, const double *weight,
                           double *gradient)
{
  g_autofree double *chi2 = g_new0 (double, MAX (self->layout->n_windows, 1));
  Pass pass = { .model = self, .chi2 = chi2, .input = input, .weight = weight };

  self->direction = weight;

  memset (gradient, 0, self->layout->n_parameters * sizeof (double));
  faint_model_set_theta (self, self->theta);
  for_all_windows (&pass, project_window);
  for (gsize k = 0; k < self->layout->n_windows; k++)
    if (!isfinite (chi2[k]))
      return FALSE;
  add_windows (self, gradient);
  return TRUE;
}

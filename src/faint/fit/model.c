/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/fit/model.h"

#include <math.h>
#include <string.h>

#include "faint/base/parallel.h"
#include "faint/base/units.h"
#include "faint/fit/far.h"
#include "faint/fit/window-rows.h"

/* A step of the position stays within this many half widths, of a width within a factor. */
#define POSITION_STEP 0.5
#define WIDTH_STEP 1.0
/* The Doppler width, where free, stays above this part of its start. */
#define DOPPLER_LEAST 0.05

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
      if (layout->place[i][p] >= 0)
        self->theta[layout->place[i][p]] = faint_line_parameter (&self->lines[i], p)->value;
}

FaintModel *
faint_model_new (FaintSpectrum *spectrum, FaintLayout *layout, const FaintLine *lines,
                 guint threads, GError **error)
{
  FaintCavityTeeth *teeth = faint_cavity_teeth_new (spectrum, error);
  const FaintSetup *setup = spectrum->setup;
  FaintModel *self;

  if (teeth == NULL)
    {
      faint_layout_free (layout);
      return NULL;
    }
  self = g_new0 (FaintModel, 1);
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
  self->threads = (guint)CLAMP (faint_parallel_threads (threads), 1, MAX (layout->n_windows, 1));
  self->work = g_new (FaintModelWorkspace *, self->threads);
  for (guint i = 0; i < self->threads; i++)
    self->work[i] = faint_model_workspace_new (layout);
  self->far = faint_far_new (layout);
  self->sums = faint_window_sums_new (layout);
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
  g_free (self);
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
          faint_line_parameter (line, p)->value = theta[layout->place[i][p]];
      if (line->doppler.state == FAINT_STATE_DERIVED)
        line->doppler.value = self->doppler_per_wavenumber * line->position.value;
    }
}

double *
faint_model_lower_bounds (const FaintModel *self)
{
  const FaintLayout *layout = self->layout;
  double *lower = g_new (double, MAX (layout->n_parameters, 1));

  for (gsize j = 0; j < layout->n_parameters; j++)
    lower[j] = -INFINITY;
  for (gsize i = 0; i < layout->n_lines; i++)
    {
      if (layout->place[i][FAINT_PLACE_LORENTZ] >= 0)
        lower[layout->place[i][FAINT_PLACE_LORENTZ]] = 0.0;
      if (layout->place[i][FAINT_PLACE_DOPPLER] >= 0)
        lower[layout->place[i][FAINT_PLACE_DOPPLER]] = DOPPLER_LEAST * self->lines[i].doppler.value;
    }
  return lower;
}

double *
faint_model_step_limits (const FaintModel *self)
{
  const FaintLayout *layout = self->layout;
  double *most = g_new (double, MAX (layout->n_parameters, 1));

  for (gsize j = 0; j < layout->n_parameters; j++)
    most[j] = INFINITY;
  for (gsize i = 0; i < layout->n_lines; i++)
    {
      const gssize *place = layout->place[i];
      double width = self->lines[i].doppler.value + self->lines[i].lorentz.value;

      if (place[FAINT_PLACE_POSITION] >= 0)
        most[place[FAINT_PLACE_POSITION]] = POSITION_STEP * width;
      if (place[FAINT_PLACE_LORENTZ] >= 0)
        most[place[FAINT_PLACE_LORENTZ]] = WIDTH_STEP * width;
      if (place[FAINT_PLACE_DOPPLER] >= 0)
        most[place[FAINT_PLACE_DOPPLER]] = 0.3 * self->lines[i].doppler.value;
    }
  return most;
}

/* What is known of the widths beforehand counts as one observation for each free width. */
static void
add_known_widths (const FaintModel *self, double *chi2, double *gradient, gsl_matrix *hessian)
{
  const FaintLayout *layout = self->layout;
  double weight = 1.0 / (self->width_spread * self->width_spread);

  if (!isfinite (self->width_mean) || !(self->width_spread > 0.0))
    return;
  for (gsize i = 0; i < layout->n_lines; i++)
    {
      gssize at = layout->place[i][FAINT_PLACE_LORENTZ];
      double distance = self->width_mean - self->lines[i].lorentz.value;

      if (at < 0)
        continue;
      chi2[layout->group[at]] += weight * distance * distance;
      gradient[at] += weight * distance;
      *gsl_matrix_ptr (hessian, (gsize)at, 0) += weight;
    }
}

/* What all threads need of one pass over the windows. */
typedef struct
{
  FaintModel *model;
  double *chi2; /* of each window */
  gboolean with_products;
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

  faint_window_rows_compute (self, work, window, FALSE);
  pass->chi2[window] = faint_window_rows_chi2 (self, work, window);
  faint_window_rows_sum (self, work, window, FAINT_ROWS_RESIDUAL, pass->with_products,
                         &self->sums[window]);
}

/* Windows add in their order, whoever computed them. */
static void
add_windows (FaintModel *self, double *gradient, gsl_matrix *hessian)
{
  for (gsize k = 0; k < self->layout->n_windows; k++)
    faint_window_sums_add (&self->sums[k], gradient, hessian);
  faint_far_scatter (self->far, self->lines, self->column, gradient);
}

gboolean
faint_model_evaluate_rows (const double *theta, double *chi2, double *gradient, gsl_matrix *hessian,
                           gpointer data)
{
  FaintModel *self = data;
  Pass pass = { .model = self, .chi2 = chi2, .with_products = TRUE };

  memset (gradient, 0, self->layout->n_parameters * sizeof (double));
  gsl_matrix_set_zero (hessian);
  faint_model_set_theta (self, theta);
  for_all_windows (&pass, evaluate_window);
  for (gsize k = 0; k < self->layout->n_windows; k++)
    if (!isfinite (chi2[k]))
      return FALSE;
  add_windows (self, gradient, hessian);
  add_known_widths (self, chi2, gradient, hessian);
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
project_window (gsize window, guint thread, gpointer data)
{
  Pass *pass = data;
  FaintModel *self = pass->model;
  FaintModelWorkspace *work = self->work[thread];

  faint_window_rows_compute (self, work, window, TRUE);
  pass->chi2[window] = faint_window_rows_chi2 (self, work, window);
  faint_window_rows_input (self, work, window, pass->input, pass->weight);
  faint_window_rows_sum (self, work, window, FAINT_ROWS_INPUT, FALSE, &self->sums[window]);
}

gboolean
faint_model_project_input (FaintModel *self, FaintModelInput input, const double *weight,
                           double *gradient)
{
  g_autofree double *chi2 = g_new0 (double, MAX (self->layout->n_windows, 1));
  Pass pass = { .model = self, .chi2 = chi2, .input = input, .weight = weight };

  memset (gradient, 0, self->layout->n_parameters * sizeof (double));
  faint_model_set_theta (self, self->theta);
  for_all_windows (&pass, project_window);
  for (gsize k = 0; k < self->layout->n_windows; k++)
    if (!isfinite (chi2[k]))
      return FALSE;
  add_windows (self, gradient, NULL);
  return TRUE;
}

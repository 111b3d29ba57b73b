/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/strength/budget-private.h"

#include <math.h>

#include <gsl/gsl_cdf.h>

#include "faint/base/units.h"
#include "faint/base/words.h"
#include "faint/cavity/finesse.h"
#include "faint/fit/fit-private.h"
#include "faint/lines/conversion.h"

double
faint_coverage_factor (double level, double dof)
{
  double tail = 0.5 * (1.0 + level);

  return isfinite (dof) ? gsl_cdf_tdist_Pinv (tail, dof) : gsl_cdf_ugaussian_Pinv (tail);
}

/* One input at work: what it does to all fitted parameters when it grows by its uncertainty. */
typedef struct
{
  FaintFit *fit;
  FaintFitWork *work;
  FaintLine *lines;
  gsize n_lines;
  double *shift; /* d theta for the input under consideration */
} Budget;

/* shift = -(J^T W J)^-1 J^T W dM, dM the change of the model for @weight. */
static gboolean
solve_input (Budget *budget, FaintModelInput input, const double *weight)
{
  gsize n = budget->work->model->layout->n_parameters;

  if (!faint_model_project_input (budget->work->model, input, weight, budget->shift))
    return FALSE;
  for (gsize j = 0; j < n; j++)
    budget->shift[j] = -budget->shift[j];
  faint_normal_solve (budget->work->factor, budget->shift);
  return TRUE;
}

static double
shift_of (const Budget *budget, gsize line, FaintPlace place)
{
  const FaintLayout *layout = budget->work->model->layout;
  gssize at = layout->place[line][place];

  return at >= 0 ? layout->factor[line][place] * budget->shift[at] : 0.0;
}

double
faint_budget_combine (double have, double more)
{
  if (isnan (have))
    return more;
  return copysign (hypot (have, more), fabs (have) >= fabs (more) ? have : more);
}

/* Adds the present shift of the parameters, and @relative for the strengths, to @source. */
static void
book (Budget *budget, FaintUncertaintySource source, double relative, gboolean shifted)
{
  for (gsize i = 0; i < budget->n_lines; i++)
    {
      FaintLine *line = &budget->lines[i];
      double position = shifted ? shift_of (budget, i, FAINT_PLACE_POSITION) : 0.0;
      double strength = shifted ? shift_of (budget, i, FAINT_PLACE_STRENGTH) : 0.0;
      double lorentz = shifted ? shift_of (budget, i, FAINT_PLACE_LORENTZ) : 0.0;

      strength += relative * line->strength.value;
      line->position_from[source] = faint_budget_combine (line->position_from[source], position);
      line->strength_from[source] = faint_budget_combine (line->strength_from[source], strength);
      line->lorentz_from[source] = faint_budget_combine (line->lorentz_from[source], lorentz);
    }
}

double
faint_budget_relative_u (FaintQuantity quantity)
{
  return faint_quantity_u_or_zero (quantity) / quantity.value;
}

/* kappa holds the product N l S, so an error of density or length goes to the strengths alone. */
static gboolean
book_gas (Budget *budget)
{
  const FaintSetup *setup = budget->fit->spectrum->setup;
  double u_temperature = faint_budget_relative_u (setup->temperature);
  double u_mass = faint_budget_relative_u (setup->molar_mass);
  double relative;

  book (budget, FAINT_SOURCE_PRESSURE, -faint_budget_relative_u (setup->pressure), FALSE);
  book (budget, FAINT_SOURCE_MOLE_FRACTION, -faint_budget_relative_u (setup->mole_fraction), FALSE);
  if (faint_quantity_is_known (setup->abundance))
    book (budget, FAINT_SOURCE_MOLE_FRACTION, -faint_budget_relative_u (setup->abundance), FALSE);
  /* Temperature: density falls (strength rises in step), Doppler widths grow by half of it. */
  relative = 0.5 * u_temperature;
  if (!solve_input (budget, FAINT_INPUT_DOPPLER, &relative))
    return FALSE;
  book (budget, FAINT_SOURCE_TEMPERATURE, u_temperature, TRUE);
  relative = -0.5 * u_mass;
  if (!solve_input (budget, FAINT_INPUT_DOPPLER, &relative))
    return FALSE;
  book (budget, FAINT_SOURCE_MASS, 0.0, TRUE);
  return TRUE;
}

static gboolean
book_cavity (Budget *budget)
{
  const FaintFitWork *work = budget->work;

  if (budget->fit->spectrum->setup->geometry == FAINT_GEOMETRY_NONE)
    return TRUE;
  if (!solve_input (budget, FAINT_INPUT_LOSS, work->model->teeth->u_loss))
    return FALSE;
  book (budget, FAINT_SOURCE_CAVITY, 0.0, TRUE);
  return TRUE;
}

double *
faint_budget_detuning_phase (const FaintSpectrum *s, const FaintFitInstrument *found,
                             gboolean slope)
{
  double range
      = faint_cavity_free_spectral_range (s->setup->geometry, s->setup->cavity_length.value);
  double u = faint_quantity_u_or_zero (slope ? s->setup->tooth_detuning_slope
                                             : s->setup->tooth_detuning);
  double centre = faint_spectrum_centre_frequency (s), *phase;

  /* What was fitted is part of the noise's contribution. */
  if (s->setup->geometry == FAINT_GEOMETRY_NONE || !(u > 0.0)
      || isfinite (slope ? found->detuning_slope : found->detuning))
    return NULL;
  phase = g_new (double, s->n);
  for (gsize t = 0; t < s->n; t++)
    phase[t] = 2.0 * G_PI * u * (slope ? s->frequency[t] - centre : 1.0) / range;
  return phase;
}

static gboolean
book_detuning (Budget *budget, gboolean slope)
{
  g_autofree double *phase
      = faint_budget_detuning_phase (budget->fit->spectrum, &budget->fit->instrument, slope);

  if (phase != NULL && !solve_input (budget, FAINT_INPUT_PHASE, phase))
    return FALSE;
  book (budget, FAINT_SOURCE_DETUNING, 0.0, phase != NULL);
  return TRUE;
}

gboolean
faint_budget_longer_cavity (const FaintSpectrum *s, const FaintCavityTeeth *teeth, double **loss,
                            double **phase)
{
  double u = faint_budget_relative_u (s->setup->cavity_length);
  g_autoptr (FaintSetup) longer = NULL;

  *loss = *phase = NULL;
  if (s->setup->geometry == FAINT_GEOMETRY_NONE || !(u > 0.0))
    return TRUE;
  longer = faint_setup_copy (s->setup);
  longer->cavity_length.value *= 1.0 + u;
  *loss = g_new (double, s->n);
  *phase = g_new (double, s->n);
  if (!faint_cavity_loss_fill (longer, s->wavenumber, s->n, *loss, NULL, NULL, NULL))
    {
      g_clear_pointer (loss, g_free);
      g_clear_pointer (phase, g_free);
      return FALSE;
    }
  for (gsize t = 0; t < s->n; t++)
    {
      (*loss)[t] -= teeth->loss[t];
      (*phase)[t] = teeth->phase[t] * u;
    }
  return TRUE;
}

/* What a longer cavity does apart from holding more absorber: the free spectral range falls, and
 * with it the loss that a ring-down time or a mode width stands for, and the phase of a detuning
 * grows. */
static gboolean
book_cavity_length (Budget *budget)
{
  const FaintSpectrum *s = budget->fit->spectrum;
  double u = faint_budget_relative_u (s->setup->cavity_length);
  gsize n = budget->work->model->layout->n_parameters;
  gboolean stated = faint_quantity_is_known (s->setup->absorber_length);
  g_autofree double *loss = NULL;
  g_autofree double *phase = NULL;
  g_autofree double *by_loss = NULL;

  if (stated)
    book (budget, FAINT_SOURCE_LENGTH, -faint_budget_relative_u (s->setup->absorber_length), FALSE);
  if (!faint_budget_longer_cavity (s, budget->work->model->teeth, &loss, &phase))
    return FALSE;
  if (loss == NULL)
    {
      book (budget, FAINT_SOURCE_LENGTH, stated ? 0.0 : -u, FALSE);
      return TRUE;
    }
  if (!solve_input (budget, FAINT_INPUT_LOSS, loss))
    return FALSE;
  by_loss = g_memdup2 (budget->shift, n * sizeof (double));
  if (!solve_input (budget, FAINT_INPUT_PHASE, phase))
    return FALSE;
  /* One input, so its effects add with their signs. */
  for (gsize j = 0; j < n; j++)
    budget->shift[j] += by_loss[j];
  book (budget, FAINT_SOURCE_LENGTH, stated ? 0.0 : -u, TRUE);
  return TRUE;
}

/* The comb's scale moves positions; strengths and widths are areas and widths on that scale. */
void
faint_budget_book_comb (const FaintSpectrum *s, FaintLine *lines, gsize n)
{
  FaintQuantity rate = s->setup->repetition_rate;
  double relative = faint_quantity_is_known (rate) ? faint_budget_relative_u (rate) : 0.0;

  for (gsize i = 0; i < n; i++)
    {
      FaintLine *line = &lines[i];
      double u_rate, u_offset;

      faint_spectrum_axis_u (s, line->position.value, &u_rate, &u_offset);
      line->position_from[FAINT_SOURCE_REPETITION_RATE] = u_rate;
      line->strength_from[FAINT_SOURCE_REPETITION_RATE] = relative * line->strength.value;
      line->lorentz_from[FAINT_SOURCE_REPETITION_RATE] = relative * line->lorentz.value;
      line->position_from[FAINT_SOURCE_OFFSET_FREQUENCY] = u_offset;
      line->strength_from[FAINT_SOURCE_OFFSET_FREQUENCY] = 0.0;
      line->lorentz_from[FAINT_SOURCE_OFFSET_FREQUENCY] = 0.0;
    }
}

static double
root_sum_of_squares (const double *contributions)
{
  double sum = 0.0;

  for (int k = 0; k < FAINT_SOURCE_N; k++)
    if (!isnan (contributions[k]))
      sum += contributions[k] * contributions[k];
  return sqrt (sum);
}

/* A parameter that the data do not determine has no uncertainty, whatever the inputs would add. */
void
faint_budget_combine_line (const FaintSetup *setup, FaintLine *line)
{
  if (line->position.state != FAINT_STATE_FIXED && !isnan (line->position.u_noise))
    line->position.u = root_sum_of_squares (line->position_from);
  if (line->strength.state != FAINT_STATE_FIXED && !isnan (line->strength.u_noise))
    line->strength.u = root_sum_of_squares (line->strength_from);
  if (line->lorentz.state != FAINT_STATE_FIXED && !isnan (line->lorentz.u_noise))
    line->lorentz.u = root_sum_of_squares (line->lorentz_from);
  if (line->doppler.state == FAINT_STATE_DERIVED)
    line->doppler.u = 0.5 * line->doppler.value
                      * hypot (faint_budget_relative_u (setup->temperature),
                               faint_budget_relative_u (setup->molar_mass));
}

/* Strength at 296 K: the temperature acts through density, Doppler width and the conversion
 * together, so the conversion's own derivative joins the temperature's contribution with its sign.
 */
gboolean
faint_budget_convert_line (const FaintSetup *setup, const FaintPartition *partition,
                           FaintLine *line, GError **error)
{
  double t = setup->temperature.value, step = 1e-3, q, q_step, q_reference, ratio, ratio_step;
  double slope, by_temperature, by_energy, rest;

  if (partition == NULL || !isfinite (line->lower_energy) || !isfinite (line->strength.value))
    return TRUE;
  if (!faint_partition_sum (partition, t, &q, error)
      || !faint_partition_sum (partition, t + step, &q_step, error)
      || !faint_partition_sum (partition, FAINT_REFERENCE_TEMPERATURE_K, &q_reference, error))
    return FALSE;
  ratio = faint_strength_ratio (line->position.value, line->lower_energy, t,
                                FAINT_REFERENCE_TEMPERATURE_K, q / q_reference);
  ratio_step = faint_strength_ratio (line->position.value, line->lower_energy, t + step,
                                     FAINT_REFERENCE_TEMPERATURE_K, q_step / q_reference);
  slope = (ratio_step - ratio) / step;
  line->strength_296 = ratio * line->strength.value;
  by_temperature = ratio * line->strength_from[FAINT_SOURCE_TEMPERATURE]
                   + slope * line->strength.value * faint_quantity_u_or_zero (setup->temperature);
  by_energy = isfinite (line->u_lower_energy)
                  ? FAINT_C2_CM_K * (1.0 / t - 1.0 / FAINT_REFERENCE_TEMPERATURE_K)
                        * line->strength_296 * line->u_lower_energy
                  : 0.0;
  rest = line->strength.u * line->strength.u
         - line->strength_from[FAINT_SOURCE_TEMPERATURE]
               * line->strength_from[FAINT_SOURCE_TEMPERATURE];
  /* A strength held by hand has no uncertainty that could be told. */
  if (line->strength.state != FAINT_STATE_FIXED && !isnan (line->strength.u_noise))
    line->u_strength_296 = sqrt (ratio * ratio * MAX (rest, 0.0) + by_temperature * by_temperature
                                 + by_energy * by_energy);
  return TRUE;
}

FaintLineList *
faint_budget_convert_list (const FaintSetup *setup, const FaintPartition *partition,
                           FaintLineList *lines, GError **error)
{
  gsize n = faint_line_list_get_n (lines);
  g_autofree FaintLine *converted = g_new (FaintLine, MAX (n, 1));

  for (gsize i = 0; i < n; i++)
    {
      converted[i] = *faint_line_list_get (lines, i);
      converted[i].strength_296 = converted[i].u_strength_296 = NAN;
      if (!faint_budget_convert_line (setup, partition, &converted[i], error))
        return NULL;
    }
  return faint_line_list_new (converted, n);
}

FaintLineList *
faint_budget_complete_list (FaintQuantity temperature, const FaintPartition *partition,
                            FaintLineList *lines, GError **error)
{
  gsize n = faint_line_list_get_n (lines);
  g_autofree FaintLine *completed = g_new (FaintLine, MAX (n, 1));
  g_autoptr (FaintSetup) setup = faint_setup_new ();

  setup->temperature = temperature;
  for (gsize i = 0; i < n; i++)
    {
      FaintLine line = *faint_line_list_get (lines, i);

      completed[i] = line;
      if (isfinite (line.strength_296))
        continue;
      line.strength_from[FAINT_SOURCE_TEMPERATURE] = 0.0;
      if (!faint_budget_convert_line (setup, partition, &line, error))
        return NULL;
      completed[i].strength_296 = line.strength_296;
      completed[i].u_strength_296 = line.u_strength_296;
    }
  return faint_line_list_new (completed, n);
}

static gboolean
fill_budget (Budget *budget, const FaintPartition *partition, GError **error)
{
  const FaintSetup *setup = budget->fit->spectrum->setup;

  if (!book_gas (budget) || !book_cavity (budget) || !book_detuning (budget, FALSE)
      || !book_detuning (budget, TRUE) || !book_cavity_length (budget))
    {
      g_set_error (error, FAINT_FIT_ERROR, FAINT_FIT_ERROR_NUMERIC,
                   _ ("The effect of an input on the lines has no finite value."));
      return FALSE;
    }
  faint_budget_book_comb (budget->fit->spectrum, budget->lines, budget->n_lines);
  for (gsize i = 0; i < budget->n_lines; i++)
    {
      faint_budget_combine_line (setup, &budget->lines[i]);
      if (!faint_budget_convert_line (setup, partition, &budget->lines[i], error))
        return FALSE;
    }
  return TRUE;
}

FaintFit *
faint_budget_apply (FaintFit *fit, const FaintPartition *partition, GError **error)
{
  FaintFitWork *work = fit->work;
  gsize n = faint_line_list_get_n (fit->lines);
  g_autofree FaintLine *lines = g_new (FaintLine, MAX (n, 1));
  g_autofree double *shift = g_new0 (double, MAX (work->model->layout->n_parameters, 1));
  Budget budget = { fit, work, lines, n, shift };

  for (gsize i = 0; i < n; i++)
    lines[i] = *faint_line_list_get (fit->lines, i);
  if (!fill_budget (&budget, partition, error))
    return NULL;
  return faint_fit_with_lines (fit, faint_line_list_new (lines, n));
}

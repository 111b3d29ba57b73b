/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <string.h>

#include "faint/base/units.h"
#include "faint/base/words.h"
#include "faint/fit/joint-private.h"
#include "faint/lines/conversion.h"
#include "faint/strength/budget-private.h"

typedef struct
{
  FaintJointFit *fit;
  FaintJoint *joint;
  FaintLine *lines; /* of the joint list */
  gsize *index;     /* of each in the joint problem */
  gsize n_lines;
  double *shift;                   /* right-hand side, then what the input does to all parameters */
  double (*square)[FAINT_JOINT_N]; /* of each line's joint parameters: variance from inputs */
} Budget;

static void
begin (Budget *self)
{
  memset (self->shift, 0, self->joint->n_parameters * sizeof (double));
}

/* Adds what an input of spectrum @s does to its record, seen by the joint parameters. */
static gboolean
add_input (Budget *self, gsize s, FaintModelInput input, const double *weight)
{
  FaintModel *model = self->joint->models[s];
  const FaintTerms *terms = self->joint->terms[s];
  g_autofree double *local = g_new0 (double, MAX (model->layout->n_parameters, 1));

  if (!faint_model_project_input (model, input, weight, local))
    return FALSE;
  for (gsize j = 0; j < model->layout->n_parameters; j++)
    for (guint k = 0; k < terms[j].n; k++)
      self->shift[terms[j].index[k]] -= terms[j].factor[k] * local[j];
  return TRUE;
}

/* A value of a line under the conditions of the first spectrum follows the joint parameters. */
static double
shift_of (const Budget *self, gsize line, FaintPlace place)
{
  gsize owner;
  FaintJointValue value = faint_joint_follow (self->joint, 0, line, place, &owner);
  const FaintJointLine *at = faint_joint_line (self->joint, owner);
  double sum = 0.0;

  for (guint k = 0; k < value.n; k++)
    if (at->place[value.place[k]] >= 0)
      sum += value.slope[k] * self->shift[at->place[value.place[k]]];
  return sum;
}

/* Solves, and books what comes out under @source. @direct: relative change of strength, width and
 * change of position under the first spectrum's conditions that the input makes by itself. */
static void
book (Budget *self, FaintUncertaintySource source, const FaintLine *direct)
{
  faint_normal_solve (self->joint->factor, self->shift);
  for (gsize i = 0; i < self->n_lines; i++)
    {
      FaintLine *line = &self->lines[i];
      const FaintJointLine *at = faint_joint_line (self->joint, self->index[i]);
      double position = shift_of (self, self->index[i], FAINT_PLACE_POSITION);
      double strength = shift_of (self, self->index[i], FAINT_PLACE_STRENGTH);
      double lorentz = shift_of (self, self->index[i], FAINT_PLACE_LORENTZ);

      if (direct != NULL)
        {
          position += direct[i].position.value;
          strength += direct[i].strength.value;
          lorentz += direct[i].lorentz.value;
        }
      line->position_from[source] = faint_budget_combine (line->position_from[source], position);
      line->strength_from[source] = faint_budget_combine (line->strength_from[source], strength);
      line->lorentz_from[source] = faint_budget_combine (line->lorentz_from[source], lorentz);
      for (FaintJointPlace p = 0; p < FAINT_JOINT_N; p++)
        if (at->place[p] >= 0)
          self->square[i][p] += self->shift[at->place[p]] * self->shift[at->place[p]];
    }
}

/* An input that the lines' conditions hold: what it makes of the lines while their joint parameters
 * stay is half the difference of their values under conditions moved by @by = 1 and -1 times its
 * uncertainty. */
static gboolean
disturb (FaintConditions *c, gsize s, FaintUncertaintySource source, double by,
         const FaintSetup *setup, const FaintPartition *partition, GError **error)
{
  double by_pressure = 1.0 + by * faint_budget_relative_u (setup->pressure);
  double by_fraction = by * faint_quantity_u_or_zero (setup->mole_fraction) * c->pressure[s];

  if (source == FAINT_SOURCE_PRESSURE)
    {
      c->pressure[s] *= by_pressure;
      c->part[0][s] *= by_pressure;
      c->part[1][s] *= by_pressure;
    }
  if (source == FAINT_SOURCE_MOLE_FRACTION && c->n_broadening == 2)
    {
      c->part[0][s] += by_fraction;
      c->part[1][s] -= by_fraction;
    }
  if (source == FAINT_SOURCE_TEMPERATURE && c->energies)
    {
      c->temperature[s] += by * faint_quantity_u_or_zero (setup->temperature);
      return partition == NULL
             || faint_partition_sum (partition, c->temperature[s], &c->q[s], error);
    }
  return TRUE;
}

/* Adds to the right-hand side what the disturbed conditions of spectrum @s make of its lines; where
 * it is the first, to the reported values too. */
static gboolean
add_disturbed (Budget *self, gsize s, FaintUncertaintySource source,
               const FaintPartition *partition, FaintLine *direct, GError **error)
{
  static const FaintPlace places[]
      = { FAINT_PLACE_POSITION, FAINT_PLACE_STRENGTH, FAINT_PLACE_LORENTZ };
  FaintJoint *joint = self->joint;
  const FaintLayout *layout = joint->models[s]->layout;
  g_autofree double *direction = g_new0 (double, MAX (layout->n_parameters, 1));
  FaintConditions *conditions = joint->conditions;

  for (int side = 0; side < 2; side++)
    {
      double by = side == 0 ? 1.0 : -1.0;
      g_autoptr (FaintConditions) disturbed = faint_conditions_copy (conditions);

      if (!disturb (disturbed, s, source, by, joint->spectra[s]->setup, partition, error))
        return FALSE;
      joint->conditions = disturbed;
      for (gsize k = 0; k < self->n_lines; k++)
        for (gsize p = 0; p < G_N_ELEMENTS (places); p++)
          {
            gsize i = self->index[k], owner;
            double part = 0.5 * by * faint_joint_follow (joint, s, i, places[p], &owner).value;

            if (layout->place[i][places[p]] >= 0)
              direction[layout->place[i][places[p]]] += part;
            if (s == 0)
              faint_line_parameter (&direct[k], places[p])->value += part;
          }
      joint->conditions = conditions;
    }
  return add_input (self, s, FAINT_INPUT_THETA, direction);
}

static FaintLine *
nothing_direct (const Budget *self)
{
  return g_new0 (FaintLine, MAX (self->n_lines, 1));
}

/* Pressure, mole fraction (and abundance), temperature: the column, Doppler widths, and the lines'
 * own dependence. */
static gboolean
book_gas (Budget *self, FaintUncertaintySource source, const FaintPartition *partition,
          GError **error)
{
  g_autofree FaintLine *direct = nothing_direct (self);

  begin (self);
  for (gsize s = 0; s < self->joint->n; s++)
    {
      const FaintSetup *setup = self->joint->spectra[s]->setup;
      double column = source == FAINT_SOURCE_PRESSURE ? faint_budget_relative_u (setup->pressure)
                      : source == FAINT_SOURCE_TEMPERATURE
                          ? -faint_budget_relative_u (setup->temperature)
                          : faint_budget_relative_u (setup->mole_fraction);
      double doppler = 0.5 * faint_budget_relative_u (setup->temperature);

      if (!add_input (self, s, FAINT_INPUT_COLUMN, &column)
          || (source == FAINT_SOURCE_TEMPERATURE
              && !add_input (self, s, FAINT_INPUT_DOPPLER, &doppler))
          || !add_disturbed (self, s, source, partition, direct, error))
        return FALSE;
    }
  book (self, source, direct);
  return TRUE;
}

/* Inputs that act on the record alone: one weight, or one a tooth, for each spectrum. */
static gboolean
book_column (Budget *self, FaintUncertaintySource source, gboolean abundance)
{
  begin (self);
  for (gsize s = 0; s < self->joint->n; s++)
    {
      const FaintSetup *setup = self->joint->spectra[s]->setup;
      FaintQuantity quantity = abundance ? setup->abundance : setup->absorber_length;
      double relative
          = faint_quantity_is_known (quantity) ? faint_budget_relative_u (quantity) : 0.0;

      if (!add_input (self, s, FAINT_INPUT_COLUMN, &relative))
        return FALSE;
    }
  book (self, source, NULL);
  return TRUE;
}

static gboolean
book_mass (Budget *self)
{
  begin (self);
  for (gsize s = 0; s < self->joint->n; s++)
    {
      double relative = -0.5 * faint_budget_relative_u (self->joint->spectra[s]->setup->molar_mass);

      if (!add_input (self, s, FAINT_INPUT_DOPPLER, &relative))
        return FALSE;
    }
  book (self, FAINT_SOURCE_MASS, NULL);
  return TRUE;
}

static gboolean
book_cavity (Budget *self)
{
  begin (self);
  for (gsize s = 0; s < self->joint->n; s++)
    if (self->joint->spectra[s]->setup->geometry != FAINT_GEOMETRY_NONE
        && !add_input (self, s, FAINT_INPUT_LOSS, self->joint->models[s]->teeth->u_loss))
      return FALSE;
  book (self, FAINT_SOURCE_CAVITY, NULL);
  return TRUE;
}

static gboolean
book_detuning (Budget *self, gboolean slope)
{
  begin (self);
  for (gsize s = 0; s < self->joint->n; s++)
    {
      g_autofree double *phase = faint_budget_detuning_phase (
          self->joint->spectra[s], &self->fit->parts[s]->instrument, slope);

      if (phase != NULL && !add_input (self, s, FAINT_INPUT_PHASE, phase))
        return FALSE;
    }
  book (self, FAINT_SOURCE_DETUNING, NULL);
  return TRUE;
}

static gboolean
book_cavity_length (Budget *self)
{
  begin (self);
  for (gsize s = 0; s < self->joint->n; s++)
    {
      const FaintSetup *setup = self->joint->spectra[s]->setup;
      double column = faint_quantity_is_known (setup->absorber_length)
                          ? 0.0
                          : faint_budget_relative_u (setup->cavity_length);
      g_autofree double *loss = NULL;
      g_autofree double *phase = NULL;

      if (!faint_budget_longer_cavity (self->joint->spectra[s], self->joint->models[s]->teeth,
                                       &loss, &phase)
          || !add_input (self, s, FAINT_INPUT_COLUMN, &column)
          || (loss != NULL
              && (!add_input (self, s, FAINT_INPUT_LOSS, loss)
                  || !add_input (self, s, FAINT_INPUT_PHASE, phase))))
        return FALSE;
    }
  book (self, FAINT_SOURCE_LENGTH, NULL);
  return TRUE;
}

static gboolean
book_all (Budget *self, const FaintPartition *partition, GError **error)
{
  return book_gas (self, FAINT_SOURCE_PRESSURE, partition, error)
         && book_gas (self, FAINT_SOURCE_MOLE_FRACTION, partition, error)
         && book_column (self, FAINT_SOURCE_MOLE_FRACTION, TRUE)
         && book_gas (self, FAINT_SOURCE_TEMPERATURE, partition, error) && book_mass (self)
         && book_cavity (self) && book_detuning (self, FALSE) && book_detuning (self, TRUE)
         && book_column (self, FAINT_SOURCE_LENGTH, FALSE) && book_cavity_length (self);
}

static double
with_inputs (double u_noise, double square)
{
  return isnan (u_noise) ? NAN : sqrt (u_noise * u_noise + square);
}

/* Coefficients, energy and strength at 296 K: noise and what the inputs make of them. */
static void
combine_coefficients (Budget *self, gsize k)
{
  const FaintConditions *c = self->joint->conditions;
  FaintLine *line = &self->lines[k];
  const double *square = self->square[k];
  FaintParameter *zero = &line->coefficient[FAINT_COEFFICIENT_POSITION_ZERO];
  FaintParameter *exponent = &line->coefficient[FAINT_COEFFICIENT_WIDTH_EXPONENT];
  double u_rate, u_offset;

  for (guint i = 0; i < c->n_broadening; i++)
    {
      FaintParameter *parameter = &line->coefficient[c->broadening[i]];
      parameter->u = with_inputs (parameter->u_noise, square[FAINT_JOINT_BROADENING_A + i]);
    }
  for (guint i = 0; i < c->n_shift; i++)
    {
      FaintParameter *parameter = &line->coefficient[c->shift[i]];
      parameter->u = with_inputs (parameter->u_noise, square[FAINT_JOINT_SHIFT_A + i]);
    }
  faint_spectrum_axis_u (self->joint->spectra[0], line->position.value, &u_rate, &u_offset);
  zero->u = with_inputs (zero->u_noise,
                         square[FAINT_JOINT_POSITION] + u_rate * u_rate + u_offset * u_offset);
  exponent->u = with_inputs (exponent->u_noise, square[FAINT_JOINT_EXPONENT]);
  if (!c->energies)
    return;
  line->u_lower_energy = with_inputs (line->u_lower_energy, square[FAINT_JOINT_ENERGY]);
  line->u_strength_296 = with_inputs (line->u_strength_296, square[FAINT_JOINT_STRENGTH]);
}

static gboolean
fill_budget (Budget *self, const FaintPartition *partition, GError **error)
{
  const FaintSetup *setup = self->joint->spectra[0]->setup;

  if (!book_all (self, partition, error))
    {
      if (error != NULL && *error == NULL)
        g_set_error_literal (error, FAINT_FIT_ERROR, FAINT_FIT_ERROR_NUMERIC,
                             _ ("The effect of an input on the lines has no finite value."));
      return FALSE;
    }
  faint_budget_book_comb (self->joint->spectra[0], self->lines, self->n_lines);
  for (gsize k = 0; k < self->n_lines; k++)
    {
      faint_budget_combine_line (setup, &self->lines[k]);
      combine_coefficients (self, k);
      if (!self->joint->conditions->energies
          && !faint_budget_convert_line (setup, partition, &self->lines[k], error))
        return FALSE;
    }
  return TRUE;
}

static gsize
index_of (const FaintJoint *joint, guint id)
{
  for (gsize i = 0; i < joint->lines->len; i++)
    if (faint_joint_line (joint, i)->line.id == id)
      return i;
  g_return_val_if_reached (0);
}

FaintJointFit *
faint_joint_budget_apply (FaintJointFit *fit, const FaintPartition *partition, GError **error)
{
  FaintJoint *joint = fit->work;
  gsize n = faint_line_list_get_n (fit->lines);
  g_autofree FaintLine *lines = g_new (FaintLine, MAX (n, 1));
  g_autofree gsize *index = g_new (gsize, MAX (n, 1));
  g_autofree double *shift = g_new0 (double, MAX (joint->n_parameters, 1));
  Budget budget = { fit, joint, lines, index, n, shift, NULL };
  gboolean filled;

  budget.square = g_malloc0_n (MAX (n, 1), sizeof *budget.square);
  for (gsize k = 0; k < n; k++)
    {
      lines[k] = *faint_line_list_get (fit->lines, k);
      index[k] = index_of (joint, lines[k].id);
    }
  filled = fill_budget (&budget, partition, error);
  g_free (budget.square);
  return filled ? faint_joint_fit_with_lines (fit, faint_line_list_new (lines, n)) : NULL;
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/fit/conditions.h"

#include <math.h>

#include "faint/base/units.h"
#include "faint/base/words.h"
#include "faint/lines/conversion.h"

/* Pressures, in Pa. */
#define ATMOSPHERE 101325.0
/* A gas purer than this is pure. */
#define PURE 0.999
/* Conditions that agree within these parts are one and the same. */
#define SAME_COMPOSITION 0.01
#define SAME_TEMPERATURE 0.01
/* A coefficient is asked if at least this part of its column stands apart from the others'. */
#define APART 0.02

static gboolean
refuse (GError **error, const char *format, gsize spectrum)
{
  g_autofree char *sentence = g_strdup_printf (format, spectrum + 1);

  g_set_error_literal (error, FAINT_FIT_ERROR, FAINT_FIT_ERROR_OPTION, sentence);
  return FALSE;
}

static gboolean
differ (FaintQuantity a, FaintQuantity b)
{
  gboolean known_a = faint_quantity_is_known (a), known_b = faint_quantity_is_known (b);

  return known_a != known_b || (known_a && fabs (a.value / b.value - 1.0) > 1e-6);
}

static gboolean
check_gas (FaintSpectrum *const *spectra, gsize n, GError **error)
{
  const FaintSetup *first = spectra[0]->setup;

  for (gsize s = 1; s < n; s++)
    {
      if (differ (first->molar_mass, spectra[s]->setup->molar_mass))
        return refuse (error,
                       _ ("Spectrum %zu differs from the first in its molar mass: spectra fitted "
                          "together are of one gas."),
                       s);
      if (differ (first->abundance, spectra[s]->setup->abundance))
        return refuse (error,
                       _ ("Spectrum %zu differs from the first in its isotopic abundance: spectra "
                          "fitted together are of one gas."),
                       s);
    }
  return TRUE;
}

static double
spread_of (const double *x, gsize n)
{
  double least = x[0], most = x[0];

  for (gsize i = 1; i < n; i++)
    {
      least = MIN (least, x[i]);
      most = MAX (most, x[i]);
    }
  return (most - least) / most;
}

/* Part of column @x that is left beside the @n_others columns (Gram and Schmidt). */
static double
part_left (const double *x, const double *const *others, guint n_others, gsize n)
{
  g_autofree double *left = g_memdup2 (x, n * sizeof (double));
  g_autofree double *basis = g_new0 (double, n *(n_others + 1));
  double before = 0.0, after = 0.0;

  for (gsize i = 0; i < n; i++)
    before += x[i] * x[i];
  for (guint k = 0; k <= n_others; k++)
    {
      double *column = k < n_others ? basis + k * n : left, square = 0.0;

      for (gsize i = 0; i < n && k < n_others; i++)
        column[i] = others[k][i];
      for (guint b = 0; b < k; b++)
        {
          double product = 0.0;

          for (gsize i = 0; i < n; i++)
            product += column[i] * basis[b * n + i];
          for (gsize i = 0; i < n; i++)
            column[i] -= product * basis[b * n + i];
        }
      for (gsize i = 0; i < n; i++)
        square += column[i] * column[i];
      for (gsize i = 0; i < n && k < n_others && square > 0.0; i++)
        column[i] /= sqrt (square);
    }
  for (gsize i = 0; i < n; i++)
    after += left[i] * left[i];
  return before > 0.0 ? sqrt (after / before) : 0.0;
}

/* Self and foreign where the composition changes, else the mixture's (pure gas: self). Shifts need
 * pressures that change. */
static void
choose_coefficients (FaintConditions *self, const double *mole_fraction)
{
  g_autofree double *one = g_new (double, self->n);
  const double *beside[2];
  FaintCoefficient shift[2];
  gboolean pure = TRUE;

  for (gsize s = 0; s < self->n; s++)
    {
      one[s] = 1.0;
      pure = pure && mole_fraction[s] >= PURE;
      self->part[0][s] = self->pressure[s];
    }
  self->n_broadening = 1;
  self->broadening[0]
      = pure ? FAINT_COEFFICIENT_BROADENING_SELF : FAINT_COEFFICIENT_BROADENING_MIXTURE;
  shift[0] = pure ? FAINT_COEFFICIENT_SHIFT_SELF : FAINT_COEFFICIENT_SHIFT_MIXTURE;
  if (!pure && spread_of (mole_fraction, self->n) > SAME_COMPOSITION)
    {
      for (gsize s = 0; s < self->n; s++)
        {
          self->part[0][s] = mole_fraction[s] * self->pressure[s];
          self->part[1][s] = (1.0 - mole_fraction[s]) * self->pressure[s];
        }
      self->n_broadening = 2;
      self->broadening[0] = FAINT_COEFFICIENT_BROADENING_SELF;
      self->broadening[1] = FAINT_COEFFICIENT_BROADENING_FOREIGN;
      shift[0] = FAINT_COEFFICIENT_SHIFT_SELF;
      shift[1] = FAINT_COEFFICIENT_SHIFT_FOREIGN;
    }
  beside[0] = one;
  for (guint k = 0; k < self->n_broadening; k++)
    {
      beside[1] = self->n_shift > 0 ? self->part[self->shifting[0]] : NULL;
      if (part_left (self->part[k], beside, 1 + self->n_shift, self->n) <= APART)
        continue;
      self->shift[self->n_shift] = shift[k];
      self->shifting[self->n_shift++] = k;
    }
}

static gboolean
choose_temperature (FaintConditions *self, const double *partition_sums, GError **error)
{
  self->reference_temperature = self->temperature[0];
  self->reference_q = 1.0;
  self->energies = spread_of (self->temperature, self->n) > SAME_TEMPERATURE;
  if (!self->energies)
    return TRUE;
  for (gsize s = 0; s <= self->n; s++)
    if (partition_sums == NULL || !(partition_sums[s] > 0.0))
      {
        g_set_error_literal (
            error, FAINT_FIT_ERROR, FAINT_FIT_ERROR_OPTION,
            _ ("The spectra were taken at different temperatures: what a strength does between "
               "them needs the partition sums Q(T). State partition_sums = FILE."));
        return FALSE;
      }
  for (gsize s = 0; s < self->n; s++)
    self->q[s] = partition_sums[s];
  self->reference_temperature = FAINT_REFERENCE_TEMPERATURE_K;
  self->reference_q = partition_sums[self->n];
  return TRUE;
}

FaintConditions *
faint_conditions_new (FaintSpectrum *const *spectra, gsize n, const double *partition_sums,
                      GError **error)
{
  g_autoptr (FaintConditions) self = NULL;
  g_autofree double *mole_fraction = g_new (double, n);

  if (!check_gas (spectra, n, error))
    return NULL;
  self = g_new0 (FaintConditions, 1);
  self->n = n;
  self->temperature = g_new (double, n);
  self->pressure = g_new (double, n);
  self->q = g_new (double, n);
  self->part[0] = g_new0 (double, n);
  self->part[1] = g_new0 (double, n);
  for (gsize s = 0; s < n; s++)
    {
      const FaintSetup *setup = spectra[s]->setup;

      self->temperature[s] = setup->temperature.value;
      self->pressure[s] = setup->pressure.value / ATMOSPHERE;
      self->q[s] = 1.0;
      self->reference_pressure += self->pressure[s] / (double)n;
      mole_fraction[s] = setup->mole_fraction.value;
    }
  choose_coefficients (self, mole_fraction);
  if (!choose_temperature (self, partition_sums, error))
    return NULL;
  return g_steal_pointer (&self);
}

FaintConditions *
faint_conditions_copy (const FaintConditions *self)
{
  FaintConditions *copy = g_memdup2 (self, sizeof *self);
  gsize size = self->n * sizeof (double);

  copy->temperature = g_memdup2 (self->temperature, size);
  copy->pressure = g_memdup2 (self->pressure, size);
  copy->q = g_memdup2 (self->q, size);
  copy->part[0] = g_memdup2 (self->part[0], size);
  copy->part[1] = g_memdup2 (self->part[1], size);
  return copy;
}

void
faint_conditions_free (FaintConditions *self)
{
  if (self == NULL)
    return;
  g_free (self->temperature);
  g_free (self->pressure);
  g_free (self->q);
  g_free (self->part[0]);
  g_free (self->part[1]);
  g_free (self);
}

static void
add_slope (FaintJointValue *value, FaintJointPlace place, double slope)
{
  value->place[value->n] = place;
  value->slope[value->n++] = slope;
}

static FaintJointValue
position_of (const FaintConditions *self, gsize s, const double *joint)
{
  FaintJointValue value = { .value = joint[FAINT_JOINT_POSITION] };

  add_slope (&value, FAINT_JOINT_POSITION, 1.0);
  for (guint k = 0; k < self->n_shift; k++)
    {
      value.value += joint[FAINT_JOINT_SHIFT_A + k] * self->part[self->shifting[k]][s];
      add_slope (&value, FAINT_JOINT_SHIFT_A + k, self->part[self->shifting[k]][s]);
    }
  return value;
}

static FaintJointValue
strength_of (const FaintConditions *self, gsize s, const double *joint)
{
  FaintJointValue value = { .value = joint[FAINT_JOINT_STRENGTH] };
  double from = self->reference_temperature, to = self->temperature[s], ratio;

  if (!self->energies)
    {
      add_slope (&value, FAINT_JOINT_STRENGTH, 1.0);
      return value;
    }
  ratio = faint_strength_ratio (joint[FAINT_JOINT_POSITION], joint[FAINT_JOINT_ENERGY], from, to,
                                self->reference_q / self->q[s]);
  value.value *= ratio;
  add_slope (&value, FAINT_JOINT_STRENGTH, ratio);
  add_slope (&value, FAINT_JOINT_ENERGY, value.value * FAINT_C2_CM_K * (1.0 / from - 1.0 / to));
  return value;
}

static FaintJointValue
lorentz_of (const FaintConditions *self, gsize s, const double *joint)
{
  FaintJointValue value = { .value = 0.0 };
  double log_ratio = log (FAINT_REFERENCE_TEMPERATURE_K / self->temperature[s]);
  double factor = self->energies ? exp (joint[FAINT_JOINT_EXPONENT] * log_ratio) : 1.0;

  for (guint k = 0; k < self->n_broadening; k++)
    {
      value.value += factor * joint[FAINT_JOINT_BROADENING_A + k] * self->part[k][s];
      add_slope (&value, FAINT_JOINT_BROADENING_A + k, factor * self->part[k][s]);
    }
  if (self->energies)
    add_slope (&value, FAINT_JOINT_EXPONENT, value.value * log_ratio);
  return value;
}

FaintJointValue
faint_conditions_value (const FaintConditions *self, gsize s, const double *joint, FaintPlace place)
{
  FaintJointValue value = { .n = 0 };
  FaintJointPlace at = FAINT_JOINT_FURTHER + (place - FAINT_PLACE_SPEED_WIDTH);
  double factor = 1.0;

  switch (place)
    {
    case FAINT_PLACE_POSITION:
      return position_of (self, s, joint);
    case FAINT_PLACE_STRENGTH:
      return strength_of (self, s, joint);
    case FAINT_PLACE_LORENTZ:
      return lorentz_of (self, s, joint);
    case FAINT_PLACE_DOPPLER:
      at = FAINT_JOINT_DOPPLER;
      factor = sqrt (self->temperature[s] / self->reference_temperature);
      break;
    case FAINT_PLACE_CORRELATION:
      break;
    default: /* rates grow with the pressure */
      factor = self->pressure[s] / self->reference_pressure;
    }
  value.value = joint[at] * factor;
  add_slope (&value, at, factor);
  return value;
}

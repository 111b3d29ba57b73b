/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/base/units.h"
#include "faint/lines/conversion.h"
#include "faint/lines/parameters.h"
#include "faint/simulate/scene-private.h"
#include "faint/strength/partition.h"

#define PASCAL_PER_ATM 101325.0 /* exact, conventional */

/* The gas of a scene, as the lines need it. */
typedef struct
{
  double temperature, molar_mass;  /* K, g/mol */
  double self, foreign, total;     /* pressures, atm */
  const FaintPartition *partition; /* NULL: none */
  double q, q_reference;           /* at temperature and at 296 K; with @partition */
} Gas;

static gboolean
gas_init (Gas *self, const FaintSetup *setup, const FaintPartition *partition, GError **error)
{
  double total = setup->pressure.value / PASCAL_PER_ATM, share = setup->mole_fraction.value;

  *self = (Gas){ .temperature = setup->temperature.value,
                 .molar_mass = setup->molar_mass.value,
                 .self = share * total,
                 .foreign = (1.0 - share) * total,
                 .total = total,
                 .partition = partition };
  return partition == NULL
         || (faint_partition_sum (partition, self->temperature, &self->q, error)
             && faint_partition_sum (partition, FAINT_REFERENCE_TEMPERATURE_K, &self->q_reference,
                                     error));
}

/* The truth is free and exact: nothing of a fit is left. What a profile has and nobody stated
 * is 0, its limit. */
static FaintLine
exact_line (const FaintLine *given)
{
  FaintLine line = faint_line_unknown ();

  line.id = given->id;
  line.profile = given->profile;
  for (guint k = 0; k < FAINT_PARAMETER_N; k++)
    {
      double value = faint_line_peek_nth_parameter (given, k)->value;
      gboolean shape = k >= FAINT_PLACE_SPEED_WIDTH && k < FAINT_PLACE_N;

      if (shape && !faint_profile_has (line.profile, (FaintPlace)k))
        continue;
      faint_line_nth_parameter (&line, k)->value = shape && isnan (value) ? 0.0 : value;
    }
  if (given->doppler.state == FAINT_STATE_DERIVED) /* by the temperature of another spectrum */
    line.doppler.value = NAN;
  line.strength_296 = given->strength_296;
  line.lower_energy = given->lower_energy;
  line.upper = given->upper;
  line.lower = given->lower;
  line.remark = given->remark;
  line.flags = given->flags & FAINT_LINE_EXCLUDED;
  return line;
}

/* A coefficient times its pressure; nothing where it is not known. */
static double
part (const FaintLine *line, FaintCoefficient coefficient, double pressure)
{
  double value = line->coefficient[coefficient].value;
  return isnan (value) ? 0.0 : value * pressure;
}

/* The Lorentz width from the coefficients, where none is stated, and the position that belongs to
 * it, from that at zero pressure. */
static gboolean
set_width (const Gas *gas, FaintLine *line, GError **error)
{
  double exponent = line->coefficient[FAINT_COEFFICIENT_WIDTH_EXPONENT].value;
  double ratio = FAINT_REFERENCE_TEMPERATURE_K / gas->temperature;
  double *zero = &line->coefficient[FAINT_COEFFICIENT_POSITION_ZERO].value;

  if (!isnan (line->lorentz.value))
    return TRUE;
  if (isnan (exponent) && ratio != 1.0)
    return faint_scene_refuse (error, FAINT_SCENE_ERROR_VALUE,
                               "the line at %.6f cm-1 has broadening at 296 K but no "
                               "width_exponent, which its width at %g K needs (0: the same)",
                               line->position.value, gas->temperature);
  line->lorentz.value = (part (line, FAINT_COEFFICIENT_BROADENING_SELF, gas->self)
                         + part (line, FAINT_COEFFICIENT_BROADENING_FOREIGN, gas->foreign)
                         + part (line, FAINT_COEFFICIENT_BROADENING_MIXTURE, gas->total))
                        * (ratio != 1.0 ? pow (ratio, exponent) : 1.0);
  if (isnan (*zero))
    *zero = line->position.value;
  line->position.value = *zero + part (line, FAINT_COEFFICIENT_SHIFT_SELF, gas->self)
                         + part (line, FAINT_COEFFICIENT_SHIFT_FOREIGN, gas->foreign)
                         + part (line, FAINT_COEFFICIENT_SHIFT_MIXTURE, gas->total);
  if (line->position.value > 0.0)
    return TRUE;
  return faint_scene_refuse (error, FAINT_SCENE_ERROR_VALUE,
                             "the shift moves a line to %g cm-1; positions must be above 0",
                             line->position.value);
}

/* The strength at the scene's temperature from that at 296 K, or the other way round where energy
 * and partition sums are there. */
static gboolean
set_strength (const Gas *gas, FaintLine *line, GError **error)
{
  gboolean needed = isnan (line->strength.value);
  double ratio;

  if (needed && gas->temperature == FAINT_REFERENCE_TEMPERATURE_K)
    {
      line->strength.value = line->strength_296;
      return TRUE;
    }
  if (needed && (isnan (line->lower_energy) || gas->partition == NULL))
    return faint_scene_refuse (error, FAINT_SCENE_ERROR_VALUE,
                               "the line at %.6f cm-1 has its strength at 296 K; at %g K it needs "
                               "%s",
                               line->position.value, gas->temperature,
                               gas->partition == NULL ? "the key partition_sums"
                                                      : "its lower_energy/cm-1");
  if (gas->partition == NULL)
    {
      line->strength_296 = NAN;
      return TRUE;
    }
  ratio = faint_strength_ratio (line->position.value, line->lower_energy, gas->temperature,
                                FAINT_REFERENCE_TEMPERATURE_K, gas->q / gas->q_reference);
  if (needed)
    line->strength.value = line->strength_296 / ratio;
  else
    line->strength_296 = line->strength.value * ratio;
  return TRUE;
}

static void
set_doppler (const Gas *gas, FaintLine *line)
{
  if (!isnan (line->doppler.value))
    return;
  line->doppler.value
      = faint_doppler_hwhm (line->position.value, gas->temperature, gas->molar_mass);
  line->doppler.state = FAINT_STATE_DERIVED;
}

/* Every molecule's width, Gamma_0 + Gamma_2 (t^2 - 3/2), must not be negative, whatever its speed
 * t (shape/hartmann-tran.h). */
static gboolean
check_shape (const FaintLine *line, GError **error)
{
  double lorentz = line->lorentz.value, speed_width = line->speed_width.value;

  if (!(line->doppler.value > 0.0) && (!(lorentz > 0.0) || line->profile != FAINT_PROFILE_VOIGT))
    return faint_scene_refuse (
        error, FAINT_SCENE_ERROR_VALUE, "the line at %.6f cm-1 has %s", line->position.value,
        line->profile == FAINT_PROFILE_VOIGT ? "neither a Doppler nor a Lorentz width"
                                             : "no Doppler width, which its profile needs");
  if (line->profile == FAINT_PROFILE_VOIGT
      || (speed_width >= 0.0 && speed_width <= lorentz * (2.0 / 3.0)))
    return TRUE;
  return faint_scene_refuse (error, FAINT_SCENE_ERROR_VALUE,
                             "the line at %.6f cm-1 has a speed_width of %g cm-1; it must lie "
                             "between 0 and 2/3 of the Lorentz half width of %g cm-1",
                             line->position.value, speed_width, lorentz);
}

gboolean
faint_scene_settle_lines (GArray *lines, const FaintSetup *setup, GError **error)
{
  g_autoptr (FaintPartition) partition = NULL;
  Gas gas;

  if (setup->partition_sums != NULL)
    {
      partition = faint_partition_read (setup->partition_sums, error);
      if (partition == NULL)
        return FALSE;
    }
  if (!gas_init (&gas, setup, partition, error))
    return FALSE;
  for (guint i = 0; i < lines->len; i++)
    {
      FaintLine *line = &g_array_index (lines, FaintLine, i);

      *line = exact_line (line);
      if (!set_width (&gas, line, error) || !set_strength (&gas, line, error))
        return FALSE;
      set_doppler (&gas, line);
      if (!check_shape (line, error))
        return FALSE;
    }
  return TRUE;
}

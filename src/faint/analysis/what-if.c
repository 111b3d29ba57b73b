/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The values that are stated, and setup and lines under others.
 */
#include "faint/analysis/what-if-private.h"

#include <math.h>

#include "faint/base/words.h"
#include "faint/cavity/finesse.h"
#include "faint/lines/conversion.h"

#define PASCAL_PER_ATM 101325.0 /* exact, conventional */

static double
span_middle (const FaintSpectrum *spectrum)
{
  return (spectrum->wavenumber[0] + spectrum->wavenumber[spectrum->n - 1]) / 2;
}

static double
known_or_zero (FaintQuantity quantity)
{
  return faint_quantity_is_known (quantity) ? quantity.value : 0.0;
}

static double
spectral_range (const FaintSetup *setup)
{
  return faint_cavity_free_spectral_range (setup->geometry, setup->cavity_length.value);
}

static gboolean
take_stated (FaintWhatIf *self, GError **error)
{
  const FaintSetup *setup = self->spectrum->setup;
  double *value = self->stated.value, middle = span_middle (self->spectrum), loss;

  value[FAINT_WHAT_IF_PRESSURE] = setup->pressure.value;
  value[FAINT_WHAT_IF_TEMPERATURE] = setup->temperature.value;
  value[FAINT_WHAT_IF_MOLE_FRACTION] = setup->mole_fraction.value;
  value[FAINT_WHAT_IF_FINESSE] = value[FAINT_WHAT_IF_DETUNING] = NAN;
  if (setup->geometry == FAINT_GEOMETRY_NONE)
    return TRUE;
  if (!faint_cavity_loss_fill (setup, &middle, 1, &loss, NULL, NULL, error))
    return FALSE;
  value[FAINT_WHAT_IF_FINESSE] = setup->mirror_kind == FAINT_MIRROR_FINESSE
                                     ? setup->mirror.value
                                     : faint_cavity_finesse_from_loss (loss);
  if (setup->coupling != FAINT_COUPLING_LOCKED)
    return TRUE;
  value[FAINT_WHAT_IF_DETUNING] = known_or_zero (setup->tooth_detuning);
  if (self->fit != NULL && isfinite (self->fit->instrument.detuning))
    value[FAINT_WHAT_IF_DETUNING] = self->fit->instrument.detuning;
  return TRUE;
}

FaintWhatIf *
faint_what_if_new (FaintSpectrum *spectrum, FaintFit *fit, FaintLineList *lines, char **warning,
                   GError **error)
{
  g_autoptr (FaintWhatIf) self = NULL;
  g_autoptr (GError) reason = NULL;

  if (warning != NULL)
    *warning = NULL;
  if (!faint_setup_check (spectrum->setup, error))
    return NULL;
  self = g_new0 (FaintWhatIf, 1);
  g_atomic_ref_count_init (&self->refs);
  self->spectrum = faint_spectrum_ref (spectrum);
  self->fit = fit != NULL && fit->n_windows > 0 ? faint_fit_ref (fit) : NULL;
  self->lines = faint_line_list_ref (lines);
  if (!take_stated (self, error))
    return NULL;
  if (spectrum->setup->partition_sums != NULL)
    {
      self->partition = faint_partition_read (spectrum->setup->partition_sums, &reason);
      if (self->partition == NULL && warning != NULL)
        *warning = g_strdup (reason->message);
    }
  return g_steal_pointer (&self);
}

FaintWhatIf *
faint_what_if_ref (FaintWhatIf *self)
{
  g_atomic_ref_count_inc (&self->refs);
  return self;
}

void
faint_what_if_unref (FaintWhatIf *self)
{
  if (self == NULL || !g_atomic_ref_count_dec (&self->refs))
    return;
  faint_spectrum_unref (self->spectrum);
  faint_fit_unref (self->fit);
  faint_line_list_unref (self->lines);
  g_clear_pointer (&self->partition, faint_partition_free);
  g_free (self);
}

FaintSpectrum *
faint_what_if_get_spectrum (const FaintWhatIf *self)
{
  return self->spectrum;
}

FaintFit *
faint_what_if_get_fit (const FaintWhatIf *self)
{
  return self->fit;
}

FaintWhatIfValues
faint_what_if_stated (const FaintWhatIf *self)
{
  return self->stated;
}

static gboolean
refuse (GError **error, const char *format, double value)
{
  g_set_error (error, FAINT_SETUP_ERROR, FAINT_SETUP_ERROR_VALUE, format,
               FAINT_NUMBER ("%g", value));
  return FALSE;
}

gboolean
faint_what_if_check (const FaintWhatIf *self, const FaintWhatIfValues *values, GError **error)
{
  const double *value = values->value;
  double range = spectral_range (self->spectrum->setup);

  if (!isfinite (value[FAINT_WHAT_IF_PRESSURE]) || !(value[FAINT_WHAT_IF_PRESSURE] > 0.0))
    return refuse (error, _ ("The pressure must be above 0; found %s Pa."),
                   value[FAINT_WHAT_IF_PRESSURE]);
  if (!isfinite (value[FAINT_WHAT_IF_TEMPERATURE]) || !(value[FAINT_WHAT_IF_TEMPERATURE] > 0.0))
    return refuse (error, _ ("The temperature must be above 0 K; found %s K."),
                   value[FAINT_WHAT_IF_TEMPERATURE]);
  if (!(value[FAINT_WHAT_IF_MOLE_FRACTION] > 0.0 && value[FAINT_WHAT_IF_MOLE_FRACTION] <= 1.0))
    return refuse (error, _ ("The mole fraction must lie in (0, 1]; found %s."),
                   value[FAINT_WHAT_IF_MOLE_FRACTION]);
  if (!isnan (self->stated.value[FAINT_WHAT_IF_FINESSE])
      && !(value[FAINT_WHAT_IF_FINESSE] > 1.0 && value[FAINT_WHAT_IF_FINESSE] <= 1e9))
    return refuse (error, _ ("The finesse must be above 1 and at most 1e9; found %s."),
                   value[FAINT_WHAT_IF_FINESSE]);
  if (!isnan (self->stated.value[FAINT_WHAT_IF_DETUNING])
      && !(fabs (value[FAINT_WHAT_IF_DETUNING]) <= 0.5 * range))
    return refuse (error,
                   _ ("A tooth is at most half a free spectral range from its nearest mode; found "
                      "a detuning of %s Hz."),
                   value[FAINT_WHAT_IF_DETUNING]);
  return TRUE;
}

static gboolean
differs (const FaintWhatIf *self, const FaintWhatIfValues *values, FaintWhatIfQuantity which)
{
  double stated = self->stated.value[which];

  return !isnan (stated) && values->value[which] != stated;
}

/* A new value in the unit that was stated, with its uncertainty. */
static void
set_value (FaintQuantity *quantity, FaintDimension dimension, double value)
{
  if (faint_quantity_is_known (*quantity))
    quantity->value = value;
  else
    *quantity = faint_quantity (dimension, value, NAN);
}

static void
multiply (GArray **array, double factor)
{
  GArray *old = *array;

  if (old == NULL)
    return;
  *array = g_array_sized_new (FALSE, FALSE, sizeof (double), old->len);
  for (guint i = 0; i < old->len; i++)
    {
      double value = factor * g_array_index (old, double, i);
      g_array_append_val (*array, value);
    }
  g_array_unref (old);
}

static void
set_finesse (const FaintWhatIf *self, FaintSetup *setup, double finesse)
{
  double loss = faint_cavity_loss_from_finesse (finesse), range = spectral_range (setup);

  switch (setup->mirror_kind)
    {
    case FAINT_MIRROR_FINESSE:
      setup->mirror.value = finesse;
      break;
    case FAINT_MIRROR_REFLECTIVITY:
      setup->mirror.value = faint_cavity_reflectivity_from_loss (setup->geometry, loss);
      break;
    case FAINT_MIRROR_RING_DOWN_TIME:
      setup->mirror.value = faint_cavity_ring_down_from_loss (loss, range);
      break;
    case FAINT_MIRROR_LINEWIDTH:
      setup->mirror.value = faint_cavity_linewidth_from_loss (loss, range);
      break;
    case FAINT_MIRROR_TABLE:
      multiply (&setup->table_finesse, finesse / self->stated.value[FAINT_WHAT_IF_FINESSE]);
      multiply (&setup->table_u, finesse / self->stated.value[FAINT_WHAT_IF_FINESSE]);
      break;
    case FAINT_MIRROR_UNKNOWN:
      break;
    }
}

FaintSetup *
faint_what_if_setup (const FaintWhatIf *self, const FaintWhatIfValues *values, gboolean *exact)
{
  FaintSetup *setup = faint_setup_copy (self->spectrum->setup);
  gboolean finesse = differs (self, values, FAINT_WHAT_IF_FINESSE);

  if (exact != NULL)
    *exact = !(finesse && setup->mirror_kind == FAINT_MIRROR_TABLE);
  if (finesse)
    set_finesse (self, setup, values->value[FAINT_WHAT_IF_FINESSE]);
  if (differs (self, values, FAINT_WHAT_IF_DETUNING))
    set_value (&setup->tooth_detuning, FAINT_DIMENSION_FREQUENCY,
               values->value[FAINT_WHAT_IF_DETUNING]);
  if (differs (self, values, FAINT_WHAT_IF_PRESSURE))
    set_value (&setup->pressure, FAINT_DIMENSION_PRESSURE, values->value[FAINT_WHAT_IF_PRESSURE]);
  if (differs (self, values, FAINT_WHAT_IF_TEMPERATURE))
    set_value (&setup->temperature, FAINT_DIMENSION_TEMPERATURE,
               values->value[FAINT_WHAT_IF_TEMPERATURE]);
  if (differs (self, values, FAINT_WHAT_IF_MOLE_FRACTION))
    set_value (&setup->mole_fraction, FAINT_DIMENSION_NUMBER,
               values->value[FAINT_WHAT_IF_MOLE_FRACTION]);
  return setup;
}

/* From one state of the gas to another. */
typedef struct
{
  double t, t_new;                       /* K */
  double pressure, pressure_new;         /* atm */
  double own, own_new, other, other_new; /* partial pressures, atm */
  double q_ratio;                        /* Q(t)/Q(t_new); NAN: not known */
} Change;

static Change
change_of (const FaintWhatIf *self, const FaintWhatIfValues *values, gboolean *sums_range)
{
  const double *old = self->stated.value, *new = values->value;
  Change change = { .t = old[FAINT_WHAT_IF_TEMPERATURE],
                    .t_new = new[FAINT_WHAT_IF_TEMPERATURE],
                    .pressure = old[FAINT_WHAT_IF_PRESSURE] / PASCAL_PER_ATM,
                    .pressure_new = new[FAINT_WHAT_IF_PRESSURE] / PASCAL_PER_ATM,
                    .q_ratio = NAN };
  double q, q_new;

  change.own = old[FAINT_WHAT_IF_MOLE_FRACTION] * change.pressure;
  change.own_new = new[FAINT_WHAT_IF_MOLE_FRACTION] * change.pressure_new;
  change.other = change.pressure - change.own;
  change.other_new = change.pressure_new - change.own_new;
  *sums_range = FALSE;
  if (self->partition == NULL || change.t == change.t_new)
    return change;
  if (faint_partition_sum (self->partition, change.t, &q, NULL)
      && faint_partition_sum (self->partition, change.t_new, &q_new, NULL))
    change.q_ratio = q / q_new;
  else
    *sums_range = TRUE;
  return change;
}

static double
coefficient (const FaintLine *line, FaintCoefficient which)
{
  return line->coefficient[which].value;
}

/* By how much collisions count, relative to before. */
static double
collisions (const Change *change, const FaintLine *line, FaintWhatIfKept *kept)
{
  double own = coefficient (line, FAINT_COEFFICIENT_BROADENING_SELF);
  double other = coefficient (line, FAINT_COEFFICIENT_BROADENING_FOREIGN);
  double exponent = coefficient (line, FAINT_COEFFICIENT_WIDTH_EXPONENT);
  double before = own * change->own + other * change->other;
  gboolean composition = change->own_new * change->pressure != change->own * change->pressure_new;
  double ratio = change->pressure_new / change->pressure;

  if (before > 0.0)
    ratio = (own * change->own_new + other * change->other_new) / before;
  else if (composition && line->lorentz.value > 0.0)
    kept->width_composition++;
  if (change->t_new == change->t)
    return ratio;
  if (isfinite (exponent))
    return ratio * pow (change->t / change->t_new, exponent);
  if (line->lorentz.value > 0.0)
    kept->width_temperature++;
  return ratio;
}

static double
shift (const Change *change, const FaintLine *line, FaintWhatIfKept *kept)
{
  const double moves[] = {
    coefficient (line, FAINT_COEFFICIENT_SHIFT_SELF) * (change->own_new - change->own),
    coefficient (line, FAINT_COEFFICIENT_SHIFT_FOREIGN) * (change->other_new - change->other),
    coefficient (line, FAINT_COEFFICIENT_SHIFT_MIXTURE) * (change->pressure_new - change->pressure),
  };
  gboolean moved = change->own_new != change->own || change->other_new != change->other;
  gboolean known = FALSE;
  double sum = 0.0;

  for (guint i = 0; i < G_N_ELEMENTS (moves); i++)
    if (isfinite (moves[i]))
      {
        sum += moves[i];
        known = TRUE;
      }
  if (moved && !known)
    kept->position++;
  return sum;
}

static double
strength (const Change *change, const FaintLine *line, FaintWhatIfKept *kept)
{
  if (change->t_new == change->t)
    return line->strength.value;
  if (isfinite (change->q_ratio) && isfinite (line->lower_energy))
    return line->strength.value
           * faint_strength_ratio (line->position.value, line->lower_energy, change->t,
                                   change->t_new, change->q_ratio);
  kept->strength++;
  return line->strength.value;
}

/* Everything that a fit could move is fixed; a Doppler width that follows from the temperature of
 * the setup goes on doing so. */
static FaintLine
changed_line (const Change *change, const FaintLine *old, FaintWhatIfKept *kept)
{
  FaintLine line = *old;
  FaintWhatIfKept ignored = { 0 };
  gboolean derived = line.doppler.state == FAINT_STATE_DERIVED;
  double factor;

  if (line.flags & FAINT_LINE_EXCLUDED)
    kept = &ignored;
  kept->lines++;
  line.strength.value = strength (change, old, kept);
  line.position.value += shift (change, old, kept);
  factor = collisions (change, old, kept);
  line.lorentz.value *= factor;
  line.speed_width.value *= factor;
  line.speed_shift.value *= factor;
  line.velocity_changing.value *= factor;
  line.doppler.value *= sqrt (change->t_new / change->t);
  for (FaintPlace p = 0; p < FAINT_PLACE_N; p++)
    faint_line_parameter (&line, p)->state = FAINT_STATE_FIXED;
  if (derived)
    line.doppler.state = FAINT_STATE_DERIVED;
  return line;
}

FaintLineList *
faint_what_if_lines (const FaintWhatIf *self, const FaintWhatIfValues *values,
                     FaintWhatIfKept *kept)
{
  gsize n = faint_line_list_get_n (self->lines);
  g_autofree FaintLine *lines = g_new (FaintLine, MAX (n, 1));
  FaintWhatIfKept here = { 0 };
  Change change = change_of (self, values, &here.sums_range);

  for (gsize i = 0; i < n; i++)
    lines[i] = changed_line (&change, faint_line_list_get (self->lines, i), &here);
  if (kept != NULL)
    *kept = here;
  return faint_line_list_new (lines, n);
}

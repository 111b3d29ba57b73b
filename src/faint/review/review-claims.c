/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Claims as they would read under the conditions of the spectrum.
 */
#include "faint/review/review-private.h"

#include <string.h>

#include "faint/base/units.h"
#include "faint/lines/conversion.h"
#include "faint/lines/parameters.h"
#include "faint/shape/voigt.h"
#include "faint/base/words.h"

#define ATMOSPHERE 101325.0 /* Pa */
/* A part of the gas below this share neither broadens nor shifts to speak of. */
#define TRACE 1e-3
/* A strength without a lower-state energy is taken as it is within so many K. */
#define NEAR_TEMPERATURE 1.0
/* Lines beyond the span count out to so many times its width. */
#define OUTSIDE 10.0

double
faint_review_half_width (const FaintLine *line, const FaintSetup *setup)
{
  double doppler = line->doppler.value, lorentz = line->lorentz.value;

  if (!(doppler > 0.0))
    doppler = faint_doppler_hwhm (line->position.value, setup->temperature.value,
                                  setup->molar_mass.value);
  if (!(lorentz > 0.0))
    lorentz = 0.0;
  return faint_voigt_hwhm (doppler, lorentz);
}

typedef struct
{
  const FaintSetup *setup;
  const FaintPartition *partition;
  double temperature, pressure;  /* of the claims */
  gsize n_near, n_far, n_scaled; /* strengths taken as they are, not comparable; widths scaled */
} Conversion;

static void
scale_parameter (FaintParameter *parameter, double factor)
{
  parameter->value *= factor;
  parameter->u *= factor;
  parameter->u_noise *= factor;
}

/* A strength at 296 K alone counts as claimed at 296 K. */
static void
convert_strength (Conversion *self, FaintLine *line)
{
  double from = self->temperature, to = self->setup->temperature.value, q_from, q_to;

  if (isnan (line->strength.value) && !isnan (line->strength_296))
    {
      line->strength
          = (FaintParameter){ line->strength_296, line->u_strength_296, NAN, FAINT_STATE_FREE };
      from = FAINT_REFERENCE_TEMPERATURE_K;
    }
  if (isnan (line->strength.value) || from == to)
    return;
  if (self->partition != NULL && isfinite (line->lower_energy)
      && faint_partition_sum (self->partition, from, &q_from, NULL)
      && faint_partition_sum (self->partition, to, &q_to, NULL))
    scale_parameter (
        &line->strength,
        faint_strength_ratio (line->position.value, line->lower_energy, from, to, q_from / q_to));
  else if (fabs (from - to) <= NEAR_TEMPERATURE)
    self->n_near++;
  else
    {
      line->strength = FAINT_PARAMETER_UNKNOWN;
      self->n_far++;
    }
}

FaintParameter
faint_review_mixture (const FaintLine *line, const FaintSetup *setup, FaintCoefficient self)
{
  const FaintParameter *stated = &line->coefficient[self];
  double fraction = setup->mole_fraction.value;
  const double share[2] = { fraction, 1.0 - fraction };
  FaintParameter sum = FAINT_PARAMETER_UNKNOWN;
  double square = 0.0;

  if (isfinite (stated[2].value))
    return stated[2];
  sum.value = 0.0;
  for (guint k = 0; k < 2; k++)
    if (share[k] > TRACE)
      {
        sum.value += share[k] * stated[k].value; /* NAN: one part of the gas is not told */
        square += isnan (stated[k].u) ? 0.0 : pow (share[k] * stated[k].u, 2.0);
      }
  if (isfinite (sum.value) && square > 0.0)
    sum.u = sqrt (square);
  return sum;
}

double
faint_review_by_pressure (const FaintLine *line, const FaintSetup *setup, double pressure,
                          FaintCoefficient self, double *u)
{
  FaintParameter mixture = faint_review_mixture (line, setup, self);

  *u = fabs (mixture.u * pressure / ATMOSPHERE);
  return mixture.value * pressure / ATMOSPHERE;
}

static void
convert_width (Conversion *self, FaintLine *line)
{
  double to = self->setup->pressure.value, u;
  double exponent = line->coefficient[FAINT_COEFFICIENT_WIDTH_EXPONENT].value;
  double width;

  if (!isnan (line->lorentz.value))
    {
      if (self->pressure != to)
        {
          scale_parameter (&line->lorentz, to / self->pressure);
          self->n_scaled++;
        }
      return;
    }
  width = faint_review_by_pressure (line, self->setup, to, FAINT_COEFFICIENT_BROADENING_SELF, &u);
  if (isnan (width))
    return;
  line->lorentz = (FaintParameter){ width, u, NAN, FAINT_STATE_FREE };
  if (isfinite (exponent))
    scale_parameter (
        &line->lorentz,
        pow (FAINT_REFERENCE_TEMPERATURE_K / self->setup->temperature.value, exponent));
}

static void
convert_position (Conversion *self, FaintLine *line)
{
  double u, shift;

  shift = faint_review_by_pressure (line, self->setup, self->setup->pressure.value - self->pressure,
                                    FAINT_COEFFICIENT_SHIFT_SELF, &u);

  if (isnan (shift) || shift == 0.0)
    return;
  line->position.value += shift;
  if (isfinite (u) && isfinite (line->position.u))
    line->position.u = hypot (line->position.u, u);
}

static void
warn (const Conversion *self, GPtrArray *warnings)
{
  if (self->n_near > 0)
    faint_warnings_add (
        warnings, "strength-not-converted",
        N_ ("%zu strengths claimed at another temperature are taken as "
            "they are, for their lower-state energies or Q(T) are not known; that may "
            "be 2 %% for a kelvin."),
        self->n_near);
  if (self->n_far > 0)
    faint_warnings_add (warnings, "strength-not-comparable",
                        N_ ("%zu strengths are claimed at a temperature far from the "
                            "spectrum's and cannot be converted, for their lower-state energies or "
                            "Q(T) are not known. They are not examined."),
                        self->n_far);
  if (self->n_scaled > 0)
    faint_warnings_add (warnings, "width-converted",
                        N_ ("%zu Lorentz widths claimed at %g hPa are scaled to the "
                            "%g hPa of the spectrum."),
                        self->n_scaled, self->pressure / 100.0,
                        self->setup->pressure.value / 100.0);
}

FaintLineList *
faint_review_claims_at (FaintLineList *claimed, const FaintReviewOptions *options,
                        const FaintSetup *setup, const FaintPartition *partition, gboolean series,
                        GPtrArray *warnings)
{
  gsize n = faint_line_list_get_n (claimed);
  g_autofree FaintLine *lines = g_new (FaintLine, MAX (n, 1));
  Conversion self = {
    .setup = setup,
    .partition = partition,
    .temperature = isnan (options->temperature) ? setup->temperature.value : options->temperature,
    .pressure = isnan (options->pressure) ? setup->pressure.value : options->pressure,
  };

  for (gsize i = 0; i < n; i++)
    {
      lines[i] = *faint_line_list_get (claimed, i);
      convert_strength (&self, &lines[i]);
      convert_width (&self, &lines[i]);
      convert_position (&self, &lines[i]);
      for (guint k = FAINT_COEFFICIENT_BROADENING_SELF; series && k <= FAINT_COEFFICIENT_SHIFT_SELF;
           k += FAINT_COEFFICIENT_SHIFT_SELF)
        lines[i].coefficient[k + 2] = faint_review_mixture (&lines[i], setup, k);
    }
  warn (&self, warnings);
  return faint_line_list_new (lines, n);
}

void
faint_review_span (const FaintReview *self, double *lower, double *upper)
{
  *lower = INFINITY;
  *upper = -INFINITY;
  for (gsize k = 0; k < faint_analysis_get_n_spectra (self->refit); k++)
    {
      const FaintSpectrum *spectrum = faint_analysis_get_spectrum_at (self->refit, k);

      *lower = MIN (*lower, spectrum->wavenumber[0]);
      *upper = MAX (*upper, spectrum->wavenumber[spectrum->n - 1]);
    }
}

gboolean
faint_review_is_in_span (const FaintReview *self, double position)
{
  const FaintFitOptions *options = faint_analysis_get_options (self->refit);

  if ((isfinite (options->lower) && position < options->lower)
      || (isfinite (options->upper) && position > options->upper))
    return FALSE;
  for (gsize k = 0; k < faint_analysis_get_n_spectra (self->refit); k++)
    {
      const FaintSpectrum *spectrum = faint_analysis_get_spectrum_at (self->refit, k);

      if (position >= spectrum->wavenumber[0] && position <= spectrum->wavenumber[spectrum->n - 1])
        return TRUE;
    }
  return FALSE;
}

/* What is stated is held; what is not is fitted. A width from T and mass stays so. */
static void
hold (FaintLine *line)
{
  for (guint k = 0; k < FAINT_PARAMETER_N; k++)
    {
      FaintParameter *it = faint_line_nth_parameter (line, k);

      if (it == &line->doppler && (it->state == FAINT_STATE_DERIVED || isnan (it->value)))
        it->state = FAINT_STATE_DERIVED;
      else
        it->state = isnan (it->value) ? FAINT_STATE_FREE : FAINT_STATE_FIXED;
    }
}

/* What lies beyond a Voigt profile stays as claimed unless the claim states its uncertainty: all
 * free in every line would be more than most spectra tell. */
static void
release (FaintLine *line)
{
  for (guint k = 0; k < FAINT_PARAMETER_N; k++)
    {
      FaintParameter *it = faint_line_nth_parameter (line, k);
      gboolean further = k >= FAINT_PLACE_SPEED_WIDTH && k < FAINT_PLACE_N;

      it->state
          = further && !isnan (it->value) && isnan (it->u) ? FAINT_STATE_FIXED : FAINT_STATE_FREE;
      it->u = it->u_noise = NAN;
    }
  line->doppler.state = FAINT_STATE_DERIVED;
}

/* Wings, those of the dispersion above all, reach in from lines beyond the span: such a line is
 * held as claimed in both models, as far away as the span is wide. */
static gboolean
reaches_in (const FaintReview *self, const FaintLine *line, double position)
{
  const FaintFitOptions *options = faint_analysis_get_options (self->refit);
  double lower, upper;

  faint_review_span (self, &lower, &upper);
  if (isfinite (options->lower))
    lower = MAX (lower, options->lower);
  if (isfinite (options->upper))
    upper = MIN (upper, options->upper);
  return line->strength.value > 0.0 && position > lower - OUTSIDE * (upper - lower)
         && position < upper + OUTSIDE * (upper - lower);
}

FaintLineList *
faint_review_start (const FaintReview *self, gboolean held, double shift)
{
  gsize n = faint_line_list_get_n (self->compared), used = 0;
  g_autofree FaintLine *lines = g_new (FaintLine, MAX (n, 1));

  for (gsize i = 0; i < n; i++)
    {
      FaintLine line = *faint_line_list_get (self->compared, i);
      gboolean inside = faint_review_is_in_span (self, line.position.value - shift);

      if ((line.flags & FAINT_LINE_EXCLUDED) != 0
          || (!inside && !reaches_in (self, &line, line.position.value - shift)))
        continue;
      line.flags = 0;
      line.position.value -= shift;
      if (held && faint_review_is_series (self))
        faint_review_complete (self, &line);
      if (held || !inside)
        hold (&line);
      else
        release (&line);
      lines[used++] = line;
    }
  return faint_line_list_new (lines, used);
}

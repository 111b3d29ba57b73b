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

#define ATMOSPHERE 101325.0 /* Pa */
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

/* Sum of coefficient times the pressure that it counts, atm; NAN where none is stated. */
static double
by_pressure (const FaintLine *line, const FaintSetup *setup, double pressure, FaintCoefficient self,
             double *u)
{
  double fraction = setup->mole_fraction.value;
  const double part[3] = { fraction * pressure, (1.0 - fraction) * pressure, pressure };
  double sum = 0.0, square = 0.0;
  gboolean known = FALSE;

  for (guint k = 0; k < 3; k++)
    {
      const FaintParameter *it = &line->coefficient[self + k];

      if (isnan (it->value))
        continue;
      known = TRUE;
      sum += it->value * part[k] / ATMOSPHERE;
      square += isnan (it->u) ? 0.0 : pow (it->u * part[k] / ATMOSPHERE, 2.0);
    }
  *u = square > 0.0 ? sqrt (square) : NAN;
  return known ? sum : NAN;
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
  width = by_pressure (line, self->setup, to, FAINT_COEFFICIENT_BROADENING_SELF, &u);
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
  double u, shift = by_pressure (line, self->setup, self->setup->pressure.value - self->pressure,
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
    faint_warnings_add (warnings, "strength-not-converted",
                        "%" G_GSIZE_FORMAT " strengths claimed at another temperature are taken as "
                        "they are, for their lower-state energies or Q(T) are not known; that may "
                        "be 2 %% for a kelvin.",
                        self->n_near);
  if (self->n_far > 0)
    faint_warnings_add (warnings, "strength-not-comparable",
                        "%" G_GSIZE_FORMAT " strengths are claimed at a temperature far from the "
                        "spectrum's and cannot be converted, for their lower-state energies or "
                        "Q(T) are not known. They are not examined.",
                        self->n_far);
  if (self->n_scaled > 0)
    faint_warnings_add (warnings, "width-converted",
                        "%" G_GSIZE_FORMAT " Lorentz widths claimed at %g hPa are scaled to the "
                        "%g hPa of the spectrum.",
                        self->n_scaled, self->pressure / 100.0,
                        self->setup->pressure.value / 100.0);
}

FaintLineList *
faint_review_claims_at (FaintLineList *claimed, const FaintReviewOptions *options,
                        const FaintSetup *setup, const FaintPartition *partition,
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
    }
  warn (&self, warnings);
  return faint_line_list_new (lines, n);
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
  const FaintSpectrum *spectrum = faint_analysis_get_spectrum (self->refit);
  double lower = spectrum->wavenumber[0], upper = spectrum->wavenumber[spectrum->n - 1];

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
      if (held || !inside)
        hold (&line);
      else
        release (&line);
      lines[used++] = line;
    }
  return faint_line_list_new (lines, used);
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What several spectra of different conditions tell of a claim, and one does not.
 */
#include "faint/review/review-private.h"

#include "faint/base/units.h"
#include "faint/lines/conversion.h"
#include "faint/base/words.h"

#define ATMOSPHERE 101325.0 /* Pa */

gboolean
faint_review_is_series (const FaintReview *self)
{
  return faint_analysis_get_n_spectra (self->refit) > 1;
}

static const FaintLine *
answer_of (const FaintReview *self, guint id)
{
  const FaintReviewLine *line = faint_review_find_claimed (self, id);

  if (line != NULL && faint_review_find_refitted (self, id) == line) /* of a blend, its own */
    return faint_line_list_find (faint_analysis_get_lines (self->refit), id);
  return line != NULL
             ? faint_line_list_find (faint_analysis_get_lines (self->refit), line->refitted_id)
             : NULL;
}

/* Where a width but no coefficient is claimed, the coefficient that gives this width in the first
 * spectrum, whatever the exponent. */
static void
complete_broadening (const FaintSetup *setup, const FaintAnalysisResult *result, FaintLine *line)
{
  double exponent = line->coefficient[FAINT_COEFFICIENT_WIDTH_EXPONENT].value;
  double factor = result->energies && isfinite (exponent)
                      ? pow (FAINT_REFERENCE_TEMPERATURE_K / setup->temperature.value, exponent)
                      : 1.0;

  for (guint k = 0; k < 3; k++)
    {
      FaintParameter *it = &line->coefficient[FAINT_COEFFICIENT_BROADENING_SELF + k];

      if (result->determined[FAINT_COEFFICIENT_BROADENING_SELF + k] && isnan (it->value))
        it->value = line->lorentz.value / (factor * setup->pressure.value / ATMOSPHERE);
    }
}

void
faint_review_complete (const FaintReview *self, FaintLine *line)
{
  const FaintSetup *setup = faint_analysis_get_setup (self->refit);
  const FaintLine *seen = answer_of (self, line->id);
  FaintAnalysisResult result;

  line->strength_296 = NAN; /* the strength says the same, at the first spectrum's temperature */
  if (seen == NULL || !faint_analysis_get_result (self->refit, &result))
    return;
  if (isnan (line->lower_energy) && result.energies)
    line->lower_energy = seen->lower_energy;
  for (guint k = 0; k < FAINT_COEFFICIENT_N; k++)
    if (k > FAINT_COEFFICIENT_BROADENING_MIXTURE && isnan (line->coefficient[k].value))
      line->coefficient[k].value = seen->coefficient[k].value;
  complete_broadening (setup, &result, line);
}

static void
bring_position (const FaintReview *self, const FaintLine *original, const FaintLine *seen,
                FaintLine *claim)
{
  const FaintSetup *setup = faint_analysis_get_setup (self->refit);
  double u, shift, u_position = original->position.u;

  if (isnan (self->options.pressure))
    return;
  shift = faint_review_by_pressure (seen, setup, setup->pressure.value - self->options.pressure,
                                    FAINT_COEFFICIENT_SHIFT_SELF, &u);
  if (isnan (shift))
    return;
  claim->position = original->position;
  claim->position.value += shift;
  if (isfinite (u) && isfinite (u_position))
    claim->position.u = hypot (u_position, u);
}

static void
bring_strength (const FaintReview *self, const FaintLine *original, const FaintLine *seen,
                FaintLine *claim)
{
  double to = faint_analysis_get_setup (self->refit)->temperature.value;
  double from = self->options.temperature, factor, u;

  if (isnan (original->strength.value) || isnan (from) || from == to
      || isnan (claim->strength.value))
    return;
  /* The claim was brought here by its own energy: what it would be by the one refitted. */
  if (isfinite (original->lower_energy))
    claim->strength.value *= exp (FAINT_C2_CM_K * (seen->lower_energy - original->lower_energy)
                                  * (1.0 / from - 1.0 / to));
  factor = FAINT_C2_CM_K * fabs (1.0 / from - 1.0 / to);
  u = factor * seen->u_lower_energy * claim->strength.value;
  if (isfinite (u) && isfinite (claim->strength.u))
    claim->strength.u = hypot (claim->strength.u, u);
}

void
faint_review_bring (const FaintReview *self, const FaintLine *original, const FaintLine *seen,
                    FaintLine *claim)
{
  FaintAnalysisResult result;

  if (!faint_review_is_series (self) || !faint_analysis_get_result (self->refit, &result))
    return;
  bring_position (self, original, seen, claim);
  if (result.energies && isfinite (seen->lower_energy))
    bring_strength (self, original, seen, claim);
}

/* Of coefficient @c; @result is what the conditions tell. */
static const char *
why_not_coefficient (const FaintReview *self, FaintCoefficient c, const FaintAnalysisResult *result)
{
  FaintCoefficient self_one = c <= FAINT_COEFFICIENT_BROADENING_MIXTURE
                                  ? FAINT_COEFFICIENT_BROADENING_SELF
                                  : FAINT_COEFFICIENT_SHIFT_SELF;

  if (c == FAINT_COEFFICIENT_WIDTH_EXPONENT)
    return N_ ("one temperature tells nothing of it");
  if (c == FAINT_COEFFICIENT_POSITION_ZERO)
    return N_ ("the pressures tell no shift");
  if (!faint_review_is_series (self))
    return c <= FAINT_COEFFICIENT_BROADENING_MIXTURE
               ? N_ ("one spectrum tells the width, not how it grows with pressure")
               : N_ ("one pressure tells no shift");
  if (result->determined[self_one + 2])
    return N_ ("the spectra are of one composition, which tells the mixture alone");
  if (c == self_one + 2 && result->determined[self_one])
    return N_ ("the spectra tell it of the gases one by one");
  if (result->determined[self_one])
    return N_ ("the gas of the spectra is pure");
  return N_ ("the pressures do not tell it");
}

const char *
faint_review_why_untold (const FaintReview *self, guint k)
{
  FaintAnalysisResult result;

  if (!faint_analysis_get_result (self->refit, &result))
    return N_ ("there is no refit");
  if (k >= FAINT_PARAMETER_N)
    return result.energies ? NULL : N_ ("one temperature tells nothing of it");
  if (k < FAINT_PLACE_N || result.determined[k - FAINT_PLACE_N])
    return NULL;
  return why_not_coefficient (self, (FaintCoefficient)(k - FAINT_PLACE_N), &result);
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/review/compared.h"

#include "faint/base/words.h"

static FaintParameter
without_state (double value, double u)
{
  FaintParameter it = FAINT_PARAMETER_UNKNOWN;

  it.value = value;
  it.u = u;
  it.state = isfinite (u) ? FAINT_STATE_FREE : FAINT_STATE_FIXED;
  return it;
}

FaintParameter
faint_compared_get (const FaintLine *line, guint k)
{
  if (k == FAINT_COMPARED_STRENGTH_296)
    return without_state (line->strength_296, line->u_strength_296);
  if (k == FAINT_COMPARED_LOWER_ENERGY)
    return without_state (line->lower_energy, line->u_lower_energy);
  return *faint_line_peek_nth_parameter (line, k);
}

const char *
faint_compared_name (guint k)
{
  return k == FAINT_COMPARED_STRENGTH_296   ? "strength_296K"
         : k == FAINT_COMPARED_LOWER_ENERGY ? "lower_energy"
                                            : faint_parameter_name (k);
}

const char *
faint_compared_words (guint k)
{
  static const char *const coefficients[FAINT_COEFFICIENT_N] = {
    [FAINT_COEFFICIENT_BROADENING_SELF] = N_ ("self broadening"),
    [FAINT_COEFFICIENT_BROADENING_FOREIGN] = N_ ("foreign broadening"),
    [FAINT_COEFFICIENT_BROADENING_MIXTURE] = N_ ("broadening of the mixture"),
    [FAINT_COEFFICIENT_SHIFT_SELF] = N_ ("self shift"),
    [FAINT_COEFFICIENT_SHIFT_FOREIGN] = N_ ("foreign shift"),
    [FAINT_COEFFICIENT_SHIFT_MIXTURE] = N_ ("shift of the mixture"),
    [FAINT_COEFFICIENT_WIDTH_EXPONENT] = N_ ("width exponent"),
    [FAINT_COEFFICIENT_POSITION_ZERO] = N_ ("position at zero pressure"),
  };

  switch (k)
    {
    case FAINT_PLACE_POSITION:
      return N_ ("position");
    case FAINT_PLACE_STRENGTH:
      return N_ ("strength");
    case FAINT_PLACE_LORENTZ:
      return N_ ("Lorentz width");
    case FAINT_PLACE_DOPPLER:
      return N_ ("Doppler width");
    case FAINT_COMPARED_STRENGTH_296:
      return N_ ("strength at 296 K");
    case FAINT_COMPARED_LOWER_ENERGY:
      return N_ ("lower-state energy");
    default:
      return k >= FAINT_PLACE_N ? coefficients[k - FAINT_PLACE_N] : faint_parameter_name (k);
    }
}

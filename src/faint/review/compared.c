/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/review/compared.h"

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
    [FAINT_COEFFICIENT_BROADENING_SELF] = "self broadening",
    [FAINT_COEFFICIENT_BROADENING_FOREIGN] = "foreign broadening",
    [FAINT_COEFFICIENT_BROADENING_MIXTURE] = "broadening of the mixture",
    [FAINT_COEFFICIENT_SHIFT_SELF] = "self shift",
    [FAINT_COEFFICIENT_SHIFT_FOREIGN] = "foreign shift",
    [FAINT_COEFFICIENT_SHIFT_MIXTURE] = "shift of the mixture",
    [FAINT_COEFFICIENT_WIDTH_EXPONENT] = "width exponent",
    [FAINT_COEFFICIENT_POSITION_ZERO] = "position at zero pressure",
  };

  switch (k)
    {
    case FAINT_PLACE_LORENTZ:
      return "Lorentz width";
    case FAINT_PLACE_DOPPLER:
      return "Doppler width";
    case FAINT_COMPARED_STRENGTH_296:
      return "strength at 296 K";
    case FAINT_COMPARED_LOWER_ENERGY:
      return "lower-state energy";
    default:
      return k >= FAINT_PLACE_N ? coefficients[k - FAINT_PLACE_N] : faint_parameter_name (k);
    }
}

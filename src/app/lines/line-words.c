/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Tables of words.
 */
#include "app/lines/line-words.h"

#include <glib/gi18n.h>
#include <math.h>
#include <string.h>

#include "faint/base/quantity.h"

const char *
faint_no_line_in_words (const FaintLineList *lines)
{
  return lines != NULL && faint_line_list_get_n (lines) > 0
             ? _ ("Click a line in the plot or in the table.")
             : _ ("No lines yet: Find and Fit in the stage Lines finds them.");
}

const char *
faint_place_in_words (FaintPlace place)
{
  static const char *const words[FAINT_PLACE_N] = {
    [FAINT_PLACE_POSITION] = N_ ("position"),
    [FAINT_PLACE_STRENGTH] = N_ ("strength"),
    [FAINT_PLACE_LORENTZ] = N_ ("Lorentz half width"),
    [FAINT_PLACE_DOPPLER] = N_ ("Doppler half width"),
    [FAINT_PLACE_SPEED_WIDTH] = N_ ("speed dependence of the width"),
    [FAINT_PLACE_SPEED_SHIFT] = N_ ("speed dependence of the shift"),
    [FAINT_PLACE_VELOCITY_CHANGING] = N_ ("rate of velocity changes"),
    [FAINT_PLACE_CORRELATION] = N_ ("correlation of the collisions"),
  };

  g_return_val_if_fail ((guint)place < FAINT_PLACE_N, "");
  return _ (words[place]);
}

const char *
faint_place_in_edits (FaintPlace place)
{
  static const char *const words[FAINT_PLACE_N] = {
    [FAINT_PLACE_POSITION] = N_ ("Position"),
    [FAINT_PLACE_STRENGTH] = N_ ("Strength"),
    [FAINT_PLACE_LORENTZ] = N_ ("Lorentz Width"),
    [FAINT_PLACE_DOPPLER] = N_ ("Doppler Width"),
    [FAINT_PLACE_SPEED_WIDTH] = N_ ("Speed Dependence of the Width"),
    [FAINT_PLACE_SPEED_SHIFT] = N_ ("Speed Dependence of the Shift"),
    [FAINT_PLACE_VELOCITY_CHANGING] = N_ ("Rate of Velocity Changes"),
    [FAINT_PLACE_CORRELATION] = N_ ("Correlation of the Collisions"),
  };

  g_return_val_if_fail ((guint)place < FAINT_PLACE_N, "");
  return _ (words[place]);
}

const char *
faint_profile_in_words (FaintProfile profile)
{
  static const char *const words[FAINT_PROFILE_N] = {
    [FAINT_PROFILE_VOIGT] = N_ ("Voigt"),
    [FAINT_PROFILE_SPEED_DEPENDENT_VOIGT] = N_ ("Speed-dependent Voigt"),
    [FAINT_PROFILE_HARTMANN_TRAN] = N_ ("Hartmann-Tran"),
  };

  g_return_val_if_fail ((guint)profile < FAINT_PROFILE_N, "");
  return _ (words[profile]);
}

const char *
faint_coefficient_in_words (FaintCoefficient coefficient)
{
  static const char *const words[FAINT_COEFFICIENT_N] = {
    [FAINT_COEFFICIENT_BROADENING_SELF] = N_ ("Self-broadening/(cm⁻¹/atm)"),
    [FAINT_COEFFICIENT_BROADENING_FOREIGN] = N_ ("Foreign broadening/(cm⁻¹/atm)"),
    [FAINT_COEFFICIENT_BROADENING_MIXTURE] = N_ ("Broadening/(cm⁻¹/atm)"),
    [FAINT_COEFFICIENT_SHIFT_SELF] = N_ ("Self-shift/(cm⁻¹/atm)"),
    [FAINT_COEFFICIENT_SHIFT_FOREIGN] = N_ ("Foreign shift/(cm⁻¹/atm)"),
    [FAINT_COEFFICIENT_SHIFT_MIXTURE] = N_ ("Shift/(cm⁻¹/atm)"),
    [FAINT_COEFFICIENT_WIDTH_EXPONENT] = N_ ("Temperature exponent of the width"),
    [FAINT_COEFFICIENT_POSITION_ZERO] = N_ ("Position at zero pressure/cm⁻¹"),
  };

  g_return_val_if_fail ((guint)coefficient < FAINT_COEFFICIENT_N, "");
  return _ (words[coefficient]);
}

char *
faint_tie_in_words (const FaintLineList *lines, const FaintLine *line, FaintPlace place)
{
  const FaintParameter *parameter = faint_line_peek_parameter (line, place);
  gsize index = faint_line_list_index_of (lines, parameter->tied_to);
  char at[G_ASCII_DTOSTR_BUF_SIZE], number[G_ASCII_DTOSTR_BUF_SIZE];
  g_autofree char *what = NULL, *product = NULL;

  if (parameter->state != FAINT_STATE_TIED || index == G_MAXSIZE)
    return NULL;
  g_ascii_formatd (at, sizeof at, "%.3f", faint_line_list_get (lines, index)->position.value);
  /* Translators: a parameter, the number of a line and its position: "strength of line 12
   * (7790.220)" */
  what = g_strdup_printf (_ ("%s of line %u (%s)"), faint_place_in_words (place), (guint)index + 1,
                          at);
  if (parameter->tie_factor == 1.0)
    product = g_strdup (what);
  else
    {
      g_ascii_formatd (number, sizeof number, "%.6g", parameter->tie_factor);
      product = g_strdup_printf ("%s × %s", number, what);
    }
  if (parameter->tie_offset == 0.0)
    return g_steal_pointer (&product);
  g_ascii_formatd (number, sizeof number, "%.6g", fabs (parameter->tie_offset));
  return g_strdup_printf ("%s %s %s", product, parameter->tie_offset < 0 ? "−" : "+", number);
}

gboolean
faint_line_is_lost (const FaintLine *line, const FaintParameter *parameter)
{
  return (line->flags & FAINT_LINE_NOT_DETERMINED) && !isfinite (parameter->u)
         && parameter->state == FAINT_STATE_FREE && isfinite (parameter->value);
}

char *
faint_fit_parameter_in_words (const char *name)
{
  static const char *const words[]
      = { N_ ("position"),    N_ ("strength"),    N_ ("Lorentz width"),     N_ ("Doppler width"),
          N_ ("speed width"), N_ ("speed shift"), N_ ("velocity changing"), N_ ("correlation") };
  const char *word = strchr (name, ' ');

  for (guint i = 0; word && i < G_N_ELEMENTS (words); i++)
    if (strcmp (word + 1, words[i]) == 0)
      return g_strdup_printf ("%.*s %s", (int)(word - name), name, _ (words[i]));
  return g_strdup (name);
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A finding in words.
 */
#include <math.h>

#include "faint/base/quantity.h"
#include "faint/review/common-rows.h"
#include "faint/review/compared.h"

const char *
faint_systematic_name (guint parameter)
{
  static const char *const names[FAINT_COMPARED_N] = {
    [FAINT_PLACE_POSITION] = "positions",
    [FAINT_PLACE_STRENGTH] = "strengths",
    [FAINT_PLACE_LORENTZ] = "Lorentz widths",
    [FAINT_PLACE_DOPPLER] = "Doppler widths",
    [FAINT_PLACE_N + FAINT_COEFFICIENT_BROADENING_SELF] = "self broadening coefficients",
    [FAINT_PLACE_N + FAINT_COEFFICIENT_BROADENING_FOREIGN] = "foreign broadening coefficients",
    [FAINT_PLACE_N + FAINT_COEFFICIENT_BROADENING_MIXTURE] = "broadening coefficients",
    [FAINT_PLACE_N + FAINT_COEFFICIENT_SHIFT_SELF] = "self shift coefficients",
    [FAINT_PLACE_N + FAINT_COEFFICIENT_SHIFT_FOREIGN] = "foreign shift coefficients",
    [FAINT_PLACE_N + FAINT_COEFFICIENT_SHIFT_MIXTURE] = "shift coefficients",
    [FAINT_PLACE_N + FAINT_COEFFICIENT_WIDTH_EXPONENT] = "width exponents",
    [FAINT_PLACE_N + FAINT_COEFFICIENT_POSITION_ZERO] = "positions at zero pressure",
    [FAINT_COMPARED_STRENGTH_296] = "strengths at 296 K",
    [FAINT_COMPARED_LOWER_ENERGY] = "lower-state energies",
  };

  return names[parameter] != NULL ? names[parameter] : faint_compared_name (parameter);
}

char *
faint_systematic_describe (const FaintSystematic *self, const char *first, const char *second)
{
  static const char *const along[] = { "", "the position", "the depth", "the lower-state energy" };
  static const char *const per[] = { "", " a cm-1", " over the whole depth", " a cm-1" };
  gboolean scale = faint_common_is_scale (self->parameter);
  double factor = exp (self->constant);
  g_autoptr (GString) text = g_string_new (NULL);
  g_autofree char *number = scale ? faint_format_concise (factor, factor * self->u_constant)
                                  : faint_format_concise (self->constant, self->u_constant);
  g_autofree char *slope = faint_format_concise (self->slope, self->u_slope);
  const char *unit = faint_common_unit (self->parameter);

  if (scale)
    g_string_append_printf (text, "All %s %s are %s times those of %s",
                            faint_systematic_name (self->parameter), first, number, second);
  else
    g_string_append_printf (text, "All %s %s lie %s %s above those of %s",
                            faint_systematic_name (self->parameter), first, number, unit, second);
  if (self->form != FAINT_SYSTEMATIC_CONSTANT)
    g_string_append_printf (text, " and run with %s, by %s %s%s", along[self->form], slope,
                            scale ? "of the logarithm" : unit, per[self->form]);
  g_string_append_printf (text,
                          ": %.3g standard uncertainties, over %" G_GSIZE_FORMAT " lines; %s.",
                          fabs (self->z), self->n,
                          self->beyond ? "more than the stated uncertainties leave room for"
                                       : "the stated uncertainties leave room for it");
  return g_string_free (g_steal_pointer (&text), FALSE);
}

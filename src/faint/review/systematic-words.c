/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A finding in words.
 */
#include <math.h>

#include "faint/base/quantity.h"
#include "faint/base/words.h"
#include "faint/review/common-rows.h"
#include "faint/review/compared.h"

const char *
faint_systematic_name (guint parameter)
{
  static const char *const names[FAINT_COMPARED_N] = {
    [FAINT_PLACE_POSITION] = N_ ("positions"),
    [FAINT_PLACE_STRENGTH] = N_ ("strengths"),
    [FAINT_PLACE_LORENTZ] = N_ ("Lorentz widths"),
    [FAINT_PLACE_DOPPLER] = N_ ("Doppler widths"),
    [FAINT_PLACE_N + FAINT_COEFFICIENT_BROADENING_SELF] = N_ ("self broadening coefficients"),
    [FAINT_PLACE_N + FAINT_COEFFICIENT_BROADENING_FOREIGN] = N_ ("foreign broadening coefficients"),
    [FAINT_PLACE_N + FAINT_COEFFICIENT_BROADENING_MIXTURE] = N_ ("broadening coefficients"),
    [FAINT_PLACE_N + FAINT_COEFFICIENT_SHIFT_SELF] = N_ ("self shift coefficients"),
    [FAINT_PLACE_N + FAINT_COEFFICIENT_SHIFT_FOREIGN] = N_ ("foreign shift coefficients"),
    [FAINT_PLACE_N + FAINT_COEFFICIENT_SHIFT_MIXTURE] = N_ ("shift coefficients"),
    [FAINT_PLACE_N + FAINT_COEFFICIENT_WIDTH_EXPONENT] = N_ ("width exponents"),
    [FAINT_PLACE_N + FAINT_COEFFICIENT_POSITION_ZERO] = N_ ("positions at zero pressure"),
    [FAINT_COMPARED_STRENGTH_296] = N_ ("strengths at 296 K"),
    [FAINT_COMPARED_LOWER_ENERGY] = N_ ("lower-state energies"),
  };

  return names[parameter] != NULL ? names[parameter] : faint_compared_name (parameter);
}

/* "the lower-state energy, by 0.00012(3) of the logarithm a cm-1". */
static char *
describe_run (const FaintSystematic *self)
{
  static const char *const logarithmic[] = {
    NULL,
    N_ ("the position, by %s of the logarithm a cm-1"),
    N_ ("the depth, by %s of the logarithm over the whole depth"),
    N_ ("the lower-state energy, by %s of the logarithm a cm-1"),
  };
  static const char *const plain[] = {
    NULL,
    N_ ("the position, by %s %s a cm-1"),
    N_ ("the depth, by %s %s over the whole depth"),
    N_ ("the lower-state energy, by %s %s a cm-1"),
  };
  g_autofree char *slope = faint_format_concise (self->slope, self->u_slope);

  return faint_common_is_scale (self->parameter)
             ? g_strdup_printf (logarithmic[self->form], slope)
             : g_strdup_printf (plain[self->form], slope, faint_common_unit (self->parameter));
}

char *
faint_systematic_describe (const FaintSystematic *self, const char *first, const char *second)
{
  const char *name = faint_systematic_name (self->parameter);
  const char *room = self->beyond ? N_ ("more than the stated uncertainties leave room for")
                                  : N_ ("the stated uncertainties leave room for it");
  gboolean constant = self->form == FAINT_SYSTEMATIC_CONSTANT;
  double factor = exp (self->constant), z = fabs (self->z);
  g_autofree char *run = constant ? NULL : describe_run (self);

  if (faint_common_is_scale (self->parameter))
    {
      g_autofree char *number = faint_format_concise (factor, factor * self->u_constant);

      return constant
                 ? g_strdup_printf (N_ ("All %s %s are %s times those of %s: %.3g standard "
                                        "uncertainties, over %zu lines; %s."),
                                    name, first, number, second, z, self->n, room)
                 : g_strdup_printf (N_ ("All %s %s are %s times those of %s and run with %s: %.3g "
                                        "standard uncertainties, over %zu lines; %s."),
                                    name, first, number, second, run, z, self->n, room);
    }
  g_autofree char *number = faint_format_concise (self->constant, self->u_constant);
  const char *unit = faint_common_unit (self->parameter);

  return constant ? g_strdup_printf (N_ ("All %s %s lie %s %s above those of %s: %.3g standard "
                                         "uncertainties, over %zu lines; %s."),
                                     name, first, number, unit, second, z, self->n, room)
                  : g_strdup_printf (N_ ("All %s %s lie %s %s above those of %s and run with %s: "
                                         "%.3g standard uncertainties, over %zu lines; %s."),
                                     name, first, number, unit, second, run, z, self->n, room);
}

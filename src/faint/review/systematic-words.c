/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A finding in words.
 */
#include <math.h>

#include "faint/base/quantity.h"
#include "faint/lines/parameters.h"
#include "faint/review/common-rows.h"

const char *
faint_systematic_name (guint parameter)
{
  static const char *const names[]
      = { "positions", "strengths", "Lorentz widths", "Doppler widths" };

  return parameter < G_N_ELEMENTS (names) ? names[parameter] : faint_parameter_name (parameter);
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

  g_string_append_printf (text,
                          scale ? "All %s %s are %s times those of %s"
                                : "All %s %s lie %s cm-1 above those of %s",
                          faint_systematic_name (self->parameter), first, number, second);
  if (self->form != FAINT_SYSTEMATIC_CONSTANT)
    g_string_append_printf (text, " and run with %s, by %s%s%s", along[self->form], slope,
                            scale ? " of the logarithm" : " cm-1", per[self->form]);
  g_string_append_printf (text,
                          ": %.3g standard uncertainties, over %" G_GSIZE_FORMAT " lines; %s.",
                          fabs (self->z), self->n,
                          self->beyond ? "more than the stated uncertainties leave room for"
                                       : "the stated uncertainties leave room for it");
  return g_string_free (g_steal_pointer (&text), FALSE);
}

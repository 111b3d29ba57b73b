/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Whether a setup states all that strengths need, and nothing that contradicts itself.
 */
#include "faint/spectrum/setup.h"

#include "faint/base/words.h"

static void
need (GString *missing, gboolean stated, const char *words)
{
  if (!stated)
    g_string_append_printf (missing, "%s%s", missing->len > 0 ? ", " : "", words);
}

static gboolean
check_missing (const FaintSetup *self, GError **error)
{
  g_autoptr (GString) missing = g_string_new (NULL);
  gboolean mirrors
      = self->mirror_kind == FAINT_MIRROR_TABLE
        || (self->mirror_kind != FAINT_MIRROR_UNKNOWN && faint_quantity_is_known (self->mirror));

  need (missing, faint_quantity_is_known (self->temperature), "temperature");
  need (missing, faint_quantity_is_known (self->pressure), "pressure");
  need (missing, faint_quantity_is_known (self->mole_fraction), "mole_fraction");
  need (missing, faint_quantity_is_known (self->molar_mass), "molar_mass");
  need (missing, self->geometry_stated, _ ("cavity (standing-wave, ring or none)"));
  need (missing, faint_quantity_is_known (self->cavity_length),
        self->geometry == FAINT_GEOMETRY_NONE ? _ ("cavity_length (the path of the single pass)")
                                              : "cavity_length");
  if (!self->geometry_stated || self->geometry != FAINT_GEOMETRY_NONE)
    need (missing, mirrors,
          _ ("one of finesse, mirror_reflectivity, ring_down_time, cavity_linewidth and "
             "finesse_table"));
  if (missing->len == 0)
    return TRUE;
  g_set_error (error, FAINT_SETUP_ERROR, FAINT_SETUP_ERROR_MISSING,
               _ ("Not stated, but needed: %s. Add lines like '# temperature = 296.15 K' to the "
                  "file, or give them beside it."),
               missing->str);
  return FALSE;
}

static gboolean
refuse (const char *sentence, GError **error)
{
  g_set_error_literal (error, FAINT_SETUP_ERROR, FAINT_SETUP_ERROR_VALUE, sentence);
  return FALSE;
}

gboolean
faint_setup_check (const FaintSetup *self, GError **error)
{
  gboolean swept = self->coupling == FAINT_COUPLING_SWEPT;

  if (!check_missing (self, error))
    return FALSE;
  if (faint_quantity_is_known (self->absorber_length)
      && self->absorber_length.value > self->cavity_length.value)
    {
      g_autofree char *absorber = faint_quantity_to_text (self->absorber_length);
      g_autofree char *cavity = faint_quantity_to_text (self->cavity_length);

      g_set_error (error, FAINT_SETUP_ERROR, FAINT_SETUP_ERROR_VALUE,
                   _ ("The absorber_length of %s is longer than the cavity_length of %s."),
                   absorber, cavity);
      return FALSE;
    }
  if (swept && self->geometry == FAINT_GEOMETRY_NONE)
    return refuse (_ ("The coupling is 'swept', but without a cavity there is nothing to sweep "
                      "over. State the cavity or leave the coupling out."),
                   error);
  if (swept && self->observable == FAINT_OBSERVABLE_FIELD)
    return refuse (_ ("The coupling is 'swept', which measures power, but the observable is "
                      "'field'. Change one of them."),
                   error);
  return TRUE;
}

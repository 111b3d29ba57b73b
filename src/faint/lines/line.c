/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/lines/line.h"

#include <stddef.h>
#include <string.h>

#include "faint/base/units.h"

static const char *const source_names[FAINT_SOURCE_N] = {
  [FAINT_SOURCE_NOISE] = "noise",
  [FAINT_SOURCE_TEMPERATURE] = "temperature",
  [FAINT_SOURCE_PRESSURE] = "pressure",
  [FAINT_SOURCE_MOLE_FRACTION] = "mole_fraction",
  [FAINT_SOURCE_LENGTH] = "length",
  [FAINT_SOURCE_CAVITY] = "cavity",
  [FAINT_SOURCE_DETUNING] = "detuning",
  [FAINT_SOURCE_MASS] = "mass",
  [FAINT_SOURCE_REPETITION_RATE] = "repetition_rate",
  [FAINT_SOURCE_OFFSET_FREQUENCY] = "offset_frequency",
};

static const char *const profile_names[FAINT_PROFILE_N] = {
  [FAINT_PROFILE_VOIGT] = "voigt",
  [FAINT_PROFILE_SPEED_DEPENDENT_VOIGT] = "speed-dependent-voigt",
  [FAINT_PROFILE_HARTMANN_TRAN] = "hartmann-tran",
};

static const struct
{
  const char *name;
  gsize offset; /* of the parameter in a line */
} places[FAINT_PLACE_N] = {
  [FAINT_PLACE_POSITION] = { "position", offsetof (FaintLine, position) },
  [FAINT_PLACE_STRENGTH] = { "strength", offsetof (FaintLine, strength) },
  [FAINT_PLACE_LORENTZ] = { "lorentz", offsetof (FaintLine, lorentz) },
  [FAINT_PLACE_DOPPLER] = { "doppler", offsetof (FaintLine, doppler) },
  [FAINT_PLACE_SPEED_WIDTH] = { "speed_width", offsetof (FaintLine, speed_width) },
  [FAINT_PLACE_SPEED_SHIFT] = { "speed_shift", offsetof (FaintLine, speed_shift) },
  [FAINT_PLACE_VELOCITY_CHANGING]
  = { "velocity_changing", offsetof (FaintLine, velocity_changing) },
  [FAINT_PLACE_CORRELATION] = { "correlation", offsetof (FaintLine, correlation) },
};

static const char *const coefficient_names[FAINT_COEFFICIENT_N] = {
  [FAINT_COEFFICIENT_BROADENING_SELF] = "broadening_self",
  [FAINT_COEFFICIENT_BROADENING_FOREIGN] = "broadening_foreign",
  [FAINT_COEFFICIENT_BROADENING_MIXTURE] = "broadening_mixture",
  [FAINT_COEFFICIENT_SHIFT_SELF] = "shift_self",
  [FAINT_COEFFICIENT_SHIFT_FOREIGN] = "shift_foreign",
  [FAINT_COEFFICIENT_SHIFT_MIXTURE] = "shift_mixture",
  [FAINT_COEFFICIENT_WIDTH_EXPONENT] = "width_exponent",
  [FAINT_COEFFICIENT_POSITION_ZERO] = "position_zero",
};

static const struct
{
  guint flag;
  const char *word;
} flag_words[] = {
  { FAINT_LINE_POSITION_FIXED, "position-fixed" },
  { FAINT_LINE_STRENGTH_FIXED, "strength-fixed" },
  { FAINT_LINE_LORENTZ_FIXED, "lorentz-fixed" },
  { FAINT_LINE_DOPPLER_FIXED, "doppler-fixed" },
  { FAINT_LINE_LORENTZ_AT_LIMIT, "lorentz-at-limit" },
  { FAINT_LINE_WIDTH_SHARED, "width-shared" },
  { FAINT_LINE_BLENDED, "blended" },
  { FAINT_LINE_NOT_DETERMINED, "not-determined" },
  { FAINT_LINE_SATURATED, "saturated" },
  { FAINT_LINE_AT_EDGE, "at-edge" },
  { FAINT_LINE_NOT_CONVERGED, "not-converged" },
  { FAINT_LINE_EXCLUDED, "excluded" },
  { FAINT_LINE_POSITION_TIED, "position-tied" },
  { FAINT_LINE_STRENGTH_TIED, "strength-tied" },
  { FAINT_LINE_LORENTZ_TIED, "lorentz-tied" },
  { FAINT_LINE_DOPPLER_TIED, "doppler-tied" },
  { FAINT_LINE_ENERGY_FITTED, "energy-fitted" },
  { FAINT_LINE_WIDTH_UNUSUAL, "width-unusual" },
};

const char *
faint_uncertainty_source_name (FaintUncertaintySource source)
{
  g_return_val_if_fail ((guint)source < FAINT_SOURCE_N, "");
  return source_names[source];
}

const char *
faint_profile_name (FaintProfile profile)
{
  g_return_val_if_fail ((guint)profile < FAINT_PROFILE_N, "");
  return profile_names[profile];
}

gboolean
faint_profile_from_name (const char *name, FaintProfile *profile)
{
  for (guint i = 0; i < FAINT_PROFILE_N; i++)
    if (strcmp (name, profile_names[i]) == 0)
      {
        *profile = i;
        return TRUE;
      }
  return FALSE;
}

const char *
faint_place_name (FaintPlace place)
{
  g_return_val_if_fail ((guint)place < FAINT_PLACE_N, "");
  return places[place].name;
}

gboolean
faint_profile_has (FaintProfile profile, FaintPlace place)
{
  if (place < FAINT_PLACE_SPEED_WIDTH)
    return TRUE;
  return profile == FAINT_PROFILE_HARTMANN_TRAN
         || (profile == FAINT_PROFILE_SPEED_DEPENDENT_VOIGT
             && place < FAINT_PLACE_VELOCITY_CHANGING);
}

const char *
faint_coefficient_name (FaintCoefficient coefficient)
{
  g_return_val_if_fail ((guint)coefficient < FAINT_COEFFICIENT_N, "");
  return coefficient_names[coefficient];
}

FaintParameter *
faint_line_parameter (FaintLine *line, FaintPlace place)
{
  return G_STRUCT_MEMBER_P (line, places[place].offset);
}

const FaintParameter *
faint_line_peek_parameter (const FaintLine *line, FaintPlace place)
{
  return G_STRUCT_MEMBER_P (line, places[place].offset);
}

FaintLine
faint_line_unknown (void)
{
  const FaintParameter unknown = FAINT_PARAMETER_UNKNOWN;
  FaintLine line = {
    .position = unknown,
    .strength = unknown,
    .lorentz = unknown,
    .doppler = unknown,
    .speed_width = unknown,
    .speed_shift = unknown,
    .velocity_changing = unknown,
    .correlation = unknown,
    .strength_296 = NAN,
    .u_strength_296 = NAN,
    .lower_energy = NAN,
    .u_lower_energy = NAN,
    .snr = NAN,
    .peak = NAN,
    .chi2_reduced = NAN,
    .upper = "",
    .lower = "",
    .remark = "",
  };

  for (guint i = 0; i < FAINT_SOURCE_N; i++)
    line.position_from[i] = line.strength_from[i] = line.lorentz_from[i] = NAN;
  for (guint i = 0; i < FAINT_COEFFICIENT_N; i++)
    line.coefficient[i] = unknown;
  return line;
}

double
faint_line_frequency_mhz (double wavenumber)
{
  return wavenumber * (FAINT_SPEED_OF_LIGHT_CM_S / 1e6);
}

char *
faint_line_flags_to_text (guint flags)
{
  GString *text = g_string_new (NULL);

  for (gsize i = 0; i < G_N_ELEMENTS (flag_words); i++)
    if (flags & flag_words[i].flag)
      g_string_append_printf (text, "%s%s", text->len > 0 ? " " : "", flag_words[i].word);
  return g_string_free (text, FALSE);
}

guint
faint_line_flags_from_text (const char *text)
{
  g_auto (GStrv) words = g_strsplit_set (text, " \t", -1);
  guint flags = 0;

  for (char **word = words; *word != NULL; word++)
    for (gsize i = 0; i < G_N_ELEMENTS (flag_words); i++)
      if (strcmp (*word, flag_words[i].word) == 0)
        flags |= flag_words[i].flag;
  return flags;
}

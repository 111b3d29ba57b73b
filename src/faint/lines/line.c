/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/lines/line.h"

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
};

const char *
faint_uncertainty_source_name (FaintUncertaintySource source)
{
  g_return_val_if_fail ((guint)source < FAINT_SOURCE_N, "");
  return source_names[source];
}

FaintLine
faint_line_unknown (void)
{
  const FaintParameter unknown = { NAN, NAN, NAN, FAINT_STATE_FREE };
  FaintLine line = {
    .position = unknown,
    .strength = unknown,
    .lorentz = unknown,
    .doppler = unknown,
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

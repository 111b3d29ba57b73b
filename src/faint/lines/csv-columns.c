/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/lines/csv-private.h"

#include <stddef.h>
#include <string.h>

#define NUMBER(name, unit, limit, member)                                                          \
  {                                                                                                \
    name, FAINT_CSV_NUMBER, FAINT_CSV_UNIT_##unit, FAINT_CSV_##limit, offsetof (FaintLine, member) \
  }
#define TEXT(name, member)                                                                         \
  {                                                                                                \
    name, FAINT_CSV_TEXT, FAINT_CSV_UNIT_NONE, FAINT_CSV_ANY, offsetof (FaintLine, member)         \
  }

/* What a line need not have, with its uncertainty. */
#define OPTIONAL(name, unit, member)                                                               \
  { name,                                                                                          \
    FAINT_CSV_NUMBER,                                                                              \
    FAINT_CSV_UNIT_##unit,                                                                         \
    FAINT_CSV_ANY,                                                                                 \
    offsetof (FaintLine, member.value),                                                            \
    TRUE },                                                                                        \
  {                                                                                                \
    "u(" name ")", FAINT_CSV_NUMBER, FAINT_CSV_UNIT_##unit, FAINT_CSV_NOT_NEGATIVE,                \
        offsetof (FaintLine, member.u), TRUE                                                       \
  }
#define COEFFICIENT(name, unit, which) OPTIONAL (name, unit, coefficient[FAINT_COEFFICIENT_##which])
#define COMMON(name, unit, member, contributions)                                                  \
  {                                                                                                \
    name, FAINT_CSV_COMMON, FAINT_CSV_UNIT_##unit, FAINT_CSV_NOT_NEGATIVE,                         \
        offsetof (FaintLine, member), FALSE, offsetof (FaintLine, contributions)                   \
  }
#define EXPANDED(name, unit, member)                                                               \
  {                                                                                                \
    name, FAINT_CSV_EXPANDED, FAINT_CSV_UNIT_##unit, FAINT_CSV_NOT_NEGATIVE,                       \
        offsetof (FaintLine, member)                                                               \
  }

/* The order is a contract (docs/formats.md): a further column goes at the end. */
static const FaintCsvColumn columns[] = {
  { "id", FAINT_CSV_ID, FAINT_CSV_UNIT_NONE, FAINT_CSV_POSITIVE, 0 },
  NUMBER ("position", WAVENUMBER, POSITIVE, position.value),
  NUMBER ("u(position)", WAVENUMBER, NOT_NEGATIVE, position.u),
  { "frequency", FAINT_CSV_FREQUENCY, FAINT_CSV_UNIT_FREQUENCY, FAINT_CSV_POSITIVE, 0 },
  { "u(frequency)", FAINT_CSV_FREQUENCY_U, FAINT_CSV_UNIT_FREQUENCY, FAINT_CSV_NOT_NEGATIVE, 0 },
  NUMBER ("strength", STRENGTH, ANY, strength.value),
  NUMBER ("u(strength)", STRENGTH, NOT_NEGATIVE, strength.u),
  NUMBER ("u_noise(strength)", STRENGTH, NOT_NEGATIVE, strength.u_noise),
  NUMBER ("strength_296K", STRENGTH, ANY, strength_296),
  NUMBER ("lorentz_hwhm", WAVENUMBER, NOT_NEGATIVE, lorentz.value),
  NUMBER ("u(lorentz_hwhm)", WAVENUMBER, NOT_NEGATIVE, lorentz.u),
  NUMBER ("doppler_hwhm", WAVENUMBER, NOT_NEGATIVE, doppler.value),
  NUMBER ("u(doppler_hwhm)", WAVENUMBER, NOT_NEGATIVE, doppler.u),
  NUMBER ("lower_energy", WAVENUMBER, ANY, lower_energy),
  NUMBER ("u(lower_energy)", WAVENUMBER, NOT_NEGATIVE, u_lower_energy),
  TEXT ("upper", upper),
  TEXT ("lower", lower),
  NUMBER ("snr", NONE, ANY, snr),
  { "window", FAINT_CSV_WINDOW, FAINT_CSV_UNIT_NONE, FAINT_CSV_POSITIVE, 0 },
  NUMBER ("chi2_reduced", NONE, NOT_NEGATIVE, chi2_reduced),
  { "flags", FAINT_CSV_FLAGS, FAINT_CSV_UNIT_NONE, FAINT_CSV_ANY, 0 },
  TEXT ("remark", remark),
  NUMBER ("u(strength_296K)", STRENGTH, NOT_NEGATIVE, u_strength_296),
  NUMBER ("u_noise(position)", WAVENUMBER, NOT_NEGATIVE, position.u_noise),
  NUMBER ("u_noise(lorentz_hwhm)", WAVENUMBER, NOT_NEGATIVE, lorentz.u_noise),
  NUMBER ("peak_absorption", NONE, ANY, peak),
  COMMON ("u_common(position)", WAVENUMBER, position, position_from),
  COMMON ("u_common(strength)", STRENGTH, strength, strength_from),
  COMMON ("u_common(lorentz_hwhm)", WAVENUMBER, lorentz, lorentz_from),
  EXPANDED ("U(position)", WAVENUMBER, position),
  EXPANDED ("U(strength)", STRENGTH, strength),
  { "profile", FAINT_CSV_PROFILE, FAINT_CSV_UNIT_NONE, FAINT_CSV_ANY, 0, TRUE },
  OPTIONAL ("speed_width", WAVENUMBER, speed_width),
  OPTIONAL ("speed_shift", WAVENUMBER, speed_shift),
  OPTIONAL ("velocity_changing", WAVENUMBER, velocity_changing),
  OPTIONAL ("correlation", NONE, correlation),
  COEFFICIENT ("broadening_self", COEFFICIENT, BROADENING_SELF),
  COEFFICIENT ("broadening_foreign", COEFFICIENT, BROADENING_FOREIGN),
  COEFFICIENT ("broadening_mixture", COEFFICIENT, BROADENING_MIXTURE),
  COEFFICIENT ("shift_self", COEFFICIENT, SHIFT_SELF),
  COEFFICIENT ("shift_foreign", COEFFICIENT, SHIFT_FOREIGN),
  COEFFICIENT ("shift_mixture", COEFFICIENT, SHIFT_MIXTURE),
  COEFFICIENT ("width_exponent", NONE, WIDTH_EXPONENT),
  COEFFICIENT ("position_zero", WAVENUMBER, POSITION_ZERO),
  { "ties", FAINT_CSV_TIES, FAINT_CSV_UNIT_NONE, FAINT_CSV_ANY, 0, TRUE },
};

const FaintCsvColumn *
faint_csv_columns (gsize *n)
{
  *n = G_N_ELEMENTS (columns);
  return columns;
}

const FaintCsvColumn *
faint_csv_column_find (const char *name)
{
  for (gsize i = 0; i < G_N_ELEMENTS (columns); i++)
    if (strcmp (columns[i].name, name) == 0)
      return &columns[i];
  return NULL;
}

const char *
faint_csv_unit_text (FaintCsvUnit unit)
{
  switch (unit)
    {
    case FAINT_CSV_UNIT_WAVENUMBER:
      return "cm-1";
    case FAINT_CSV_UNIT_FREQUENCY:
      return "MHz";
    case FAINT_CSV_UNIT_STRENGTH:
      return "(cm/molecule)";
    case FAINT_CSV_UNIT_COEFFICIENT:
      return "(cm-1/atm)";
    case FAINT_CSV_UNIT_NONE:
    default:
      return NULL;
    }
}

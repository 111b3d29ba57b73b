/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Units of VOTables: those that are written, and the spellings of others that are read.
 */
#include <string.h>

#include "faint/base/quantity.h"
#include "faint/base/words.h"
#include "faint/lines/votable-private.h"
#include "faint/spectrum/setup.h"

/* hc/e in V m over cm: cm-1 in 1 eV (CODATA 2018, exact in the SI to all digits shown). */
#define WAVENUMBER_PER_EV 8065.543937349212
#define PASCAL_PER_ATMOSPHERE 101325.0

typedef struct
{
  const char *text;
  double scale;
  gboolean inverse;
} Spelling;

static const Spelling wavenumbers[] = {
  { "cm**-1", 1.0 },
  { "cm-1", 1.0 },
  { "cm^-1", 1.0 },
  { "cm^{-1}", 1.0 },
  { "1/cm", 1.0 },
  { "/cm", 1.0 },
  { "cm**(-1)", 1.0 },
  { "cm^(-1)", 1.0 },
  { "1 / cm", 1.0 },
  { "m**-1", 0.01 },
  { "m-1", 0.01 },
  { "1/m", 0.01 },
  { "/m", 0.01 },
  { "mm**-1", 10.0 },
  { "Hz", 1.0 / FAINT_SPEED_OF_LIGHT_CM_S },
  { "kHz", 1e3 / FAINT_SPEED_OF_LIGHT_CM_S },
  { "MHz", 1e6 / FAINT_SPEED_OF_LIGHT_CM_S },
  { "GHz", 1e9 / FAINT_SPEED_OF_LIGHT_CM_S },
  { "THz", 1e12 / FAINT_SPEED_OF_LIGHT_CM_S },
  { "eV", WAVENUMBER_PER_EV },
  { "meV", WAVENUMBER_PER_EV * 1e-3 },
  { "J", 1.0 / (FAINT_PLANCK_J_S * FAINT_SPEED_OF_LIGHT_CM_S) },
  { "nm", 1e7, TRUE },
  { "um", 1e4, TRUE },
  { "mm", 10.0, TRUE },
  { "cm", 1.0, TRUE },
  { "m", 0.01, TRUE },
  { "Angstrom", 1e8, TRUE },
  { "angstrom", 1e8, TRUE },
  { "0.1nm", 1e8, TRUE },
};

static const Spelling frequencies[] = {
  { "Hz", 1.0 }, { "kHz", 1e3 }, { "MHz", 1e6 }, { "GHz", 1e9 }, { "THz", 1e12 },
};

static const Spelling strengths[] = {
  { "cm", 1.0 },           { "cm/molecule", 1.0 }, { "cm.molecule**-1", 1.0 },
  { "cm/molec", 1.0 },     { "m", 100.0 },         { "cm-1/(molecule.cm**-2)", 1.0 },
  { "m/molecule", 100.0 },
};

static const Spelling coefficients[] = {
  { "cm**-1.Pa**-1", PASCAL_PER_ATMOSPHERE },
  { "cm**-1/Pa", PASCAL_PER_ATMOSPHERE },
  { "cm-1/Pa", PASCAL_PER_ATMOSPHERE },
  { "cm**-1.atm**-1", 1.0 },
  { "cm**-1/atm", 1.0 },
  { "cm-1/atm", 1.0 },
  { "cm**-1.bar**-1", PASCAL_PER_ATMOSPHERE / 1e5 },
  { "cm**-1/bar", PASCAL_PER_ATMOSPHERE / 1e5 },
  { "MHz/Pa", PASCAL_PER_ATMOSPHERE * 1e6 / FAINT_SPEED_OF_LIGHT_CM_S },
  { "MHz.Pa**-1", PASCAL_PER_ATMOSPHERE * 1e6 / FAINT_SPEED_OF_LIGHT_CM_S },
};

static const Spelling numbers[] = { { "", 1.0 }, { "1", 1.0 } };

static const struct
{
  const Spelling *spellings;
  gsize n;
  const char *missing, *unknown; /* places for the FIELD and the unit; to be translated */
} kinds[] = {
  [FAINT_CSV_UNIT_NONE]
  = { numbers, G_N_ELEMENTS (numbers), NULL,
      N_ ("the FIELD '%s' has the unit '%s', which is not understood; expected no unit") },
  [FAINT_CSV_UNIT_WAVENUMBER]
  = { wavenumbers, G_N_ELEMENTS (wavenumbers),
      N_ ("the FIELD '%s' has no unit; expected cm**-1, m**-1, Hz to THz, eV, J, or a vacuum "
          "wavelength in nm, um, mm, cm, m, Angstrom"),
      N_ ("the FIELD '%s' has the unit '%s', which is not understood; expected cm**-1, m**-1, Hz "
          "to THz, eV, J, or a vacuum wavelength in nm, um, mm, cm, m, Angstrom") },
  [FAINT_CSV_UNIT_FREQUENCY]
  = { frequencies, G_N_ELEMENTS (frequencies),
      N_ ("the FIELD '%s' has no unit; expected Hz to THz"),
      N_ ("the FIELD '%s' has the unit '%s', which is not understood; expected Hz to THz") },
  [FAINT_CSV_UNIT_STRENGTH] = { strengths, G_N_ELEMENTS (strengths),
                                N_ ("the FIELD '%s' has no unit; expected cm (per molecule)"),
                                N_ ("the FIELD '%s' has the unit '%s', which is not understood; "
                                    "expected cm (per molecule)") },
  [FAINT_CSV_UNIT_COEFFICIENT]
  = { coefficients, G_N_ELEMENTS (coefficients),
      N_ ("the FIELD '%s' has no unit; expected cm**-1.Pa**-1, cm**-1.bar**-1 or cm**-1.atm**-1"),
      N_ ("the FIELD '%s' has the unit '%s', which is not understood; expected cm**-1.Pa**-1, "
          "cm**-1.bar**-1 or cm**-1.atm**-1") },
};

double
faint_votable_scale (FaintCsvUnit kind, const char *text, gboolean *inverse)
{
  for (gsize i = 0; i < kinds[kind].n; i++)
    if (strcmp (kinds[kind].spellings[i].text, text) == 0)
      {
        *inverse = kinds[kind].spellings[i].inverse;
        return kinds[kind].spellings[i].scale;
      }
  return 0.0;
}

char *
faint_votable_unit_refusal (FaintCsvUnit kind, const char *field, const char *unit)
{
  return *unit == '\0' && kinds[kind].missing != NULL
             ? g_strdup_printf (_ (kinds[kind].missing), field)
             : g_strdup_printf (_ (kinds[kind].unknown), field, unit);
}

const char *
faint_votable_note_ucd (const char *key)
{
  static const struct
  {
    const char *key, *ucd;
  } rows[] = {
    { "temperature", "phys.temperature" },
    { "pressure", "phys.pressure" },
    { "molar_mass", "phys.mass" },
    { "mole_fraction", "phys.abund" },
    { "isotopic_abundance", "phys.abund" },
    { "recording_time", "time.duration;obs.exposure" },
    { "reference_temperature", "phys.temperature" },
    { "chi2_reduced", "stat.fit.chi2" },
    { "title", "meta.title" },
    { "program", "meta.id;meta.software" },
    { "input", "meta.id;meta.file" },
    { "date", "time.creation" },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    if (strcmp (rows[i].key, key) == 0)
      return rows[i].ucd;
  return NULL;
}

/* Names that VOUnits 1.0 knows too; the wavenumber is spelled its way. */
static const char *
known_unit (const FaintUnit *unit)
{
  static const char *const same[]
      = { "K",   "Pa",  "hPa", "kPa", "m",  "cm", "mm", "Hz",    "kHz",
          "MHz", "GHz", "THz", "s",   "ms", "us", "ns", "g/mol", "rad" };

  if (strcmp (unit->name, "cm-1") == 0)
    return "cm**-1";
  if (unit->dimension == FAINT_DIMENSION_NUMBER)
    return unit->scale == 1.0 ? "" : NULL;
  for (gsize i = 0; i < G_N_ELEMENTS (same); i++)
    if (strcmp (same[i], unit->name) == 0)
      return same[i];
  return NULL;
}

/* The dimension of the key's quantity. */
static gboolean
dimension_of (const char *key, FaintDimension *dimension, gboolean *is_u)
{
  gsize length = strlen (key);
  g_autofree char *name = NULL;
  const FaintSetupKey *setup_key;

  *is_u = g_str_has_prefix (key, "u(") && key[length - 1] == ')';
  name = *is_u ? g_strndup (key + 2, length - 3) : g_strdup (key);
  if (strcmp (name, "reference_temperature") == 0)
    *dimension = FAINT_DIMENSION_TEMPERATURE;
  else
    {
      setup_key = faint_setup_key_find (name);
      if (setup_key == NULL || setup_key->kind != FAINT_SETUP_KIND_QUANTITY)
        return FALSE;
      *dimension = setup_key->dimension;
    }
  return TRUE;
}

gboolean
faint_votable_note_quantity (const char *key, const char *value, char **number, char **unit)
{
  const char *behind = strrchr (key, ' '); /* "spectrum 2: pressure" */
  FaintQuantity quantity = FAINT_QUANTITY_UNKNOWN;
  const FaintUnit *written;
  FaintDimension dimension;
  gboolean is_u;
  gsize length = strcspn (value, " ");

  if (!dimension_of (behind != NULL ? behind + 1 : key, &dimension, &is_u)
      || !(is_u ? faint_quantity_parse_u (value, dimension, &quantity, NULL)
                : faint_quantity_parse (value, dimension, &quantity, NULL)))
    return FALSE;
  if (!is_u && isfinite (quantity.u))
    return FALSE; /* value and uncertainty in one text */
  written = faint_unit_find (dimension, value + length + strspn (value + length, " "));
  if (written != NULL && known_unit (written) != NULL)
    {
      *number = g_strndup (value, length);
      *unit = g_strdup (known_unit (written));
      return TRUE;
    }
  *number = faint_format_double (is_u ? quantity.u : quantity.value);
  *unit = g_strdup (known_unit (faint_unit_library (dimension)));
  return TRUE;
}

char *
faint_votable_unit_text (const char *unit)
{
  return g_strdup (strcmp (unit, "cm**-1") == 0 || strcmp (unit, "1/cm") == 0 ? "cm-1" : unit);
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/base/units.h"

#include <math.h>

#define KELVIN_AT_0_DEGC 273.15 /* exact, SI Brochure, 9th edition, 2.3.1 */
#define PASCAL_PER_ATM 101325.0 /* exact, conventional */
#define CM_S FAINT_SPEED_OF_LIGHT_CM_S

/* The first unit of a dimension is the library's own. */
static const FaintUnit table[] = {
  { "1", FAINT_DIMENSION_NUMBER, 1.0, 0.0 },
  { "K", FAINT_DIMENSION_TEMPERATURE, 1.0, 0.0 },
  { "degC", FAINT_DIMENSION_TEMPERATURE, 1.0, KELVIN_AT_0_DEGC },
  { "Pa", FAINT_DIMENSION_PRESSURE, 1.0, 0.0 },
  { "hPa", FAINT_DIMENSION_PRESSURE, 1e2, 0.0 },
  { "kPa", FAINT_DIMENSION_PRESSURE, 1e3, 0.0 },
  { "mbar", FAINT_DIMENSION_PRESSURE, 1e2, 0.0 },
  { "bar", FAINT_DIMENSION_PRESSURE, 1e5, 0.0 },
  { "Torr", FAINT_DIMENSION_PRESSURE, PASCAL_PER_ATM / 760.0, 0.0 },
  { "atm", FAINT_DIMENSION_PRESSURE, PASCAL_PER_ATM, 0.0 },
  { "cm", FAINT_DIMENSION_LENGTH, 1.0, 0.0 },
  { "m", FAINT_DIMENSION_LENGTH, 1e2, 0.0 },
  { "mm", FAINT_DIMENSION_LENGTH, 1e-1, 0.0 },
  { "s", FAINT_DIMENSION_TIME, 1.0, 0.0 },
  { "ms", FAINT_DIMENSION_TIME, 1e-3, 0.0 },
  { "us", FAINT_DIMENSION_TIME, 1e-6, 0.0 },
  { "ns", FAINT_DIMENSION_TIME, 1e-9, 0.0 },
  { "Hz", FAINT_DIMENSION_FREQUENCY, 1.0, 0.0 },
  { "kHz", FAINT_DIMENSION_FREQUENCY, 1e3, 0.0 },
  { "MHz", FAINT_DIMENSION_FREQUENCY, 1e6, 0.0 },
  { "GHz", FAINT_DIMENSION_FREQUENCY, 1e9, 0.0 },
  { "THz", FAINT_DIMENSION_FREQUENCY, 1e12, 0.0 },
  { "cm-1", FAINT_DIMENSION_FREQUENCY, CM_S, 0.0 },
  { "cm-1", FAINT_DIMENSION_WAVENUMBER, 1.0, 0.0 },
  { "Hz", FAINT_DIMENSION_WAVENUMBER, 1.0 / CM_S, 0.0 },
  { "kHz", FAINT_DIMENSION_WAVENUMBER, 1e3 / CM_S, 0.0 },
  { "MHz", FAINT_DIMENSION_WAVENUMBER, 1e6 / CM_S, 0.0 },
  { "GHz", FAINT_DIMENSION_WAVENUMBER, 1e9 / CM_S, 0.0 },
  { "THz", FAINT_DIMENSION_WAVENUMBER, 1e12 / CM_S, 0.0 },
  { "g/mol", FAINT_DIMENSION_MOLAR_MASS, 1.0, 0.0 },
  { "u", FAINT_DIMENSION_MOLAR_MASS, 1.0, 0.0 },
  { "rad", FAINT_DIMENSION_ANGLE, 1.0, 0.0 },
};

const FaintUnit *
faint_unit_find (FaintDimension dimension, const char *name)
{
  const char *sought = *name == '\0' && dimension == FAINT_DIMENSION_NUMBER ? "1" : name;

  for (gsize i = 0; i < G_N_ELEMENTS (table); i++)
    if (table[i].dimension == dimension && g_str_equal (table[i].name, sought))
      return &table[i];
  return NULL;
}

const FaintUnit *
faint_unit_library (FaintDimension dimension)
{
  for (gsize i = 0; i < G_N_ELEMENTS (table); i++)
    if (table[i].dimension == dimension)
      return &table[i];
  g_return_val_if_reached (&table[0]);
}

char *
faint_unit_names (FaintDimension dimension)
{
  GString *names = g_string_new (NULL);

  for (gsize i = 0; i < G_N_ELEMENTS (table); i++)
    if (table[i].dimension == dimension)
      g_string_append_printf (names, "%s%s", names->len > 0 ? ", " : "", table[i].name);
  return g_string_free (names, FALSE);
}

gsize
faint_units_of (FaintDimension dimension, const FaintUnit **units, gsize max)
{
  gsize n = 0;

  for (gsize i = 0; i < G_N_ELEMENTS (table); i++)
    if (table[i].dimension == dimension)
      {
        if (n < max)
          units[n] = &table[i];
        n++;
      }
  return n;
}

double
faint_doppler_hwhm (double wavenumber, double temperature, double molar_mass)
{
  const double c = FAINT_SPEED_OF_LIGHT_CM_S / 100.0; /* m/s */
  const double kilogram_per_mol = molar_mass / 1000.0;

  return wavenumber / c
         * sqrt (2.0 * FAINT_LN2 * FAINT_BOLTZMANN_J_K * FAINT_AVOGADRO_MOL * temperature
                 / kilogram_per_mol);
}

double
faint_number_density (double pressure, double temperature)
{
  const double cm3_per_m3 = 1e6;

  return pressure / (FAINT_BOLTZMANN_J_K * temperature) / cm3_per_m3;
}

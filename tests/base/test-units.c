/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/base/units.h"

#include <string.h>

#include "faint-test.h"

static void
test_number_density (void)
{
  FaintTestTable *table = faint_test_table_read ("base_constants.csv");

  for (guint i = 0; i < table->rows->len; i++)
    faint_assert_close (faint_number_density (faint_test_table_number (table, i, "pressure"),
                                              faint_test_table_number (table, i, "temperature")),
                        faint_test_table_number (table, i, "density"), 3e-12,
                        "the table gives 12 to 15 digits");
  faint_test_table_free (table);
}

static void
test_doppler (void)
{
  FaintTestTable *table = faint_test_table_read ("base_doppler.csv");

  for (guint i = 0; i < table->rows->len; i++)
    faint_assert_close (faint_doppler_hwhm (faint_test_table_number (table, i, "wavenumber"),
                                            faint_test_table_number (table, i, "temperature"),
                                            faint_test_table_number (table, i, "molar_mass")),
                        faint_test_table_number (table, i, "hwhm"), 5e-10,
                        "the table gives 10 digits");
  faint_test_table_free (table);
}

/* c2 = hc/k from the defining constants of the SI (SI Brochure, 9th edition, table 1). */
static void
test_second_radiation_constant (void)
{
  faint_assert_close (FAINT_C2_CM_K,
                      FAINT_PLANCK_J_S * FAINT_SPEED_OF_LIGHT_CM_S / FAINT_BOLTZMANN_J_K, 4e-16,
                      "rounding of two operations");
}

typedef struct
{
  FaintDimension dimension;
  const char *name;
  double scale, offset;
} Known;

static void
test_units (void)
{
  /* SI prefixes and exact conversions: SI Brochure, 9th edition, tables 7 and 8; 1 atm = 101325 Pa
   * and 1 Torr = 101325/760 Pa; 1 cm-1 = 29979.2458 MHz times c exactly; 0 degC = 273.15 K. */
  static const Known known[] = {
    { FAINT_DIMENSION_NUMBER, "", 1, 0 },
    { FAINT_DIMENSION_NUMBER, "1", 1, 0 },
    { FAINT_DIMENSION_TEMPERATURE, "K", 1, 0 },
    { FAINT_DIMENSION_TEMPERATURE, "degC", 1, 273.15 },
    { FAINT_DIMENSION_PRESSURE, "Pa", 1, 0 },
    { FAINT_DIMENSION_PRESSURE, "hPa", 100, 0 },
    { FAINT_DIMENSION_PRESSURE, "mbar", 100, 0 },
    { FAINT_DIMENSION_PRESSURE, "kPa", 1000, 0 },
    { FAINT_DIMENSION_PRESSURE, "bar", 100000, 0 },
    { FAINT_DIMENSION_PRESSURE, "Torr", 133.322368421053, 0 },
    { FAINT_DIMENSION_PRESSURE, "atm", 101325, 0 },
    { FAINT_DIMENSION_LENGTH, "m", 100, 0 },
    { FAINT_DIMENSION_LENGTH, "cm", 1, 0 },
    { FAINT_DIMENSION_LENGTH, "mm", 0.1, 0 },
    { FAINT_DIMENSION_TIME, "us", 1e-6, 0 },
    { FAINT_DIMENSION_TIME, "ns", 1e-9, 0 },
    { FAINT_DIMENSION_FREQUENCY, "MHz", 1e6, 0 },
    { FAINT_DIMENSION_FREQUENCY, "THz", 1e12, 0 },
    { FAINT_DIMENSION_FREQUENCY, "cm-1", 29979.2458e6, 0 },
    { FAINT_DIMENSION_WAVENUMBER, "cm-1", 1, 0 },
    { FAINT_DIMENSION_WAVENUMBER, "MHz", 3.33564095198152e-5, 0 },
    { FAINT_DIMENSION_MOLAR_MASS, "u", 1, 0 },
    { FAINT_DIMENSION_MOLAR_MASS, "g/mol", 1, 0 },
    { FAINT_DIMENSION_ANGLE, "rad", 1, 0 },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (known); i++)
    {
      const FaintUnit *unit = faint_unit_find (known[i].dimension, known[i].name);

      g_assert_nonnull (unit);
      faint_assert_close (unit->scale, known[i].scale, 5e-15, "15 digits quoted");
      g_assert_cmpfloat (unit->offset, ==, known[i].offset);
    }
  g_assert_null (faint_unit_find (FAINT_DIMENSION_PRESSURE, "psi"));
  g_assert_null (faint_unit_find (FAINT_DIMENSION_PRESSURE, "K"));
  g_assert_null (faint_unit_find (FAINT_DIMENSION_PRESSURE, ""));
  g_assert_null (faint_unit_find (FAINT_DIMENSION_PRESSURE, "hpa"));
}

static void
test_library_units (void)
{
  const FaintUnit *units[16];

  for (int dimension = 0; dimension <= FAINT_DIMENSION_ANGLE; dimension++)
    {
      const FaintUnit *unit = faint_unit_library ((FaintDimension)dimension);
      gsize n = faint_units_of ((FaintDimension)dimension, units, G_N_ELEMENTS (units));
      g_autofree char *names = faint_unit_names ((FaintDimension)dimension);

      g_assert_cmpint (unit->dimension, ==, dimension);
      g_assert_cmpfloat (unit->scale, ==, 1.0);
      g_assert_cmpfloat (unit->offset, ==, 0.0);
      g_assert_true (units[0] == unit);
      for (gsize i = 0; i < n; i++)
        g_assert_nonnull (strstr (names, units[i]->name));
    }
  g_assert_cmpuint (faint_units_of (FAINT_DIMENSION_PRESSURE, units, 1), ==, 7);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/units/number-density", test_number_density);
  g_test_add_func ("/units/doppler-width", test_doppler);
  g_test_add_func ("/units/second-radiation-constant", test_second_radiation_constant);
  g_test_add_func ("/units/known", test_units);
  g_test_add_func ("/units/library-units", test_library_units);
  return g_test_run ();
}

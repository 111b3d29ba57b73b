/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * 1 cm-1 corresponds to 29979.2458 MHz exactly, since c = 299792458 m/s (SI Brochure, 9th edition,
 * 2019); the vacuum wavelength in nm is 1e7 over the wavenumber in cm-1 by definition.
 */
#include "figure/axis-unit.h"

#include "faint-test.h"

#include <math.h>

static const FaintAxisUnit tooth_unit
    = { .kind = FAINT_AXIS_UNIT_TOOTH, .repetition_rate = 250e6, .offset_frequency = 20e6 };

static void
test_definitions (void)
{
  FaintAxisUnit unit = { .kind = FAINT_AXIS_UNIT_MHZ };
  faint_assert_close (faint_axis_unit_value (&unit, 1.0), 29979.2458, 1e-15, "one rounding");
  unit.origin = 7790.0;
  faint_assert_close (faint_axis_unit_value (&unit, 7790.5), 14989.6229, 1e-15, "one rounding");
  unit.kind = FAINT_AXIS_UNIT_GHZ;
  faint_assert_close (faint_axis_unit_value (&unit, 7791.0), 29.9792458, 1e-15, "one rounding");
  unit.kind = FAINT_AXIS_UNIT_THZ; /* the origin does not count */
  faint_assert_close (faint_axis_unit_value (&unit, 1e4), 299.792458, 1e-15, "one rounding");
  unit.kind = FAINT_AXIS_UNIT_WAVELENGTH;
  faint_assert_close (faint_axis_unit_value (&unit, 8000.0), 1250.0, 1e-15, "one rounding");
  /* tooth 934000: f = 934000 x 250 MHz + 20 MHz = 233.50002 THz */
  faint_assert_close (faint_axis_unit_value (&tooth_unit, 233.50002e12 / 29979245800.0), 934000.0,
                      1e-15, "three roundings");
}

static void
test_round_trip (void)
{
  for (int kind = 0; kind < FAINT_AXIS_UNIT_N; kind++)
    {
      FaintAxisUnit unit = { kind, 7790.2, 250e6, 20e6 };
      for (double wavenumber = 7700.123; wavenumber < 7900.0; wavenumber += 17.3)
        faint_assert_close (
            faint_axis_unit_wavenumber (&unit, faint_axis_unit_value (&unit, wavenumber)),
            wavenumber, 1e-15, "a few roundings of 1e-16");
    }
}

/* Near 8000 cm-1 = 1250 nm: u = 0.001 cm-1 is 1250^2 nm^2 x 1e-7/nm x 0.001 = 1.5625e-4 nm, 29.979
 * MHz, and 0.11992 teeth of 250 MHz; by hand. */
static void
test_uncertainty (void)
{
  static const struct
  {
    FaintAxisUnitKind kind;
    double u;
    const char *text, *rough;
  } cases[] = {
    { FAINT_AXIS_UNIT_WAVENUMBER, 0.001, "8000.0000(10)", "8000.000" },
    { FAINT_AXIS_UNIT_THZ, 2.99792458e-5, "239.833966(30)", "239.83397" },
    { FAINT_AXIS_UNIT_GHZ, 2.99792458e-2, "−14.990(30)", "−14.99" },
    { FAINT_AXIS_UNIT_MHZ, 29.9792458, "−14990(30)", "−14990" },
    { FAINT_AXIS_UNIT_WAVELENGTH, 1.5625e-4, "1250.00000(16)", "1250.0000" },
    { FAINT_AXIS_UNIT_TOOTH, 0.1199169832, "959335.79(12)", "959335.8" },
  };

  for (guint i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      FaintAxisUnit unit = { cases[i].kind, 8000.5, 250e6, 20e6 };
      g_autofree char *text = faint_axis_unit_concise (&unit, 8000.0, 0.001, 0.001);
      g_autofree char *rough = faint_axis_unit_concise (&unit, 8000.0, NAN, 0.001);

      faint_assert_close (faint_axis_unit_uncertainty (&unit, 8000.0, 0.001), cases[i].u, 1e-9,
                          "ten digits by hand");
      g_assert_cmpstr (text, ==, cases[i].text);
      g_assert_cmpstr (rough, ==, cases[i].rough);
    }
}

/* Widths are frequencies where the axis counts them: 0.01 cm-1 is 299.792458 MHz. */
static void
test_differences (void)
{
  double scale;

  g_assert_cmpstr (faint_axis_unit_of_differences (FAINT_AXIS_UNIT_THZ, &scale), ==, "MHz");
  faint_assert_close (0.01 * scale, 299.792458, 1e-15, "one rounding");
  g_assert_cmpstr (faint_axis_unit_of_differences (FAINT_AXIS_UNIT_WAVELENGTH, &scale), ==, "cm⁻¹");
  g_assert_cmpfloat (scale, ==, 1.0);
  g_assert_cmpstr (faint_axis_unit_of_differences (FAINT_AXIS_UNIT_TOOTH, &scale), ==, "cm⁻¹");
  g_assert_true (faint_axis_unit_falls (FAINT_AXIS_UNIT_WAVELENGTH));
  g_assert_false (faint_axis_unit_falls (FAINT_AXIS_UNIT_TOOTH));
}

static void
test_labels (void)
{
  static const char *const labels[] = { "wavenumber/cm⁻¹",
                                        "frequency/THz",
                                        "(frequency − c·7790.25 cm⁻¹)/GHz",
                                        "(frequency − c·7790.25 cm⁻¹)/MHz",
                                        "vacuum wavelength/nm",
                                        "tooth number" };
  for (int kind = 0; kind < FAINT_AXIS_UNIT_N; kind++)
    {
      FaintAxisUnit unit = { .kind = kind, .origin = 7790.25 };
      g_autofree char *label = faint_axis_unit_label (&unit, NULL);
      g_assert_cmpstr (label, ==, labels[kind]);
      g_assert_cmpint (faint_axis_unit_from_name (faint_axis_unit_name (kind)), ==, kind);
    }
  FaintAxisUnit absolute = { .kind = FAINT_AXIS_UNIT_MHZ };
  g_autofree char *label = faint_axis_unit_label (&absolute, NULL);
  g_assert_cmpstr (label, ==, "frequency/MHz");
  g_assert_cmpint (faint_axis_unit_from_name ("furlong"), ==, FAINT_AXIS_UNIT_N);
  g_assert_cmpint (faint_axis_unit_from_name (NULL), ==, FAINT_AXIS_UNIT_N);
}

static void
assert_format (FaintAxisUnit unit, double wavenumber, double distance, const char *want)
{
  g_autofree char *text = faint_axis_unit_format (&unit, wavenumber, distance);
  g_assert_cmpstr (text, ==, want);
}

static void
test_format (void)
{
  FaintAxisUnit unit = FAINT_AXIS_UNIT_DEFAULT;
  assert_format (unit, 7790.220341, 1e-3, "7790.220 cm⁻¹");
  assert_format (unit, 7790.220341, 2e-6, "7790.220341 cm⁻¹");
  assert_format (unit, 7790.220341, 30.0, "7790 cm⁻¹");
  assert_format (unit, NAN, 1.0, "–");
  unit.kind = FAINT_AXIS_UNIT_WAVELENGTH;
  /* 1e7/7790.220341 = 1283.66073... by hand; 0.01 cm-1 is 0.0016 nm there: three decimals */
  assert_format (unit, 7790.220341, 0.01, "1283.661 nm");
  unit = (FaintAxisUnit){ .kind = FAINT_AXIS_UNIT_MHZ, .origin = 7790.5 };
  assert_format (unit, 7790.0, 1e-4, "−14990 MHz");
  assert_format (unit, 7790.5 - 1e-9, 1e-3, "0 MHz"); /* no minus before nothing */
  assert_format (tooth_unit, 233.50002e12 / 29979245800.0, 1.0, "934000");
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/axis-unit/definitions", test_definitions);
  g_test_add_func ("/axis-unit/round-trip", test_round_trip);
  g_test_add_func ("/axis-unit/labels", test_labels);
  g_test_add_func ("/axis-unit/uncertainty", test_uncertainty);
  g_test_add_func ("/axis-unit/differences", test_differences);
  g_test_add_func ("/axis-unit/format", test_format);
  return g_test_run ();
}

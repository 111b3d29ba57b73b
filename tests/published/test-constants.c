/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Constants, masses and widths as the literature prints them.
 */
#include "faint/base/quantity.h"
#include "faint-test.h"

#include <math.h>

/* CODATA recommended values of 2018 (Tiesinga, Mohr, Newell, Taylor, Rev. Mod. Phys. 93, 025010
 * (2021), table XXXI). */
static void
test_codata (void)
{
  faint_assert_close (faint_number_density (101325.0, 273.15), 2.686780111e25 * 1e-6, 4e-10,
                      "Loschmidt's constant, 10 printed digits, cut and not rounded");
  faint_assert_close (faint_number_density (100000.0, 273.15), 2.651645804e25 * 1e-6, 4e-10,
                      "Loschmidt's constant at 100 kPa, 10 printed digits, cut and not rounded");
  faint_assert_close (FAINT_C2_CM_K, 1.438776877, 4e-10, "10 printed digits, cut and not rounded");
  faint_assert_close (FAINT_BOLTZMANN_J_K * FAINT_AVOGADRO_MOL, 8.314462618, 2e-10,
                      "molar gas constant, 10 printed digits, cut and not rounded");
  faint_assert_close (FAINT_PLANCK_J_S * FAINT_SPEED_OF_LIGHT_CM_S, 1.986445857e-23, 2e-10,
                      "1 cm-1 in joules, 10 printed digits, cut and not rounded");
  faint_assert_close (FAINT_BOLTZMANN_J_K * 296.0 / (FAINT_PLANCK_J_S * FAINT_SPEED_OF_LIGHT_CM_S),
                      296.0 * 0.6950348004, 2e-10,
                      "k/(hc) in cm-1/K, 10 printed digits, cut and not rounded");
}

/* The textbook formula, full width 7.16e-7 nu sqrt(T/M) (Demtroeder, Laser Spectroscopy, ch. 3,
 * from memory), and the width by mass in kilogram with the atomic mass constant of CODATA 2018. */
static void
test_doppler (void)
{
  const double atomic_mass = 1.66053906660e-27, c = 299792458.0;

  faint_assert_close (2.0 * faint_doppler_hwhm (1.0, 1.0, 1.0), 7.16e-7, 7e-4, "3 printed digits");
  for (double mass = 2.0; mass < 200.0; mass *= 1.9)
    faint_assert_close (
        faint_doppler_hwhm (6500.0, 296.0, mass),
        6500.0 * sqrt (2.0 * log (2.0) * 1.380649e-23 * 296.0 / (mass * atomic_mass * c * c)),
        3e-10, "the molar mass constant is 1 g/mol less 3e-10");
}

typedef struct
{
  const char *name;
  double mass, listed; /* sum of atomic masses; the molecule as line databases list it */
  double wavenumber, hwhm;
} Molecule;

/* Sums of AME2020 (Wang, Huang, Kondev, Audi, Naimi, Chinese Phys. C 45, 030003 (2021)) for 1H
 * 1.007825031898, 12C 12, 14N 14.00307400425, 16O 15.99491461926, against the masses that go with
 * published line lists (6 decimals); widths at 296 K of lines used elsewhere in these tests,
 * computed with the listed masses apart from this program. */
static void
test_molecules (void)
{
  const double h = 1.007825031898, n = 14.00307400425, o = 15.99491461926;
  const Molecule molecules[] = {
    { "14N2 16O", 2 * n + o, 44.001062, 6580.85, 0.006112521307 },
    { "12C16O", 12 + o, 27.994915, 6354.179, 0.007399286471 },
    { "12C16O2", 12 + 2 * o, 43.989830, 6227.917, 0.005785443381 },
    { "12C2H2", 24 + 2 * h, 26.015650, 6534.3636, 0.007893251298 },
    { "H12C14N", h + 12 + n, 27.010899, 6519.61, 0.007728978002 },
    { "12CH4", 12 + 4 * h, 16.031300, 6046.964, 0.009305141591 },
    { "14NH3", n + 3 * h, 17.026549, 6528.76, 0.009748490241 },
    { "H2 16O", 2 * h + o, 18.010565, 7181.15578, 0.010425590270 },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (molecules); i++)
    {
      const Molecule *it = &molecules[i];

      faint_assert_near (it->mass, it->listed, 1e-6, "6 printed decimals, one unit in the last");
      faint_assert_close (faint_doppler_hwhm (it->wavenumber, 296.0, it->listed), it->hwhm, 5e-10,
                          "10 printed digits");
      /* A mass wrong by 1e-6 u changes the width by 3e-8 at most. */
      faint_assert_close (faint_doppler_hwhm (it->wavenumber, 296.0, it->mass), it->hwhm, 4e-8,
                          "the masses differ by up to 1e-6 u");
    }
}

static double
parsed (const char *text, FaintDimension dimension)
{
  g_autoptr (GError) error = NULL;
  FaintQuantity quantity;

  g_assert_true (faint_quantity_parse (text, dimension, &quantity, &error));
  return quantity.value;
}

/* Conversions of the trade. 1 MHz = 3.33564095198152e-5 cm-1, 1 Torr = 133.322368 Pa (NIST SP 811
 * (2008), appendix B.8: 1.333 224 E+02), 1 atm = 101 325 Pa exactly. */
static void
test_conversions (void)
{
  faint_assert_close (parsed ("760 Torr", FAINT_DIMENSION_PRESSURE), 101325.0, 1e-15,
                      "exact by definition; rounding");
  faint_assert_close (parsed ("1 Torr", FAINT_DIMENSION_PRESSURE), 133.3224, 3e-7,
                      "7 printed digits");
  faint_assert_close (parsed ("1 atm", FAINT_DIMENSION_PRESSURE), 101325.0, 0.0, "exact");
  faint_assert_close (parsed ("1 MHz", FAINT_DIMENSION_WAVENUMBER), 3.33564095198152e-5, 2e-15,
                      "15 digits");
  faint_assert_close (parsed ("1 cm-1", FAINT_DIMENSION_FREQUENCY), 29979.2458e6, 0.0, "exact");
  /* Acetylene near 1.54 um as recommended by CCL and CCTF: frequency and vacuum wavelength of P(9)
   * of nu1 + nu3, 12C2H2 (table 3) and 13C2H2 (table 1). */
  faint_assert_close (parsed ("195895288002 kHz", FAINT_DIMENSION_WAVENUMBER), 1e7 / 1530.3709500,
                      4e-11, "11 printed digits of the wavelength");
  faint_assert_close (parsed ("194894848596 kHz", FAINT_DIMENSION_WAVENUMBER), 1e7 / 1538.2266907,
                      4e-11, "11 printed digits of the wavelength");
  faint_assert_close (parsed ("23.5 degC", FAINT_DIMENSION_TEMPERATURE), 296.65, 1e-15, "exact");
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/published/constants/codata", test_codata);
  g_test_add_func ("/published/constants/doppler", test_doppler);
  g_test_add_func ("/published/constants/molecules", test_molecules);
  g_test_add_func ("/published/constants/conversions", test_conversions);
  return g_test_run ();
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/spectrum/comb.h"

#include <math.h>

#include "faint-test.h"

/* f = n f_rep + f_0 (Cundiff & Ye, Rev. Mod. Phys. 75, 325 (2003)), by whole-number arithmetic. */
static void
test_teeth (void)
{
  g_assert_cmpfloat (faint_comb_frequency (767123, 250e6, 20e6), ==, 191780770e6);
  g_assert_cmpfloat (faint_comb_frequency (767123, 250e6, -20e6), ==, 191780730e6);
  faint_assert_close (faint_comb_frequency_u (767123, 0.5, 3e5), hypot (383561.5, 3e5), 1e-15,
                      "two operations");
  for (gint64 n = 760000; n < 760500; n++)
    {
      double f = faint_comb_frequency (n, 249999871.3, -20700000.7);

      g_assert_cmpint (faint_comb_tooth (f, 249999871.3, -20700000.7), ==, n);
      g_assert_cmpint (faint_comb_tooth (f + 1.2e8, 249999871.3, -20700000.7), ==, n);
      g_assert_cmpint (faint_comb_tooth (f - 1.2e8, 249999871.3, -20700000.7), ==, n);
    }
}

/* 1 cm-1 = 29979.2458 MHz; vacuum wavelength/nm = 1e7/(wavenumber/cm-1). */
static void
test_conversions (void)
{
  g_assert_cmpfloat (faint_comb_frequency_from_wavenumber (1.0), ==, 29979245800.0);
  g_assert_cmpfloat (faint_comb_wavenumber_from_frequency (29979245800.0), ==, 1.0);
  faint_assert_close (faint_comb_wavenumber_from_wavelength (1530.0), 6535.94771241830, 1e-14,
                      "15 digits worked by hand");
  faint_assert_close (faint_comb_wavelength_from_wavenumber (6535.94771241830), 1530.0, 1e-14,
                      "15 digits worked by hand");
}

/* Coddington, Newbury & Swann, Optica 3, 414 (2016): compression f_rep/Df, span f_rep^2/(2 Df).
 * For f_rep = 100 MHz and Df = 200 Hz: 500000 and 25 THz, by hand. */
static void
test_two_combs (void)
{
  g_assert_cmpfloat (faint_comb_compression (1e8, 200.0), ==, 5e5);
  g_assert_cmpfloat (faint_comb_compression (1e8, -200.0), ==, 5e5);
  g_assert_cmpfloat (faint_comb_alias_free_span (1e8, 200.0), ==, 25e12);
  g_assert_cmpfloat (faint_comb_alias_free_span (1e8, -200.0), ==, 25e12);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/comb/teeth", test_teeth);
  g_test_add_func ("/comb/conversions", test_conversions);
  g_test_add_func ("/comb/two-combs", test_two_combs);
  return g_test_run ();
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A comb table for the tests of the analysis: a single pass through a gas with three lines, by
 * formulas of its own.
 */
#pragma once

#include <complex.h>
#include <math.h>

#include "faint-test.h"

#define TABLE_TEETH 400
#define TABLE_HEAD                                                                                 \
  "# comb-table 1\n# title = three lines\n# repetition_rate = 100 MHz\n"                           \
  "# u(repetition_rate) = 0.2 Hz\n# offset_frequency = 20 MHz\n"                                   \
  "# observable = power\n# temperature = 296.15 K\n# u(temperature) = 0.1 K\n"                     \
  "# pressure = 2.5 hPa\n# u(pressure) = 0.01 hPa\n# mole_fraction = 1\n"                          \
  "# molar_mass = 44.0011 g/mol\n# cavity = none\n# cavity_length = 50 m\n"

/* Re w(z) (DLMF 7.7.2) by the trapezoidal rule; good for y above 0.1. */
static inline double
table_profile (double x, double y)
{
  const double h = 1.0 / 60.0;
  double complex z = x + I * y, sum = 0.0;

  for (int i = -420; i <= 420; i++)
    sum += exp (-(i * h) * (i * h)) / (z - i * h);
  return creal (I / 3.14159265358979323846 * h * sum);
}

/* Rows of teeth from @first on in steps of @step, with noise of standard deviation @noise, at
 * @pressure times the 2.5 hPa of the head. */
static inline char *
table_text_at (double pressure, const char *head, int first, int step, double noise, guint32 seed)
{
  static const double positions[] = { 7790.25, 7790.61, 7791.02 }, depths[] = { 0.3, 0.02, 0.1 };
  GString *text = g_string_new (head);
  g_autoptr (GRand) random = g_rand_new_with_seed (seed);

  g_string_append (text, "# columns = tooth transmission u(transmission)\n");
  for (int k = first; k < TABLE_TEETH; k += step)
    {
      int tooth = 2335400 + k;
      double nu = ((double)tooth * 100e6 + 20e6) / 29979245800.0, sum = 0.0, normal = -6.0;

      for (int i = 0; i < 12; i++) /* twelve uniform numbers: nearly normal, variance 1 */
        normal += g_rand_double (random);
      for (int i = 0; i < 3; i++) /* a Doppler half width of 0.00724 cm-1 */
        sum += pressure * depths[i]
               * table_profile (0.8325546 * (nu - positions[i]) / 0.00724, 0.25 * pressure);
      g_string_append_printf (text, "%d %.9f %.3g\n", tooth, exp (-sum) + noise * normal, noise);
    }
  return g_string_free (text, FALSE);
}

static inline char *
table_text (const char *head, int first, int step, double noise, guint32 seed)
{
  return table_text_at (1.0, head, first, step, noise, seed);
}

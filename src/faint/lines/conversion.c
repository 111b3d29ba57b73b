/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * One strength at two temperatures.
 */
#include "faint/base/units.h"
#include "faint/lines/conversion.h"

#include <math.h>

/* 1 - exp(-c2 nu/T): absorption less stimulated emission. */
static double
net_absorption (double wavenumber, double temperature)
{
  return -expm1 (-FAINT_C2_CM_K * wavenumber / temperature);
}

double
faint_strength_ratio (double wavenumber, double lower_energy, double from, double to,
                      double q_ratio)
{
  return q_ratio * exp (FAINT_C2_CM_K * lower_energy * (1.0 / from - 1.0 / to))
         * net_absorption (wavenumber, to) / net_absorption (wavenumber, from);
}

/* d ln S/dT of a line at @temperature, where Q goes as T^@power. */
static double
slope_of_strength (double wavenumber, double lower_energy, double temperature, double power)
{
  double x = FAINT_C2_CM_K * wavenumber / temperature;
  double emission = x < 700.0 ? x / expm1 (x) : 0.0; /* 700: before exp overflows */

  return (FAINT_C2_CM_K * lower_energy / temperature - power - emission) / temperature;
}

double
faint_lower_energy_from_two (double wavenumber, double s1, double u1, double t1, double u_t1,
                             double s2, double u2, double t2, double u_t2, double q_ratio,
                             double *u)
{
  double inverse = FAINT_C2_CM_K * (1.0 / t1 - 1.0 / t2);
  double emission = log (net_absorption (wavenumber, t2) / net_absorption (wavenumber, t1));
  double energy = (log (s2 / s1) - log (q_ratio) - emission) / inverse;

  if (u != NULL)
    {
      double power = log (q_ratio) / log (t1 / t2);
      double from_s1 = u1 / s1, from_s2 = u2 / s2;
      double from_t1 = u_t1 * slope_of_strength (wavenumber, energy, t1, power);
      double from_t2 = u_t2 * slope_of_strength (wavenumber, energy, t2, power);

      *u = sqrt (from_s1 * from_s1 + from_s2 * from_s2 + from_t1 * from_t1 + from_t2 * from_t2)
           / fabs (inverse);
    }
  return energy;
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/spectrum/comb.h"

#include <math.h>

#include "faint/base/units.h"

/* nu / cm-1 = 1e7 / (lambda / nm) */
#define NM_PER_CM 1e7

double
faint_comb_frequency (gint64 n, double repetition_rate, double offset_frequency)
{
  /* Rounded once: n has six digits and the rate ten, and a tooth may be known to a hertz. */
  return fma ((double)n, repetition_rate, offset_frequency);
}

double
faint_comb_frequency_u (gint64 n, double u_repetition_rate, double u_offset_frequency)
{
  return hypot ((double)n * u_repetition_rate, u_offset_frequency);
}

gint64
faint_comb_tooth (double frequency, double repetition_rate, double offset_frequency)
{
  return (gint64)llround ((frequency - offset_frequency) / repetition_rate);
}

double
faint_comb_wavenumber_from_frequency (double frequency)
{
  return frequency / FAINT_SPEED_OF_LIGHT_CM_S;
}

double
faint_comb_frequency_from_wavenumber (double wavenumber)
{
  return wavenumber * FAINT_SPEED_OF_LIGHT_CM_S;
}

double
faint_comb_wavenumber_from_wavelength (double wavelength_nm)
{
  return NM_PER_CM / wavelength_nm;
}

double
faint_comb_wavelength_from_wavenumber (double wavenumber)
{
  return NM_PER_CM / wavenumber;
}

double
faint_comb_compression (double repetition_rate, double difference)
{
  return repetition_rate / fabs (difference);
}

double
faint_comb_alias_free_span (double repetition_rate, double difference)
{
  return repetition_rate * repetition_rate / (2.0 * fabs (difference));
}

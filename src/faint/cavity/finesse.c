/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/cavity/finesse.h"

#include <math.h>

double
faint_cavity_free_spectral_range (FaintGeometry geometry, double cavity_length)
{
  switch (geometry)
    {
    case FAINT_GEOMETRY_STANDING_WAVE:
      return FAINT_SPEED_OF_LIGHT_CM_S / (2.0 * cavity_length);
    case FAINT_GEOMETRY_RING:
      return FAINT_SPEED_OF_LIGHT_CM_S / cavity_length;
    case FAINT_GEOMETRY_NONE:
    default:
      return NAN;
    }
}

double
faint_cavity_loss_from_finesse (double finesse)
{
  /* F (1 - x^2) = pi x for x = sqrt(s), solved without a difference of like numbers. */
  return 2.0 * G_PI / (G_PI + hypot (G_PI, 2.0 * finesse));
}

double
faint_cavity_loss_from_reflectivity (FaintGeometry geometry, double reflectivity)
{
  double lost = 1.0 - reflectivity;

  return geometry == FAINT_GEOMETRY_RING ? lost / (1.0 + sqrt (reflectivity)) : lost;
}

double
faint_cavity_loss_from_ring_down (double ring_down_time, double free_spectral_range)
{
  return -expm1 (-0.5 / (ring_down_time * free_spectral_range));
}

double
faint_cavity_loss_from_linewidth (double linewidth, double free_spectral_range)
{
  return faint_cavity_loss_from_finesse (free_spectral_range / linewidth);
}

double
faint_cavity_finesse_from_loss (double loss)
{
  return G_PI * sqrt (1.0 - loss) / loss;
}

double
faint_cavity_reflectivity_from_loss (FaintGeometry geometry, double loss)
{
  double survival = 1.0 - loss;

  return geometry == FAINT_GEOMETRY_RING ? survival * survival : survival;
}

double
faint_cavity_ring_down_from_loss (double loss, double free_spectral_range)
{
  return -0.5 / (free_spectral_range * log1p (-loss));
}

double
faint_cavity_linewidth_from_loss (double loss, double free_spectral_range)
{
  return free_spectral_range / faint_cavity_finesse_from_loss (loss);
}

double
faint_cavity_airy_linewidth (double loss, double free_spectral_range)
{
  double sine = 0.5 * loss / sqrt (1.0 - loss);

  return sine <= 1.0 ? 2.0 * free_spectral_range / G_PI * asin (sine) : NAN;
}

double
faint_cavity_enhancement (FaintCoupling coupling, double loss, double output_share)
{
  double s = 1.0 - loss;

  if (coupling == FAINT_COUPLING_SWEPT)
    return output_share + s * s / (loss * (2.0 - loss));
  return output_share + s / loss;
}

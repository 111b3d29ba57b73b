/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * One measured quantity of the mirrors as another.
 */
#include "faint/cavity/finesse.h"

#include <math.h>

/* The quantity of @kind of a loss; and how fast it grows with the loss. */
static double
face_of_loss (const FaintSetup *setup, FaintMirrorKind kind, double loss, double *by_loss)
{
  double range = faint_cavity_free_spectral_range (setup->geometry, setup->cavity_length.value);
  double survival = 1.0 - loss, finesse = faint_cavity_finesse_from_loss (loss);
  double finesse_by_loss = -finesse * (2.0 - loss) / (2.0 * loss * survival);
  double time = faint_cavity_ring_down_from_loss (loss, range);

  switch (kind)
    {
    case FAINT_MIRROR_FINESSE:
      *by_loss = finesse_by_loss;
      return finesse;
    case FAINT_MIRROR_REFLECTIVITY:
      *by_loss = setup->geometry == FAINT_GEOMETRY_RING ? -2.0 * survival : -1.0;
      return faint_cavity_reflectivity_from_loss (setup->geometry, loss);
    case FAINT_MIRROR_RING_DOWN_TIME:
      *by_loss = -2.0 * range * time * time / survival;
      return time;
    case FAINT_MIRROR_LINEWIDTH:
      *by_loss = -range / (finesse * finesse) * finesse_by_loss;
      return range / finesse;
    case FAINT_MIRROR_UNKNOWN:
    case FAINT_MIRROR_TABLE:
    default:
      *by_loss = NAN;
      return NAN;
    }
}

static FaintQuantity
in_unit (FaintMirrorKind kind, double value, double u)
{
  FaintDimension dimension = kind == FAINT_MIRROR_RING_DOWN_TIME ? FAINT_DIMENSION_TIME
                             : kind == FAINT_MIRROR_LINEWIDTH    ? FAINT_DIMENSION_FREQUENCY
                                                                 : FAINT_DIMENSION_NUMBER;
  FaintQuantity quantity = faint_quantity (dimension, value, u);

  if (kind == FAINT_MIRROR_RING_DOWN_TIME)
    quantity.unit = faint_unit_find (dimension, "us");
  else if (kind == FAINT_MIRROR_LINEWIDTH)
    quantity.unit = faint_unit_find (dimension, "kHz");
  return quantity;
}

FaintQuantity
faint_cavity_mirror_as (const FaintSetup *setup, FaintMirrorKind kind)
{
  double wavenumber = 1.0, loss, u_loss, value, by_loss;

  if (setup->mirror_kind == FAINT_MIRROR_UNKNOWN || setup->mirror_kind == FAINT_MIRROR_TABLE
      || setup->geometry == FAINT_GEOMETRY_NONE)
    return FAINT_QUANTITY_UNKNOWN;
  if (kind == setup->mirror_kind)
    return setup->mirror;
  if (!faint_cavity_loss_fill (setup, &wavenumber, 1, &loss, &u_loss, NULL, NULL))
    return FAINT_QUANTITY_UNKNOWN;
  value = face_of_loss (setup, kind, loss, &by_loss);
  if (!isfinite (value))
    return FAINT_QUANTITY_UNKNOWN;
  return in_unit (kind, value, isfinite (setup->mirror.u) ? fabs (by_loss) * u_loss : NAN);
}

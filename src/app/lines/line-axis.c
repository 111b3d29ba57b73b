/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/lines/line-axis.h"

#include <glib/gi18n.h>
#include <string.h>

static gboolean
counts_frequencies (const FaintAxisUnit *axis)
{
  return axis->kind == FAINT_AXIS_UNIT_THZ || axis->kind == FAINT_AXIS_UNIT_GHZ
         || axis->kind == FAINT_AXIS_UNIT_MHZ;
}

static gboolean
has_origin (const FaintAxisUnit *axis)
{
  return (axis->kind == FAINT_AXIS_UNIT_GHZ || axis->kind == FAINT_AXIS_UNIT_MHZ)
         && axis->origin != 0;
}

FaintDimension
faint_line_axis_dimension (const FaintAxisUnit *axis, FaintPlace place, FaintDimension otherwise)
{
  return place == FAINT_PLACE_POSITION
                 && (axis->kind == FAINT_AXIS_UNIT_WAVELENGTH
                     || axis->kind == FAINT_AXIS_UNIT_TOOTH)
             ? FAINT_DIMENSION_NUMBER
             : otherwise;
}

static FaintQuantity
position (const FaintAxisUnit *axis, const FaintParameter *parameter)
{
  double nu = parameter->value, u = parameter->u;
  FaintQuantity quantity = faint_quantity (FAINT_DIMENSION_WAVENUMBER, nu, u);

  switch (axis->kind)
    {
    case FAINT_AXIS_UNIT_THZ:
    case FAINT_AXIS_UNIT_GHZ:
    case FAINT_AXIS_UNIT_MHZ:
      if (has_origin (axis))
        quantity.value -= axis->origin;
      quantity.unit
          = faint_unit_find (FAINT_DIMENSION_WAVENUMBER, faint_axis_unit_symbol (axis->kind));
      return quantity;
    case FAINT_AXIS_UNIT_WAVELENGTH:
    case FAINT_AXIS_UNIT_TOOTH:
      return faint_quantity (FAINT_DIMENSION_NUMBER, faint_axis_unit_value (axis, nu),
                             faint_axis_unit_uncertainty (axis, nu, u));
    case FAINT_AXIS_UNIT_WAVENUMBER:
    case FAINT_AXIS_UNIT_N:
      break;
    }
  return quantity;
}

FaintQuantity
faint_line_axis_quantity (const FaintAxisUnit *axis, FaintPlace place,
                          const FaintParameter *parameter, FaintDimension otherwise)
{
  FaintQuantity quantity;

  if (place == FAINT_PLACE_POSITION)
    return position (axis, parameter);
  quantity = faint_quantity (otherwise, parameter->value, parameter->u);
  if (otherwise == FAINT_DIMENSION_WAVENUMBER && counts_frequencies (axis))
    quantity.unit = faint_unit_find (FAINT_DIMENSION_WAVENUMBER, "MHz");
  return quantity;
}

double
faint_line_axis_value (const FaintAxisUnit *axis, FaintPlace place, FaintQuantity entered)
{
  const char *unit = entered.unit != NULL ? entered.unit->name : "";

  if (place != FAINT_PLACE_POSITION || !faint_quantity_is_known (entered))
    return entered.value;
  switch (axis->kind)
    {
    case FAINT_AXIS_UNIT_GHZ:
    case FAINT_AXIS_UNIT_MHZ:
      return has_origin (axis) && (strcmp (unit, "MHz") == 0 || strcmp (unit, "GHz") == 0)
                 ? entered.value + axis->origin
                 : entered.value;
    case FAINT_AXIS_UNIT_WAVELENGTH:
    case FAINT_AXIS_UNIT_TOOTH:
      return faint_axis_unit_wavenumber (axis, entered.value);
    case FAINT_AXIS_UNIT_WAVENUMBER:
    case FAINT_AXIS_UNIT_THZ:
    case FAINT_AXIS_UNIT_N:
      break;
    }
  return entered.value;
}

char *
faint_line_axis_name (const FaintAxisUnit *axis)
{
  g_autofree char *origin = NULL;

  switch (axis->kind)
    {
    case FAINT_AXIS_UNIT_GHZ:
    case FAINT_AXIS_UNIT_MHZ:
      if (!has_origin (axis))
        break;
      origin = faint_format_double (axis->origin);
      /* Translators: of a line, counted from a wavenumber, the origin of the axis */
      return g_strdup_printf (_ ("Position from %s cm⁻¹"), origin);
    case FAINT_AXIS_UNIT_WAVELENGTH:
      return g_strdup (_ ("Vacuum wavelength/nm"));
    case FAINT_AXIS_UNIT_TOOTH:
      return g_strdup (_ ("Tooth number"));
    case FAINT_AXIS_UNIT_WAVENUMBER:
    case FAINT_AXIS_UNIT_THZ:
    case FAINT_AXIS_UNIT_N:
      break;
    }
  return g_strdup (_ ("Position"));
}

FaintQuantity
faint_line_axis_distance (const FaintAxisUnit *axis, double distance)
{
  FaintQuantity quantity = faint_quantity (FAINT_DIMENSION_WAVENUMBER, distance, NAN);

  if (counts_frequencies (axis))
    quantity.unit = faint_unit_find (FAINT_DIMENSION_WAVENUMBER, "MHz");
  return quantity;
}

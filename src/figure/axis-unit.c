/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "figure/axis-unit.h"

#include "faint/base/quantity.h"

#include <math.h>
#include <string.h>

/* Exact: c = 299792458 m/s (SI Brochure, 9th edition, 2019). */
#define HZ_PER_CM1 FAINT_SPEED_OF_LIGHT_CM_S
#define NM_PER_CM 1e7

static const struct
{
  const char *name, *symbol;
  double hz; /* of a frequency unit */
} units[FAINT_AXIS_UNIT_N] = {
  [FAINT_AXIS_UNIT_WAVENUMBER] = { "wavenumber", "cm⁻¹", 0.0 },
  [FAINT_AXIS_UNIT_THZ] = { "thz", "THz", 1e12 },
  [FAINT_AXIS_UNIT_GHZ] = { "ghz", "GHz", 1e9 },
  [FAINT_AXIS_UNIT_MHZ] = { "mhz", "MHz", 1e6 },
  [FAINT_AXIS_UNIT_WAVELENGTH] = { "wavelength", "nm", 0.0 },
  [FAINT_AXIS_UNIT_TOOTH] = { "tooth", "", 0.0 },
};

const char *
faint_axis_unit_name (FaintAxisUnitKind kind)
{
  g_return_val_if_fail (kind < FAINT_AXIS_UNIT_N, NULL);
  return units[kind].name;
}

FaintAxisUnitKind
faint_axis_unit_from_name (const char *name)
{
  for (int kind = 0; kind < FAINT_AXIS_UNIT_N; kind++)
    if (g_strcmp0 (name, units[kind].name) == 0)
      return kind;
  return FAINT_AXIS_UNIT_N;
}

const char *
faint_axis_unit_symbol (FaintAxisUnitKind kind)
{
  g_return_val_if_fail (kind < FAINT_AXIS_UNIT_N, NULL);
  return units[kind].symbol;
}

/* The origin counts for the units in which a whole optical frequency has too many digits. */
static double
origin_of (const FaintAxisUnit *unit)
{
  gboolean counts = unit->kind == FAINT_AXIS_UNIT_GHZ || unit->kind == FAINT_AXIS_UNIT_MHZ;
  return counts ? unit->origin : 0.0;
}

double
faint_axis_unit_value (const FaintAxisUnit *unit, double wavenumber)
{
  switch (unit->kind)
    {
    case FAINT_AXIS_UNIT_THZ:
    case FAINT_AXIS_UNIT_GHZ:
    case FAINT_AXIS_UNIT_MHZ:
      return (wavenumber - origin_of (unit)) * (HZ_PER_CM1 / units[unit->kind].hz);
    case FAINT_AXIS_UNIT_WAVELENGTH:
      return NM_PER_CM / wavenumber;
    case FAINT_AXIS_UNIT_TOOTH:
      return (wavenumber * HZ_PER_CM1 - unit->offset_frequency) / unit->repetition_rate;
    case FAINT_AXIS_UNIT_WAVENUMBER:
    case FAINT_AXIS_UNIT_N:
      break;
    }
  return wavenumber;
}

double
faint_axis_unit_wavenumber (const FaintAxisUnit *unit, double value)
{
  switch (unit->kind)
    {
    case FAINT_AXIS_UNIT_THZ:
    case FAINT_AXIS_UNIT_GHZ:
    case FAINT_AXIS_UNIT_MHZ:
      return value / (HZ_PER_CM1 / units[unit->kind].hz) + origin_of (unit);
    case FAINT_AXIS_UNIT_WAVELENGTH:
      return NM_PER_CM / value;
    case FAINT_AXIS_UNIT_TOOTH:
      return (value * unit->repetition_rate + unit->offset_frequency) / HZ_PER_CM1;
    case FAINT_AXIS_UNIT_WAVENUMBER:
    case FAINT_AXIS_UNIT_N:
      break;
    }
  return value;
}

double
faint_axis_unit_uncertainty (const FaintAxisUnit *unit, double wavenumber, double u)
{
  switch (unit->kind)
    {
    case FAINT_AXIS_UNIT_THZ:
    case FAINT_AXIS_UNIT_GHZ:
    case FAINT_AXIS_UNIT_MHZ:
      return u * (HZ_PER_CM1 / units[unit->kind].hz);
    case FAINT_AXIS_UNIT_WAVELENGTH:
      return u * NM_PER_CM / (wavenumber * wavenumber);
    case FAINT_AXIS_UNIT_TOOTH:
      return u * HZ_PER_CM1 / unit->repetition_rate;
    case FAINT_AXIS_UNIT_WAVENUMBER:
    case FAINT_AXIS_UNIT_N:
      break;
    }
  return u;
}

const char *
faint_axis_unit_of_differences (FaintAxisUnitKind kind, double *scale)
{
  switch (kind)
    {
    case FAINT_AXIS_UNIT_THZ:
    case FAINT_AXIS_UNIT_GHZ:
    case FAINT_AXIS_UNIT_MHZ:
      *scale = HZ_PER_CM1 / 1e6;
      return "MHz";
    case FAINT_AXIS_UNIT_WAVELENGTH:
    case FAINT_AXIS_UNIT_TOOTH:
    case FAINT_AXIS_UNIT_WAVENUMBER:
    case FAINT_AXIS_UNIT_N:
      break;
    }
  *scale = 1.0;
  return "cm⁻¹";
}

gboolean
faint_axis_unit_same (const FaintAxisUnit *a, const FaintAxisUnit *b)
{
  return a->kind == b->kind && a->origin == b->origin && a->repetition_rate == b->repetition_rate
         && a->offset_frequency == b->offset_frequency;
}

gboolean
faint_axis_unit_falls (FaintAxisUnitKind kind)
{
  return kind == FAINT_AXIS_UNIT_WAVELENGTH;
}

const char *
faint_axis_unit_quantity (FaintAxisUnitKind kind)
{
  switch (kind)
    {
    case FAINT_AXIS_UNIT_THZ:
    case FAINT_AXIS_UNIT_GHZ:
    case FAINT_AXIS_UNIT_MHZ:
      return "frequency";
    case FAINT_AXIS_UNIT_WAVELENGTH:
      return "vacuum wavelength";
    case FAINT_AXIS_UNIT_TOOTH:
      return "tooth number";
    case FAINT_AXIS_UNIT_WAVENUMBER:
    case FAINT_AXIS_UNIT_N:
      break;
    }
  return "wavenumber";
}

char *
faint_axis_unit_label (const FaintAxisUnit *unit, const char *quantity)
{
  const char *symbol = unit->kind < FAINT_AXIS_UNIT_N ? units[unit->kind].symbol : "cm⁻¹";

  if (quantity == NULL)
    quantity = faint_axis_unit_quantity (unit->kind);
  if (symbol[0] == '\0')
    return g_strdup (quantity);
  if (origin_of (unit) != 0.0)
    {
      g_autofree char *origin = faint_format_double (unit->origin);
      return g_strdup_printf ("(%s − c·%s cm⁻¹)/%s", quantity, origin, symbol);
    }
  return g_strdup_printf ("%s/%s", quantity, symbol);
}

/* The digits of a displayed value that tell places apart that lie @step from each other in it. */
static char *
digits_of (double value, double step)
{
  int decimals = isfinite (step) && step > 0.0 ? (int)ceil (-log10 (step) - 1e-9) : 0;
  char digits[G_ASCII_DTOSTR_BUF_SIZE + 350], format[16];

  if (!isfinite (value))
    return g_strdup ("–");
  g_snprintf (format, sizeof format, "%%.%df", CLAMP (decimals, 0, 12));
  g_ascii_formatd (digits, sizeof digits, format, fabs (value));
  gboolean negative = value < 0.0 && strspn (digits, "0.") != strlen (digits);
  return g_strconcat (negative ? "−" : "", digits, NULL);
}

char *
faint_axis_unit_concise (const FaintAxisUnit *unit, double wavenumber, double u, double distance)
{
  double value = faint_axis_unit_value (unit, wavenumber);

  if (!(u > 0.0) || !isfinite (u) || !isfinite (value))
    return digits_of (value, faint_axis_unit_uncertainty (unit, wavenumber, distance));
  g_autofree char *number
      = faint_format_concise (fabs (value), faint_axis_unit_uncertainty (unit, wavenumber, u));
  return g_strconcat (value < 0.0 ? "−" : "", number, NULL);
}

char *
faint_axis_unit_format (const FaintAxisUnit *unit, double wavenumber, double distance)
{
  double value = faint_axis_unit_value (unit, wavenumber);
  double step = fabs (faint_axis_unit_value (unit, wavenumber + distance) - value);
  g_autofree char *digits = digits_of (value, step);
  const char *symbol = units[unit->kind].symbol;

  if (!isfinite (value))
    return g_steal_pointer (&digits);
  return g_strconcat (digits, symbol[0] != '\0' ? " " : "", symbol, NULL);
}

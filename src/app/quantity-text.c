/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Short notation where it is lossless, full digits where it is not.
 */
#include "quantity-text.h"

#include <math.h>

static gboolean
equal_or_both_nan (double a, double b)
{
  return a == b || (isnan (a) && isnan (b));
}

gboolean
faint_quantity_same (FaintQuantity a, FaintQuantity b)
{
  if (!faint_quantity_is_known (a) && !faint_quantity_is_known (b))
    return TRUE;
  return equal_or_both_nan (a.value, b.value) && equal_or_both_nan (a.u, b.u) && a.unit == b.unit;
}

/* "hPa"; "" for a number, whose unit is 1. */
static const char *
unit_suffix (FaintQuantity quantity)
{
  return quantity.unit->dimension == FAINT_DIMENSION_NUMBER ? "" : quantity.unit->name;
}

char *
faint_quantity_in_words (FaintQuantity quantity)
{
  g_autofree char *value = NULL, *u = NULL, *text = NULL;
  FaintQuantity again;
  double written;

  if (!faint_quantity_is_known (quantity))
    return g_strdup ("");
  if (!(quantity.u > 0))
    return faint_quantity_to_text (quantity);

  written = (quantity.value - quantity.unit->offset) / quantity.unit->scale;
  value = faint_format_concise (written, quantity.u / quantity.unit->scale);
  text = g_strstrip (g_strdup_printf ("%s %s", value, unit_suffix (quantity)));
  if (faint_quantity_parse (text, quantity.unit->dimension, &again, NULL)
      && fabs (again.value - quantity.value) <= 1e-12 * fabs (quantity.value)
      && fabs (again.u - quantity.u) <= 1e-12 * quantity.u)
    return g_steal_pointer (&text);

  g_clear_pointer (&value, g_free);
  value = faint_format_double (written);
  u = faint_format_double (quantity.u / quantity.unit->scale);
  return g_strstrip (g_strdup_printf ("%s ± %s %s", value, u, unit_suffix (quantity)));
}

gboolean
faint_quantity_from_words (const char *text, FaintDimension dimension, const FaintUnit *unit,
                           FaintQuantity *quantity, GError **error)
{
  g_autofree char *trimmed = g_strstrip (g_strdup (text));
  g_autofree char *with_unit = NULL;
  FaintQuantity bare;

  if (*trimmed == '\0')
    {
      *quantity = FAINT_QUANTITY_UNKNOWN;
      return TRUE;
    }
  /* a number of any dimension, if a number is all there is */
  if (unit && dimension != FAINT_DIMENSION_NUMBER
      && faint_quantity_parse (trimmed, FAINT_DIMENSION_NUMBER, &bare, NULL))
    {
      with_unit = g_strdup_printf ("%s %s", trimmed, unit->name);
      return faint_quantity_parse (with_unit, dimension, quantity, error);
    }
  return faint_quantity_parse (trimmed, dimension, quantity, error);
}

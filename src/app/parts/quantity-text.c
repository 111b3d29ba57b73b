/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Short notation where it is lossless, full digits where it is not.
 */
#include "app/parts/quantity-text.h"

#include <math.h>
#include <string.h>

static gboolean
equal_or_both_nan (double a, double b)
{
  return a == b || (isnan (a) && isnan (b));
}

char *
faint_true_minus (char *number)
{
  g_autofree char *plain = number;

  return *plain == '-' ? g_strconcat ("−", plain + 1, NULL) : g_steal_pointer (&plain);
}

char *
faint_signed (int number)
{
  return faint_true_minus (g_strdup_printf ("%d", number));
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

/* @text with @from replaced by @to. */
static char *
replaced (const char *text, const char *from, const char *to)
{
  g_auto (GStrv) parts = g_strsplit (text, from, -1);

  return g_strjoinv (to, parts);
}

/* Files say "cm-1", the window says it as it is printed. */
static char *
for_the_window (const char *text)
{
  return replaced (text, "cm-1", "cm⁻¹");
}

static char *
plain_short (FaintQuantity quantity)
{
  g_autofree char *value = NULL;

  if (!faint_quantity_is_known (quantity))
    return g_strdup ("");
  value = faint_format_concise ((quantity.value - quantity.unit->offset) / quantity.unit->scale,
                                quantity.u / quantity.unit->scale);
  return g_strchomp (g_strdup_printf ("%s %s", value, unit_suffix (quantity)));
}

char *
faint_quantity_in_short (FaintQuantity quantity)
{
  g_autofree char *text = plain_short (quantity);

  return for_the_window (text);
}

static char *
plain_words (FaintQuantity quantity)
{
  g_autofree char *value = NULL, *u = NULL, *text = NULL;
  FaintQuantity again;

  if (!faint_quantity_is_known (quantity))
    return g_strdup ("");
  if (!(quantity.u > 0))
    return faint_quantity_to_text (quantity);

  text = plain_short (quantity);
  if (faint_quantity_parse (text, quantity.unit->dimension, &again, NULL)
      && fabs (again.value - quantity.value) <= 1e-12 * fabs (quantity.value)
      && fabs (again.u - quantity.u) <= 1e-12 * quantity.u)
    return g_steal_pointer (&text);

  value = faint_quantity_to_text (quantity);
  u = faint_quantity_u_to_text (quantity);
  if (*unit_suffix (quantity))
    *strrchr (value, ' ') = '\0';
  return g_strdup_printf ("%s ± %s", value, u);
}

char *
faint_quantity_in_words (FaintQuantity quantity)
{
  g_autofree char *text = plain_words (quantity);

  return for_the_window (text);
}

static guint
count_digits (const char *number)
{
  guint n = 0;

  for (; *number && *number != 'e'; number++)
    if (g_ascii_isdigit (*number) && (n > 0 || *number != '0'))
      n++;
  return n;
}

char *
faint_quantity_in_digits (FaintQuantity quantity, guint most, guint shown)
{
  g_autofree char *number = NULL, *text = NULL;
  char rounded[G_ASCII_DTOSTR_BUF_SIZE], format[16];
  double value;

  if (!faint_quantity_is_known (quantity))
    return g_strdup ("");
  value = (quantity.value - quantity.unit->offset) / quantity.unit->scale;
  number = faint_format_double (value);
  if (count_digits (number) > most)
    {
      g_snprintf (format, sizeof format, "%%.%ug", shown);
      g_free (number);
      number = g_strdup (g_ascii_formatd (rounded, sizeof rounded, format, value));
    }
  text = g_strchomp (g_strdup_printf ("%s %s", number, unit_suffix (quantity)));
  return for_the_window (text);
}

/* @value to @decimals places behind the point, as it is printed: the nearest double. */
static double
to_decimals (double value, int decimals)
{
  char text[400], format[16];

  if (decimals >= 0)
    {
      g_snprintf (format, sizeof format, "%%.%df", MIN (decimals, 40));
      return g_ascii_strtod (g_ascii_formatd (text, sizeof text, format, value), NULL);
    }
  return round (value * pow (10.0, decimals)) * pow (10.0, -decimals);
}

FaintQuantity
faint_quantity_rounded (FaintQuantity quantity)
{
  FaintQuantity rounded = quantity;
  const FaintUnit *unit = quantity.unit;
  double value, u;
  int decimals, place;

  if (!faint_quantity_is_known (quantity) || quantity.value == unit->offset)
    return quantity;
  value = (quantity.value - unit->offset) / unit->scale;
  u = quantity.u / unit->scale;
  place = (int)floor (log10 (fabs (value)));
  decimals = u > 0 ? MAX (1 - (int)floor (log10 (u)), 3 - place) : 8 - place;
  rounded.value = unit->offset + unit->scale * to_decimals (value, decimals);
  if (u > 0)
    rounded.u = unit->scale * to_decimals (u, 1 - (int)floor (log10 (u)));
  return rounded;
}

gboolean
faint_quantity_from_words (const char *text, FaintDimension dimension, const FaintUnit *unit,
                           FaintQuantity *quantity, GError **error)
{
  g_autofree char *trimmed = g_strstrip (replaced (text, "cm⁻¹", "cm-1"));
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

char *
faint_two_digits (double value)
{
  int decimals = 1 - (int)floor (log10 (value));
  char format[16], number[G_ASCII_DTOSTR_BUF_SIZE];

  /* 0.0996 rounds up to 0.10 */
  if (value * pow (10.0, decimals) >= 99.5)
    decimals--;
  g_snprintf (format, sizeof format, decimals > 6 ? "%%.1e" : "%%.%df", MAX (decimals, 0));
  return g_strdup (g_ascii_formatd (number, sizeof number, format, value));
}

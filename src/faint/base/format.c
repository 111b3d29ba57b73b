/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Numbers to text: the shortest decimal of a double, and the concise notation of value and
 * uncertainty.
 */
#include "faint/base/quantity.h"

#include <float.h>
#include <string.h>

#include "faint/base/text.h"

/* Beyond these a power of ten is written. */
#define LARGEST_PLAIN 1e9
#define SMALLEST_PLAIN 1e-4
#define DIGITS_WITHOUT_U 12

static char *
print (double value, char conversion, int precision)
{
  char format[16], *text = g_malloc (400); /* the longest "%.*f" of a double has 310 digits */

  g_snprintf (format, sizeof format, "%%.%d%c", CLAMP (precision, 0, 60), conversion);
  return g_ascii_formatd (text, 400, format, value);
}

/* @digits / 10^@power is correctly rounded for such numbers, so the decimal is the double's own. */
static gboolean
short_decimal (double value, char *buffer)
{
  static const double powers[]
      = { 1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15 };
  double magnitude = fabs (value);

  if (!(magnitude < 1e9 && magnitude >= 1e-4))
    return FALSE;
  for (gsize k = 0; k < G_N_ELEMENTS (powers); k++)
    {
      double digits = rint (magnitude * powers[k]);
      guint64 whole, part;

      if (digits >= 1e15)
        return FALSE;
      if (digits / powers[k] != magnitude)
        continue;
      whole = (guint64)digits / (guint64)powers[k];
      part = (guint64)digits % (guint64)powers[k];
      if (k == 0)
        g_snprintf (buffer, FAINT_DOUBLE_TEXT_SIZE, "%s%" G_GUINT64_FORMAT, value < 0 ? "-" : "",
                    whole);
      else
        g_snprintf (buffer, FAINT_DOUBLE_TEXT_SIZE, "%s%" G_GUINT64_FORMAT ".%0*" G_GUINT64_FORMAT,
                    value < 0 ? "-" : "", whole, (int)k, part);
      return TRUE;
    }
  return FALSE;
}

char *
faint_format_double_to (double value, char *buffer)
{
  /* 15 digits always survive text to double to text; a subnormal number has fewer. */
  int precision = fabs (value) < DBL_MIN ? 1 : DBL_DIG;

  buffer[0] = '\0';
  if (value != value || short_decimal (value, buffer))
    return buffer;
  for (;; precision++)
    {
      char format[8];
      const char *after;
      double back;

      g_snprintf (format, sizeof format, "%%.%dg", precision);
      g_ascii_formatd (buffer, FAINT_DOUBLE_TEXT_SIZE, format, value);
      if (precision >= DBL_DECIMAL_DIG
          || (faint_text_number (buffer, buffer + strlen (buffer), &back, &after) && back == value))
        return buffer;
    }
}

char *
faint_format_double (double value)
{
  return faint_format_double_to (value, g_malloc (FAINT_DOUBLE_TEXT_SIZE));
}

/* Power of ten of the first digit of @value when it is rounded to @digits digits. */
static int
leading_power (double value, int digits)
{
  g_autofree char *text = print (fabs (value), 'e', digits - 1);

  return (int)g_ascii_strtoll (strchr (text, 'e') + 1, NULL, 10);
}

/* The two digits of @u that stand for its rounded value at @place, with zeros where the last digit
 * printed lies below it. */
static void
append_u (GString *text, double u, int power, int place)
{
  g_autofree char *digits = print (u, 'e', 1); /* "d.de-XX" */

  g_string_append_printf (text, "(%c%c", digits[0], digits[2]);
  for (int i = power - 1; i > place; i--)
    g_string_append_c (text, '0');
  g_string_append_c (text, ')');
}

/* @value rounded to 10^@place, without a power of ten behind it. */
static char *
print_at (double value, int place)
{
  double step = pow (10.0, place);

  return place <= 0 ? print (value, 'f', -place) : print (rint (value / step) * step, 'f', 0);
}

char *
faint_format_concise (double value, double u)
{
  g_autofree char *number = NULL;
  GString *text;
  double larger = MAX (fabs (value), u);
  int power_u, power, place;

  if (value != value)
    return g_strdup ("");
  if (!(u > 0.0) || isinf (u) || isinf (value))
    return print (value, 'g', DIGITS_WITHOUT_U);
  power_u = leading_power (u, 2);
  place = power_u - 1;
  if (larger < LARGEST_PLAIN && larger >= SMALLEST_PLAIN)
    {
      number = print_at (value, place);
      text = g_string_new (number);
      append_u (text, u, power_u, MIN (place, 0));
      return g_string_free (text, FALSE);
    }
  power = leading_power (larger, CLAMP (leading_power (larger, 17) - place + 1, 2, 17));
  number = print (value / pow (10.0, power), 'f', power - place);
  text = g_string_new (number);
  append_u (text, u, power_u, place);
  g_string_append_printf (text, "e%d", power);
  return g_string_free (text, FALSE);
}

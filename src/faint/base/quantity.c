/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/base/quantity.h"

#include <float.h>
#include <string.h>

#include "faint/base/text.h"
#include "faint/base/words.h"

G_DEFINE_QUARK (faint_quantity_error_quark, faint_quantity_error)

/* Most numbers in headers have fewer digits than this. */
#define FEWEST_DIGITS 12

FaintQuantity
faint_quantity (FaintDimension dimension, double value, double u)
{
  return (FaintQuantity){ .value = value, .u = u, .unit = faint_unit_library (dimension) };
}

static const char *
skip_blanks (const char *p)
{
  while (*p == ' ' || *p == '\t')
    p++;
  return p;
}

static gboolean
refuse_number (const char *text, const char *at, GError **error)
{
  if (*skip_blanks (text) == '\0')
    g_set_error (error, FAINT_QUANTITY_ERROR, FAINT_QUANTITY_ERROR_NUMBER,
                 _ ("the value is missing; a number was expected."));
  else if (strchr (at, ',') == at)
    g_set_error (error, FAINT_QUANTITY_ERROR, FAINT_QUANTITY_ERROR_NUMBER,
                 _ ("'%s' has a decimal comma; write numbers with a decimal point."), text);
  else
    g_set_error (error, FAINT_QUANTITY_ERROR, FAINT_QUANTITY_ERROR_NUMBER,
                 _ ("'%s' is no number; one like 1.30, 1.30(2) or 1.30 +/- 0.02 was expected."),
                 text);
  return FALSE;
}

static gboolean
refuse_not_finite (const char *text, GError **error)
{
  g_set_error (error, FAINT_QUANTITY_ERROR, FAINT_QUANTITY_ERROR_NUMBER,
               _ ("'%s' is not a finite number."), text);
  return FALSE;
}

static gboolean
take_number (const char *text, const char **p, double *value, GError **error)
{
  if (!faint_text_number (*p, *p + strlen (*p), value, p))
    return refuse_number (text, *p, error);
  if (!isfinite (*value))
    return refuse_not_finite (text, error);
  if (**p == ',')
    return refuse_number (text, *p, error);
  return TRUE;
}

/* Digits behind the decimal point of the number that begins at @start and ends before @end. */
static int
decimals (const char *start, const char *end)
{
  const char *point = memchr (start, '.', (gsize)(end - start));

  return point == NULL ? 0 : (int)(end - point) - 1;
}

/* "(2)" behind a number without exponent: counts in the number's last digits, or, with a decimal
 * point of its own, in the number's unit (GUM 7.2.2, notations 2 and 3). */
static gboolean
take_parentheses (const char *text, const char *number, const char **p, double *u, GError **error)
{
  const char *inside = *p + 1, *close = strchr (inside, ')');
  g_autofree char *digits = NULL, *scaled = NULL;

  if (strcspn (number, "eE") < (gsize)(*p - number))
    {
      g_set_error (error, FAINT_QUANTITY_ERROR, FAINT_QUANTITY_ERROR_NUMBER,
                   _ ("'%s': write the power of ten behind the parentheses, 1.30(2)e2."), text);
      return FALSE;
    }
  if (close == NULL || close == inside || strspn (inside, "0123456789.") != (gsize)(close - inside))
    return refuse_number (text, *p, error);
  digits = g_strndup (inside, (gsize)(close - inside));
  if (strchr (digits, '.') == NULL)
    scaled = g_strdup_printf ("%se-%d", digits, decimals (number, *p));
  else
    scaled = g_strdup (digits);
  *p = scaled;
  if (!take_number (text, p, u, error))
    return FALSE;
  if (**p != '\0')
    return refuse_number (text, *p, error);
  *p = close + 1;
  return TRUE;
}

/* An exponent behind the parentheses counts for both numbers. The value is read again as one
 * decimal with it, so that it is rounded once. */
static void
take_common_exponent (const char *number, const char **p, double *value, double *u)
{
  const char *open = strchr (number, '('), *start = *p, *digits = start + 1;
  g_autofree char *whole = NULL, *power = NULL, *factor = NULL;

  if (*start != 'e' && *start != 'E')
    return;
  digits += *digits == '-' || *digits == '+';
  if (!g_ascii_isdigit (*digits))
    return;
  while (g_ascii_isdigit (*digits))
    digits++;
  power = g_strndup (start, (gsize)(digits - start));
  factor = g_strconcat ("1", power, NULL);
  whole = g_strdup_printf ("%.*s%s", (int)(open - number), number, power);
  *value = g_ascii_strtod (whole, NULL);
  *u *= g_ascii_strtod (factor, NULL);
  *p = digits;
}

static const char *
after_plus_minus (const char *p)
{
  static const char *const signs[] = { "+/-", "+-", "\302\261" };

  for (gsize i = 0; i < G_N_ELEMENTS (signs); i++)
    if (g_str_has_prefix (p, signs[i]))
      return p + strlen (signs[i]);
  return NULL;
}

/* The numbers of @text as written, and where the unit begins. */
static gboolean
take_numbers (const char *text, double *value, double *u, const char **unit, GError **error)
{
  const char *number = skip_blanks (text), *p = number, *behind;

  *u = NAN;
  if (!take_number (text, &p, value, error))
    return FALSE;
  if (*p == '(')
    {
      if (!take_parentheses (text, number, &p, u, error))
        return FALSE;
      take_common_exponent (number, &p, value, u);
    }
  else if ((behind = after_plus_minus (skip_blanks (p))) != NULL)
    {
      p = skip_blanks (behind);
      if (!take_number (text, &p, u, error))
        return FALSE;
    }
  if (!isfinite (*value) || isinf (*u))
    return refuse_not_finite (text, error);
  *unit = p;
  return TRUE;
}

static const FaintUnit *
take_unit (const char *text, const char *at, FaintDimension dimension, GError **error)
{
  g_autofree char *name = g_strstrip (g_strdup (at)), *names = NULL;
  const FaintUnit *unit = faint_unit_find (dimension, name);

  if (unit != NULL)
    return unit;
  names = faint_unit_names (dimension);
  if (dimension == FAINT_DIMENSION_NUMBER)
    g_set_error (error, FAINT_QUANTITY_ERROR, FAINT_QUANTITY_ERROR_UNIT,
                 _ ("'%s' stands behind the number in '%s'; a number without unit was expected."),
                 name, text);
  else if (*name == '\0')
    g_set_error (error, FAINT_QUANTITY_ERROR, FAINT_QUANTITY_ERROR_UNIT,
                 _ ("'%s' has no unit; write one of %s behind the number."), text, names);
  else
    g_set_error (error, FAINT_QUANTITY_ERROR, FAINT_QUANTITY_ERROR_UNIT,
                 _ ("'%s' is no unit known here; one of %s was expected, and nothing behind it."),
                 name, names);
  return NULL;
}

gboolean
faint_quantity_parse (const char *text, FaintDimension dimension, FaintQuantity *quantity,
                      GError **error)
{
  FaintQuantity read;
  const char *at;
  double value, u;

  if (!take_numbers (text, &value, &u, &at, error))
    return FALSE;
  if (u < 0.0)
    {
      g_set_error (error, FAINT_QUANTITY_ERROR, FAINT_QUANTITY_ERROR_NUMBER,
                   _ ("the uncertainty in '%s' is negative."), text);
      return FALSE;
    }
  read.unit = take_unit (text, at, dimension, error);
  if (read.unit == NULL)
    return FALSE;
  read.value = value * read.unit->scale + read.unit->offset;
  read.u = u * read.unit->scale;
  if (!isfinite (read.value) || isinf (read.u))
    return refuse_not_finite (text, error);
  *quantity = read;
  return TRUE;
}

gboolean
faint_quantity_parse_u (const char *text, FaintDimension dimension, FaintQuantity *quantity,
                        GError **error)
{
  const char *p = skip_blanks (text);
  const FaintUnit *unit;
  double u;

  if (!take_number (text, &p, &u, error))
    return FALSE;
  if (u < 0.0)
    {
      g_set_error (error, FAINT_QUANTITY_ERROR, FAINT_QUANTITY_ERROR_NUMBER,
                   _ ("the uncertainty '%s' is negative."), text);
      return FALSE;
    }
  unit = take_unit (text, p, dimension, error);
  if (unit == NULL)
    return FALSE;
  if (!isfinite (u * unit->scale))
    return refuse_not_finite (text, error);
  quantity->u = u * unit->scale;
  return TRUE;
}

static gboolean
reads_as (double written, const FaintUnit *unit, double offset, double value)
{
  return written * unit->scale + offset == value;
}

/* A decimal as short as can be that gives @value when it is read in @unit with @offset, or NULL
 * when none does: rounding of the conversion can leave gaps. */
static char *
decimal_in_unit (double value, const FaintUnit *unit, double offset)
{
  double centre = (value - offset) / unit->scale;

  for (int digits = FEWEST_DIGITS; digits < DBL_DECIMAL_DIG; digits++)
    {
      char format[8], text[G_ASCII_DTOSTR_BUF_SIZE];
      double written;

      g_snprintf (format, sizeof format, "%%.%dg", digits);
      written = g_ascii_strtod (g_ascii_formatd (text, sizeof text, format, centre), NULL);
      if (reads_as (written, unit, offset, value))
        return g_strdup (text);
    }
  if (reads_as (centre, unit, offset, value))
    return faint_format_double (centre);
  for (int way = -1; way <= 1; way += 2)
    {
      double written = nextafter (centre, way * (double)INFINITY);

      if (reads_as (written, unit, offset, value))
        return faint_format_double (written);
    }
  return NULL;
}

static char *
to_text (double value, const FaintUnit *unit, double offset)
{
  const FaintUnit *library = faint_unit_library (unit->dimension);
  g_autofree char *number = decimal_in_unit (value, unit, offset);

  if (number == NULL)
    {
      unit = library;
      number = faint_format_double (value);
    }
  if (unit->dimension == FAINT_DIMENSION_NUMBER)
    return g_steal_pointer (&number);
  return g_strconcat (number, " ", unit->name, NULL);
}

char *
faint_quantity_to_text (FaintQuantity quantity)
{
  if (!faint_quantity_is_known (quantity) || quantity.unit == NULL)
    return g_strdup ("");
  return to_text (quantity.value, quantity.unit, quantity.unit->offset);
}

char *
faint_quantity_u_to_text (FaintQuantity quantity)
{
  if (quantity.u != quantity.u || quantity.unit == NULL)
    return g_strdup ("");
  return to_text (quantity.u, quantity.unit, 0.0);
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Where the fields of a record stand, numbers in them, codes of uncertainty.
 */
#include "faint/lines/record-private.h"

#include <string.h>

/* Rothman et al. (2005), table 1. */
static const FaintRecordField fields[FAINT_RECORD_N] = {
  [FAINT_RECORD_MOLECULE] = { "molecule number", 0, 2, 'I', 0 },
  [FAINT_RECORD_ISOTOPOLOGUE] = { "isotopologue number", 2, 1, 'I', 0 },
  [FAINT_RECORD_POSITION] = { "wavenumber", 3, 12, 'F', 6 },
  [FAINT_RECORD_STRENGTH] = { "strength", 15, 10, 'E', 3 },
  [FAINT_RECORD_EINSTEIN_A] = { "Einstein coefficient", 25, 10, 'E', 3 },
  [FAINT_RECORD_WIDTH_AIR] = { "half width in air", 35, 5, 'F', 4 },
  [FAINT_RECORD_WIDTH_SELF] = { "self half width", 40, 5, 'F', 3 },
  [FAINT_RECORD_LOWER_ENERGY] = { "lower-state energy", 45, 10, 'F', 4 },
  [FAINT_RECORD_EXPONENT] = { "exponent of the width", 55, 4, 'F', 2 },
  [FAINT_RECORD_SHIFT] = { "shift in air", 59, 8, 'F', 6 },
  [FAINT_RECORD_UPPER_GLOBAL] = { "upper global quanta", 67, 15, 'A', 0 },
  [FAINT_RECORD_LOWER_GLOBAL] = { "lower global quanta", 82, 15, 'A', 0 },
  [FAINT_RECORD_UPPER_LOCAL] = { "upper local quanta", 97, 15, 'A', 0 },
  [FAINT_RECORD_LOWER_LOCAL] = { "lower local quanta", 112, 15, 'A', 0 },
  [FAINT_RECORD_CODES] = { "codes of uncertainty", 127, 6, 'I', 0 },
  [FAINT_RECORD_REFERENCES] = { "references", 133, 12, 'I', 0 },
  [FAINT_RECORD_FLAG] = { "flag", 145, 1, 'A', 0 },
  [FAINT_RECORD_UPPER_WEIGHT] = { "upper statistical weight", 146, 7, 'F', 1 },
  [FAINT_RECORD_LOWER_WEIGHT] = { "lower statistical weight", 153, 7, 'F', 1 },
};

const FaintRecordField *
faint_record_field (FaintRecordPlace place)
{
  g_return_val_if_fail ((guint)place < FAINT_RECORD_N, NULL);
  return &fields[place];
}

/* Nothing but zeros before an exponent. */
static gboolean
is_zero (const char *text)
{
  return strspn (text, "-0.") == strcspn (text, "E");
}

/* The text without the 0 before its point, which the format does not need. */
static void
drop_zero (char *text)
{
  char *zero = strstr (text, "0.");

  if (zero == text || (zero == text + 1 && *text == '-'))
    memmove (zero, zero + 1, strlen (zero));
}

gboolean
faint_record_put_number (char *record, FaintRecordPlace place, double value)
{
  const FaintRecordField *field = &fields[place];
  char format[12], text[400]; /* the longest "%.4f" of a double has 314 letters */

  if (!isfinite (value))
    return FALSE;
  /* A number without its point would be read as one with as many decimals as the format states. */
  for (int decimals = (int)field->decimals; decimals >= (field->kind == 'E'); decimals--)
    {
      g_snprintf (format, sizeof format, "%%#.%d%c", decimals, field->kind == 'E' ? 'E' : 'f');
      g_ascii_formatd (text, sizeof text, format, value);
      if (strlen (text) > field->width)
        drop_zero (text);
      if (strlen (text) > field->width || strcmp (text, ".") == 0)
        continue;
      if ((value != 0.0 && is_zero (text)) || !isfinite (g_ascii_strtod (text, NULL)))
        return FALSE; /* nothing left, or rounded beyond the largest number */
      memcpy (record + field->start + field->width - strlen (text), text, strlen (text));
      return TRUE;
    }
  return FALSE;
}

/* Table 5: code k of an absolute uncertainty from 1 on stands for 10^-k <= u < 10^(1-k), the last
 * one for all below. */
static const double absolute_least[] = { INFINITY, 0.1, 0.01, 0.001, 0.0001, 0.00001, 0.0 };
/* And of a relative one from 3 on. */
static const double relative_least[] = { 0.20, 0.10, 0.05, 0.02, 0.01, 0.0 };
#define FIRST_RELATIVE 3

char
faint_record_code_absolute (double u)
{
  if (!(u >= 0.0 && u < 1.0))
    return '0';
  for (guint k = 1; k < G_N_ELEMENTS (absolute_least); k++)
    if (u >= absolute_least[k])
      return (char)('0' + k);
  return '0';
}

char
faint_record_code_relative (double u, double value)
{
  double share = u / fabs (value);

  if (!(share >= 0.0) || !isfinite (share))
    return '0';
  for (guint k = 0; k < G_N_ELEMENTS (relative_least); k++)
    if (share >= relative_least[k])
      return (char)('0' + FIRST_RELATIVE + k);
  return '0';
}

double
faint_record_u_absolute (char code)
{
  static const double largest[] = { 0.99, 0.099, 0.0099, 0.00099, 0.000099, 0.0000099 };

  return code >= '1' && code <= '6' ? largest[code - '1'] : NAN;
}

double
faint_record_u_relative (char code)
{
  static const double largest[] = { 0.199, 0.099, 0.049, 0.0199, 0.0099 };

  return code >= '4' && code <= '8' ? largest[code - '4'] : NAN;
}

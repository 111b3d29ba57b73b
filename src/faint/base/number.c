/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Reading a decimal number, correctly rounded, mostly without the C library.
 * A decimal m 10^e with m of at most 19 digits is an integer times an exact power of five times a
 * power of two. Small ones need one floating operation on exact operands (Clinger, PLDI 1990);
 * others one 128-bit multiplication or division whose lost bits are kept as a sticky bit. The rest
 * goes to g_ascii_strtod.
 */
#include "faint/base/text.h"

#include <math.h>
#include <string.h>

#define MAX_DIGITS 19      /* 10^19 - 1 fits 64 bits */
#define MAX_POWER_OF_5 27  /* 5^27 fits 63 bits */
#define MAX_EXACT_POWER 22 /* 10^22 is a double */

G_GNUC_EXTENSION typedef unsigned __int128 Wide;

typedef struct
{
  gboolean negative;
  guint64 mantissa; /* the first MAX_DIGITS significant digits */
  int n_digits;     /* significant digits, all of them */
  gint64 exponent;  /* of ten, for the mantissa */
  const char *after;
} Decimal;

static const double power_of_10[MAX_EXACT_POWER + 1]
    = { 1e0,  1e1,  1e2,  1e3,  1e4,  1e5,  1e6,  1e7,  1e8,  1e9,  1e10, 1e11,
        1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22 };

static const guint64 power_of_5[MAX_POWER_OF_5 + 1] = { 1ull,
                                                        5ull,
                                                        25ull,
                                                        125ull,
                                                        625ull,
                                                        3125ull,
                                                        15625ull,
                                                        78125ull,
                                                        390625ull,
                                                        1953125ull,
                                                        9765625ull,
                                                        48828125ull,
                                                        244140625ull,
                                                        1220703125ull,
                                                        6103515625ull,
                                                        30517578125ull,
                                                        152587890625ull,
                                                        762939453125ull,
                                                        3814697265625ull,
                                                        19073486328125ull,
                                                        95367431640625ull,
                                                        476837158203125ull,
                                                        2384185791015625ull,
                                                        11920928955078125ull,
                                                        59604644775390625ull,
                                                        298023223876953125ull,
                                                        1490116119384765625ull,
                                                        7450580596923828125ull };

/* Takes digits from @p on; leading zeros are no digits of the mantissa. */
static const char *
take_digits (Decimal *decimal, const char *p, const char *end, gboolean fraction)
{
  for (; p < end && g_ascii_isdigit (*p); p++)
    {
      if (decimal->n_digits < MAX_DIGITS)
        {
          decimal->mantissa = decimal->mantissa * 10 + (guint64)(*p - '0');
          decimal->exponent -= fraction;
        }
      else
        decimal->exponent += !fraction;
      decimal->n_digits += decimal->mantissa != 0;
    }
  return p;
}

/* "e-25" behind the digits, if it is whole; else @p. */
static const char *
take_exponent (Decimal *decimal, const char *p, const char *end)
{
  const char *q = p;
  gboolean negative = FALSE;
  gint64 exponent = 0;

  if (q >= end || (*q != 'e' && *q != 'E'))
    return p;
  q++;
  if (q < end && (*q == '-' || *q == '+'))
    negative = *q++ == '-';
  if (q >= end || !g_ascii_isdigit (*q))
    return p;
  for (; q < end && g_ascii_isdigit (*q); q++)
    exponent = MIN (exponent * 10 + (*q - '0'), 100000000);
  decimal->exponent += negative ? -exponent : exponent;
  return q;
}

static gboolean
split (const char *start, const char *end, Decimal *decimal)
{
  const char *p = start, *digits;

  *decimal = (Decimal){ 0 };
  if (p < end && (*p == '-' || *p == '+'))
    decimal->negative = *p++ == '-';
  digits = p;
  p = take_digits (decimal, p, end, FALSE);
  if (p < end && *p == '.')
    {
      const char *point = p;

      p = take_digits (decimal, point + 1, end, TRUE);
      if (p == point + 1 && point == digits)
        return FALSE;
    }
  else if (p == digits)
    return FALSE;
  decimal->after = take_exponent (decimal, p, end);
  return TRUE;
}

/* @mantissa / 5^@power, rounded once. The quotient is brought to 64 bits; what is lost below them
 * only decides ties, so one sticky bit stands for it. */
static double
divide (guint64 mantissa, int power)
{
  int shift_m = __builtin_clzll (mantissa);
  int shift_d = __builtin_clzll (power_of_5[power]);
  guint64 divisor = power_of_5[power] << shift_d;
  Wide dividend = (Wide)(mantissa << shift_m) << 63;
  Wide quotient = dividend / divisor;

  if (quotient * divisor != dividend)
    quotient |= 1;
  return ldexp ((double)(guint64)quotient, shift_d - shift_m - 63);
}

static gboolean
fast (const Decimal *decimal, double *value)
{
  int exponent = (int)decimal->exponent;
  double magnitude;

  if (decimal->mantissa == 0)
    magnitude = 0.0;
  else if (decimal->n_digits > MAX_DIGITS || ABS (decimal->exponent) > MAX_POWER_OF_5)
    return FALSE;
  else if (decimal->mantissa <= (1ull << 53) && ABS (exponent) <= MAX_EXACT_POWER)
    magnitude = exponent < 0 ? (double)decimal->mantissa / power_of_10[-exponent]
                             : (double)decimal->mantissa * power_of_10[exponent];
  else if (exponent >= 0)
    magnitude = ldexp ((double)((Wide)decimal->mantissa * power_of_5[exponent]), exponent);
  else
    magnitude = ldexp (divide (decimal->mantissa, -exponent), exponent);
  *value = decimal->negative ? -magnitude : magnitude;
  return TRUE;
}

static double
slow (const char *start, const char *after)
{
  char buffer[128];
  gsize length = (gsize)(after - start);

  if (length < sizeof buffer)
    {
      memcpy (buffer, start, length);
      buffer[length] = '\0';
      return g_ascii_strtod (buffer, NULL);
    }
  g_autofree char *copy = g_strndup (start, length);
  return g_ascii_strtod (copy, NULL);
}

static gboolean
not_finite (const char *start, const char *end, double *value, const char **after)
{
  static const char *const words[] = { "infinity", "inf", "nan" };
  const char *p = start + (start < end && (*start == '-' || *start == '+'));

  for (gsize i = 0; i < G_N_ELEMENTS (words); i++)
    {
      gsize length = strlen (words[i]);

      if ((gsize)(end - p) < length || g_ascii_strncasecmp (p, words[i], length) != 0)
        continue;
      *value = *words[i] == 'n' ? (double)NAN : (double)INFINITY;
      if (*start == '-')
        *value = -*value;
      *after = p + length;
      return TRUE;
    }
  return FALSE;
}

gboolean
faint_text_number (const char *start, const char *end, double *value, const char **after)
{
  Decimal decimal;

  if (!split (start, end, &decimal))
    return not_finite (start, end, value, after);
  if (!fast (&decimal, value))
    *value = slow (start, decimal.after);
  *after = decimal.after;
  return TRUE;
}

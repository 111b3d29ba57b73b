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
  guint64 mantissa; /* the digits as one integer, when there are not more than MAX_DIGITS */
  gsize n_digits;   /* significant ones */
  gint64 exponent;  /* of ten */
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

/* Eight digits at once: whether all are digits, and their value, by arithmetic on the bytes side by
 * side. */
static inline gboolean
eight_digits (const char *p, guint64 *value)
{
  const guint64 high = 0xf0f0f0f0f0f0f0f0ull;
  guint64 v;

  memcpy (&v, p, sizeof v);
  v = GUINT64_FROM_LE (v);
  if (((v & high) | (((v + 0x0606060606060606ull) & high) >> 4)) != 0x3333333333333333ull)
    return FALSE;
  v = ((v & 0x0f0f0f0f0f0f0f0full) * 2561) >> 8;
  v = ((v & 0x00ff00ff00ff00ffull) * 6553601) >> 16;
  *value = ((v & 0x0000ffff0000ffffull) * 42949672960001ull) >> 32;
  return TRUE;
}

/* Appends the digits at @p to the mantissa, which wraps around where there are too many. */
static inline const char *
take_digits (guint64 *mantissa, const char *p, const char *end)
{
  guint64 eight;

  while (end - p >= 8 && eight_digits (p, &eight))
    {
      *mantissa = *mantissa * 100000000 + eight;
      p += 8;
    }
  for (; p < end && (guchar)(*p - '0') <= 9; p++)
    *mantissa = *mantissa * 10 + (guint64)(*p - '0');
  return p;
}

/* Digits from @p to @end, which may hold a point, without zeros before the first other one. */
static gsize
significant_digits (const char *p, const char *end)
{
  gsize n = 0;

  for (; p < end; p++)
    n += *p != '.' && (n > 0 || *p != '0');
  return n;
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

static inline gboolean
split (const char *start, const char *end, Decimal *decimal)
{
  const char *p = start, *digits;

  *decimal = (Decimal){ 0 };
  if (p < end && (*p == '-' || *p == '+'))
    decimal->negative = *p++ == '-';
  digits = p;
  p = take_digits (&decimal->mantissa, p, end);
  decimal->n_digits = (gsize)(p - digits);
  if (p < end && *p == '.')
    {
      const char *point = p;

      p = take_digits (&decimal->mantissa, point + 1, end);
      decimal->exponent = point + 1 - p;
      decimal->n_digits += (gsize)(p - point) - 1;
    }
  if (decimal->n_digits == 0)
    return FALSE;
  if (decimal->n_digits > MAX_DIGITS)
    decimal->n_digits = significant_digits (digits, p);
  decimal->after = p < end && (*p | 0x20) == 'e' ? take_exponent (decimal, p, end) : p;
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

  if (decimal->n_digits > MAX_DIGITS)
    return FALSE;
  if (decimal->mantissa == 0)
    magnitude = 0.0;
  else if (ABS (decimal->exponent) > MAX_POWER_OF_5)
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

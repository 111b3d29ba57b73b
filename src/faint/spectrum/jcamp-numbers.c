/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/spectrum/jcamp-numbers.h"

#include <math.h>
#include <string.h>

#include "faint/base/text.h"
#include "faint/base/words.h"

/* A number stands at most this often; a damaged count shall not fill the memory. */
#define MOST_REPEATS 10000000

typedef enum
{
  FORM_PLAIN, /* AFFN, PAC */
  FORM_SQUEEZED,
  FORM_DIFFERENCE,
  FORM_REPEAT,
  FORM_MISSING,
  FORM_NONE,
} Form;

/* The form that the character begins, and the sign and digit in it. */
static Form
form_of (char c, int *sign, char *digit)
{
  *sign = 1;
  *digit = '\0';
  if (c == '@')
    return *digit = '0', FORM_SQUEEZED;
  if (c >= 'A' && c <= 'I')
    return *digit = (char)('1' + c - 'A'), FORM_SQUEEZED;
  if (c >= 'a' && c <= 'i')
    return *sign = -1, *digit = (char)('1' + c - 'a'), FORM_SQUEEZED;
  if (c == '%')
    return *digit = '0', FORM_DIFFERENCE;
  if (c >= 'J' && c <= 'R')
    return *digit = (char)('1' + c - 'J'), FORM_DIFFERENCE;
  if (c >= 'j' && c <= 'r')
    return *sign = -1, *digit = (char)('1' + c - 'j'), FORM_DIFFERENCE;
  if (c >= 'S' && c <= 'Z')
    return *digit = (char)('1' + c - 'S'), FORM_REPEAT;
  if (c == 's')
    return *digit = '9', FORM_REPEAT;
  if (c == '?')
    return FORM_MISSING;
  if (g_ascii_isdigit (c) || c == '+' || c == '-' || c == '.')
    return FORM_PLAIN;
  return FORM_NONE;
}

/* The end of digits, with a point among them at most once, and of an exponent: with a sign, or
 * without one where what follows cannot begin an ordinate of its own. */
static const char *
end_of_digits (const char *p, const char *end, gboolean with_exponent)
{
  const char *exponent;

  while (p < end && g_ascii_isdigit (*p))
    p++;
  if (p < end && *p == '.')
    for (p++; p < end && g_ascii_isdigit (*p);)
      p++;
  if (!with_exponent || p >= end || (*p != 'E' && *p != 'e'))
    return p;
  exponent = p + 1;
  if (exponent >= end || (*exponent != '+' && *exponent != '-'))
    return p;
  for (exponent++; exponent < end && g_ascii_isdigit (*exponent);)
    exponent++;
  return g_ascii_isdigit (exponent[-1]) ? exponent : p;
}

/* The number of sign, first digit (if any) and the digits from @p to @after. */
static gboolean
number_of (int sign, char digit, const char *p, const char *after, double *value)
{
  char text[64];
  gsize n = 0, length = (gsize)(after - p);
  const char *rest;

  if (digit != '\0')
    text[n++] = digit;
  if (n + length == 0 || n + length >= sizeof text)
    return FALSE;
  memcpy (text + n, p, length);
  text[n + length] = '\0';
  if (!faint_text_number (text, text + n + length, value, &rest) || *rest != '\0'
      || !isfinite (*value))
    return FALSE;
  *value *= sign;
  return TRUE;
}

gboolean
faint_jcamp_abscissa (const char *start, const char *end, double *x, const char **after)
{
  const char *p = start;
  int sign = 1;

  while (p < end && (*p == ' ' || *p == '\t'))
    p++;
  if (p < end && (*p == '+' || *p == '-'))
    sign = *p++ == '-' ? -1 : 1;
  *after = end_of_digits (p, end, TRUE);
  return number_of (sign, '\0', p, *after, x);
}

double
faint_jcamp_last_digit (const char *start, const char *end)
{
  gint64 decimals = 0, exponent = 0;
  gboolean after_point = FALSE;

  for (const char *p = start; p < end; p++)
    if (*p == '.')
      after_point = TRUE;
    else if (*p == 'E' || *p == 'e')
      {
        g_autofree char *digits = g_strndup (p + 1, (gsize)(end - p - 1));

        exponent = g_ascii_strtoll (digits, NULL, 10);
        break;
      }
    else if (g_ascii_isdigit (*p))
      decimals += after_point;
  return pow (10.0, (double)CLAMP (exponent, -400, 400) - (double)decimals);
}

/* Reads the number that begins at *@p; moves *@p behind it. */
static Form
take_number (const char **p, const char *end, double *value, FaintJcampFault *fault)
{
  const char *at = *p, *digits, *after;
  int sign;
  char digit;
  Form form = form_of (*at, &sign, &digit);

  *fault = (FaintJcampFault){ at, "is not a number in any of the forms of the standard" };
  if (form == FORM_NONE)
    return FORM_NONE;
  if (form == FORM_MISSING)
    {
      *p = at + 1;
      return form;
    }
  digits = at;
  if (form != FORM_PLAIN || *at == '+' || *at == '-')
    digits++;
  if (form == FORM_PLAIN && *at == '-')
    sign = -1;
  after = end_of_digits (digits, end, form == FORM_PLAIN);
  if (!number_of (sign, digit, digits, after, value))
    return FORM_NONE;
  *p = after;
  return form;
}

/* Repeats the ordinate, or its difference, @count times in all. */
static gboolean
repeat (double count, FaintJcampState *state, gboolean any, GArray *ordinates,
        FaintJcampFault *fault)
{
  if (!any)
    {
      fault->reason = N_ ("'%s' repeats a number, but none stands before it in its line.");
      return FALSE;
    }
  if (count < 1.0 || count != floor (count) || count + ordinates->len > MOST_REPEATS)
    {
      fault->reason = N_ ("'%s' is no count of repeats.");
      return FALSE;
    }
  for (double i = 1.0; i < count; i++)
    {
      if (state->by_difference)
        state->last += state->difference;
      g_array_append_val (ordinates, state->last);
    }
  return TRUE;
}

gboolean
faint_jcamp_ordinates (const char *start, const char *end, FaintJcampState *state,
                       GArray *ordinates, gboolean *repeated, double *repetition,
                       FaintJcampFault *fault)
{
  gboolean expected = state->by_difference, any = FALSE;
  const char *p = start;

  *repeated = FALSE;
  state->by_difference = FALSE;
  while (p < end)
    {
      double value = NAN;
      Form form;

      if (strchr (" \t,;", *p) != NULL)
        {
          p++;
          continue;
        }
      form = take_number (&p, end, &value, fault);
      if (form == FORM_NONE)
        return FALSE;
      if (form == FORM_REPEAT)
        {
          if (!repeat (value, state, any, ordinates, fault))
            return FALSE;
          continue;
        }
      if (form == FORM_DIFFERENCE && (!any || isnan (state->last)))
        {
          fault->reason
              = N_ ("'%s' is a difference, but no ordinate stands before it in its line.");
          return FALSE;
        }
      state->by_difference = form == FORM_DIFFERENCE;
      state->difference = value;
      value = form == FORM_DIFFERENCE ? state->last + value : value;
      if (!any && expected)
        {
          *repeated = TRUE;
          *repetition = value;
        }
      else
        g_array_append_val (ordinates, value);
      state->last = value;
      any = TRUE;
    }
  return TRUE;
}

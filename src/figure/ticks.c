/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Ticks are whole multiples of mantissa x 10^exponent, each computed with one rounding, so that
 * labels near 7790 with six decimals are exact.
 */
#include "figure/ticks.h"

#include <float.h>
#include <math.h>
#include <string.h>

typedef struct
{
  int mantissa; /* 1, 2, 5 */
  int exponent;
} Step;

static double
step_value (Step step)
{
  return step.exponent < 0 ? step.mantissa / pow (10.0, -step.exponent)
                           : step.mantissa * pow (10.0, step.exponent);
}

/* The @k-th multiple. */
static double
step_multiple (Step step, double k)
{
  return step.exponent < 0 ? k * step.mantissa / pow (10.0, -step.exponent)
                           : k * step.mantissa * pow (10.0, step.exponent);
}

static Step
step_wider (Step step)
{
  if (step.mantissa == 5)
    return (Step){ 1, step.exponent + 1 };
  return (Step){ step.mantissa == 1 ? 2 : 5, step.exponent };
}

/* Numbers of the first and last multiple in [lower, upper]; a billionth of a step is forgiven, so
 * that ends which are multiples themselves count. */
static double
step_count (Step step, double lower, double upper, double *first)
{
  double value = step_value (step);
  *first = ceil (lower / value - 1e-9);
  return floor (upper / value + 1e-9) - *first + 1.0;
}

FaintTicks
faint_ticks (double from, double to, guint most)
{
  FaintTicks ticks = { .minor = 5 };
  double lower = MIN (from, to), upper = MAX (from, to), width = upper - lower;
  double finest = 64.0 * DBL_EPSILON * MAX (fabs (lower), fabs (upper));

  most = CLAMP (most, 1, FAINT_TICKS_MAX);
  if (!isfinite (lower) || !isfinite (upper) || !isfinite (width) || width <= finest
      || width < 1e-290)
    return ticks;

  Step step = { 1, (int)floor (log10 (width / most)) };
  double first, count;
  while ((count = step_count (step, lower, upper, &first)) > most)
    step = step_wider (step);

  for (ticks.n = 0; ticks.n < count; ticks.n++)
    ticks.at[ticks.n] = step_multiple (step, first + ticks.n) + 0.0;
  ticks.step = step_value (step);
  ticks.minor = step.mantissa == 2 ? 4 : 5;
  ticks.decimals = MAX (0, -step.exponent);
  return ticks;
}

FaintTicks
faint_ticks_log (double from, double to, guint most)
{
  FaintTicks ticks = { .minor = 1 };
  double lower = MIN (from, to), upper = MAX (from, to);

  most = CLAMP (most, 1, FAINT_TICKS_MAX);
  if (!isfinite (lower) || !isfinite (upper) || lower <= 0.0)
    return ticks;

  Step step = { 1, 0 };
  double first, count;
  while ((count = step_count (step, log10 (lower), log10 (upper), &first)) > most)
    step = step_wider (step);
  for (ticks.n = 0; ticks.n < count; ticks.n++)
    ticks.at[ticks.n] = pow (10.0, step_multiple (step, first + ticks.n));
  ticks.step = step_value (step);
  return ticks;
}

char *
faint_ticks_label (const FaintTicks *ticks, double value)
{
  char digits[G_ASCII_DTOSTR_BUF_SIZE + 350], format[16];

  g_snprintf (format, sizeof format, "%%.%df", CLAMP (ticks->decimals, 0, 17));
  g_ascii_formatd (digits, sizeof digits, format, fabs (value));
  gboolean is_zero = strspn (digits, "0.") == strlen (digits);
  return g_strconcat (value < 0.0 && !is_zero ? "−" : "", digits, NULL);
}

char *
faint_ticks_label_power (double value)
{
  static const char *const superscript[] = { "⁰", "¹", "²", "³", "⁴", "⁵", "⁶", "⁷", "⁸", "⁹" };
  int power = (int)lround (log10 (value));
  g_autofree char *digits = g_strdup_printf ("%d", ABS (power));
  GString *text = g_string_new (power < 0 ? "10⁻" : "10");

  for (const char *digit = digits; *digit != '\0'; digit++)
    g_string_append (text, superscript[*digit - '0']);
  return g_string_free (text, FALSE);
}

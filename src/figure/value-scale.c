/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "figure/value-scale.h"

#include <math.h>

/* Labels with more digits behind the point than this are shortened. */
#define LONGEST_DECIMALS 5
/* As are values from here on. */
#define LARGEST_PLAIN 1e5

/* Power of ten of the leading digit; a billionth is forgiven to rounding. */
static int
power_of (double value)
{
  return (int)floor (log10 (value) + 1e-9);
}

FaintValueScale
faint_value_scale (FaintRange up, guint most)
{
  FaintValueScale self = { .ticks = faint_ticks (up.lower, up.upper, most) };
  const FaintTicks *ticks = &self.ticks;

  /* One tick alone says nothing of the scale. */
  for (guint more = 1; ticks->n == 1 && more <= 3; more++)
    self.ticks = faint_ticks (up.lower, up.upper, most + more);
  if (ticks->n == 0)
    return self;
  double largest = MAX (fabs (ticks->at[0]), fabs (ticks->at[ticks->n - 1]));
  double span = MAX (ticks->at[ticks->n - 1] - ticks->at[0], ticks->step);
  gboolean is_long = ticks->decimals > LONGEST_DECIMALS;
  if (largest >= LARGEST_PLAIN || (is_long && largest < 50.0 * span))
    self.exponent = power_of (largest);
  else if (is_long)
    {
      /* The next power of ten above the span divides off what all labels share. */
      int power = (int)ceil (log10 (span) - 1e-9);
      double unit = pow (10.0, -power);
      self.exponent = power - 1;
      self.base_decimals = MAX (0, -power);
      self.base = floor (ticks->at[0] * unit + 1e-6) / unit;
    }
  return self;
}

char *
faint_value_scale_tick (const FaintValueScale *self, double value)
{
  FaintTicks shown = { .decimals = MAX (0, self->exponent - power_of (self->ticks.step)) };
  return faint_ticks_label (&shown, (value - self->base) * pow (10.0, -self->exponent));
}

char *
faint_value_scale_label (const FaintValueScale *self, const char *name, const char *symbol)
{
  gboolean has_symbol = symbol != NULL && symbol[0] != '\0';
  const char *unit = has_symbol ? symbol : "", *blank = has_symbol ? " " : "";
  GString *text = g_string_new (name);

  if (self->base != 0.0)
    {
      FaintTicks digits = { .decimals = self->base_decimals };
      g_autofree char *base = faint_ticks_label (&digits, self->base);
      g_string_prepend_c (text, '(');
      g_string_append_printf (text, " − %s%s%s)", base, blank, unit);
    }
  if (self->exponent != 0)
    {
      g_autofree char *power = faint_ticks_label_power (pow (10.0, self->exponent));
      g_string_append_printf (text, has_symbol ? "/(%s %s)" : "/%s%s", power, unit);
    }
  else if (has_symbol)
    g_string_append_printf (text, "/%s", unit);
  return g_string_free (text, FALSE);
}

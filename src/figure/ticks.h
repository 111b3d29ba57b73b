/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Where the ticks of an axis stand: multiples of 1, 2 or 5 times a power of ten. Pure arithmetic.
 */
#pragma once

#include <glib.h>

#define FAINT_TICKS_MAX 40

typedef struct
{
  guint n;
  double at[FAINT_TICKS_MAX]; /* rising, inside the range (but for rounding) */
  double step;                /* distance of neighbours; 0 when there is none to speak of */
  guint minor;                /* into how many parts a step divides well: 5, 4 for steps of 2 */
  int decimals;               /* digits behind the point that tell neighbours apart; 0 or more */
} FaintTicks;

/* Ticks of the range between @from and @to (either order), at most @most of them (1 to
 * FAINT_TICKS_MAX). An empty or not finite range, or one too narrow for a double to divide, has
 * none. */
FaintTicks faint_ticks (double from, double to, guint most);

/* Ticks of a logarithmic axis: whole powers of ten between @from and @to (both above 0), thinned to
 * every second, fifth, ... power where there are more than @most. @at holds the values themselves;
 * decimals is 0, step the number of powers between neighbours. */
FaintTicks faint_ticks_log (double from, double to, guint most);

/* @value with the digits of @ticks, with a true minus sign (U+2212). Free with g_free. C locale. */
char *faint_ticks_label (const FaintTicks *ticks, double value);
/* "10" with the power as superscript digits, for a logarithmic axis. Free with g_free. */
char *faint_ticks_label_power (double value);

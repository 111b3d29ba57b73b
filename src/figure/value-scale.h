/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Ticks of an axis of values and labels that stay short: what all labels share, a base and a power
 * of ten, goes into the label of the axis. Pure arithmetic.
 */
#pragma once

#include "figure/ticks.h"
#include "figure/view.h"

/* Shown is (value - base)/10^exponent. */
typedef struct
{
  FaintTicks ticks;
  double base;
  int base_decimals;
  int exponent;
} FaintValueScale;

/* At most about @most ticks over @up, but two where that can be had with a few more. */
FaintValueScale faint_value_scale (FaintRange up, guint most);

/* A tick's label. Free with g_free. */
char *faint_value_scale_tick (const FaintValueScale *self, double value);

/* "power transmission", "(power transmission − 0.9998)/10⁻⁶", "absorption/(10⁻⁷ cm⁻¹)" from the
 * quantity's @name and the @symbol of its unit (NULL: a number). Free with g_free. */
char *faint_value_scale_label (const FaintValueScale *self, const char *name, const char *symbol);

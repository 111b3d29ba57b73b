/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Observed minus calculated positions against a running number, with error bars of one standard
 * uncertainty. What the fit kept is full, what it left out hollow; the shape is that of the branch.
 * The range is that of what was kept: what lies beyond stands at the border, and an arrow says so.
 */
#pragma once

#include "figure/symbol.h"
#include "figure/value-frame.h"

typedef struct
{
  guint id;
  double number;     /* m or J */
  double difference; /* cm-1 */
  double u;          /* standard uncertainty, cm-1; NAN: no bar */
  FaintSymbol symbol;
  gboolean kept;
} FaintDifference;

typedef struct
{
  const FaintDifference *items;
  gsize n;
  const char *name; /* of the number: "m", "J″" */
} FaintDifferences;

/* The view of all of them inside @place, without the labels around it. */
FaintView
faint_differences_layout (const FaintDifferences *self, const FaintCanvas *canvas, FaintRect place);
void
faint_differences_draw (const FaintDifferences *self, const FaintCanvas *canvas, FaintRect place);
/* Id of the line nearest to a point within @reach user units, 0: none. */
guint faint_differences_at (const FaintDifferences *self, const FaintView *view, double x, double y,
                            double reach);
/* Marks a line. */
void faint_differences_mark (const FaintDifferences *self, const FaintCanvas *canvas,
                             FaintRect place, guint id);

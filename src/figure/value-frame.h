/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Axes of a plot whose both axes are values: ticks, grid and labels, outside view->place. Here
 * view->across is a range of values as view->up is.
 */
#pragma once

#include "figure/canvas.h"

typedef struct
{
  const char *name;   /* of the quantity, "offset" */
  const char *brief;  /* where there is no room for the name; or NULL */
  const char *symbol; /* of its unit, "cm⁻¹"; NULL for a number */
  gboolean whole;     /* ticks at whole numbers only */
} FaintValueAxis;

typedef struct
{
  FaintValueAxis across, up;
} FaintValueFrame;

/* Largest part of @place that leaves room for ticks and labels. */
FaintRect faint_value_frame_inside (const FaintCanvas *canvas, FaintRect place);
/* Background and grid, to be drawn first; axes, ticks and labels, to be drawn last. */
void faint_value_frame_background (const FaintCanvas *canvas, const FaintView *view,
                                   const FaintValueFrame *frame);
void faint_value_frame_draw (const FaintCanvas *canvas, const FaintView *view,
                             const FaintValueFrame *frame);

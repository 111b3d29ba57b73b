/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The stacked plots as render nodes: dense traces as columns of colour, the rest with the figure's
 * own functions, so that the screen shows what a picture or a page does.
 */
#pragma once

#include "figure/spectrum-figure.h"
#include <gtk/gtk.h>

typedef struct
{
  GtkSnapshot *snapshot;
  FaintCanvas canvas;  /* without a cairo context: each part gets its own */
  FaintCanvas measure; /* with one, for the sizes of texts */
  double device;       /* device pixels a unit */
  FaintFigureData *data;
  const FaintSpectrumFigure *figure;
  const FaintFigureLayout *layout; /* NULL: an empty plot */
  FaintRect place;                 /* of lanes and labels */
  FaintRect bounds;                /* of the background */
} FaintDrawing;

void faint_drawing_append (FaintDrawing *self);

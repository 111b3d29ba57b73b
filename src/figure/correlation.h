/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The correlation matrix of fitted parameters as a picture: a square of cells, the parameters along
 * it grouped by line, a scale beside it. Magnitude is depth of colour, from the background to
 * blue (negative) or orange (positive), which differ in lightness; a minus or a plus in the cell
 * says the sign once more.
 */
#pragma once

#include "figure/canvas.h"

typedef struct _FaintCorrelation FaintCorrelation;

/* Takes @matrix (n * n) and @names (NULL-terminated, "7790.220 position") as
 * faint_fit_correlation() gives them. */
FaintCorrelation *faint_correlation_new (double *matrix, char **names, gsize n);
void faint_correlation_free (FaintCorrelation *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (FaintCorrelation, faint_correlation_free)

gsize faint_correlation_get_n (const FaintCorrelation *self);
double faint_correlation_get (const FaintCorrelation *self, gsize row, gsize column);
const char *faint_correlation_get_name (const FaintCorrelation *self, gsize index);
/* Symbol of the parameter, "γL"; its name where it has none. */
const char *faint_correlation_get_symbol (const FaintCorrelation *self, gsize index);
/* Parameters of one line stand in a row: index of its first. */
gsize faint_correlation_get_group (const FaintCorrelation *self, gsize index);

typedef struct
{
  gsize row, column; /* row < column */
  double value;
} FaintCorrelationPair;
/* The pairs of different parameters with the largest |correlation|, largest first; at most @most.
 * Returns their number. What is not finite is left out, and what is 0 to three decimals. */
gsize
faint_correlation_strongest (const FaintCorrelation *self, FaintCorrelationPair *pairs, gsize most);

/* Where things lie: for the pointer, and for what is drawn above. */
typedef struct
{
  FaintRect cells; /* a square */
  FaintRect scale; /* the bar of colours; height 0 where there is no room */
  double side;     /* of a cell */
  double font;     /* of the labels, times the canvas' font */
  gboolean symbols;
  gsize label_step; /* every so many lines have a label */
} FaintCorrelationLayout;
void faint_correlation_layout (const FaintCorrelation *self, const FaintCanvas *canvas,
                               FaintRect place, FaintCorrelationLayout *layout);
FaintRect faint_correlation_cell (const FaintCorrelationLayout *layout, gsize row, gsize column);
/* FALSE outside of the cells. */
gboolean
faint_correlation_cell_at (const FaintCorrelation *self, const FaintCorrelationLayout *layout,
                           double x, double y, gsize *row, gsize *column);

/* Draws into @place, and nothing outside it. */
void
faint_correlation_draw (const FaintCorrelation *self, const FaintCanvas *canvas, FaintRect place);
/* Marks a cell and the way to its labels. */
void faint_correlation_mark (const FaintCorrelation *self, const FaintCanvas *canvas,
                             FaintRect place, gsize row, gsize column);

/* Colour of a correlation between -1 and 1; not finite gives the background. */
FaintColour faint_correlation_colour (const FaintPalette *palette, double value);

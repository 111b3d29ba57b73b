/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The figure of the trade: stacked lanes on one axis. Measurement with model and baseline;
 * absorption; phase of a field; normalised residuals with their distribution at the right edge;
 * sticks of the lines, strength on a logarithmic scale.
 */
#pragma once

#include "figure/legend.h"
#include "figure/other-trace.h"

typedef enum
{
  FAINT_LANE_MEASUREMENT,
  FAINT_LANE_ABSORPTION,
  FAINT_LANE_PHASE,
  FAINT_LANE_RESIDUAL,
  FAINT_LANE_STICKS,
  FAINT_LANE_N
} FaintLaneKind;

typedef struct
{
  FaintAxisUnit unit;
  gboolean show[FAINT_LANE_N]; /* a lane without data is left out whatever this says */
  double share[FAINT_LANE_N];  /* of the height, relative to each other; above 0 */
  FaintRange up[FAINT_LANE_N]; /* range of values; not valid (NAN): that of the data in view */
  gboolean error_bars;
  gboolean baseline;
  gboolean windows; /* borders of the windows of the fit */
  gboolean grid;
  gboolean distribution; /* of all residuals, beside their lane */
  gboolean frame_labels; /* axis labels; FALSE saves space in small pictures */
  guint selected;        /* id of a line to mark; 0: none */
  FaintRange range;      /* a marked range, cm-1; not valid: none */
  FaintLineList *given;  /* further sticks, borrowed, or NULL */
  FaintLineList *predicted;
  FaintLineList *not_seen, *not_claimed;  /* sticks that a review marks, borrowed, or NULL */
  FaintOtherTrace *other;                 /* another model over the fitted one, borrowed, or NULL */
  const char *fitted_words, *other_words; /* in its legend; NULL: "fitted", "what if" */
} FaintSpectrumFigure;

/* The defaults: every lane, error bars, baseline, automatic ranges. */
void faint_spectrum_figure_init (FaintSpectrumFigure *self);

/* Where the lanes lie: for the pointer, the cross-hair and accessible descriptions. */
typedef struct
{
  gboolean visible[FAINT_LANE_N];
  FaintView view[FAINT_LANE_N]; /* of the visible ones; of the sticks, up is log10(strength) */
  FaintRect distribution;       /* beside the residuals; width 0 if not shown */
  FaintRect plots;              /* all lanes together, without labels */
} FaintFigureLayout;
void faint_spectrum_figure_layout (const FaintSpectrumFigure *self, const FaintCanvas *canvas,
                                   FaintRect place, const FaintFigureData *data, FaintRange across,
                                   FaintFigureLayout *layout);

/* Draws the figure of @data, the part @across (cm-1), into @place, and nothing outside it. */
void faint_spectrum_figure_draw (const FaintSpectrumFigure *self, const FaintCanvas *canvas,
                                 FaintRect place, const FaintFigureData *data, FaintRange across);

/* Symbol of the quantity of a lane, for labels where there is no room for words. Static. */
const char *faint_spectrum_figure_symbol (const FaintFigureData *data, FaintLaneKind lane);

/* The other model's curve in a lane; NULL: none, or samples (the residuals). Borrowed. */
const FaintPyramid *
faint_spectrum_figure_other (const FaintSpectrumFigure *self, FaintLaneKind lane);

/* Entries of the legend of a figure with another model: @entries of 2, their number is returned (0:
 * no legend). */
guint faint_spectrum_figure_legend (const FaintSpectrumFigure *self, const FaintFigureData *data,
                                    FaintLegendEntry *entries);

/* The lane at a point, or FAINT_LANE_N. */
FaintLaneKind faint_figure_layout_lane_at (const FaintFigureLayout *self, double x, double y);

/* The strip with the whole span: envelope of the measurement, a bar below it that shows where
 * windows fit poorly (reduced chi-square above @poor, usually 2) and where lines are assigned, and
 * the viewport @across. The span is that of the data. */
void faint_overview_draw (const FaintCanvas *canvas, FaintRect place, const FaintFigureData *data,
                          FaintRange across, double poor);

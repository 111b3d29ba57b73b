/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What may be drawn into one plot: each function draws one thing inside view->place (frames and
 * labels outside it), and nothing else. The cost follows the width, not the number of samples.
 */
#pragma once

#include "figure/axis-unit.h"
#include "figure/canvas.h"
#include "figure/pyramid.h"
#include "faint/fit/fit.h"

typedef struct
{
  FaintAxisUnit unit;    /* of the shared axis */
  gboolean ticks_across; /* tick labels and the axis label below the lane (else ticks only) */
  const char *across;    /* what the shared axis counts, "wavenumber"; NULL: in English */
  const char *label;     /* of the values, "power transmission", turned upwards; or NULL */
  const char *brief; /* symbol of the quantity, "α", for a lane too short for the label; or NULL */
  const char *symbol;   /* of the unit of the values, "cm⁻¹"; NULL for a number */
  gboolean logarithmic; /* view->up holds log10 of the values */
  gboolean grid;
} FaintFrame;

/* Space, user units, that a frame needs outside view->place. */
double faint_frame_left (const FaintCanvas *canvas);
double faint_frame_bottom (const FaintCanvas *canvas);
double faint_frame_right (const FaintCanvas *canvas);

/* Background and grid, to be drawn first; axes, ticks and labels, to be drawn last. */
void
faint_lane_background (const FaintCanvas *canvas, const FaintView *view, const FaintFrame *frame);
void faint_lane_frame (const FaintCanvas *canvas, const FaintView *view, const FaintFrame *frame);

/* Where the label of the values stands level in the corner of the lane, because the lane is too
 * short for it beside: without it the numbers of the ticks would say nothing. */
gboolean faint_lane_corner (const FaintCanvas *canvas, const FaintView *view,
                            const FaintFrame *frame, FaintRect *place);

/* Samples: markers, with error bars of @u (one standard uncertainty, an array beside the pyramid's,
 * or NULL) where they stand apart on the screen; columns of least and greatest value where they
 * do not. */
void faint_lane_samples (const FaintCanvas *canvas, const FaintView *view,
                         const FaintPyramid *samples, const double *u, FaintPart part);

/* Whether samples are markers of their own in this view, so that they are to be drawn over the
 * curve through them; else the curve over the samples. */
gboolean faint_lane_samples_apart (const FaintCanvas *canvas, const FaintView *view,
                                   const FaintPyramid *samples);

/* A curve through the samples: a polyline below about two samples a column, columns above it.
 * Broken at NAN and over distances above @gap, cm-1 (INFINITY: never). */
void faint_lane_curve (const FaintCanvas *canvas, const FaintView *view, const FaintPyramid *curve,
                       double gap, FaintPart part);

/* Guides at 0, +-1 and +-3. */
void faint_lane_guides (const FaintCanvas *canvas, const FaintView *view);

/* Bars of the share of finite samples of @y[0..n) in equal bins of @up, growing rightwards in
 * @place, with the standard normal density over them. Costs n: cache its bins (see figure-data.h).
 */
#define FAINT_DISTRIBUTION_BINS 64
typedef struct
{
  FaintRange up;
  gsize n; /* finite samples, those outside @up too */
  gsize count[FAINT_DISTRIBUTION_BINS];
} FaintDistribution;
void faint_distribution_fill (FaintDistribution *self, const double *y, gsize n, FaintRange up);
/* Counts further samples. */
void faint_distribution_add (FaintDistribution *self, const double *y, gsize n);
void faint_lane_distribution (const FaintCanvas *canvas, FaintRect place, FaintRange up,
                              const FaintDistribution *distribution);

/* Lines as sticks from the bottom to log10 of their strength (view->up in log10 of cm/molecule); a
 * line of unknown strength is a short stick with no marker. @part is FITTED, GIVEN or PREDICTED.
 * The marker on top is drawn where sticks stand apart. */
void faint_lane_sticks (const FaintCanvas *canvas, const FaintView *view,
                        const FaintLineList *lines, FaintPart part);
/* Names of the lines that have labels (transition-name.h), at the right of their sticks, where they
 * hide no stick and no other name; the strongest first. */
void faint_lane_stick_labels (const FaintCanvas *canvas, const FaintView *view,
                              const FaintLineList *lines);
/* log10 range of the strengths of a list, padded; FALSE if none is above 0. */
gboolean faint_lane_sticks_range (const FaintLineList *lines, FaintRange *range);

/* Dashed borders between the windows of @fit that fall into the view. */
void faint_lane_windows (const FaintCanvas *canvas, const FaintView *view, const FaintFit *fit);
/* A marked line: a vertical rule over the whole height. */
void faint_lane_mark (const FaintCanvas *canvas, const FaintView *view, double wavenumber);
/* A marked range of wavenumbers. */
void faint_lane_range (const FaintCanvas *canvas, const FaintView *view, FaintRange range);

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How a fit is laid out: which teeth and lines belong to which window, which lines a window
 * computes directly, and where each parameter stands in the vector of all.
 *
 * Windows cut the fitted range where lines are far away. Parameters stand window by window, the
 * baseline's coefficients first, then position, strength, widths and what else is free of each line
 * in it, so that the normal matrix is a band. What lines or windows far from each other share
 * (common widths, ties, detuning, fringes) stands behind them, as its border. Lines near a window
 * (within twice its half width of its centre) are computed tooth by tooth; the smooth rest of all
 * others through Chebyshev nodes.
 */
#pragma once

#include "faint/fit/fit.h"

/* Cosine, sine, period. */
#define FAINT_FRINGE_PARAMETERS 3

typedef struct
{
  gsize first, n;      /* teeth of the spectrum */
  double centre, half; /* cm-1 */
  guint degree;
  gsize coefficient;         /* of the first baseline coefficient in theta */
  gsize line_first, n_lines; /* lines that stand in it */
  gsize near_first, n_near;  /* lines computed directly */
} FaintLayoutWindow;

typedef struct
{
  gsize first, n_teeth; /* fitted range */
  guint channels;       /* 1, or 2 for a field */
  gsize n_windows;
  FaintLayoutWindow *windows;
  gsize n_lines;
  double *position;                /* of each line when the layout was made, rising */
  double widest;                   /* greatest Doppler width, cm-1 */
  gssize (*place)[FAINT_PLACE_N];  /* of each line's parameters in theta; -1: not fitted. Tied ones
                                      stand where what they follow does ... */
  double (*factor)[FAINT_PLACE_N]; /* ... and move by this times theta */
  double (*offset)[FAINT_PLACE_N];
  gssize detuning, detuning_slope; /* in theta; -1: not fitted */
  gssize fringe;                   /* of the first of n_fringes times cosine, sine, period */
  guint n_fringes;
  gsize n_band, n_border, n_parameters; /* the first n_band parameters make the band */
  gsize bandwidth;
  guint n_groups; /* windows, and one more for the border */
  guint *group;   /* window of each parameter */
} FaintLayout;

/* Cuts the range for lines of typical half width @hwhm (cm-1). */
FaintLayout *faint_layout_new (const FaintSpectrum *spectrum, const FaintLine *lines, gsize n_lines,
                               const FaintFitOptions *options, double hwhm);
/* The same with windows that are given. */
FaintLayout *faint_layout_new_for (const FaintSpectrum *spectrum, const FaintLine *lines,
                                   gsize n_lines, const FaintFitWindow *windows, gsize n_windows,
                                   const FaintFitOptions *options);
void faint_layout_free (FaintLayout *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (FaintLayout, faint_layout_free)

/* Baseline coefficients of a window: degree + 1 for each channel. */
static inline gsize
faint_layout_coefficients (const FaintLayout *self, const FaintLayoutWindow *window)
{
  return (gsize)self->channels * (window->degree + 1);
}

/* Lines that must be computed directly over the stretch @centre +- @half (cm-1): [first, end). */
void
faint_layout_near (const FaintLayout *self, double centre, double half, gsize *first, gsize *end);

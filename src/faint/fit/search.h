/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The lines of a fit while it is under way: rounds of finding and fitting, and the decision which
 * found lines stay.
 */
#pragma once

#include "faint/fit/fit-private.h"

typedef struct
{
  FaintLine line;
  gboolean found; /* by us, so we may take it out again */
  gboolean held;  /* position and width held, for the data do not determine them ... */
  gboolean free_position, free_lorentz; /* ... though they are free */
  double found_at;                      /* cm-1, or where it was given */
  gboolean needed;                      /* without it the residuals asked for a line here again */
  gboolean split;                       /* one of two that were taken for one line (split.h) */
} FaintSearchLine;

typedef struct
{
  FaintSpectrum *spectrum;
  const FaintFitOptions *options;
  const FaintProgress *progress;
  GArray *lines;      /* FaintSearchLine, rising position */
  FaintModel *model;  /* of the last fit, or of the baseline alone */
  FaintFitWork *work; /* its normal equations; owns model when set */
  double *gradient;   /* of the last fit */
  GArray *refused;    /* double, cm-1: where found lines did not stay in a fit to the end */
  gboolean finishing;
  double doppler_per_wavenumber;
  double lorentz_ratio; /* Lorentz over Doppler width to begin with */
  double start_ratio;   /* the same, where the lines are not asked for it; NAN: they are */
  double widest_ratio;  /* and the largest that the pressure lets expect; INFINITY: none */
  double noise_scale;
  double width_mean, width_spread;
  gboolean width_known;      /* the population of widths has been determined */
  gboolean profile_doubtful; /* most strong lines leave residuals like a pair's (split.h) */
  guint iterations;
  FaintLeastSquaresVerdict verdict;
  double distance;
} FaintSearch;

FaintSearch *
faint_search_new (FaintSpectrum *spectrum, const FaintLineList *start,
                  const FaintFitOptions *options, const FaintProgress *progress, GError **error);
void faint_search_free (FaintSearch *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (FaintSearch, faint_search_free)

/* Finds, fits and judges in rounds until nothing more is found; without rounds only fits.
 * FALSE when cancelled or when nothing finite can be made of the data. */
gboolean faint_search_run (FaintSearch *self, GError **error);

/* Width and its standard uncertainty as the data alone determine them: a line's Lorentz width
 * with what was known beforehand taken out again. FALSE if it is not free. */
gboolean faint_search_own_width (const FaintSearch *self, gsize line, double *width, double *u);

/* Lorentz over Doppler width of a line that is broadened by @broadening, cm-1/atm (half width), at
 * the pressure of the record; INFINITY where that is not known. */
double faint_search_broadened (const FaintSearch *self, double broadening);

/* Half width of a line; and the median over the lines of the search. */
double faint_search_half_width (const FaintLine *line);
double faint_search_typical_half_width (const FaintSearch *self);

/* Takes out found lines that do not stay by the last fit; returns how many. */
guint faint_search_prune (FaintSearch *self);

/* Given lines that do not stand out of the noise keep the position they were given and the usual
 * width; only their strength is fitted. Returns how many became so by the last fit. */
guint faint_search_hold_undetermined (FaintSearch *self);

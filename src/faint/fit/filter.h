/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The matched filter of find.h at one place: how much a further weak line there would explain of
 * (observed - model)/u, a parabola as its local baseline projected out. The line's shape is the
 * profile seen through this cavity under the lines already there, not a profile on its own.
 */
#pragma once

#include "faint/fit/model.h"

/* Reach of the filter to either side, in half widths of the template. */
#define FAINT_FILTER_REACH 12.0

typedef struct _FaintFilter FaintFilter;

/* Over the residuals of @model as they are; a template of that Doppler width over its position and
 * Lorentz over Doppler width @ratio. */
FaintFilter *faint_filter_new (FaintModel *model, double doppler_per_wavenumber, double ratio);
void faint_filter_free (FaintFilter *self);

/* Another template; patterns of the old one are void. */
void faint_filter_set_ratio (FaintFilter *self, double ratio);

/* Half width of the template at @wavenumber, cm-1. */
double faint_filter_half_width (const FaintFilter *self, double wavenumber);

/* The template over the teeth around a place. On a comb it is the same for the next tooth, and for
 * many more: it is kept from place to place. Begin with all 0. */
typedef struct
{
  gsize from, to;   /* teeth of the last place */
  gsize n, room;    /* teeth that the arrays are for; 0: none yet */
  double width;     /* Doppler width, cm-1 */
  double *distance; /* of each tooth, cm-1 */
  double *re, *im;
  double *x, *x2; /* coordinate of the local baseline */
} FaintFilterPattern;
void faint_filter_pattern_clear (FaintFilterPattern *pattern);

/* Strength and its signal-to-noise ratio for a line at @centre; FALSE where the teeth do not
 * determine it. */
gboolean faint_filter_respond (const FaintFilter *self, FaintFilterPattern *pattern, double centre,
                               double *strength, double *snr);

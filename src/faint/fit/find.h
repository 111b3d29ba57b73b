/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Finding lines: a matched filter over (observed - model)/u with the shape that a further weak line
 * has in this cavity under the lines already there, its local baseline projected out; peaks above
 * a threshold in the filter's own standard deviations.
 */
#pragma once

#include "faint/fit/model.h"

/* Expected number of false finds in pure noise over @n_teeth with lines of half width @hwhm (in
 * tooth spacings) at @threshold: how often the filter's answer, a normal process whose correlation
 * is that of a Doppler profile with itself, crosses it upwards, n sqrt(ln2)/(2 pi hwhm)
 * exp(-threshold^2/2) (Rice, Bell Syst. Tech. J. 24, 46 (1945)). */
double faint_find_false_expected (gsize n_teeth, double hwhm, double threshold);

/* A line that the residuals ask for. */
typedef struct
{
  double position; /* cm-1 */
  double strength; /* of the linear filter: too small for a saturated line */
  double snr;
} FaintCandidate;

typedef struct
{
  double doppler_per_wavenumber; /* Doppler width of the template over its position */
  double lorentz_over_doppler;   /* its Lorentz width over the Doppler width */
  double threshold;
  double noise_scale;            /* actual scatter over stated u, at least 1 */
  const FaintProgress *progress; /* asked between pieces of work; when it wants to stop the answer
                                    is of no use, and the caller asks again. May be NULL */
} FaintFindTemplate;

/* Candidates in rising order of position. A candidate is left for a later round while a much
 * stronger one stands in its surroundings; it is refused within 0.35 half widths of a line that is
 * there, and where it would have less than 0.4 % of the strength of a line within 4 half
 * widths, where the residual of an imperfect model looks like a line (common practice, no source).
 */
GArray *faint_find_candidates (FaintModel *model, const FaintFindTemplate *template);

/* Scatter of the normalised residuals of @model from tooth to tooth, at least 1. */
double faint_find_noise_scale (FaintModel *model);

/* Which of the @n Lorentz-over-Doppler ratios in @ratios suits the peaks: each peak that the first
 * ratio finds votes for the one that stands out most in its place; the median vote is returned, or
 * @ratios[0] where nothing stands out. */
double faint_find_ratio (FaintModel *model, const FaintFindTemplate *template, const double *ratios,
                         gsize n);

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The strength that a blend has as a whole: where the data share it out among its lines only
 * poorly, their strengths are anticorrelated and each alone is uncertain, while their sum is not
 * (JCGM 100:2008, 5.2.2). Needs no display.
 */
#pragma once

#include "faint/fit/fit.h"

G_BEGIN_DECLS

typedef struct
{
  guint n;      /* lines of the blend */
  double value; /* cm/molecule, sum of their strengths */
  double u; /* standard uncertainty: noise with the covariances of the fit, and what is common */
} FaintBlendSum;

/* Of the chain of neighbours around @line of @fit's list, each of whose strengths goes against the
 * next one's (correlation below -0.5). FALSE where there is no such neighbour, or the fit does not
 * know a covariance. */
gboolean faint_blend_sum (const FaintFit *fit, const FaintLine *line, FaintBlendSum *sum);

G_END_DECLS

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Spectra of many lines with known truth, simulated, and claims drawn about it.
 */
#pragma once

#include <gsl/gsl_rng.h>

#include "faint/review/review.h"

typedef struct
{
  FaintAnalysis *analysis; /* of the simulated spectrum */
  FaintLineList *truth;
} ReviewScene;

/* @n lines of strengths over two decades, none nearer than five half widths, a finesse of 12000 at
 * 10 hPa; with @inputs the uncertainties of the inputs are stated. */
ReviewScene review_scene_new (guint n, guint seed, gboolean inputs);
void review_scene_clear (ReviewScene *self);
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (ReviewScene, review_scene_clear)

/* Claims of the truth drawn with standard uncertainties of 5e-5 cm-1, 1 % of strengths and 3 % of
 * widths, and stated so. An array, to be spoilt and made a list. */
GArray *review_scene_claims (const ReviewScene *self, gsl_rng *random);
FaintLineList *review_scene_list (const GArray *claims);
FaintReview *review_scene_review (const ReviewScene *self, const GArray *claims);

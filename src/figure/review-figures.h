/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Residuals of both models of a review, one above the other on one axis.
 */
#pragma once

#include "faint/review/review.h"
#include "figure/canvas.h"

/* Prepared once; of spectrum @i. */
typedef struct _FaintReviewResiduals FaintReviewResiduals;
FaintReviewResiduals *faint_review_residuals_new (const FaintReview *review, gsize i);
void faint_review_residuals_free (gpointer self);
void faint_review_residuals_draw (const FaintReviewResiduals *self, const FaintCanvas *canvas,
                                  FaintRect place);

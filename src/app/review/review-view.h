/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the plots show of a review: the refit as the fitted model, the claims' model dashed over it,
 * and on the lane of sticks the claims beside what was seen. Made in a thread.
 */
#pragma once

#include "faint/review/review.h"
#include "figure/other-trace.h"

typedef struct _FaintReviewView
{
  FaintFigureData *data;  /* spectrum and refit; its lines are the rows of the review, their ids the
                             rows' numbers from 1, of unknown strength where nothing was seen */
  FaintOtherTrace *other; /* the claims' model */
  FaintLineList *claimed; /* at the conditions of the input */
  FaintLineList *not_seen, *not_claimed;
} FaintReviewView;

/* Of spectrum @shown of a series. */
FaintReviewView *faint_review_view_new (FaintReview *review, gsize shown);
void faint_review_view_free (FaintReviewView *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (FaintReviewView, faint_review_view_free)

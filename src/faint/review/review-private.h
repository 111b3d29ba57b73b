/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The steps of a review, each in a file of its own.
 */
#pragma once

#include "faint/review/review.h"
#include "faint/strength/partition.h"

/* Parameters that a list may have in common: position, strength, Lorentz and Doppler width. */
#define FAINT_REVIEW_COMMON_N 4

/* Half width of a line as matching counts, cm-1; @setup gives a Doppler width where none stands. */
double faint_review_half_width (const FaintLine *line, const FaintSetup *setup);

/* Claims at the conditions of @setup (review-claims.c); ids stay. */
FaintLineList *faint_review_claims_at (FaintLineList *claimed, const FaintReviewOptions *options,
                                       const FaintSetup *setup, const FaintPartition *partition,
                                       GPtrArray *warnings);
/* Those that the span of the analysis can show, all stated parameters held (@held) or free; moved
 * by
 * @shift cm-1. */
FaintLineList *faint_review_start (const FaintReview *self, gboolean held, double shift);
/* TRUE if a line at @position lies on the teeth. */
gboolean faint_review_is_in_span (const FaintReview *self, double position);

/* Fills self->lines from claims and refit (review-match.c). The ids of claimed lines that the refit
 * does not hold where they were claimed are added to @lost. */
void faint_review_match (FaintReview *self, double shift, GArray *lost);

/* Values of every line, without verdicts (review-values.c). */
void faint_review_fill_values (FaintReview *self);
/* What lies in common, self->systematic; corrected differences (review-common.c). */
void faint_review_find_common (FaintReview *self);
/* Inputs that would explain a finding, and its words (review-causes.c). */
void faint_review_explain (const FaintReview *self, FaintSystematic *finding);
/* Verdicts (review-judge.c). */
void faint_review_judge (FaintReview *self);
/* Reasons, sentences, faults (review-words.c). */
void faint_review_describe (FaintReview *self);
void faint_review_fill_windows (FaintReview *self);

/* The finding about @parameter, or NULL. */
const FaintSystematic *faint_review_common_of (const FaintReview *self, guint parameter);
/* What it counts over, of a line. */
double faint_review_common_x (const FaintReview *self, const FaintReviewLine *line,
                              FaintSystematicForm form);

FaintReviewLine *faint_review_line_new (void);

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The steps of a review, each in a file of its own.
 */
#pragma once

#include "faint/review/compared.h"
#include "faint/review/review.h"
#include "faint/strength/partition.h"

/* Half width of a line as matching counts, cm-1; @setup gives a Doppler width where none stands. */
double faint_review_half_width (const FaintLine *line, const FaintSetup *setup);

/* Claims at the conditions of @setup (review-claims.c); ids stay. Of a @series coefficients of the
 * mixture are added where those of its parts are claimed. */
FaintLineList *faint_review_claims_at (FaintLineList *claimed, const FaintReviewOptions *options,
                                       const FaintSetup *setup, const FaintPartition *partition,
                                       gboolean series, GPtrArray *warnings);
/* Those that the span of the analysis can show, all stated parameters held (@held) or free; moved
 * by
 * @shift cm-1. */
FaintLineList *faint_review_start (const FaintReview *self, gboolean held, double shift);
/* The coefficient that counts the total pressure of the gas of @setup, from @self (_SELF), the one
 * behind it (_FOREIGN) and their mixture as far as @line states them; NAN where a part of the gas
 * is not told. */
FaintParameter
faint_review_mixture (const FaintLine *line, const FaintSetup *setup, FaintCoefficient self);
/* The same times @pressure, Pa: a width or shift in cm-1, and its uncertainty. */
double faint_review_by_pressure (const FaintLine *line, const FaintSetup *setup, double pressure,
                                 FaintCoefficient self, double *u);

/* Of a series (review-series.c): */
gboolean faint_review_is_series (const FaintReview *self);
/* What a claim of @line does not state of coefficients and energy is taken from the refit. */
void faint_review_complete (const FaintReview *self, FaintLine *line);
/* A claim that holds at other conditions is brought to those of the first spectrum by what the
 * refit, not the claim itself, says of shift and energy: so that one wrong number does not spoil
 * another. @original: as claimed; @claim: at the conditions of the input. */
void faint_review_bring (const FaintReview *self, const FaintLine *original, const FaintLine *seen,
                         FaintLine *claim);
/* Why the conditions of the spectra tell nothing of parameter @k (review/compared.h), a clause;
 * NULL where they do. */
const char *faint_review_why_untold (const FaintReview *self, guint k);

/* Lowest and highest tooth of all spectra, cm-1. */
void faint_review_span (const FaintReview *self, double *lower, double *upper);
/* TRUE if a line at @position lies on the teeth. */
gboolean faint_review_is_in_span (const FaintReview *self, double position);

/* Fills self->lines from claims and refit (review-match.c). The ids of claimed lines that the refit
 * does not hold where they were claimed are added to @lost. */
void faint_review_match (FaintReview *self, double shift, GArray *lost);

/* Makes one line of those that the refit does not tell apart (review-blend.c). */
void faint_review_join_blends (FaintReview *self);
/* The @n lines with @ids as one: sum of strengths and its centre, their uncertainties with the
 * covariances of @fit (NULL: independent but for what is common), and the snr of the sum; nothing
 * else is known of several. */
FaintLine
faint_review_blend (const FaintLineList *list, const guint *ids, gsize n, const FaintFit *fit);

/* The claims, or what the refit has, of @line as one, which must have any. */
FaintLine faint_review_line_claimed (const FaintReview *self, const FaintReviewLine *line);
FaintLine faint_review_line_seen (const FaintReview *self, const FaintReviewLine *line);

/* Values of every line, without verdicts (review-values.c). */
void faint_review_fill_values (FaintReview *self);
/* What lies in common, self->systematic; corrected differences (review-common.c). */
void faint_review_find_common (FaintReview *self);
/* Inputs that would explain a finding, and its words (review-causes.c). */
void faint_review_explain (const FaintReview *self, FaintSystematic *finding);
/* Where strengths and broadening ask for the same pressure, each finding says so. */
void faint_review_join_causes (FaintReview *self);
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

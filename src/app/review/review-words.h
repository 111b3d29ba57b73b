/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Verdicts and counts of a review as the window writes them.
 */
#pragma once

#include "faint/review/review.h"

/* "differs", translated. */
const char *faint_review_verdict_in_words (FaintReviewVerdict verdict);
/* "Lorentz width", translated; of review/compared.h. */
const char *faint_review_parameter_in_words (guint parameter);
/* A sign before it, so that colour is no need: "≠", "✓", "✗", "+", "?", "·". */
const char *faint_review_verdict_sign (FaintReviewVerdict verdict);
/* What differs: anything that is no agreement and was examined beyond doubt. */
gboolean faint_review_verdict_stands_out (FaintReviewVerdict verdict);
/* "12 agree, 3 differ, 1 not seen …". Free with g_free. */
char *faint_review_counts_in_words (const FaintReview *review);
/* The normalised error of a parameter (of lines/parameters.h), the line's own; NAN: not compared.
 */
double faint_review_line_en (const FaintReviewLine *line, guint parameter);

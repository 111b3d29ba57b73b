/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The report of a review: an A4 PDF with what was claimed and held against which spectrum, what the
 * list has in common, the verdicts with every number behind them, normalised errors and residuals
 * of both models as figures, method, settings and inputs with their hashes, and room to sign.
 */
#pragma once

#include "faint/review/review.h"
#include "figure/paper.h"

/* What the report says of itself beside the review. */
typedef struct
{
  const char *claimed_path, *claimed_sha256; /* of the list; NULL: not from a file */
  const char *const *inputs; /* words of the command that repeats it: inputs, and the options they
                                are read with; NULL-terminated. NULL: "ANALYSIS", a file of it */
  const char *date;          /* ISO 8601; NULL leaves it out, so that the same
                                review gives the same bytes */
  const char *reviewer, *remark; /* as typed; NULL or "": room is left to write a name */
} FaintReviewReportOptions;

/* Writes it, whole or not at all. */
gboolean faint_review_report_write (FaintReview *review, const FaintReviewReportOptions *options,
                                    const char *path, GError **error);

/* Normalised errors against the wavenumber, a panel for each parameter that was compared;
 * what differs stands out, guides at +-1. */
void
faint_review_errors_draw (const FaintReview *review, const FaintCanvas *canvas, FaintRect place);
/* The same of @n panels from @first on. */
void faint_review_errors_draw_panels (const FaintReview *review, const FaintCanvas *canvas,
                                      FaintRect place, guint first, guint n);
/* The panels from top to bottom: how many, and which parameters (review/compared.h; @panels has
 * room for FAINT_COMPARED_N, or is NULL). */
guint faint_review_errors_panels (const FaintReview *review, guint *panels);

/* A point of that figure. */
typedef struct
{
  double x, y;       /* where it is drawn */
  guint line, value; /* in review->lines, and in the values of that line */
} FaintReviewSpot;
/* All of them as faint_review_errors_draw() draws them in @place: FaintReviewSpot, panel by panel
 * in rising order of position. */
GArray *
faint_review_errors_spots (const FaintReview *review, const FaintCanvas *canvas, FaintRect place);

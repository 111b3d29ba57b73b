/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The verdicts of a review, line by line: sortable, all of them or only what stands out. Rows are
 * numbered from 1 in the order of the review; the session's selected line is such a number while
 * the stage Review is shown.
 */
#pragma once

#include <gtk/gtk.h>

#include "faint/review/review.h"
#include "app/document/session.h"

G_BEGIN_DECLS

#define FAINT_TYPE_REVIEW_TABLE (faint_review_table_get_type ())
G_DECLARE_FINAL_TYPE (FaintReviewTable, faint_review_table, FAINT, REVIEW_TABLE, GtkWidget)

/* Signals: "line-chosen" (guint number): by pointer or key; "line-activated" (guint number). */
GtkWidget *faint_review_table_new (void);
/* Refs; NULL: none. */
void faint_review_table_set (FaintReviewTable *self, FaintReview *review);
void faint_review_table_select (FaintReviewTable *self, guint number); /* 0: none */
void faint_review_table_set_only_different (FaintReviewTable *self, gboolean only);
guint faint_review_table_get_n_shown (FaintReviewTable *self);
/* The number of the row at @place as shown. */
guint faint_review_table_get_number (FaintReviewTable *self, guint place);

G_END_DECLS

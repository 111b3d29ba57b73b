/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The review of a claimed line list against the spectra of a document: the list, how it is to be
 * held against them, and the last result. A review changes nothing of the lines; which list it is,
 * and how it is held, belongs to the analysis, is saved with it and can be undone.
 */
#pragma once

#include "app/document/document.h"
#include "faint/lines/list-file.h"
#include "faint/review/review.h"

G_BEGIN_DECLS

#define FAINT_TYPE_REVIEWER (faint_reviewer_get_type ())
G_DECLARE_FINAL_TYPE (FaintReviewer, faint_reviewer, FAINT, REVIEWER, GObject)

/* Signal "changed": list, options or result. */

/* The one of @document, which it lives as long as. Borrowed. */
FaintReviewer *faint_reviewer_of (FaintDocument *document);

/* Reads a list in any format; conditions that it states become those of the options. What there was
 * stays when it cannot be read; a result of another list goes. A step of the document's history,
 * if one is open. */
gboolean faint_reviewer_read (FaintReviewer *self, const char *path, GError **error);
/* Borrowed; NULL: none read. */
const FaintListFile *faint_reviewer_get_claimed (FaintReviewer *self);

/* Where the analysis under review is stored; NULL: nowhere yet. Borrowed. */
const char *faint_reviewer_get_stored (FaintReviewer *self);

/* What is wrong with the list that the analysis names, a sentence; NULL: nothing. It is gone, or
 * another than it was. Borrowed. */
const char *faint_reviewer_get_problem (FaintReviewer *self);
/* TRUE once after an analysis was opened whose list is still what it was: so that its review can be
 * shown again. */
gboolean faint_reviewer_take_resume (FaintReviewer *self);

FaintReviewOptions faint_reviewer_get_options (FaintReviewer *self);
/* A result under other options goes. */
void faint_reviewer_set_options (FaintReviewer *self, const FaintReviewOptions *options);

/* Runs as the document's job. */
void faint_reviewer_run_async (FaintReviewer *self, GAsyncReadyCallback done, gpointer data);
gboolean faint_reviewer_run_finish (FaintReviewer *self, GAsyncResult *result, GError **error);

/* Borrowed; NULL: none. */
FaintReview *faint_reviewer_get_result (FaintReviewer *self);
/* FALSE where inputs, setup or options of the fit are others now. */
gboolean faint_reviewer_is_current (FaintReviewer *self);

G_END_DECLS

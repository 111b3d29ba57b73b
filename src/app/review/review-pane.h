/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Stage Review: the claimed list, how it is held against the spectrum, what came out in words, and
 * the line that is selected.
 */
#pragma once

#include "app/review/reviewer.h"
#include "app/document/session.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define FAINT_TYPE_REVIEW_PANE (faint_review_pane_get_type ())
G_DECLARE_FINAL_TYPE (FaintReviewPane, faint_review_pane, FAINT, REVIEW_PANE, GtkBox)

/* Signal "only-different" (gboolean): which rows the table is to show. */
GtkWidget *faint_review_pane_new (FaintDocument *document, FaintSession *session);
/* As the dialog does; an error is shown in the pane. */
gboolean faint_review_pane_read_claimed (FaintReviewPane *self, const char *path);
/* The findings as shown, one a line. Free with g_free. */
char *faint_review_pane_get_findings (FaintReviewPane *self);

G_END_DECLS

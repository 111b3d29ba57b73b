/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Normalised errors of a review on the screen, a panel for each parameter that was compared, with
 * guides at +-1, as its report draws them. A point is chosen by click or with the arrow keys: left
 * and right go from line to line, up and down from parameter to parameter.
 */
#pragma once

#include <gtk/gtk.h>

#include "faint/review/review.h"

G_BEGIN_DECLS

#define FAINT_TYPE_ERRORS_VIEW (faint_errors_view_get_type ())
G_DECLARE_FINAL_TYPE (FaintErrorsView, faint_errors_view, FAINT, ERRORS_VIEW, GtkWidget)

/* Signal "line-chosen" (guint number): the line's place in review->lines, from 1. */

GtkWidget *faint_errors_view_new (void);
/* Refs; NULL: none. */
void faint_errors_view_set (FaintErrorsView *self, FaintReview *review);
/* The line whose points are marked, from 1; 0: none. */
void faint_errors_view_set_selected (FaintErrorsView *self, guint number);
/* What the point nearest to x, y says, as its tooltip does; NULL: none is near. Free with g_free.
 */
char *faint_errors_view_describe_at (FaintErrorsView *self, double x, double y);
/* Where the points of line @number stand, of the @k-th value that has one; FALSE: it has none. */
gboolean
faint_errors_view_find (FaintErrorsView *self, guint number, guint k, double *x, double *y);

G_END_DECLS

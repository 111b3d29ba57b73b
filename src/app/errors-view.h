/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Normalised errors of a review on the screen: positions, strengths and Lorentz widths, with guides
 * at +-1, as its report draws them.
 */
#pragma once

#include <gtk/gtk.h>

#include "faint/review/review.h"

G_BEGIN_DECLS

#define FAINT_TYPE_ERRORS_VIEW (faint_errors_view_get_type ())
G_DECLARE_FINAL_TYPE (FaintErrorsView, faint_errors_view, FAINT, ERRORS_VIEW, GtkWidget)

GtkWidget *faint_errors_view_new (void);
/* Refs; NULL: none. */
void faint_errors_view_set (FaintErrorsView *self, FaintReview *review);

G_END_DECLS

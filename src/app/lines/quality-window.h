/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How good the fit is in each of its windows, the worst first; a row that is activated is shown in
 * the plots.
 */
#pragma once

#include "app/document/document.h"
#include "app/document/session.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define FAINT_TYPE_QUALITY_WINDOW (faint_quality_window_get_type ())
G_DECLARE_FINAL_TYPE (FaintQualityWindow, faint_quality_window, FAINT, QUALITY_WINDOW, GtkWindow)

GtkWidget *
faint_quality_window_new (GtkWindow *parent, FaintDocument *document, FaintSession *session);

guint faint_quality_window_get_n (FaintQualityWindow *self);
/* The window of the fit in a row, as sorted; NULL: no such row. Borrowed. */
const FaintFitWindow *faint_quality_window_get (FaintQualityWindow *self, guint row);
/* As a double click or Enter. */
void faint_quality_window_activate (FaintQualityWindow *self, guint row);

/* The chance that noise alone gives a chi-square larger than that of @window; NAN without degrees
 * of freedom. */
double faint_quality_chance (const FaintFitWindow *window);
/* How many windows are out of the ordinary, and how many are expected to be. Free with g_free. */
char *faint_quality_of_all_in_words (const FaintFitWindow *windows, gsize n);
/* What is out of the ordinary in a window whose residuals should be independent and of unit
 * variance, "χ² too large, residuals not random"; "" where nothing is. A statistic counts beyond
 * three standard deviations, a residual where one as large is expected in fewer than a hundredth of
 * such windows. Translated; free with g_free. */
char *faint_quality_in_words (const FaintFitWindow *window);

G_END_DECLS

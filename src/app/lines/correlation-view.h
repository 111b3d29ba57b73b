/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The picture of a correlation matrix on the screen. The pointer or the arrow keys choose a cell;
 * Home and End go to its ends; what is chosen is read out elsewhere.
 */
#pragma once

#include "figure/correlation.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define FAINT_TYPE_CORRELATION_VIEW (faint_correlation_view_get_type ())
G_DECLARE_FINAL_TYPE (FaintCorrelationView, faint_correlation_view, FAINT, CORRELATION_VIEW,
                      GtkWidget)

/* Signal "cell-changed": another cell is chosen, or none, or its matrix is another. */
GtkWidget *faint_correlation_view_new (void);

/* Takes @matrix; NULL: nothing to show. */
void faint_correlation_view_set (FaintCorrelationView *self, FaintCorrelation *matrix);
FaintCorrelation *faint_correlation_view_get (FaintCorrelationView *self); /* borrowed */

/* FALSE: none is chosen. */
gboolean faint_correlation_view_get_cell (FaintCorrelationView *self, gsize *row, gsize *column);
/* Out of the matrix: none. */
void faint_correlation_view_choose (FaintCorrelationView *self, gsize row, gsize column);

/* The chosen cell in words, "7790.220 position, 7790.220 strength: −0.873"; NULL: none. Free with
 * g_free. */
char *faint_correlation_view_read_out (FaintCorrelationView *self);
/* The strongest correlations in words, one a line; "" where there are none. Free with g_free. */
char *faint_correlation_view_strongest (FaintCorrelationView *self, guint most);

G_END_DECLS

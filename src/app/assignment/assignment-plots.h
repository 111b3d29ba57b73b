/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The plots of the stage Assignment under the spectrum: Loomis and Wood's, with what its rows are,
 * and observed minus calculated beside it.
 */
#pragma once

#include "app/assignment/assigner.h"
#include "app/assignment/assignment-figures.h"
#include "app/assignment/loomis-wood-view.h"
#include "app/document/session.h"

G_BEGIN_DECLS

#define FAINT_TYPE_ASSIGNMENT_PLOTS (faint_assignment_plots_get_type ())
G_DECLARE_FINAL_TYPE (FaintAssignmentPlots, faint_assignment_plots, FAINT, ASSIGNMENT_PLOTS, GtkBox)

/* What is chosen as a trace goes to the document's assigner. */
GtkWidget *faint_assignment_plots_new (FaintDocument *document, FaintSession *session);
/* Plots are kept up to date only while they are shown. */
void faint_assignment_plots_set_shown (FaintAssignmentPlots *self, gboolean shown);

FaintLoomisWoodView *faint_assignment_plots_get_view (FaintAssignmentPlots *self);
/* Sets the rows as the drop-down list does; the width in cm-1 as the entry does. */
void faint_assignment_plots_choose_rows (FaintAssignmentPlots *self, guint choice);
gboolean faint_assignment_plots_set_width (FaintAssignmentPlots *self, const char *text);

/* The plot of Loomis and Wood as PNG, SVG or PDF, by the name's ending. */
gboolean
faint_assignment_plots_write (FaintAssignmentPlots *self, const char *path, GError **error);

G_END_DECLS

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * "What if": sliders for the conditions of the measurement, which redraw the model over the data
 * and change nothing of the analysis. Take Over makes a choice the setup, in one step of the
 * history; Back, or folding the section, leaves.
 */
#pragma once

#include <gtk/gtk.h>

#include "app/document/document.h"
#include "figure/other-trace.h"
#include "app/document/session.h"
#include "app/what-if/what-if-numbers.h"

G_BEGIN_DECLS

#define FAINT_TYPE_WHAT_IF_BOX (faint_what_if_box_get_type ())
G_DECLARE_FINAL_TYPE (FaintWhatIfBox, faint_what_if_box, FAINT, WHAT_IF_BOX, GtkWidget)

/* Signal "trace-changed": ask for it by get. */
GtkWidget *faint_what_if_box_new (FaintDocument *document, FaintSession *session);

/* What the plot shows, with its fit; refs; NULL: nothing. */
void faint_what_if_box_set_data (FaintWhatIfBox *self, FaintFigureData *data);
/* Borrowed; NULL while folded or not computed yet. */
FaintOtherTrace *faint_what_if_box_get_trace (FaintWhatIfBox *self);

/* Unfolds and takes the focus, or folds. */
void faint_what_if_box_set_open (FaintWhatIfBox *self, gboolean open);
gboolean faint_what_if_box_get_open (FaintWhatIfBox *self);

/* For tests: a quantity's row, and what the numbers say ("1.02"), fitted and now, in view and in
 * all. */
GtkWidget *faint_what_if_box_get_row (FaintWhatIfBox *self, FaintWhatIfQuantity quantity);
const char *
faint_what_if_box_get_number (FaintWhatIfBox *self, FaintWhatIfNumber row, gboolean now);
gboolean faint_what_if_box_is_busy (FaintWhatIfBox *self);

G_END_DECLS

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The plot of Loomis and Wood on the screen. A click chooses a line; a drag over a trace, or
 * Shift with the arrow keys, chooses its lines in order, to be assigned with rising J. Scrolling
 * pans the rows, with Shift along them; Ctrl and scrolling zooms; the middle button or Shift and a
 * drag pan.
 */
#pragma once

#include "figure/loomis-wood.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define FAINT_TYPE_LOOMIS_WOOD_VIEW (faint_loomis_wood_view_get_type ())
G_DECLARE_FINAL_TYPE (FaintLoomisWoodView, faint_loomis_wood_view, FAINT, LOOMIS_WOOD_VIEW,
                      GtkWidget)

/* Signals: "line-chosen" (guint id): by the pointer or a key; "trace-changed": other lines are
 * chosen as a trace; "assign": Enter. */
GtkWidget *faint_loomis_wood_view_new (void);

/* Takes @plot; NULL: nothing to show. The view is kept where @keep, else shows all; lines of the
 * trace that are not there any more leave it. */
void faint_loomis_wood_view_set (FaintLoomisWoodView *self, FaintLoomisWood *plot, gboolean keep);
FaintLoomisWood *faint_loomis_wood_view_get (FaintLoomisWoodView *self); /* borrowed */
/* Part that is shown. */
FaintView faint_loomis_wood_view_get_view (FaintLoomisWoodView *self);
void faint_loomis_wood_view_set_view (FaintLoomisWoodView *self, FaintRange across, FaintRange up);
void faint_loomis_wood_view_show_all (FaintLoomisWoodView *self);

/* The selected line; brings it into view. */
void faint_loomis_wood_view_set_selected (FaintLoomisWoodView *self, guint id);
/* FaintLoomisWoodPick, in the order chosen; borrowed. */
const GArray *faint_loomis_wood_view_get_trace (FaintLoomisWoodView *self);
void faint_loomis_wood_view_set_trace (FaintLoomisWoodView *self, const FaintLoomisWoodPick *picks,
                                       gsize n);

/* How often all was drawn: for tests. */
guint faint_loomis_wood_view_get_drawn (FaintLoomisWoodView *self);

G_END_DECLS

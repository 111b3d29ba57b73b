/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The plot of Loomis and Wood on the screen. A click or the arrow keys choose a line; a drag over a
 * trace, or Shift with the keys, chooses its lines in order, to be assigned with rising J.
 * Scrolling pans the rows, with Shift along them; Ctrl and scrolling zooms; the middle button or
 * Shift and a drag pan.
 */
#pragma once

#include "figure/loomis-wood.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define FAINT_TYPE_LOOMIS_WOOD_VIEW (faint_loomis_wood_view_get_type ())
G_DECLARE_FINAL_TYPE (FaintLoomisWoodView, faint_loomis_wood_view, FAINT, LOOMIS_WOOD_VIEW,
                      GtkWidget)

/* Signals: "line-chosen" (guint id): by the pointer or a key; "line-clicked" (guint id, int row):
 * by the pointer, after that; "trace-changed": other lines are chosen as a trace; "trace-done": a
 * drag over one has ended; "hover-changed": another line is under the pointer, or none; "assign":
 * Enter; "clear": Delete. */
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

/* Row of the selected line that keys start from; FALSE where none is selected, or it has no row. */
gboolean faint_loomis_wood_view_get_row (FaintLoomisWoodView *self, int *row);
/* The line under the pointer, id 0: none. */
FaintLoomisWoodPick faint_loomis_wood_view_get_hover (FaintLoomisWoodView *self);
/* What a screen reader says of the selected line. */
void faint_loomis_wood_view_set_words (FaintLoomisWoodView *self, const char *words);

/* How often all was drawn: for tests. */
guint faint_loomis_wood_view_get_drawn (FaintLoomisWoodView *self);

G_END_DECLS

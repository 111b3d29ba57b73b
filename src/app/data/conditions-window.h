/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Conditions that a fit needs and that the file which was opened does not state: asked for beside
 * what was read. What stays empty can be stated later, here or in the stages Data and Cavity.
 */
#pragma once

#include "app/document/document.h"
#include "app/data/import-conditions.h"

G_BEGIN_DECLS

#define FAINT_TYPE_CONDITIONS_WINDOW (faint_conditions_window_get_type ())
G_DECLARE_FINAL_TYPE (FaintConditionsWindow, faint_conditions_window, FAINT, CONDITIONS_WINDOW,
                      GtkWindow)

/* Of the shown spectrum of @document, which holds one. Signal "stated": the document has the
 * conditions, as one step that can be undone, and the window closes itself. */
GtkWidget *faint_conditions_window_new (GtkWindow *parent, FaintDocument *document);

/* Borrowed. */
FaintImportConditions *faint_conditions_window_get_conditions (FaintConditionsWindow *self);
/* What is said of what was read and of what is missing, line by line; NULL until it is drawn. Free
 * with g_free. */
char *faint_conditions_window_get_summary (FaintConditionsWindow *self);
/* As a click on State; nothing where an entry cannot be read. */
void faint_conditions_window_accept (FaintConditionsWindow *self);

G_END_DECLS

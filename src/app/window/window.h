/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The window: plots in the middle, strip of the whole span above, pane of the stage at the right,
 * table of lines below.
 */
#pragma once

#include "app/document/document.h"
#include "app/document/session.h"
#include "app/document/settings.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define FAINT_TYPE_WINDOW (faint_window_get_type ())
G_DECLARE_FINAL_TYPE (FaintWindow, faint_window, FAINT, WINDOW, GtkApplicationWindow)

/* @settings is borrowed and outlives the window. */
GtkWidget *faint_window_new (GtkApplication *application, FaintSettings *settings);

/* Opens an analysis or the records of one measurement; where unsaved changes would be lost, in
 * a new window. */
void faint_window_open (FaintWindow *self, const char *const *paths);

FaintDocument *faint_window_get_document (FaintWindow *self);
FaintSession *faint_window_get_session (FaintWindow *self);

/* Says what went wrong above the plots. */
void faint_window_say (FaintWindow *self, const char *heading, const char *text);

G_END_DECLS

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The manual in a window of its own.
 */
#pragma once

#include "app/document/session.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define FAINT_TYPE_HELP_WINDOW (faint_help_window_get_type ())
G_DECLARE_FINAL_TYPE (FaintHelpWindow, faint_help_window, FAINT, HELP_WINDOW, GtkWindow)

/* Shows the manual, the section of @stage at the top. */
GtkWidget *faint_help_window_new (GtkWindow *parent, FaintStage stage);
/* Scrolls to the heading @title; FALSE if the manual has no such heading. */
gboolean faint_help_window_show_section (FaintHelpWindow *self, const char *title);
/* The text as shown. Free with g_free. */
char *faint_help_window_get_text (FaintHelpWindow *self);

G_END_DECLS

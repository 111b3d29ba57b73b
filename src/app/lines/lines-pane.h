/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Stage Lines: find, fit, the selected line's parameters, how good the fit is.
 */
#pragma once

#include "app/document/document.h"
#include "app/document/session.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define FAINT_TYPE_LINES_PANE (faint_lines_pane_get_type ())
G_DECLARE_FINAL_TYPE (FaintLinesPane, faint_lines_pane, FAINT, LINES_PANE, GtkBox)

GtkWidget *faint_lines_pane_new (FaintDocument *document, FaintSession *session);

G_END_DECLS

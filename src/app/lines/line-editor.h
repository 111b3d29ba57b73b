/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The parameters of the selected line: value, fixed or free, left out or not.
 */
#pragma once

#include "app/document/document.h"
#include "app/document/session.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define FAINT_TYPE_LINE_EDITOR (faint_line_editor_get_type ())
G_DECLARE_FINAL_TYPE (FaintLineEditor, faint_line_editor, FAINT, LINE_EDITOR, GtkBox)

GtkWidget *faint_line_editor_new (FaintDocument *document, FaintSession *session);

G_END_DECLS

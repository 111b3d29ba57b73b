/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Stage Assignment: levels of the lower state, the search for labels, labels of the selected line
 * and of a trace, constants of the band and what does not fit them.
 */
#pragma once

#include "app/assignment/assigner.h"
#include "app/document/session.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define FAINT_TYPE_ASSIGNMENT_PANE (faint_assignment_pane_get_type ())
G_DECLARE_FINAL_TYPE (FaintAssignmentPane, faint_assignment_pane, FAINT, ASSIGNMENT_PANE, GtkBox)

GtkWidget *faint_assignment_pane_new (FaintDocument *document, FaintSession *session);

/* As the button that opens levels does; what went wrong is said in the pane. */
gboolean faint_assignment_pane_read_levels (FaintAssignmentPane *self, const char *path);

G_END_DECLS

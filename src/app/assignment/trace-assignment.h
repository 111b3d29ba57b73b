/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Labels of the lines that were chosen as a trace: ladder, branch, and J of the first; the others
 * follow with rising J, by their rows.
 */
#pragma once

#include "app/assignment/assigner.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define FAINT_TYPE_TRACE_ASSIGNMENT (faint_trace_assignment_get_type ())
G_DECLARE_FINAL_TYPE (FaintTraceAssignment, faint_trace_assignment, FAINT, TRACE_ASSIGNMENT, GtkBox)

GtkWidget *faint_trace_assignment_new (FaintDocument *document);
/* What the controls set: branch, J of the first line's lower level. */
void faint_trace_assignment_set (FaintTraceAssignment *self, FaintBranch branch, int j);
/* As the button does; FALSE, with words in the box, where there is no such line. */
gboolean faint_trace_assignment_assign (FaintTraceAssignment *self);

G_END_DECLS

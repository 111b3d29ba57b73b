/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Labels by hand: of the selected line, with the partners that its combination differences
 * suggest, and of the lines of a trace with rising J.
 */
#pragma once

#include "app/assignment/assigner.h"
#include "app/document/session.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define FAINT_TYPE_LINE_ASSIGNMENT (faint_line_assignment_get_type ())
G_DECLARE_FINAL_TYPE (FaintLineAssignment, faint_line_assignment, FAINT, LINE_ASSIGNMENT, GtkBox)

GtkWidget *faint_line_assignment_new (FaintDocument *document, FaintSession *session);

/* What the entries and buttons do. */
void faint_line_assignment_enter (FaintLineAssignment *self, const char *upper, const char *lower);
void faint_line_assignment_remove (FaintLineAssignment *self);
/* Assigns the selected line and its partner at @index of the list; FALSE: there is none. */
gboolean faint_line_assignment_take_partner (FaintLineAssignment *self, guint index);
guint faint_line_assignment_get_n_partners (FaintLineAssignment *self);

G_END_DECLS

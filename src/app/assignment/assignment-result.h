/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What an assignment says: counts, the constants of its bands, what does not fit them, and what is
 * missing.
 */
#pragma once

#include "app/assignment/assigner.h"
#include "app/document/session.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define FAINT_TYPE_ASSIGNMENT_RESULT (faint_assignment_result_get_type ())
G_DECLARE_FINAL_TYPE (FaintAssignmentResult, faint_assignment_result, FAINT, ASSIGNMENT_RESULT,
                      GtkBox)

GtkWidget *faint_assignment_result_new (FaintDocument *document, FaintSession *session);
/* The lists of what does not fit and what is missing, to be put where there is room. Borrowed. */
GtkWidget *faint_assignment_result_get_lists (FaintAssignmentResult *self);

G_END_DECLS

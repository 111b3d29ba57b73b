/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * One parameter of the selected line: its value, and whether it is free, fixed or tied, and then to
 * which line. An edit is one step of the history.
 */
#pragma once

#include "app/document/document.h"
#include "app/document/session.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define FAINT_TYPE_PARAMETER_ROW (faint_parameter_row_get_type ())
G_DECLARE_FINAL_TYPE (FaintParameterRow, faint_parameter_row, FAINT, PARAMETER_ROW, GtkBox)

GtkWidget *
faint_parameter_row_new (FaintDocument *document, FaintSession *session, FaintPlace place);

FaintPlace faint_parameter_row_get_place (FaintParameterRow *self);
/* Shows the parameter of @line; hidden where its profile has none. */
void faint_parameter_row_update (FaintParameterRow *self, const FaintLine *line);

/* As if chosen or entered; DERIVED is the same as FREE. */
void faint_parameter_row_choose (FaintParameterRow *self, FaintParameterState state);
void faint_parameter_row_choose_line (FaintParameterRow *self, guint number);
/* The state shown, and what is said beside it, or NULL. */
FaintParameterState faint_parameter_row_get_state (FaintParameterRow *self);
const char *faint_parameter_row_get_error (FaintParameterRow *self);

G_END_DECLS

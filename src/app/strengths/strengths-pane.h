/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Stage Strengths: number density, strength of the selected line and its uncertainty budget.
 */
#pragma once

#include "app/document/document.h"
#include "app/document/session.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define FAINT_TYPE_STRENGTHS_PANE (faint_strengths_pane_get_type ())
G_DECLARE_FINAL_TYPE (FaintStrengthsPane, faint_strengths_pane, FAINT, STRENGTHS_PANE, GtkBox)

GtkWidget *faint_strengths_pane_new (FaintDocument *document, FaintSession *session);

G_END_DECLS

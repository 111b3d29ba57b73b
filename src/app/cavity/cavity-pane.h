/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Stage Cavity: the cavity, its mirrors, where the teeth sit on its modes, and what follows of it;
 * and what other values would make of the model.
 */
#pragma once

#include "app/document/document.h"
#include "app/document/session.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define FAINT_TYPE_CAVITY_PANE (faint_cavity_pane_get_type ())
G_DECLARE_FINAL_TYPE (FaintCavityPane, faint_cavity_pane, FAINT, CAVITY_PANE, GtkBox)

GtkWidget *faint_cavity_pane_new (FaintDocument *document, FaintSession *session);
/* Its part "What If", a FaintWhatIfBox. */
GtkWidget *faint_cavity_pane_get_what_if (FaintCavityPane *self);

G_END_DECLS

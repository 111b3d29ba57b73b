/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Stage Data: what was read, the comb, the gas, and what the reader warns of.
 */
#pragma once

#include "app/document/document.h"
#include "app/document/session.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define FAINT_TYPE_DATA_PANE (faint_data_pane_get_type ())
G_DECLARE_FINAL_TYPE (FaintDataPane, faint_data_pane, FAINT, DATA_PANE, GtkBox)

GtkWidget *faint_data_pane_new (FaintDocument *document, FaintSession *session);

G_END_DECLS

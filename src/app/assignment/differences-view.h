/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Observed minus calculated positions on the screen. A click or the keys Left and Right choose a
 * line.
 */
#pragma once

#include "figure/differences.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define FAINT_TYPE_DIFFERENCES_VIEW (faint_differences_view_get_type ())
G_DECLARE_FINAL_TYPE (FaintDifferencesView, faint_differences_view, FAINT, DIFFERENCES_VIEW,
                      GtkWidget)

/* Signal "line-chosen" (guint id). */
GtkWidget *faint_differences_view_new (void);
/* Takes @items, of FaintDifference. */
void faint_differences_view_set (FaintDifferencesView *self, GArray *items);
const GArray *faint_differences_view_get (FaintDifferencesView *self); /* borrowed */
void faint_differences_view_set_selected (FaintDifferencesView *self, guint id);

G_END_DECLS

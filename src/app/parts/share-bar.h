/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A quiet horizontal bar that shows a share between 0 and 1.
 */
#pragma once

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define FAINT_TYPE_SHARE_BAR (faint_share_bar_get_type ())
G_DECLARE_FINAL_TYPE (FaintShareBar, faint_share_bar, FAINT, SHARE_BAR, GtkWidget)

/* @name: what a screen reader says. */
GtkWidget *faint_share_bar_new (const char *name, double share);

G_END_DECLS

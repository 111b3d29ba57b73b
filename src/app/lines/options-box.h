/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The options of finding and fitting, from one table; the less usual ones are folded away. An edit
 * is one step of the history.
 */
#pragma once

#include "app/document/document.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define FAINT_TYPE_OPTIONS_BOX (faint_options_box_get_type ())
G_DECLARE_FINAL_TYPE (FaintOptionsBox, faint_options_box, FAINT, OPTIONS_BOX, GtkBox)

GtkWidget *faint_options_box_new (FaintDocument *document);
/* The control of an option of faint_fit_option_keys(); NULL: it has none here. */
GtkWidget *faint_options_box_find (FaintOptionsBox *self, const char *key);

G_END_DECLS

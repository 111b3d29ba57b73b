/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What went wrong, or what there is to say, in words: a heading, a text, a button to put it away.
 */
#pragma once

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define FAINT_TYPE_MESSAGE_BAR (faint_message_bar_get_type ())
G_DECLARE_FINAL_TYPE (FaintMessageBar, faint_message_bar, FAINT, MESSAGE_BAR, GtkWidget)

void faint_message_bar_show (FaintMessageBar *self, const char *heading, const char *text);
void faint_message_bar_hide (FaintMessageBar *self);
/* NULL while nothing is said. */
const char *faint_message_bar_get_heading (FaintMessageBar *self);
const char *faint_message_bar_get_text (FaintMessageBar *self);

G_END_DECLS

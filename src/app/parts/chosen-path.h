/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a person chose in a file dialog.
 */
#pragma once

#include <gtk/gtk.h>

G_BEGIN_DECLS

/* The path chosen in @dialog, a GtkFileChooserNative, by its @response. NULL: nothing was chosen,
 * *@said NULL, or it has no path on this computer, *@said in words, static. Free with g_free. */
char *faint_chosen_path (GtkNativeDialog *dialog, int response, const char **said);

G_END_DECLS

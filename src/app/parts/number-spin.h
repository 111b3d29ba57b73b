/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A number between two limits, with buttons for a step. The toolkit's own would read "3,5" as 35
 * and say nothing; this one says in words under it what it does not take, and keeps its number.
 */
#pragma once

#include <gtk/gtk.h>

G_BEGIN_DECLS

/* A GtkSpinButton named @name for a reader of the screen, with as many digits behind the decimal
 * point as @digits; 0: whole numbers alone. Typing another number than @least to @most, or a
 * decimal comma, is refused. The range may be changed later. */
GtkWidget *
faint_number_spin_new (const char *name, double least, double most, double step, guint digits);
/* Where the words about what is refused stand: a label to be put under it, hidden without any. */
GtkWidget *faint_number_spin_get_words (GtkWidget *spin);
/* The spin with its words below, to be put into a pane. */
GtkWidget *faint_number_spin_with_words (GtkWidget *spin);

G_END_DECLS

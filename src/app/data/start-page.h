/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the window shows while nothing is open: what to do, work that was not saved when the program
 * last ended, and the samples.
 */
#pragma once

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define FAINT_TYPE_START_PAGE (faint_start_page_get_type ())
G_DECLARE_FINAL_TYPE (FaintStartPage, faint_start_page, FAINT, START_PAGE, GtkWidget)

/* Signal "open-path" (char *path): a sample or unsaved work was chosen. */

/* Gives the focus to unsaved work, else to the button that opens a file. */
gboolean faint_start_page_begin (FaintStartPage *self);
/* Boxes of buttons, one a file. Borrowed. */
GtkWidget *faint_start_page_get_samples (FaintStartPage *self);
GtkWidget *faint_start_page_get_leftovers (FaintStartPage *self);

G_END_DECLS

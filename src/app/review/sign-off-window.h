/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Signing a review off: who reviewed and what is to be said, then the report as a PDF.
 */
#pragma once

#include "app/review/reviewer.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define FAINT_TYPE_SIGN_OFF_WINDOW (faint_sign_off_window_get_type ())
G_DECLARE_FINAL_TYPE (FaintSignOffWindow, faint_sign_off_window, FAINT, SIGN_OFF_WINDOW, GtkWindow)

/* Of the reviewer's present result, which must be there. Signal "signed" (char *path): written. */
GtkWidget *faint_sign_off_window_new (GtkWindow *parent, FaintReviewer *reviewer);

/* As the entries and the dialog do. */
void faint_sign_off_window_enter (FaintSignOffWindow *self, const char *name, const char *remark);
/* Writes in a thread; errors are shown in the window, which closes when it is done. */
void faint_sign_off_window_write (FaintSignOffWindow *self, const char *path);

G_END_DECLS

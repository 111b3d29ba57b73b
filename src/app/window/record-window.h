/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The record of changes: what was done by hand to the analysis, and when, as a text to be read and
 * copied. It follows the document.
 */
#pragma once

#include "app/document/document.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define FAINT_TYPE_RECORD_WINDOW (faint_record_window_get_type ())
G_DECLARE_FINAL_TYPE (FaintRecordWindow, faint_record_window, FAINT, RECORD_WINDOW, GtkWindow)

GtkWidget *faint_record_window_new (GtkWindow *parent, FaintDocument *document);

/* What it shows; free with g_free. */
char *faint_record_window_get_text (FaintRecordWindow *self);

G_END_DECLS

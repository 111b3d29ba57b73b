/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Text with columns that does not say what they are: a preview, and a meaning for each column.
 */
#pragma once

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define FAINT_TYPE_IMPORT_WINDOW (faint_import_window_get_type ())
G_DECLARE_FINAL_TYPE (FaintImportWindow, faint_import_window, FAINT, IMPORT_WINDOW, GtkWindow)

/* TRUE if a map of columns may help to open @path: text that is neither a comb table nor an
 * analysis. Reads its first bytes only. */
gboolean faint_import_may_help (const char *path);

/* @columns: a map that was tried, and @why it did not do; both NULL the first time. NULL with
 * @error where the file cannot be laid out in columns. Signal "mapped" (char *columns): a map was
 * chosen; the window closes itself. */
GtkWidget *faint_import_window_new (GtkWindow *parent, const char *path, const char *columns,
                                    const char *why, GError **error);

/* What the lists now say, "frequency/GHz,-,signal"; free with g_free. */
char *faint_import_window_get_columns (FaintImportWindow *self);
/* Chooses the meaning of a column, "-" to skip it; FALSE: no such column or meaning. */
gboolean
faint_import_window_set_meaning (FaintImportWindow *self, guint column, const char *meaning);
/* As a click on Open. */
void faint_import_window_accept (FaintImportWindow *self);

G_END_DECLS

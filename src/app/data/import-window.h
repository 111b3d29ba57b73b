/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Text with columns that does not say what they are: a meaning for each column, the conditions that
 * it does not state, and what is understood so far, which follows every choice. All reading is done
 * in threads.
 */
#pragma once

#include <gtk/gtk.h>

#include "app/data/import-conditions.h"
#include "app/data/import-reading.h"

G_BEGIN_DECLS

#define FAINT_TYPE_IMPORT_WINDOW (faint_import_window_get_type ())
G_DECLARE_FINAL_TYPE (FaintImportWindow, faint_import_window, FAINT, IMPORT_WINDOW, GtkWindow)

/* TRUE if a map of columns may help to open @path: text that is neither a comb table nor an
 * analysis. Reads its first bytes only. */
gboolean faint_import_may_help (const char *path);

/* Rows of the preview: @n_rows for faint_import_look_async(). */
#define FAINT_IMPORT_ROWS 6

/* @look: of @path, is taken over. @columns, @settings: a map and conditions that were tried, and
 * @why they did not do; NULL the first time. Signal "mapped" (char *columns, char **settings): what
 * was chosen and stated; the window closes itself. */
GtkWidget *
faint_import_window_new (GtkWindow *parent, const char *path, FaintImportLook *look,
                         const char *columns, const char *const *settings, const char *why);

/* What the lists now say, "frequency/GHz,-,signal"; free with g_free. */
char *faint_import_window_get_columns (FaintImportWindow *self);
/* Chooses the meaning of a column, "-" to skip it; FALSE: no such column or meaning. */
gboolean
faint_import_window_set_meaning (FaintImportWindow *self, guint column, const char *meaning);
/* Borrowed. */
FaintImportConditions *faint_import_window_get_conditions (FaintImportWindow *self);
/* What is said of the last reading, line by line; NULL while it is being read. Free with g_free. */
char *faint_import_window_get_summary (FaintImportWindow *self);
/* As a click on Open; nothing where an entry cannot be read. */
void faint_import_window_accept (FaintImportWindow *self);

G_END_DECLS

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A JCAMP-DX file that does not say all that is needed to read it: which of several spectra is
 * meant, what the ordinates are where their unit does not tell, whether to read on where a check of
 * the file fails.
 */
#pragma once

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define FAINT_TYPE_BLOCK_WINDOW (faint_block_window_get_type ())
G_DECLARE_FINAL_TYPE (FaintBlockWindow, faint_block_window, FAINT, BLOCK_WINDOW, GtkWindow)

/* TRUE if @error, of opening files of which @path is one, can be mended by what is asked here:
 * reads the first bytes of @path only. */
gboolean faint_block_may_help (const char *path, const GError *error);

/* Lists the spectra of @path. @columns: a map that was tried, or NULL; @why it did not do, told
 * unless all that was missing is the choice. NULL with @error where the file holds no spectrum.
 * Signal "mapped" (char *columns): a map was chosen; the window closes itself. */
GtkWidget *faint_block_window_new (GtkWindow *parent, const char *path, const char *columns,
                                   const char *why, GError **error);

guint faint_block_window_get_n_blocks (FaintBlockWindow *self);
/* Words of a row of the list, counted from 0: title, and what is known of it. Free with g_free. */
char *faint_block_window_get_words (FaintBlockWindow *self, guint row);
/* What is chosen now, "block=2,absorbance"; free with g_free. */
char *faint_block_window_get_columns (FaintBlockWindow *self);
/* Chooses a row; FALSE: no such row. */
gboolean faint_block_window_select (FaintBlockWindow *self, guint row);
/* "transmission", "absorbance" or NULL, as the unit says; and whether to read on. */
void faint_block_window_set_ordinates (FaintBlockWindow *self, const char *ordinates);
void faint_block_window_set_unchecked (FaintBlockWindow *self, gboolean unchecked);
/* As a click on Open. */
void faint_block_window_accept (FaintBlockWindow *self);

G_END_DECLS

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * An entry for one quantity: value, uncertainty and unit in one text, "1.30(1) hPa". What cannot be
 * read is said under the entry, in words. Enter or leaving the entry commits, Escape takes back.
 * Ctrl+Z undoes what was typed and not committed; after that it is the window's.
 */
#pragma once

#include <gtk/gtk.h>

#include "faint/base/quantity.h"

G_BEGIN_DECLS

#define FAINT_TYPE_QUANTITY_ENTRY (faint_quantity_entry_get_type ())
G_DECLARE_FINAL_TYPE (FaintQuantityEntry, faint_quantity_entry, FAINT, QUANTITY_ENTRY, GtkWidget)

/* @name: what a screen reader says. Signal "committed": a quantity that can be read and differs
 * from the one shown was entered; ask for it by get. The owner then sets what it made of it, or
 * shows an error. */
GtkWidget *faint_quantity_entry_new (const char *name, FaintDimension dimension);

/* Fitted values are shown with the digits that their uncertainty deserves; what is typed counts in
 * full. FALSE at first: every digit is shown. */
void faint_quantity_entry_set_short (FaintQuantityEntry *self, gboolean in_short);

/* Where the uncertainty is not known a number of more than @most significant digits, which nobody
 * typed, is shown with @shown of them; it keeps all while it is not edited. 0: every digit, at
 * first.
 */
void faint_quantity_entry_set_digits (FaintQuantityEntry *self, guint most, guint shown);
/* What it takes from now on; set a quantity of it next. */
void faint_quantity_entry_set_dimension (FaintQuantityEntry *self, FaintDimension dimension);
/* Shows @quantity and forgets what was typed. */
void faint_quantity_entry_set (FaintQuantityEntry *self, FaintQuantity quantity);
/* What was last set or committed. */
FaintQuantity faint_quantity_entry_get (FaintQuantityEntry *self);
/* Words under the entry; NULL: none. */
void faint_quantity_entry_set_error (FaintQuantityEntry *self, const char *message);
const char *faint_quantity_entry_get_error (FaintQuantityEntry *self);
/* The entry itself, for labels with a mnemonic and for tests. */
GtkWidget *faint_quantity_entry_get_entry (FaintQuantityEntry *self);
/* As if Enter was pressed. */
void faint_quantity_entry_commit (FaintQuantityEntry *self);

/* Whether a fit @needs the quantity, which an empty entry says beside its first units. */
void faint_quantity_entry_set_needed (FaintQuantityEntry *self, gboolean needed);

G_END_DECLS

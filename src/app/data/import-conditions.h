/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The conditions of a measurement whose file does not state them all: gas, comb, cavity, as entries
 * with units and uncertainties. What is left empty stays open; nothing is invented.
 */
#pragma once

#include <gtk/gtk.h>

#include "faint/spectrum/setup.h"

G_BEGIN_DECLS

#define FAINT_TYPE_IMPORT_CONDITIONS (faint_import_conditions_get_type ())
G_DECLARE_FINAL_TYPE (FaintImportConditions, faint_import_conditions, FAINT, IMPORT_CONDITIONS,
                      GtkBox)

/* Signal "changed": something else is stated. */
GtkWidget *faint_import_conditions_new (void);
/* Shows what @setup states; the rest is empty. No signal. */
void faint_import_conditions_set_setup (FaintImportConditions *self, const FaintSetup *setup);
/* The samples are read already: their observable stands and cannot be chosen. */
void faint_import_conditions_set_read (FaintImportConditions *self);
/* What is stated; borrowed until it changes. */
const FaintSetup *faint_import_conditions_get_setup (FaintImportConditions *self);
/* As if @text was entered: FALSE, with words beside the entry, where it cannot be taken. */
gboolean
faint_import_conditions_enter (FaintImportConditions *self, const char *key, const char *text);
/* What is wrong beside the entry of @key, or NULL. */
const char *faint_import_conditions_get_error (FaintImportConditions *self, const char *key);
/* Takes what was typed but not entered yet; FALSE where an entry cannot be read: it has the focus
 * then. */
gboolean faint_import_conditions_commit (FaintImportConditions *self);

/* What cannot be done with what @setup states, in words; NULL: all can. Free with g_free. */
char *faint_import_conditions_missing (const FaintSetup *setup);

/* @left beside @conditions, each scrolled by itself, with a border to drag. */
GtkWidget *faint_import_paned_new (GtkWidget *left, GtkWidget *conditions);

G_END_DECLS

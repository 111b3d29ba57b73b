/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The ranges whose teeth no fit of the shown spectrum uses: a list with removal, and an entry to
 * add one. They are those that the plot marks and excludes.
 */
#pragma once

#include "app/document/document.h"
#include "app/document/session.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define FAINT_TYPE_EXCLUDED_LIST (faint_excluded_list_get_type ())
G_DECLARE_FINAL_TYPE (FaintExcludedList, faint_excluded_list, FAINT, EXCLUDED_LIST, GtkBox)

/* @session: a click on a range shows it. */
GtkWidget *faint_excluded_list_new (FaintDocument *document, FaintSession *session);
/* As if @text was entered: "7790.10..7790.12", several with commas, or one place for the tooth
 * nearest to it; cm-1. FALSE with words under the entry. */
gboolean faint_excluded_list_add (FaintExcludedList *self, const char *text);
/* Takes range @i, from 0, back. */
void faint_excluded_list_remove (FaintExcludedList *self, guint i);
/* What stands under the entry, or NULL. */
const char *faint_excluded_list_get_error (FaintExcludedList *self);

G_END_DECLS

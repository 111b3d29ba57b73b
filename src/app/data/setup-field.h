/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * One key of the setup as a control: an entry for a quantity or a text, a list for a choice, a
 * button for a file. Follows the document and edits it; an edit is one step of the history.
 */
#pragma once

#include "app/document/document.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define FAINT_TYPE_SETUP_FIELD (faint_setup_field_get_type ())
G_DECLARE_FINAL_TYPE (FaintSetupField, faint_setup_field, FAINT, SETUP_FIELD, GtkWidget)

/* @key as in faint_setup_keys(); @name in words, translated: "Pressure". */
GtkWidget *faint_setup_field_new (FaintDocument *document, const char *key, const char *name);

const char *faint_setup_field_get_key (FaintSetupField *self);
/* As if @text was entered: TRUE if the document took it, else the error is shown. */
gboolean faint_setup_field_enter (FaintSetupField *self, const char *text);
const char *faint_setup_field_get_error (FaintSetupField *self);

/* A choice's word as a person reads it, translated: "standing-wave" gives "Standing wave". */
const char *faint_setup_choice_in_words (const char *choice);

G_END_DECLS

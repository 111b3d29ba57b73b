/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The application: its windows, its settings, what holds for all windows.
 */
#pragma once

#include "app/document/settings.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define FAINT_TYPE_APPLICATION (faint_application_get_type ())
G_DECLARE_FINAL_TYPE (FaintApplication, faint_application, FAINT, APPLICATION, GtkApplication)

/* The user's language, with decimal points in all that is shown, kept and written; catalogues from
 * the folder FAINTLINE_LOCALE of the environment, or where they are installed. Before GTK begins,
 * which is to be told by gtk_disable_setlocale() to leave it so. */
void faint_application_set_locale (void);

/* @flags are added to those that opening files needs. */
FaintApplication *faint_application_new (GApplicationFlags flags);

FaintSettings *faint_application_get_settings (FaintApplication *self);

G_END_DECLS

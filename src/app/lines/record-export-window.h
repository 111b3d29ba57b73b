/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a record of 160 columns states and an analysis does not: numbers of molecule and
 * isotopologue and what else record-options.h has, asked for before the records are written and
 * remembered for the next time.
 */
#pragma once

#include <gtk/gtk.h>

#include "faint/lines/record-options.h"
#include "faint/spectrum/setup.h"
#include "app/document/settings.h"

G_BEGIN_DECLS

#define FAINT_TYPE_RECORD_EXPORT_WINDOW (faint_record_export_window_get_type ())
G_DECLARE_FINAL_TYPE (FaintRecordExportWindow, faint_record_export_window, FAINT,
                      RECORD_EXPORT_WINDOW, GtkWindow)

/* Shows what was entered the last time; where no partition sum was, that of the file which @setup
 * names. @settings must outlive it. Signal "export" (gpointer: const FaintRecordOptions *): all
 * entries are right; the window remembers them and closes itself. */
GtkWidget *
faint_record_export_window_new (GtkWindow *parent, FaintSettings *settings, FaintSetup *setup);

/* As typing into the entry of a key of record-options.h, or choosing foreign_gas; FALSE: no such
 * key. */
gboolean
faint_record_export_window_enter (FaintRecordExportWindow *self, const char *key, const char *text);
/* What the entry holds, "" where it is empty. Borrowed. */
const char *faint_record_export_window_get_text (FaintRecordExportWindow *self, const char *key);
/* Why nothing can be exported, or NULL. Borrowed. */
const char *faint_record_export_window_get_why (FaintRecordExportWindow *self);
/* As a click on Export; does nothing while an entry is wrong. */
void faint_record_export_window_export (FaintRecordExportWindow *self);

G_END_DECLS

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What was understood of a file before it is taken: a picture, numbers, the first and last rows as
 * read, warnings; or why it cannot be read.
 */
#pragma once

#include <gtk/gtk.h>

#include "app/data/import-reading.h"

G_BEGIN_DECLS

#define FAINT_TYPE_IMPORT_SUMMARY (faint_import_summary_get_type ())
G_DECLARE_FINAL_TYPE (FaintImportSummary, faint_import_summary, FAINT, IMPORT_SUMMARY, GtkBox)

GtkWidget *faint_import_summary_new (void);
/* What is shown goes grey until the next reading or error. */
void faint_import_summary_set_busy (FaintImportSummary *self);
void faint_import_summary_set_reading (FaintImportSummary *self, const FaintImportReading *reading);
/* Other conditions over what was read last: what is missing follows. */
void faint_import_summary_set_setup (FaintImportSummary *self, const FaintSetup *setup);
void faint_import_summary_set_error (FaintImportSummary *self, const char *message);
/* The same before a person has chosen anything: no fault of theirs. */
void faint_import_summary_set_waiting (FaintImportSummary *self, const char *message);
/* All that is said, line by line. Free with g_free. */
char *faint_import_summary_get_text (FaintImportSummary *self);

G_END_DECLS

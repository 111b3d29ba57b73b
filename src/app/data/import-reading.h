/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Foreign text before it is taken: how it is laid out, what its head states, and what comes of
 * reading it with a map of its columns. The work is done in threads; callbacks come in the thread
 * that asked. Needs no display.
 */
#pragma once

#include <gio/gio.h>

#include "faint/spectrum/delimited.h"
#include "figure/figure-data.h"

G_BEGIN_DECLS

/* What is seen before anybody says what the columns are. */
typedef struct
{
  FaintDelimitedPreview *preview;
  FaintSetup *setup; /* what lines "key = value" above the rows state of the known keys */
} FaintImportLook;

void faint_import_look_free (FaintImportLook *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (FaintImportLook, faint_import_look_free)

/* At the first @n_rows rows. */
void faint_import_look_async (const char *path, gsize n_rows, GCancellable *cancellable,
                              GAsyncReadyCallback done, gpointer data);
FaintImportLook *faint_import_look_finish (GAsyncResult *result, GError **error);

/* What was read. */
typedef struct
{
  FaintSpectrum *spectrum;
  FaintFigureData *figure;
  double spacing; /* median distance of neighbouring samples, cm-1 */
} FaintImportReading;

void faint_import_reading_free (FaintImportReading *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (FaintImportReading, faint_import_reading_free)

/* @columns and @settings as in FaintReadOptions, copied. Cancelled, it stops soon. */
void faint_import_read_async (const char *path, const char *columns, const char *const *settings,
                              GCancellable *cancellable, GAsyncReadyCallback done, gpointer data);
/* The same of a spectrum that is read already. */
void faint_import_draw_async (FaintSpectrum *spectrum, GCancellable *cancellable,
                              GAsyncReadyCallback done, gpointer data);
FaintImportReading *faint_import_read_finish (GAsyncResult *result, GError **error);

/* All that @setup states, as settings "key=value" and "u(key)=value" in the order of the keys. Free
 * with g_strfreev. */
char **faint_import_settings_of (const FaintSetup *setup);

G_END_DECLS

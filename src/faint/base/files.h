/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The one place that writes files: whole or not at all, and on disk when it says so.
 */
#pragma once

#include <glib.h>

#define FAINT_FILES_ERROR (faint_files_error_quark ())
GQuark faint_files_error_quark (void);
typedef enum
{
  FAINT_FILES_ERROR_WRITE, /* folder missing, no right, disk full: the message says which */
} FaintFilesError;

/* Writes @length bytes to a temporary file beside @path, syncs it, renames it over @path and syncs
 * the folder. On an error nothing is left behind and an older @path is untouched. */
gboolean faint_files_write (const char *path, const char *bytes, gsize length, GError **error);

/* A folder of results that appears whole: files are written into a hidden folder on the same disk,
 * in @path when that is there and beside it when not, then moved by faint_files_folder_commit().
 * A new folder appears in one step; in an old one each file is replaced in one step. */
typedef struct _FaintFilesFolder FaintFilesFolder;
/* Prepares to fill @path, which is created at commit when it is not there (its parents too). */
FaintFilesFolder *faint_files_folder_begin (const char *path, GError **error);
/* Where the file @name of the folder is to be written now; free with g_free. */
char *faint_files_folder_path (FaintFilesFolder *self, const char *name);
/* Syncs all files written, moves them into the folder (replacing those of the same name). */
gboolean faint_files_folder_commit (FaintFilesFolder *self, GError **error);
/* Removes what was not committed. NULL is fine. */
void faint_files_folder_free (FaintFilesFolder *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (FaintFilesFolder, faint_files_folder_free)

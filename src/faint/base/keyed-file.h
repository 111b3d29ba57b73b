/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Small text files of keys and rows: lines "# key = value" and lines of a table, as of levels and
 * partition sums. What keys and rows mean is the business of their readers; walking the lines, and
 * telling where something is wrong, is done here.
 */
#pragma once

#include "faint/base/text.h"

typedef struct _FaintKeyedFile FaintKeyedFile;

/* How one kind of file is read. Both return FALSE with @error, by faint_keyed_file_refuse(); the
 * texts have no blanks around them. */
typedef struct
{
  gboolean (*key) (FaintKeyedFile *file, const char *key, char *text, GError **error);
  gboolean (*row) (FaintKeyedFile *file, const char *text, GError **error);
  GQuark domain; /* of its errors ... */
  int code;      /* ... and their code */
} FaintKeyedFileKind;

struct _FaintKeyedFile
{
  const FaintKeyedFileKind *kind;
  const char *path;
  guint64 line;     /* where it stands; 0: behind the last one */
  GHashTable *seen; /* keys by faint_keyed_file_once() */
  gpointer data;    /* the reader's */
};

/* Reads @path to its end. A remark is a line that begins with '#' and has no '=' behind its first
 * word. Files that cannot be read are refused with the words of faint_text_read(). */
gboolean
faint_keyed_file_read (const char *path, const FaintKeyedFileKind *kind, gpointer data,
                       gboolean (*finish) (FaintKeyedFile *file, GError **error), GError **error);

/* Sets an error of the kind, "path, line N: words" or, behind the last line, "path: words". FALSE.
 */
gboolean faint_keyed_file_refuse (const FaintKeyedFile *file, GError **error, const char *format,
                                  ...) G_GNUC_PRINTF (3, 4);
/* Refuses a key that was stated before. */
gboolean faint_keyed_file_once (FaintKeyedFile *file, const char *key, GError **error);
/* A number, 0 or above, without unit. */
gboolean faint_keyed_file_weight (const FaintKeyedFile *file, const char *key, const char *text,
                                  double *weight, GError **error);

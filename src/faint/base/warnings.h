/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Warnings travel in results: a code that a test or a script can ask for, and a sentence for a
 * person. A list of them is a GPtrArray that owns its FaintWarning.
 */
#pragma once

#include <glib.h>

typedef struct
{
  char *code; /* lower-case words joined by '-': "uncertainty-estimated" */
  char *text; /* one or two whole sentences */
} FaintWarning;

GPtrArray *faint_warnings_new (void);
GPtrArray *faint_warnings_copy (const GPtrArray *warnings); /* NULL gives an empty list */
/* In English with decimal points, whatever the locale: a warning is kept in files. It quotes no
 * GError, whose message is in the user's language. The format is marked as base/words.h says: the
 * window translates the sentence by it (app/parts/kept-words.h). */
void faint_warnings_add (GPtrArray *warnings, const char *code, const char *format, ...)
    G_GNUC_PRINTF (3, 4);
/* Appends copies of all of @more, which may be NULL. */
void faint_warnings_extend (GPtrArray *warnings, const GPtrArray *more);
gboolean faint_warnings_has (const GPtrArray *warnings, const char *code);

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Lines "key = value" into a setup.
 */
#pragma once

#include "faint/base/text.h"
#include "faint/spectrum/setup.h"

/* What was said so far, to find a key that is given twice with two values. */
typedef struct _FaintHeader FaintHeader;
FaintHeader *faint_header_new (FaintSetup *setup, const char *path);
void faint_header_free (FaintHeader *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (FaintHeader, faint_header_free)

/* Takes what the line says; one without '=' says nothing. Files are looked for beside the header's
 * file. An unknown key is kept in setup->other_keys. Errors begin with file, line and column. */
gboolean faint_header_take_line (FaintHeader *self, const FaintLines *lines, GError **error);

/* What "columns = " said, and in which line; NULL where it was not there. */
const char *faint_header_columns (const FaintHeader *self, guint64 *line);
/* Names of the unknown keys joined by ", ", or NULL. */
const char *faint_header_unknown (const FaintHeader *self);

/* TRUE where the first line says that this is a comb table. Another version than this one is an
 * error (*@is_table TRUE, FALSE returned). */
gboolean faint_header_is_comb_table (const FaintText *text, gboolean *is_table, GError **error);

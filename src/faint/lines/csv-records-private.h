/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Records of comma-separated text after RFC 4180, with the place of every field.
 */
#pragma once

#include "faint/lines/list-rows-private.h"

typedef struct
{
  const char *path; /* for messages */
  const char *at, *end;
  const char *line_start;
  guint64 line;
} FaintCsvRecords;

void
faint_csv_records_init (FaintCsvRecords *self, const char *path, const char *text, gsize length);

/* The next record's fields (FaintListCell, its place in characters) into @fields, which is emptied
 * first; empty lines and lines that begin with '#' are passed over. Returns FALSE at the end, or
 * with @error on a quoting mistake. */
gboolean faint_csv_records_next (FaintCsvRecords *self, GArray *fields, GError **error);

/* An array for faint_csv_records_next(). */
GArray *faint_csv_fields_new (void);

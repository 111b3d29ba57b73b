/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The labelled data records of a JCAMP-DX file and the blocks that they stand in.
 */
#pragma once

#include "faint/base/text.h"

typedef struct
{
  char *label;    /* as labels are compared: capitals and digits, with '$' before a private one */
  char *value;    /* the rest of its line, without a remark and blanks around it */
  guint64 line;   /* where it stands */
  gsize data;     /* offset in the text of the line after it ... */
  gsize data_end; /* ... and of the next record */
} FaintJcampRecord;

typedef struct
{
  GPtrArray *records; /* FaintJcampRecord */
  guint64 line;       /* of its title */
  guint depth;        /* 0: not inside another */
} FaintJcampBlock;

/* The blocks of the file in the order of their titles. Errors: a record without '=', one before the
 * first title, ##END without a block, a block that does not end. Free with g_ptr_array_unref. */
GPtrArray *faint_jcamp_blocks (const FaintText *text, GError **error);

/* The record of that label, or NULL. */
const FaintJcampRecord *faint_jcamp_find (const FaintJcampBlock *block, const char *label);

/* Length of what stands in the line before a remark ($$), without blanks at the end. */
gsize faint_jcamp_line_length (const char *line, gsize length);

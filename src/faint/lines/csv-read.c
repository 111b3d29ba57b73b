/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "faint/base/text.h"
#include "faint/base/words.h"
#include "faint/lines/csv-records-private.h"

static gboolean
understand_heads (FaintListRows *rows, const GArray *fields, GError **error)
{
  const FaintListCell *first = &g_array_index (fields, FaintListCell, 0);
  g_autofree char *found = NULL;

  if (fields->len == 1 && strpbrk (first->text, ";\t") != NULL)
    return faint_list_rows_refuse (rows, first, FAINT_LINES_ERROR_SYNTAX, error,
                                   _ ("the heads are separated by semicolons or tabs; a line list "
                                      "has comma-separated fields and a decimal point"));
  for (guint i = 0; i < fields->len; i++)
    if (!faint_list_rows_add_head (rows, &g_array_index (fields, FaintListCell, i), error))
      return FALSE;
  if (faint_list_rows_has_position (rows))
    return TRUE;
  found = faint_text_quote (first->text, -1, 60);
  return faint_list_rows_refuse (
      rows, first, FAINT_LINES_ERROR_COLUMN, error,
      _ ("the head row names no position; expected a column 'position/cm-1' or 'frequency/MHz' "
         "among comma-separated heads, found '%s%s'"),
      found, fields->len > 1 ? ", ..." : "");
}

static gboolean
read_row (FaintListRows *rows, const GArray *fields, GError **error)
{
  const FaintListCell *first = &g_array_index (fields, FaintListCell, 0);
  guint expected = faint_list_rows_get_n_columns (rows);

  if (fields->len != expected)
    return faint_list_rows_refuse (rows, first, FAINT_LINES_ERROR_SYNTAX, error,
                                   _ ("found %u fields, expected %u as in the head row"),
                                   fields->len, expected);
  faint_list_rows_begin (rows);
  for (guint i = 0; i < fields->len; i++)
    if (!faint_list_rows_cell (rows, i, &g_array_index (fields, FaintListCell, i), error))
      return FALSE;
  return faint_list_rows_end (rows, first, error);
}

static gboolean
read_all (FaintListRows *rows, const char *path, const char *text, gsize length, GError **error)
{
  FaintCsvRecords records;
  g_autoptr (GArray) fields = faint_csv_fields_new ();
  GError *inner = NULL;

  faint_csv_records_init (&records, path, text, length);
  if (!faint_csv_records_next (&records, fields, &inner))
    {
      if (inner == NULL)
        g_set_error (&inner, FAINT_LINES_ERROR, FAINT_LINES_ERROR_SYNTAX,
                     _ ("%s: there is no head row; expected comma-separated heads such as "
                        "'position/cm-1,strength/(cm/molecule)'"),
                     path);
      g_propagate_error (error, inner);
      return FALSE;
    }
  if (!understand_heads (rows, fields, error))
    return FALSE;
  while (faint_csv_records_next (&records, fields, &inner))
    if (!read_row (rows, fields, error))
      return FALSE;
  if (inner != NULL)
    g_propagate_error (error, inner);
  return inner == NULL;
}

static FaintLineList *
parse (const char *text, gsize length, const char *path, GPtrArray *warnings, GError **error)
{
  g_autoptr (FaintListRows) rows = faint_list_rows_new (path, warnings);

  return read_all (rows, path, text, length, error) ? faint_list_rows_finish (rows) : NULL;
}

FaintLineList *
faint_line_list_parse_csv (const char *text, const char *path_for_messages, GPtrArray *warnings,
                           GError **error)
{
  return parse (text, strlen (text), path_for_messages, warnings, error);
}

FaintLineList *
faint_line_list_read_csv (const char *path, GPtrArray *warnings, GError **error)
{
  g_autoptr (FaintText) text = faint_text_read (path, error);

  if (text == NULL)
    return NULL;
  return parse (text->bytes, text->length, path, warnings, error);
}

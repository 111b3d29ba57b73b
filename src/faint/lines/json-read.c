/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/lines/json-private.h"

#include <string.h>

#include "faint/base/json.h"
#include "faint/base/text.h"
#include "faint/base/warnings.h"
#include "faint/base/words.h"
#include "faint/lines/list-notes.h"
#include "faint/lines/list-rows-private.h"

static FaintListCell
cell_of (const FaintJson *value, const char *text)
{
  return (FaintListCell){ (char *)text, value->line, value->column };
}

/* @format has a place for the type of @value. */
static gboolean
refuse_kind (const FaintListRows *rows, const FaintJson *value, const char *format, GError **error)
{
  FaintListCell at = cell_of (value, "");
  g_autofree char *sentence = g_strdup_printf (format, faint_json_type_name (value->kind));

  return faint_list_rows_refuse (rows, &at, FAINT_LINES_ERROR_SYNTAX, error, "%s", sentence);
}

/* Texts are strings, all else numbers; null is not known. */
static gboolean
check_kind (const FaintListRows *rows, const FaintCsvColumn *column, const FaintJson *value,
            GError **error)
{
  gboolean text = column->kind == FAINT_CSV_TEXT || column->kind == FAINT_CSV_FLAGS
                  || column->kind == FAINT_CSV_PROFILE || column->kind == FAINT_CSV_TIES;
  FaintListCell at;

  if (value->kind == FAINT_JSON_NULL
      || value->kind == (text ? FAINT_JSON_STRING : FAINT_JSON_NUMBER))
    return TRUE;
  at = cell_of (value, "");
  if (text)
    return faint_list_rows_refuse (rows, &at, FAINT_LINES_ERROR_SYNTAX, error,
                                   _ ("the JSON type of '%s' is %s, expected a string or null"),
                                   column->name, faint_json_type_name (value->kind));
  return faint_list_rows_refuse (rows, &at, FAINT_LINES_ERROR_SYNTAX, error,
                                 _ ("the JSON type of '%s' is %s, expected a number or null"),
                                 column->name, faint_json_type_name (value->kind));
}

static gboolean
read_member (FaintListRows *rows, const FaintJson *member, GError **error)
{
  guint k = faint_list_rows_find_head (rows, member->name);
  const FaintCsvColumn *column;
  FaintListCell cell = cell_of (member, member->name);

  if (k == G_MAXUINT)
    {
      k = faint_list_rows_get_n_columns (rows);
      if (!faint_list_rows_add_head (rows, &cell, error))
        return FALSE;
    }
  column = faint_list_rows_get_column (rows, k);
  if (column == NULL)
    return TRUE;
  if (!check_kind (rows, column, member, error))
    return FALSE;
  cell.text = (char *)member->text;
  return faint_list_rows_cell (rows, k, &cell, error);
}

static gboolean
read_line (FaintListRows *rows, const FaintJson *line, GError **error)
{
  FaintListCell at = cell_of (line, "");

  if (line->kind != FAINT_JSON_OBJECT)
    return refuse_kind (rows, line, _ ("the JSON type of a line is %s, expected an object"), error);
  faint_list_rows_begin (rows);
  for (guint i = 0; i < line->items->len; i++)
    if (!read_member (rows, &g_array_index (line->items, FaintJson, i), error))
      return FALSE;
  return faint_list_rows_end (rows, &at, error);
}

static void
take_note (GPtrArray *notes, const char *key, const FaintJson *value)
{
  if (value->kind == FAINT_JSON_TRUE || value->kind == FAINT_JSON_FALSE)
    faint_list_notes_take (notes, key, faint_json_kind_name (value->kind));
  else if (value->kind == FAINT_JSON_STRING || value->kind == FAINT_JSON_NUMBER)
    faint_list_notes_take (notes, key, value->text);
}

static gboolean
read_about (const FaintListRows *rows, const FaintJson *about, GPtrArray *notes, GError **error)
{
  if (about == NULL)
    return TRUE;
  if (about->kind != FAINT_JSON_OBJECT)
    return refuse_kind (rows, about, _ ("the JSON type of 'about' is %s, expected an object"),
                        error);
  for (guint i = 0; i < about->items->len; i++)
    {
      const FaintJson *item = &g_array_index (about->items, FaintJson, i);

      if (item->kind == FAINT_JSON_OBJECT)
        return refuse_kind (
            rows, item,
            _ ("the JSON type of what 'about' says is %s, expected a string, a number or an array"),
            error);
      if (item->kind != FAINT_JSON_ARRAY)
        take_note (notes, item->name, item);
      for (guint k = 0; item->kind == FAINT_JSON_ARRAY && k < item->items->len; k++)
        take_note (notes, item->name, &g_array_index (item->items, FaintJson, k));
    }
  return TRUE;
}

static gboolean
check_version (const FaintListRows *rows, const FaintJson *root, GError **error)
{
  const FaintJson *version = faint_json_member (root, "version");
  g_autofree char *found = NULL;
  FaintListCell at;

  if (version == NULL || (version->kind == FAINT_JSON_NUMBER && strcmp (version->text, "1") == 0))
    return TRUE;
  at = cell_of (version, "");
  found = faint_text_quote (version->text != NULL ? version->text : "", -1, 20);
  return faint_list_rows_refuse (
      rows, &at, FAINT_LINES_ERROR_VALUE, error,
      _ ("version 1 of the format was expected, found '%s' (JSON type %s)"), found,
      faint_json_type_name (version->kind));
}

static gboolean
read_root (FaintListRows *rows, const FaintJson *root, GPtrArray *notes, GError **error)
{
  const FaintJson *lines = root->kind == FAINT_JSON_ARRAY ? root : NULL;

  if (root->kind != FAINT_JSON_ARRAY && root->kind != FAINT_JSON_OBJECT)
    return refuse_kind (
        rows, root,
        _ ("the JSON type of the whole is %s, expected an object with an array 'lines'"), error);
  if (lines == NULL)
    {
      FaintListCell at = cell_of (root, "");

      lines = faint_json_member (root, "lines");
      if (lines == NULL)
        return faint_list_rows_refuse (
            rows, &at, FAINT_LINES_ERROR_SYNTAX, error,
            _ ("the object has no member 'lines'; expected an array of lines there"));
      if (lines->kind != FAINT_JSON_ARRAY)
        return refuse_kind (rows, lines, _ ("the JSON type of 'lines' is %s, expected an array"),
                            error);
    }
  if (!check_version (rows, root, error)
      || !read_about (rows, faint_json_member (root, "about"), notes, error))
    return FALSE;
  for (guint i = 0; i < lines->items->len; i++)
    if (!read_line (rows, &g_array_index (lines->items, FaintJson, i), error))
      return FALSE;
  return TRUE;
}

FaintLineList *
faint_line_list_parse_json (const char *text, gsize length, const char *path, GPtrArray *notes,
                            GPtrArray *warnings, GError **error)
{
  g_autoptr (FaintListRows) rows = faint_list_rows_new (path, warnings);
  g_autoptr (FaintJson) root = faint_json_parse (text, length, path, error);

  return root != NULL && read_root (rows, root, notes, error) ? faint_list_rows_finish (rows)
                                                              : NULL;
}

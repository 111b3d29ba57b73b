/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/lines/json-private.h"

#include <string.h>

#include "faint/base/json.h"
#include "faint/lines/csv-private.h"
#include "faint/lines/list-notes.h"

/* The values of one key: one string, or an array where the key stands several times. */
static void
append_note (GString *out, const char *key, const GPtrArray *values)
{
  g_string_append (out, out->str[out->len - 1] == '{' ? "\n    " : ",\n    ");
  faint_json_append_string (out, key);
  g_string_append (out, values->len > 1 ? ": [" : ": ");
  for (guint i = 0; i < values->len; i++)
    {
      if (i > 0)
        g_string_append (out, ", ");
      faint_json_append_string (out, g_ptr_array_index (values, i));
    }
  if (values->len > 1)
    g_string_append_c (out, ']');
}

static void
append_about (GString *out, const FaintLineListAbout *about)
{
  g_autoptr (GPtrArray) notes = faint_list_notes_new (about);
  g_autoptr (GPtrArray) keys = g_ptr_array_new (); /* in their order; owned by @values */
  g_autoptr (GHashTable) values
      = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, (GDestroyNotify)g_ptr_array_unref);

  for (guint i = 0; i < notes->len; i++)
    {
      char *key, *value;
      GPtrArray *all;

      faint_list_note_split (g_ptr_array_index (notes, i), &key, &value);
      all = g_hash_table_lookup (values, key);
      if (all == NULL)
        {
          all = g_ptr_array_new_with_free_func (g_free);
          g_hash_table_insert (values, key, all);
          g_ptr_array_add (keys, key);
        }
      else
        g_free (key);
      g_ptr_array_add (all, value);
    }
  g_string_append (out, "  \"about\": {");
  for (guint i = 0; i < keys->len; i++)
    {
      const char *key = g_ptr_array_index (keys, i);
      append_note (out, key, g_hash_table_lookup (values, key));
    }
  g_string_append (out, "\n  },\n");
}

static gboolean
is_number (const FaintCsvColumn *column)
{
  return column->kind != FAINT_CSV_FLAGS && column->kind != FAINT_CSV_TEXT
         && column->kind != FAINT_CSV_PROFILE && column->kind != FAINT_CSV_TIES;
}

static void
append_line (GString *out, const GPtrArray *columns, const FaintLine *line, double coverage)
{
  g_autoptr (GString) cell = g_string_new (NULL);
  const char *comma = "";

  g_string_append (out, "{");
  for (guint k = 0; k < columns->len; k++)
    {
      const FaintCsvColumn *column = g_ptr_array_index (columns, k);
      const char *unit = faint_csv_unit_text (column->unit);

      g_string_truncate (cell, 0);
      faint_csv_cell_append (cell, column, line, coverage);
      if (cell->len == 0)
        continue;
      g_string_append_printf (out, "%s\"%s%s%s\": ", comma, column->name, unit != NULL ? "/" : "",
                              unit != NULL ? unit : "");
      if (is_number (column))
        g_string_append (out, cell->str);
      else
        faint_json_append_string (out, cell->str);
      comma = ", ";
    }
  g_string_append (out, "}");
}

char *
faint_line_list_to_json (const FaintLineList *self, const FaintLineListAbout *about)
{
  gsize n = faint_line_list_get_n (self);
  GString *out = g_string_sized_new (1024 + 800 * n);
  g_autoptr (GPtrArray) columns = faint_csv_columns_of (self);
  double coverage = faint_list_coverage_factor (about);

  g_string_append (out, "{\n  \"content\": \"line list\",\n  \"version\": 1,\n");
  append_about (out, about);
  g_string_append (out, "  \"lines\": [");
  for (gsize i = 0; i < n; i++)
    {
      g_string_append (out, i > 0 ? ",\n    " : "\n    ");
      append_line (out, columns, faint_line_list_get (self, i), coverage);
    }
  g_string_append (out, "\n  ]\n}\n");
  return g_string_free (out, FALSE);
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/spectrum/delimited-private.h"

#include <math.h>
#include <string.h>

#include "faint/base/words.h"

/* So many rows are looked at to learn the layout. */
#define ROWS_LOOKED_AT 200

typedef struct
{
  char separator;
  gboolean decimal_comma;
} Style;

/* The first that explains most cells is taken. */
static const Style styles[] = { { ';', FALSE }, { '\t', FALSE }, { ',', FALSE }, { ' ', FALSE },
                                { ';', TRUE },  { '\t', TRUE },  { ' ', TRUE } };

static gboolean
is_separator (Style style, char c)
{
  return c == style.separator || (style.separator == ' ' && c == '\t');
}

/* A field without the blanks and the quotation marks around it. */
static char *
clean_field (const char *start, const char *end)
{
  char *field = g_strstrip (g_strndup (start, (gsize)(end - start)));
  gsize length = strlen (field);

  if (length >= 2 && field[0] == '"' && field[length - 1] == '"')
    {
      memmove (field, field + 1, length - 2);
      field[length - 2] = '\0';
    }
  return field;
}

/* The fields of a line, NULL-terminated. */
static char **
split (const char *p, gsize length, Style style)
{
  g_autoptr (GPtrArray) fields = g_ptr_array_new ();
  const char *end = p + length, *start;
  gboolean quoted = FALSE;

  while (p < end && (*p == ' ' || (*p == '\t' && style.separator != '\t')))
    p++;
  while (end > p && (end[-1] == ' ' || (end[-1] == '\t' && style.separator != '\t')))
    end--;
  for (start = p; p < end; p++)
    {
      quoted ^= *p == '"';
      if (quoted || !is_separator (style, *p))
        continue;
      g_ptr_array_add (fields, clean_field (start, p));
      while (style.separator == ' ' && p + 1 < end && is_separator (style, p[1]))
        p++;
      start = p + 1;
    }
  g_ptr_array_add (fields, clean_field (start, end));
  g_ptr_array_add (fields, NULL);
  return (char **)g_ptr_array_free (g_steal_pointer (&fields), FALSE);
}

static gboolean
read_number (const char *field, gboolean decimal_comma, double *value)
{
  g_autofree char *copy = g_strdup (field);
  const char *after;

  if (decimal_comma)
    {
      if (strchr (copy, '.') != NULL)
        return FALSE;
      g_strdelimit (copy, ",", '.');
    }
  return faint_text_number (copy, copy + strlen (copy), value, &after) && *after == '\0';
}

static guint
count_numbers (char **fields, Style style)
{
  guint n = 0;
  double value;

  for (char **field = fields; *field != NULL; field++)
    n += read_number (*field, style.decimal_comma, &value);
  return n;
}

/* Share of the cells that are numbers when lines are split in this style; 0 for a single column. */
static double
explained (const FaintText *text, Style style)
{
  FaintLines lines = { .text = text };
  guint n_rows = 0, n_cells = 0, n_numbers = 0, n_columns = 0;

  while (n_rows < ROWS_LOOKED_AT && faint_text_next_line (&lines))
    {
      g_auto (GStrv) fields = NULL;

      if (!faint_rows_is_row (&lines))
        continue;
      fields = split (lines.line, lines.length, style);
      n_cells += g_strv_length (fields);
      n_columns = MAX (n_columns, g_strv_length (fields));
      n_numbers += count_numbers (fields, style);
      n_rows++;
    }
  return n_columns < 2 ? 0.0 : (double)n_numbers / (double)n_cells;
}

/* In a row of numbers at least half of the cells are numbers. */
static gboolean
is_number_row (char **fields, Style style)
{
  return 2 * count_numbers (fields, style) >= g_strv_length (fields);
}

/* Walks to the first row of numbers. *@heads: the words of the line before it. */
static gboolean
find_first_row (FaintLines *lines, Style style, char ***first, char ***heads)
{
  g_auto (GStrv) before = NULL;

  while (faint_text_next_line (lines))
    {
      g_auto (GStrv) fields = NULL;
      const char *line = lines->line;
      gsize length = lines->length;

      if (faint_rows_is_row (lines))
        {
          fields = split (line, length, style);
          if (is_number_row (fields, style))
            {
              *first = g_steal_pointer (&fields);
              *heads = g_steal_pointer (&before);
              return TRUE;
            }
        }
      while (length > 0 && (*line == '#' || *line == ' '))
        {
          line++;
          length--;
        }
      g_strfreev (before);
      before = split (line, length, style);
    }
  return FALSE;
}

static void
strv_free (gpointer data)
{
  g_strfreev (data);
}

/* Where blanks separate, a unit in brackets belongs to the word before it: "wavenumber (cm-1)". */
static void
join_units (char **heads)
{
  guint n = 0;

  for (char **head = heads; *head != NULL; head++)
    if (n > 0 && (**head == '(' || **head == '['))
      {
        char *joined = g_strconcat (heads[n - 1], " ", *head, NULL);

        g_free (heads[n - 1]);
        g_free (*head);
        heads[n - 1] = joined;
      }
    else
      heads[n++] = *head;
  heads[n] = NULL;
}

static void
keep_heads (FaintDelimitedPreview *self, char **heads)
{
  if (heads != NULL && self->separator == ' ')
    join_units (heads);
  if (heads == NULL || g_strv_length (heads) != self->n_columns)
    return;
  for (char **head = heads; *head != NULL; head++)
    g_ptr_array_add (self->heads, g_strdup (*head));
}

static void
keep_range (FaintDelimitedPreview *self, char **fields)
{
  for (gsize i = 0; i < self->n_columns; i++)
    {
      double value;

      if (*fields == NULL || !read_number (*fields, self->decimal_comma, &value) || isnan (value))
        value = NAN;
      /* once not a number, never one again */
      self->lowest[i] = isnan (value) || self->lowest[i] > value ? value : self->lowest[i];
      self->highest[i] = isnan (value) || self->highest[i] < value ? value : self->highest[i];
      fields += *fields != NULL;
    }
}

static FaintDelimitedPreview *
look_at (const FaintText *text, gsize max_rows, GError **error)
{
  g_autoptr (FaintDelimitedPreview) self = g_new0 (FaintDelimitedPreview, 1);
  g_auto (GStrv) heads = NULL;
  FaintLines lines = { .text = text };
  Style best = styles[0];
  double share = 0.0;
  char **row = NULL;

  self->heads = g_ptr_array_new_with_free_func (g_free);
  self->rows = g_ptr_array_new_with_free_func (strv_free);
  for (gsize i = 0; i < G_N_ELEMENTS (styles); i++)
    if (explained (text, styles[i]) > share)
      {
        best = styles[i];
        share = explained (text, best);
      }
  if (share == 0.0 || !find_first_row (&lines, best, &row, &heads))
    {
      g_set_error (error, FAINT_TEXT_ERROR, FAINT_TEXT_ERROR_SYNTAX,
                   _ ("%s holds no table of numbers: no row of two or more columns was found in "
                      "it, separated by commas, semicolons, tabs or blanks."),
                   text->path);
      return NULL;
    }
  self->separator = best.separator;
  self->decimal_comma = best.decimal_comma;
  self->header_lines = lines.number - 1;
  self->n_columns = g_strv_length (row);
  keep_heads (self, heads);
  self->lowest = g_new (double, self->n_columns);
  self->highest = g_new (double, self->n_columns);
  for (gsize i = 0; i < self->n_columns; i++)
    {
      self->lowest[i] = HUGE_VAL;
      self->highest[i] = -HUGE_VAL;
    }
  keep_range (self, row);
  g_ptr_array_add (self->rows, row);
  for (gsize n = 1; n < MAX (max_rows, ROWS_LOOKED_AT) && faint_text_next_line (&lines);)
    {
      char **fields;

      if (!faint_rows_is_row (&lines))
        continue;
      fields = split (lines.line, lines.length, best);
      keep_range (self, fields);
      if (n++ < max_rows)
        g_ptr_array_add (self->rows, fields);
      else
        g_strfreev (fields);
    }
  return g_steal_pointer (&self);
}

FaintDelimitedPreview *
faint_delimited_preview (const char *path, gsize max_rows, GError **error)
{
  g_autoptr (FaintText) text = faint_text_read (path, error);

  return text != NULL ? look_at (text, max_rows, error) : NULL;
}

void
faint_delimited_preview_free (FaintDelimitedPreview *self)
{
  if (self == NULL)
    return;
  g_ptr_array_unref (self->heads);
  g_ptr_array_unref (self->rows);
  g_free (self->lowest);
  g_free (self->highest);
  g_free (self);
}

/* How the file looks, for a message: its first row. */
static char *
first_row (const FaintDelimitedPreview *preview)
{
  return g_strjoinv (" | ", g_ptr_array_index (preview->rows, 0));
}

static FaintColumns *
columns_of_map (const FaintText *text, const FaintDelimitedPreview *preview, const char *map,
                GError **error)
{
  g_auto (GStrv) names = g_strsplit (map, ",", -1);
  FaintColumns *columns;

  for (char **name = names; *name != NULL; name++)
    g_strstrip (*name);
  if (g_strv_length (names) != preview->n_columns)
    {
      g_autofree char *row = first_row (preview);

      g_set_error (error, FAINT_TEXT_ERROR, FAINT_TEXT_ERROR_SYNTAX,
                   _ ("%s: the column map '%s' names %u columns, but the first row, %s, has %zu. "
                      "Put - for a column to skip."),
                   text->path, map, g_strv_length (names), row, preview->n_columns);
      return NULL;
    }
  columns = faint_columns_new ((const char *const *)names, FALSE, error);
  if (columns == NULL)
    g_prefix_error (error, _ ("%s, column map '%s': "), text->path, map);
  return columns;
}

/* What is said here names options of the headless command and is not translated: the window asks
 * for the meanings instead. */
/* Sentences on what the heads suggest where that makes no map; "" where nothing is to be said. */
static char *
partly_suggested (const FaintDelimitedPreview *preview)
{
  g_autofree const char **meanings = faint_delimited_suggest (preview);
  g_autoptr (GString) words = g_string_new (NULL);
  gboolean any = FALSE, absorbs = FALSE;

  for (gsize i = 0; i < preview->n_columns; i++)
    {
      any |= meanings[i] != NULL;
      g_string_append_printf (words, "%s%s", i > 0 ? "," : " Its heads and numbers suggest '",
                              meanings[i] != NULL ? meanings[i] : "-");
    }
  g_string_append (words, "' at most.");
  if (!any)
    g_string_truncate (words, 0);
  for (guint i = 0; i < preview->heads->len; i++)
    {
      g_autofree char *head = g_ascii_strdown (g_ptr_array_index (preview->heads, i), -1);

      absorbs |= strstr (head, "absorb") != NULL;
    }
  if (absorbs)
    g_string_append (words, " Of an absorbance say which it is, decadic_absorbance or "
                            "napierian_absorbance.");
  return g_string_free (g_steal_pointer (&words), FALSE);
}

static FaintColumns *
columns_of_heads (const FaintText *text, const FaintDelimitedPreview *preview,
                  FaintObservable observable, GError **error)
{
  g_autoptr (GPtrArray) names = g_ptr_array_new ();
  g_autoptr (FaintColumns) columns = NULL;
  g_autofree char *row = first_row (preview);
  g_autofree char *suggestion = NULL, *partly = NULL;
  FaintObservable needed = observable;

  for (guint i = 0; i < preview->heads->len; i++)
    g_ptr_array_add (names, g_ptr_array_index (preview->heads, i));
  g_ptr_array_add (names, NULL);
  if (preview->heads->len > 0)
    columns = faint_columns_new ((const char *const *)names->pdata, TRUE, NULL);
  if (columns != NULL && faint_columns_check (columns, observable, NULL))
    return g_steal_pointer (&columns);
  suggestion = faint_delimited_suggest_map (preview, &needed);
  if (suggestion != NULL)
    {
      g_set_error (error, FAINT_TEXT_ERROR, FAINT_TEXT_ERROR_SYNTAX,
                   "%s is no comb table (its first line is not '# comb-table 1'), and what its "
                   "columns mean must be told. Its first row is %s. Its heads and the range of its "
                   "numbers suggest the following; repeat the command with it if it is right: "
                   "--columns '%s'%s",
                   text->path, row, suggestion,
                   needed == observable ? "" : " --set observable=field");
      return NULL;
    }
  partly = partly_suggested (preview);
  g_set_error (
      error, FAINT_TEXT_ERROR, FAINT_TEXT_ERROR_SYNTAX,
      "%s is no comb table (its first line is not '# comb-table 1'), and what its columns mean "
      "must be told. Its first row is %s: name its %" G_GSIZE_FORMAT
      " columns in order, like --columns 'frequency/GHz,-,signal,reference', with - for one "
      "to skip.%s",
      text->path, row, preview->n_columns, partly);
  return NULL;
}

FaintColumns *
faint_delimited_layout (const FaintText *text, const char *map, FaintObservable observable,
                        FaintRowsLayout *layout, GError **error)
{
  g_autoptr (FaintDelimitedPreview) preview = NULL;
  g_autoptr (FaintColumns) columns = NULL;

  preview = look_at (text, 1, error);
  if (preview == NULL)
    return NULL;
  columns = map != NULL ? columns_of_map (text, preview, map, error)
                        : columns_of_heads (text, preview, observable, error);
  if (columns == NULL)
    return NULL;
  if (!faint_columns_check (columns, observable, error))
    {
      g_prefix_error (error, _ ("%s, column map '%s': "), text->path, map);
      return NULL;
    }
  *layout = (FaintRowsLayout){ .columns = columns,
                               .separator = preview->separator,
                               .decimal_comma = preview->decimal_comma,
                               .header_lines = preview->header_lines };
  return g_steal_pointer (&columns);
}

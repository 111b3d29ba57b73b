/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The file of a finesse that varies over the span.
 */
#include "faint/base/text.h"
#include "faint/base/words.h"
#include "faint/spectrum/setup-private.h"

#include <string.h>

#define MAX_COLUMNS 3

gboolean
faint_setup_split_line (const char *line, gsize length, char **key, char **value, guint64 *column)
{
  const char *end = line + length, *start = line;
  const char *equals = memchr (line, '=', length);

  if (equals == NULL)
    return FALSE;
  while (start < equals && (*start == '#' || g_ascii_isspace (*start)))
    start++;
  *key = g_strstrip (g_strndup (start, (gsize)(equals - start)));
  equals++;
  while (equals < end && g_ascii_isspace (*equals))
    equals++;
  *column = (guint64)g_utf8_strlen (line, equals - line) + 1;
  *value = g_strstrip (g_strndup (equals, (gsize)(end - equals)));
  return TRUE;
}

static gboolean
read_columns (const FaintLines *lines, guint *n_columns, GError **error)
{
  g_autofree char *key = NULL, *value = NULL;
  g_auto (GStrv) words = NULL;
  g_autoptr (GString) joined = g_string_new (NULL);
  guint64 column;

  if (!faint_setup_split_line (lines->line, lines->length, &key, &value, &column)
      || !g_str_equal (key, "columns"))
    return TRUE; /* a remark */
  words = g_strsplit_set (value, " \t", -1);
  for (char **word = words; *word != NULL; word++)
    if (**word != '\0')
      g_string_append_printf (joined, " %s", *word);
  if (g_str_equal (joined->str, " wavenumber/cm-1 finesse"))
    *n_columns = 2;
  else if (g_str_equal (joined->str, " wavenumber/cm-1 finesse u(finesse)"))
    *n_columns = 3;
  else
    {
      faint_text_error (error, FAINT_TEXT_ERROR_SYNTAX, lines->text->path, lines->number, column,
                        _ ("the columns are '%s'; expected was '# columns = wavenumber/cm-1 "
                           "finesse', with u(finesse) as a third column if known."),
                        value);
      return FALSE;
    }
  return TRUE;
}

static gboolean
read_row (const FaintLines *lines, guint n_columns, double *row, GError **error)
{
  const char *p = lines->line, *end = p + lines->length;
  guint n = 0;

  for (;;)
    {
      double value;

      while (p < end && g_ascii_isspace (*p))
        p++;
      if (p == end)
        break;
      if (!faint_text_number (p, end, &value, &p) || (p < end && !g_ascii_isspace (*p))
          || !isfinite (value))
        {
          faint_text_error (error, FAINT_TEXT_ERROR_SYNTAX, lines->text->path, lines->number,
                            (guint64)(p - lines->line) + 1,
                            _ ("a finite number was expected here."));
          return FALSE;
        }
      if (n < n_columns)
        row[n] = value;
      n++;
    }
  if (n == n_columns)
    return TRUE;
  faint_text_error (error, FAINT_TEXT_ERROR_SYNTAX, lines->text->path, lines->number, 0,
                    _ ("there are %u numbers, but the columns line names %u."), n, n_columns);
  return FALSE;
}

static gboolean
check_row (const FaintSetup *self, const FaintLines *lines, const double *row, GError **error)
{
  const GArray *axis = self->table_wavenumber;
  const char *sentence = NULL;

  if (row[0] <= 0.0 || (axis->len > 0 && row[0] <= g_array_index (axis, double, axis->len - 1)))
    sentence = N_ ("the wavenumber does not rise; sort the table.");
  else if (row[1] <= 1.0 || row[1] > FAINT_SETUP_MAX_FINESSE)
    sentence = N_ ("a finesse above 1 and at most 1e9 was expected.");
  else if (row[2] < 0.0)
    sentence = N_ ("the uncertainty is negative.");
  if (sentence == NULL)
    return TRUE;
  faint_text_error (error, FAINT_TEXT_ERROR_SYNTAX, lines->text->path, lines->number, 0, "%s",
                    _ (sentence));
  return FALSE;
}

static gboolean
read_line (FaintSetup *self, const FaintLines *lines, guint *n_columns, GError **error)
{
  double row[MAX_COLUMNS] = { NAN, NAN, NAN };

  if (lines->length > 0 && lines->line[0] == '#')
    return read_columns (lines, n_columns, error);
  if (strspn (lines->line, " \t") >= lines->length)
    return TRUE;
  if (*n_columns == 0)
    {
      faint_text_error (
          error, FAINT_TEXT_ERROR_SYNTAX, lines->text->path, lines->number, 0,
          _ ("numbers stand before the columns are named; expected was '# columns = "
             "wavenumber/cm-1 finesse', with u(finesse) as a third column if known."));
      return FALSE;
    }
  if (!read_row (lines, *n_columns, row, error) || !check_row (self, lines, row, error))
    return FALSE;
  g_array_append_val (self->table_wavenumber, row[0]);
  g_array_append_val (self->table_finesse, row[1]);
  g_array_append_val (self->table_u, row[2]);
  return TRUE;
}

gboolean
faint_setup_read_finesse_table (FaintSetup *self, const char *path, GError **error)
{
  g_autoptr (FaintText) text = faint_text_read (path, error);
  FaintLines lines = { .text = text };
  guint n_columns = 0;

  if (text == NULL)
    return FALSE;
  self->table_wavenumber = g_array_new (FALSE, FALSE, sizeof (double));
  self->table_finesse = g_array_new (FALSE, FALSE, sizeof (double));
  self->table_u = g_array_new (FALSE, FALSE, sizeof (double));
  while (faint_text_next_line (&lines))
    if (!read_line (self, &lines, &n_columns, error))
      return FALSE;
  if (self->table_wavenumber->len >= 2)
    return TRUE;
  g_set_error (error, FAINT_TEXT_ERROR, FAINT_TEXT_ERROR_SYNTAX,
               _ ("%s holds %u rows; a finesse table needs at least two below '# columns = "
                  "wavenumber/cm-1 finesse', with u(finesse) as a third column if known."),
               path, self->table_wavenumber->len);
  return FALSE;
}

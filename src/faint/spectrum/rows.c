/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/spectrum/rows.h"

#include <math.h>
#include <string.h>

#include "faint/base/words.h"

#define ROWS_BETWEEN_REPORTS 65536
#define LARGEST_ABSORBANCE 700.0 /* exp(-700) is 1e-304: below it numbers lose their digits */
#define LARGEST_TOOTH 9007199254740992.0 /* 2^53: beyond it not every integer is a double */
#define LONGEST_NUMBER 64

typedef struct
{
  const FaintText *text;
  const FaintRowsLayout *layout;
  FaintRows *rows;
  gsize capacity;
  FaintLines lines;
} Reader;

gboolean
faint_rows_is_row (const FaintLines *lines)
{
  const char *p = lines->line, *end = p + lines->length;

  while (p < end && (*p == ' ' || *p == '\t'))
    p++;
  return p < end && *p != '#';
}

/* Words on what stands at @p; returns FALSE. */
static gboolean refuse (const Reader *reader, const char *p, GError **error, const char *format,
                        ...) G_GNUC_PRINTF (4, 5);

static gboolean
refuse (const Reader *reader, const char *p, GError **error, const char *format, ...)
{
  g_autofree char *message = NULL;
  va_list arguments;
  guint64 column = (guint64)g_utf8_strlen (reader->lines.line, p - reader->lines.line) + 1;

  va_start (arguments, format);
  message = g_strdup_vprintf (format, arguments);
  va_end (arguments);
  faint_text_error (error, FAINT_TEXT_ERROR_SYNTAX, reader->text->path, reader->lines.number,
                    column, "%s", message);
  return FALSE;
}

static gboolean
is_blank (const Reader *reader, char c)
{
  return c == ' ' || (c == '\t' && reader->layout->separator != '\t');
}

static const char *
skip_blanks (const Reader *reader, const char *p, const char *end)
{
  while (p < end && is_blank (reader, *p))
    p++;
  return p;
}

static const char *
cell_end (const Reader *reader, const char *p, const char *end)
{
  char separator = reader->layout->separator;
  gboolean quoted = FALSE;

  for (; p < end; p++)
    if (*p == '"' && separator != ' ')
      quoted = !quoted;
    else if (!quoted && (*p == separator || (separator == ' ' && *p == '\t')))
      break;
  return p;
}

/* The first few characters of a cell, for a message. */
static char *
quote_cell (const Reader *reader, const char *p, const char *end)
{
  const char *stop = cell_end (reader, p, end);
  gboolean cut = stop - p > 24;
  g_autofree char *piece = g_strndup (p, cut ? 24 : (gsize)(stop - p));
  g_autofree char *valid = g_utf8_make_valid (g_strchomp (piece), -1);

  return g_strdup_printf ("%s%s", valid, cut ? "..." : "");
}

static gboolean
refuse_cell (const Reader *reader, guint column, const char *p, const char *end, GError **error)
{
  const char *name = reader->layout->columns->names[column], *after;
  g_autofree char *cell = quote_cell (reader, p, end);
  double value;

  if (faint_text_number (p, end, &value, &after) && after < end && *after == ','
      && reader->layout->separator != ',')
    return refuse (reader, p, error,
                   _ ("'%s' in column '%s' has a decimal comma; a decimal point was expected."),
                   cell, name);
  if (p == cell_end (reader, p, end))
    return refuse (reader, p, error, _ ("the cell of column '%s' is empty; a number was expected."),
                   name);
  return refuse (reader, p, error, _ ("'%s' in column '%s' is no number."), cell, name);
}

/* A number written 1,5. */
static gboolean
comma_number (const char *p, const char *end, double *value, const char **after)
{
  char buffer[LONGEST_NUMBER];
  gsize n = MIN ((gsize)(end - p), sizeof buffer);
  const char *stop;

  for (gsize i = 0; i < n; i++)
    buffer[i] = p[i] == ',' ? '.' : p[i] == '.' ? ' ' : p[i];
  if (!faint_text_number (buffer, buffer + n, value, &stop))
    return FALSE;
  *after = p + (stop - buffer);
  return TRUE;
}

static gboolean
check_cell (const Reader *reader, guint column, const char *p, const char *end, double value,
            GError **error)
{
  const char *name = reader->layout->columns->names[column];
  FaintColumn meaning = reader->layout->columns->meaning[column];
  g_autofree char *cell = NULL;

  if (isfinite (value)
      && (meaning != FAINT_COLUMN_TOOTH || (value == rint (value) && fabs (value) < LARGEST_TOOTH))
      && (meaning != FAINT_COLUMN_ABSORBANCE
          || fabs (value * reader->layout->columns->scale[column]) < LARGEST_ABSORBANCE)
      && (value > 0.0
          || (meaning != FAINT_COLUMN_REFERENCE && meaning < FAINT_COLUMN_U_TRANSMISSION)))
    return TRUE;
  cell = quote_cell (reader, p, end);
  if (!isfinite (value))
    return refuse (
        reader, p, error,
        _ ("'%s' in column '%s' is not a finite number. Leave teeth without a sample out."), cell,
        name);
  if (meaning == FAINT_COLUMN_TOOTH)
    return refuse (reader, p, error, _ ("'%s' in column '%s' is no whole number of a tooth."), cell,
                   name);
  if (meaning == FAINT_COLUMN_ABSORBANCE)
    return refuse (reader, p, error,
                   _ ("'%s' in column '%s' is too large for an absorbance: no transmission could "
                      "be told from 0."),
                   cell, name);
  if (meaning == FAINT_COLUMN_REFERENCE)
    return refuse (reader, p, error,
                   _ ("'%s' in column '%s' is not above 0, as a reference must be."), cell, name);
  return refuse (reader, p, error,
                 _ ("'%s' in column '%s' is not above 0, as a standard uncertainty must be."), cell,
                 name);
}

/* Reads the cell of @column at *@p and moves behind it. */
static gboolean
read_cell (Reader *reader, guint column, const char **p, const char *end, GError **error)
{
  const FaintColumns *columns = reader->layout->columns;
  FaintColumn meaning = columns->meaning[column];
  const char *start = *p;
  double value;

  if (meaning == FAINT_COLUMN_IGNORED)
    {
      *p = cell_end (reader, start, end);
      return TRUE;
    }
  if (!(reader->layout->decimal_comma ? comma_number (start, end, &value, p)
                                      : faint_text_number (start, end, &value, p))
      || (*p < end && !is_blank (reader, **p) && **p != reader->layout->separator))
    return refuse_cell (reader, column, start, end, error);
  if (!check_cell (reader, column, start, end, value, error))
    return FALSE;
  reader->rows->cell[meaning][reader->rows->n] = value * columns->scale[column];
  return TRUE;
}

static gboolean
refuse_count (const Reader *reader, const char *p, guint n, GError **error)
{
  const FaintColumns *columns = reader->layout->columns;

  if (n < columns->n)
    return refuse (reader, p, error,
                   _ ("the row ends after %u of %u columns; '%s' and what follows are missing."), n,
                   columns->n, columns->names[n]);
  return refuse (reader, p, error, _ ("the row goes on after its %u columns."), columns->n);
}

static gboolean
read_row (Reader *reader, GError **error)
{
  const FaintRowsLayout *layout = reader->layout;
  guint n = layout->columns->n;
  const char *end = reader->lines.line + reader->lines.length;
  const char *p = skip_blanks (reader, reader->lines.line, end);

  for (guint i = 0; i < n; i++)
    {
      if (p == end && (layout->separator == ' ' || i == 0))
        return refuse_count (reader, p, i, error);
      if (!read_cell (reader, i, &p, end, error))
        return FALSE;
      p = skip_blanks (reader, p, end);
      if (layout->separator == ' ' || i + 1 == n)
        continue;
      if (p == end)
        return refuse_count (reader, p, i + 1, error);
      p = skip_blanks (reader, p + 1, end); /* behind the separator */
    }
  if (p < end)
    return refuse_count (reader, p, n, error);
  reader->rows->n++;
  return TRUE;
}

/* Room for one more row. The first time it is made for all rows as long as this one. */
static gboolean
make_room (Reader *reader, GError **error)
{
  gsize left = reader->text->length - (gsize)(reader->lines.line - reader->text->bytes);

  if (reader->rows->n < reader->capacity)
    return TRUE;
  reader->capacity = reader->rows->n == 0 ? left / (reader->lines.length + 1) + 16
                                          : reader->capacity + reader->capacity / 4 + 16;
  for (guint i = 0; i < FAINT_N_COLUMNS; i++)
    if (reader->layout->columns->has[i])
      {
        double *cell = g_try_realloc_n (reader->rows->cell[i], reader->capacity, sizeof *cell);

        if (cell == NULL)
          return refuse (reader, reader->lines.line, error,
                         _ ("the table does not fit into the memory of this computer."));
        reader->rows->cell[i] = cell;
      }
  return TRUE;
}

static gboolean
read_line (Reader *reader, GError **error)
{
  if (faint_rows_is_row (&reader->lines))
    return make_room (reader, error) && read_row (reader, error);
  if (reader->layout->keys_above && reader->rows->n > 0
      && memchr (reader->lines.line, '=', reader->lines.length) != NULL)
    return refuse (reader, reader->lines.line, error,
                   _ ("a key stands below the first row; keys belong above all rows."));
  return TRUE;
}

FaintRows *
faint_rows_read (const FaintText *text, const FaintRowsLayout *layout,
                 const FaintProgress *progress, GError **error)
{
  g_autoptr (FaintRows) rows = g_new0 (FaintRows, 1);
  Reader reader = { .text = text, .layout = layout, .rows = rows, .lines = { .text = text } };

  while (faint_text_next_line (&reader.lines))
    {
      if (reader.lines.number % ROWS_BETWEEN_REPORTS == 0
          && !faint_progress_step (progress, (double)reader.lines.offset / (double)text->length,
                                   "reading", error))
        return NULL;
      if (reader.lines.number > layout->header_lines && !read_line (&reader, error))
        return NULL;
    }
  return g_steal_pointer (&rows);
}

void
faint_rows_free (FaintRows *self)
{
  if (self == NULL)
    return;
  for (guint i = 0; i < FAINT_N_COLUMNS; i++)
    g_free (self->cell[i]);
  g_free (self);
}

guint64
faint_rows_line (const FaintText *text, const FaintRowsLayout *layout, gsize row)
{
  FaintLines lines = { .text = text };
  gsize n = 0;

  while (faint_text_next_line (&lines))
    if (lines.number > layout->header_lines && faint_rows_is_row (&lines) && n++ == row)
      break;
  return lines.number;
}

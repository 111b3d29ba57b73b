/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/lines/csv-records-private.h"

#include <string.h>

#include "faint/base/words.h"
#include "faint/lines/line-list.h"

void
faint_csv_records_init (FaintCsvRecords *self, const char *path, const char *text, gsize length)
{
  *self = (FaintCsvRecords){
    .path = path, .at = text, .end = text + length, .line_start = text, .line = 1
  };
}

static void
clear_field (gpointer data)
{
  g_free (((FaintListCell *)data)->text);
}

GArray *
faint_csv_fields_new (void)
{
  GArray *fields = g_array_new (FALSE, FALSE, sizeof (FaintListCell));

  g_array_set_clear_func (fields, clear_field);
  return fields;
}

static gboolean
at_line_end (const FaintCsvRecords *self)
{
  return self->at >= self->end || *self->at == '\n' || *self->at == '\r';
}

/* Steps over LF, CRLF or CR. */
static void
pass_line_end (FaintCsvRecords *self)
{
  if (self->at >= self->end)
    return;
  if (*self->at == '\r' && self->at + 1 < self->end && self->at[1] == '\n')
    self->at++;
  self->at++;
  self->line++;
  self->line_start = self->at;
}

static guint64
column_of (const FaintCsvRecords *self, const char *place)
{
  return (guint64)g_utf8_strlen (self->line_start, place - self->line_start) + 1;
}

static gboolean
refuse (const FaintCsvRecords *self, guint64 line, guint64 column, const char *words,
        GError **error)
{
  g_set_error (error, FAINT_LINES_ERROR, FAINT_LINES_ERROR_SYNTAX,
               _ ("%s, line %zu, column %zu: %s"), self->path, (gsize)line, (gsize)column, words);
  return FALSE;
}

static gboolean
read_quoted (FaintCsvRecords *self, FaintListCell *field, GError **error)
{
  GString *text = g_string_new (NULL);

  for (self->at++; self->at < self->end;)
    {
      if (*self->at == '"' && self->at + 1 < self->end && self->at[1] == '"')
        {
          g_string_append_c (text, '"');
          self->at += 2;
        }
      else if (*self->at == '"')
        {
          self->at++;
          field->text = g_string_free (text, FALSE);
          if (at_line_end (self) || *self->at == ',')
            return TRUE;
          return refuse (self, self->line, column_of (self, self->at),
                         _ ("expected a comma or the end of the line after the closing quote; "
                            "write a quote inside a quoted field twice"),
                         error);
        }
      else if (at_line_end (self))
        {
          const char *start = self->at;
          pass_line_end (self);
          g_string_append_len (text, start, self->at - start);
        }
      else
        g_string_append_c (text, *self->at++);
    }
  field->text = g_string_free (text, FALSE);
  return refuse (self, field->line, field->column,
                 _ ("the quote that begins here is never closed before the end of the file"),
                 error);
}

static gboolean
read_plain (FaintCsvRecords *self, FaintListCell *field, GError **error)
{
  const char *start = self->at;

  while (!at_line_end (self) && *self->at != ',' && *self->at != '"')
    self->at++;
  field->text = g_strndup (start, self->at - start);
  if (at_line_end (self) || *self->at == ',')
    return TRUE;
  return refuse (self, self->line, column_of (self, self->at),
                 _ ("a quote stands inside a field that does not begin with one; quote the whole "
                    "field and write the inner quote twice"),
                 error);
}

static void
pass_notes (FaintCsvRecords *self)
{
  while (self->at < self->end && (at_line_end (self) || *self->at == '#'))
    {
      while (!at_line_end (self))
        self->at++;
      pass_line_end (self);
    }
}

gboolean
faint_csv_records_next (FaintCsvRecords *self, GArray *fields, GError **error)
{
  g_array_set_size (fields, 0);
  pass_notes (self);
  if (self->at >= self->end)
    return FALSE;
  for (;;)
    {
      FaintListCell field = { NULL, self->line, column_of (self, self->at) };
      gboolean quoted = self->at < self->end && *self->at == '"';
      gboolean read = quoted ? read_quoted (self, &field, error) : read_plain (self, &field, error);

      g_array_append_val (fields, field);
      if (!read)
        return FALSE;
      if (at_line_end (self))
        break;
      self->at++; /* the comma */
    }
  pass_line_end (self);
  return TRUE;
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/spectrum/jcamp-records.h"

#include <string.h>

#include "faint/base/words.h"

/* Blocks inside each other; the standard knows two levels. */
#define DEPTH_MOST 8

static void
record_free (gpointer data)
{
  FaintJcampRecord *self = data;

  g_free (self->label);
  g_free (self->value);
  g_free (self);
}

static void
block_free (gpointer data)
{
  FaintJcampBlock *self = data;

  g_ptr_array_unref (self->records);
  g_free (self);
}

gsize
faint_jcamp_line_length (const char *line, gsize length)
{
  for (gsize i = 0; i + 1 < length; i++)
    if (line[i] == '$' && line[i + 1] == '$')
      {
        length = i;
        break;
      }
  while (length > 0 && g_ascii_isspace (line[length - 1]))
    length--;
  return length;
}

/* Blanks, dashes, slashes and underlines do not count in a label, nor do small letters. */
static char *
clean_label (const char *start, const char *end)
{
  GString *label = g_string_new (NULL);

  for (const char *p = start; p < end; p++)
    if (strchr (" \t-/_", *p) == NULL)
      g_string_append_c (label, g_ascii_toupper (*p));
  return g_string_free (label, FALSE);
}

typedef struct
{
  const FaintText *text;
  GPtrArray *blocks;
  FaintJcampBlock *open[DEPTH_MOST];
  guint depth;
  FaintJcampRecord *last;
} Reader;

static gboolean
fail (const Reader *self, const FaintLines *lines, const char *reason, GError **error)
{
  faint_text_error (error, FAINT_TEXT_ERROR_SYNTAX, self->text->path, lines->number, 1, "%s",
                    reason);
  return FALSE;
}

static gboolean
open_block (Reader *self, const FaintLines *lines, GError **error)
{
  FaintJcampBlock *block;

  if (self->depth == DEPTH_MOST)
    return fail (self, lines, _ ("blocks stand inside each other too deep; is a '##END=' missing?"),
                 error);
  block = g_new0 (FaintJcampBlock, 1);
  block->records = g_ptr_array_new_with_free_func (record_free);
  block->line = lines->number;
  block->depth = self->depth;
  g_ptr_array_add (self->blocks, block);
  self->open[self->depth++] = block;
  return TRUE;
}

/* A line that begins with "##". */
static gboolean
take_record (Reader *self, const FaintLines *lines, const char *start, GError **error)
{
  const char *end = lines->line + lines->length;
  const char *equals = memchr (start, '=', (gsize)(end - start));
  FaintJcampRecord *record;

  if (equals == NULL)
    return fail (self, lines, _ ("a labelled record like '##TITLE=' was expected: '=' is missing."),
                 error);
  g_autofree char *label = clean_label (start + 2, equals);
  if (strcmp (label, "TITLE") == 0 && !open_block (self, lines, error))
    return FALSE;
  if (self->depth == 0)
    return fail (self, lines, _ ("this record stands in no block; '##TITLE=' was expected first."),
                 error);
  if (strcmp (label, "END") == 0)
    {
      self->depth--;
      self->last = NULL;
      return TRUE;
    }
  record = g_new0 (FaintJcampRecord, 1);
  record->label = g_steal_pointer (&label);
  record->value = g_strstrip (
      g_strndup (equals + 1, faint_jcamp_line_length (equals + 1, (gsize)(end - equals - 1))));
  record->line = lines->number;
  record->data = record->data_end = lines->offset;
  g_ptr_array_add (self->open[self->depth - 1]->records, record);
  self->last = record;
  return TRUE;
}

GPtrArray *
faint_jcamp_blocks (const FaintText *text, GError **error)
{
  g_autoptr (GPtrArray) blocks = g_ptr_array_new_with_free_func (block_free);
  Reader reader = { .text = text, .blocks = blocks };
  FaintLines lines = { .text = text };

  while (faint_text_next_line (&lines))
    {
      const char *start = lines.line, *end = start + lines.length;

      while (start < end && (*start == ' ' || *start == '\t'))
        start++;
      if (end - start >= 2 && start[0] == '#' && start[1] == '#')
        {
          if (!take_record (&reader, &lines, start, error))
            return NULL;
        }
      else if (reader.last != NULL)
        reader.last->data_end = lines.offset;
    }
  if (reader.depth > 0)
    {
      faint_text_error (
          error, FAINT_TEXT_ERROR_SYNTAX, text->path, lines.number, 0,
          _ ("the block that begins in line %zu has no '##END=': the file may be cut off."),
          (gsize)reader.open[reader.depth - 1]->line);
      return NULL;
    }
  return g_steal_pointer (&blocks);
}

const FaintJcampRecord *
faint_jcamp_find (const FaintJcampBlock *block, const char *label)
{
  for (guint i = 0; i < block->records->len; i++)
    {
      const FaintJcampRecord *record = g_ptr_array_index (block->records, i);

      if (strcmp (record->label, label) == 0)
        return record;
    }
  return NULL;
}

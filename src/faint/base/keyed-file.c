/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/base/keyed-file.h"

#include <math.h>
#include <string.h>

#include "faint/base/words.h"

gboolean
faint_keyed_file_refuse (const FaintKeyedFile *file, GError **error, const char *format, ...)
{
  g_autofree char *words = NULL;
  va_list arguments;

  va_start (arguments, format);
  words = g_strdup_vprintf (format, arguments);
  va_end (arguments);
  if (file->line > 0)
    g_set_error (error, file->kind->domain, file->kind->code, _ ("%s, line %zu: %s"), file->path,
                 (gsize)file->line, words);
  else
    g_set_error (error, file->kind->domain, file->kind->code, "%s: %s", file->path, words);
  return FALSE;
}

gboolean
faint_keyed_file_once (FaintKeyedFile *file, const char *key, GError **error)
{
  return g_hash_table_add (file->seen, g_strdup (key))
         || faint_keyed_file_refuse (file, error,
                                     _ ("%s is stated a second time; leave one of the two."), key);
}

gboolean
faint_keyed_file_weight (const FaintKeyedFile *file, const char *key, const char *text,
                         double *weight, GError **error)
{
  const char *end = text + strlen (text), *after;

  if (faint_text_number (text, end, weight, &after) && after == end && isfinite (*weight)
      && *weight >= 0.0)
    return TRUE;
  return faint_keyed_file_refuse (
      file, error, _ ("%s is '%s'; expected a number, 0 or above, without unit."), key, text);
}

/* "key = value", behind the '#' */
static gboolean
read_head (FaintKeyedFile *file, char *text, GError **error)
{
  char *equals = strchr (text, '=');

  if (equals == NULL)
    return TRUE;
  *equals = '\0';
  g_strstrip (text);
  if (*text == '\0' || strpbrk (text, " \t") != NULL)
    return TRUE;
  return file->kind->key (file, text, g_strstrip (equals + 1), error);
}

static gboolean
read_lines (FaintKeyedFile *file, const FaintText *text, GError **error)
{
  FaintLines lines = { .text = text };

  while (faint_text_next_line (&lines))
    {
      g_autofree char *line = g_strstrip (g_strndup (lines.line, lines.length));
      gboolean good = TRUE;

      file->line = lines.number;
      if (*line == '#')
        good = read_head (file, line + 1, error);
      else if (*line != '\0')
        good = file->kind->row (file, line, error);
      if (!good)
        return FALSE;
    }
  file->line = 0;
  return TRUE;
}

gboolean
faint_keyed_file_read (const char *path, const FaintKeyedFileKind *kind, gpointer data,
                       gboolean (*finish) (FaintKeyedFile *file, GError **error), GError **error)
{
  g_autoptr (GError) why = NULL;
  g_autoptr (FaintText) text = faint_text_read (path, &why);
  g_autoptr (GHashTable) seen = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  FaintKeyedFile file = { .kind = kind, .path = path, .seen = seen, .data = data };

  if (text == NULL)
    {
      g_set_error_literal (error, kind->domain, kind->code, why->message);
      return FALSE;
    }
  return read_lines (&file, text, error) && finish (&file, error);
}

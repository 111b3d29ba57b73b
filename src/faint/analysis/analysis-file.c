/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/analysis/analysis-file.h"

#include <string.h>

#include "faint/base/text.h"
#include "faint/base/words.h"

guint64
faint_analysis_file_line_of (const FaintAnalysisFile *file, const char *group, const char *key)
{
  g_auto (GStrv) lines = g_strsplit (file->bytes, "\n", -1);
  g_autofree char *head = g_strdup_printf ("[%s]", group);
  guint64 head_line = 0;

  for (guint64 i = 0; lines[i] != NULL; i++)
    {
      char *line = g_strstrip (lines[i]);
      if (line[0] == '[' && head_line > 0)
        break;
      if (strcmp (line, head) == 0)
        head_line = i + 1;
      else if (head_line > 0 && key != NULL && g_str_has_prefix (line, key)
               && strspn (line + strlen (key), " =") > 0)
        return i + 1;
    }
  return head_line;
}

gboolean
faint_analysis_file_refuse (const FaintAnalysisFile *file, const char *group, const char *key,
                            GError **error, const char *format, ...)
{
  g_autofree char *words = NULL;
  va_list arguments;

  va_start (arguments, format);
  words = g_strdup_vprintf (format, arguments);
  va_end (arguments);
  g_set_error (error, FAINT_ANALYSIS_ERROR, FAINT_ANALYSIS_ERROR_SYNTAX,
               _ ("%s, line %zu, [%s] %s: %s"), file->path,
               (gsize)faint_analysis_file_line_of (file, group, key), group, key != NULL ? key : "",
               words);
  return FALSE;
}

gboolean
faint_analysis_parse_number (const char *text, double *value)
{
  const char *end = text + strlen (text), *after;

  if (strcmp (text, "-") == 0)
    {
      *value = NAN;
      return TRUE;
    }
  return faint_text_number (text, end, value, &after) && after == end;
}

gboolean
faint_analysis_file_number (const FaintAnalysisFile *file, const char *group, const char *key,
                            double *value, GError **error)
{
  g_autofree char *text = g_key_file_get_value (file->keys, group, key, NULL);

  *value = NAN;
  if (text == NULL || faint_analysis_parse_number (text, value))
    return TRUE;
  return faint_analysis_file_refuse (file, group, key, error, _ ("found '%s', expected a number"),
                                     text);
}

gboolean
faint_analysis_file_count (const FaintAnalysisFile *file, const char *group, const char *key,
                           guint64 *value, GError **error)
{
  g_autofree char *text = g_key_file_get_value (file->keys, group, key, NULL);

  *value = 0;
  if (text == NULL || g_ascii_string_to_unsigned (text, 10, 0, G_MAXINT64, value, NULL))
    return TRUE;
  return faint_analysis_file_refuse (file, group, key, error,
                                     _ ("found '%s', expected a whole number from 0"), text);
}

char *
faint_analysis_file_text (const FaintAnalysisFile *file, const char *group, const char *key,
                          GError **error)
{
  g_autoptr (GError) inner = NULL;
  char *text;

  if (!g_key_file_has_key (file->keys, group, key, NULL))
    return g_strdup ("");
  text = g_key_file_get_string (file->keys, group, key, &inner);
  if (text == NULL)
    faint_analysis_file_refuse (file, group, key, error, _ ("the text cannot be read: %s"),
                                inner->message);
  return text;
}

void
faint_analysis_file_set_number (FaintAnalysisFile *file, const char *group, const char *key,
                                double value)
{
  g_autofree char *text = NULL;

  if (isnan (value))
    return;
  text = isinf (value) ? g_strdup (value > 0.0 ? "inf" : "-inf") : faint_format_double (value);
  g_key_file_set_value (file->keys, group, key, text);
}

void
faint_analysis_file_set_count (FaintAnalysisFile *file, const char *group, const char *key,
                               guint64 value)
{
  g_autofree char *text = g_strdup_printf ("%" G_GUINT64_FORMAT, value);

  g_key_file_set_value (file->keys, group, key, text);
}

void
faint_analysis_file_set_text (FaintAnalysisFile *file, const char *group, const char *key,
                              const char *text)
{
  if (text != NULL && text[0] != '\0')
    g_key_file_set_string (file->keys, group, key, text);
}

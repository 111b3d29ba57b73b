/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/analysis/analysis-end.h"

#include <string.h>

#include "faint/base/words.h"

#define PROMISE_KEY "last_group"
#define MARK_GROUP "end"
#define MARK_KEY "whole"

/* What the lines up to one say. */
typedef struct
{
  char *group;       /* the last */
  gboolean promised; /* a mark is to come */
  gboolean marked;   /* the last line was the mark */
} Seen;

/* TRUE if @line, stripped, is "@key=@value", blanks allowed around the sign. */
static gboolean
states (const char *line, const char *key, const char *value)
{
  const char *sign = strchr (line, '=');
  g_autofree char *name = sign != NULL ? g_strndup (line, sign - line) : NULL;

  return name != NULL && strcmp (g_strchomp (name), key) == 0
         && strcmp (sign + 1 + strspn (sign + 1, " \t"), value) == 0;
}

/* FALSE if @line, stripped, is neither a group nor a key with its value. */
static gboolean
see (Seen *self, const char *line)
{
  gsize length = strlen (line);

  if (length == 0 || line[0] == '#')
    return TRUE;
  self->marked = FALSE;
  if (line[0] == '[' && line[length - 1] == ']')
    {
      g_free (self->group);
      self->group = g_strndup (line + 1, length - 2);
      return TRUE;
    }
  if (self->group == NULL || line[0] == '[' || line[0] == '=' || strchr (line, '=') == NULL)
    return FALSE;
  if (strcmp (self->group, "faintline") == 0 && states (line, PROMISE_KEY, MARK_GROUP))
    self->promised = TRUE;
  self->marked = strcmp (self->group, MARK_GROUP) == 0 && states (line, MARK_KEY, "yes");
  return TRUE;
}

static void
refuse_cut (const char *path, guint64 line, const Seen *seen, GError **error)
{
  g_set_error (error, FAINT_ANALYSIS_ERROR, FAINT_ANALYSIS_ERROR_SYNTAX,
               _ ("%s, line %zu: the file is not whole. It ends in [%s], expected [end] with "
                  "whole=yes, the mark that stands last. It was cut short, so what it lacks is not "
                  "known; take a copy that is whole, or fit the spectrum anew."),
               path, (gsize)line, seen->group);
}

static void
refuse_line (const char *path, guint64 number, const char *line, GError **error)
{
  g_autofree char *quoted = faint_text_quote (line, -1, 40);

  g_set_error (error, FAINT_ANALYSIS_ERROR, FAINT_ANALYSIS_ERROR_SYNTAX,
               _ ("%s, line %zu: this is not an analysis, or not the whole of one: found “%s”, "
                  "expected a [group] or key=value."),
               path, (gsize)number, quoted);
}

gboolean
faint_analysis_check_end (const FaintText *text, GError **error)
{
  FaintLines lines = { .text = text };
  Seen seen = { NULL };
  gboolean whole = TRUE;

  while (whole && faint_text_next_line (&lines))
    {
      g_autofree char *line = g_strndup (lines.line, lines.length);

      whole = see (&seen, g_strstrip (line));
      if (!whole && seen.promised)
        refuse_cut (text->path, lines.number, &seen, error);
      else if (!whole)
        refuse_line (text->path, lines.number, line, error);
    }
  if (whole && seen.promised && !seen.marked)
    {
      refuse_cut (text->path, lines.number, &seen, error);
      whole = FALSE;
    }
  g_free (seen.group);
  return whole;
}

void
faint_analysis_file_set_promise (FaintAnalysisFile *file)
{
  g_key_file_set_value (file->keys, "faintline", PROMISE_KEY, MARK_GROUP);
}

void
faint_analysis_file_set_end (FaintAnalysisFile *file)
{
  g_key_file_set_value (file->keys, MARK_GROUP, MARK_KEY, "yes");
}

gboolean
faint_analysis_is_end_key (const char *group, const char *key)
{
  return (strcmp (group, "faintline") == 0 && strcmp (key, PROMISE_KEY) == 0)
         || (strcmp (group, MARK_GROUP) == 0 && strcmp (key, MARK_KEY) == 0);
}

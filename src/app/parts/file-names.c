/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/parts/file-names.h"

#include <glib/gi18n.h>
#include <string.h>

/* Behind the last dot of the name; NULL where that is no ending. */
static const char *
ending_of (const char *path)
{
  const char *name = strrchr (path, '/'), *dot;

  name = name != NULL ? name + 1 : path;
  dot = strrchr (name, '.');
  if (dot == NULL || dot == name || !g_ascii_isalpha (dot[1]))
    return NULL;
  for (const char *c = dot + 1; *c != '\0'; c++)
    if (!g_ascii_isalnum (*c))
      return NULL;
  return dot + 1;
}

static gboolean
is_one_of (const char *ending, const char *const *endings)
{
  for (; ending != NULL && *endings != NULL; endings++)
    if (g_ascii_strcasecmp (ending, *endings) == 0)
      return TRUE;
  return FALSE;
}

char *
faint_file_name_typed (const char *path, const char *const *endings)
{
  const char *ending = ending_of (path);
  g_autofree char *stem = ending != NULL ? g_strndup (path, (gsize)(ending - path) - 1) : NULL;

  return stem != NULL && is_one_of (ending, endings) && is_one_of (ending_of (stem), endings)
             ? g_steal_pointer (&stem)
             : g_strdup (path);
}

char *
faint_file_name_with_ending (const char *path, const char *ending)
{
  g_autofree char *typed = faint_file_name_typed (path, (const char *const[]){ ending, NULL });

  return ending_of (typed) != NULL ? g_steal_pointer (&typed)
                                   : g_strconcat (typed, ".", ending, NULL);
}

gboolean
faint_file_name_has_ending (const char *path)
{
  return ending_of (path) != NULL;
}

/* FALSE where the ending is that of no format. */
static gboolean
format_of (const char *path, FaintListFormat *format)
{
  const char *ending = ending_of (path);

  for (guint i = 0; ending != NULL && i < FAINT_LIST_N; i++)
    if (g_ascii_strcasecmp (ending, faint_list_format_suffix ((FaintListFormat)i)) == 0
        || (i == FAINT_LIST_VOTABLE && g_ascii_strcasecmp (ending, "xml") == 0))
      {
        *format = (FaintListFormat)i;
        return TRUE;
      }
  return FALSE;
}

FaintListFormat
faint_file_name_list_format (const char *path, FaintListFormat otherwise)
{
  FaintListFormat format;

  return format_of (path, &format) ? format : otherwise;
}

char *
faint_file_name_in_format (const char *path, const char *const *endings, const char *chosen,
                           GError **error)
{
  const char *ending = ending_of (path);
  g_autofree char *expected = NULL;

  if (ending == NULL)
    return g_strconcat (path, ".", chosen, NULL);
  if (is_one_of (ending, endings))
    return g_strdup (path);
  expected = g_strjoinv (", .", (char **)endings);
  g_set_error (error, G_IO_ERROR, G_IO_ERROR_INVALID_FILENAME,
               /* Translators: the ending of a file's name, then the possible ones: .csv, .json */
               _ ("No format has the ending .%s; one of .%s was expected, or no ending."), ending,
               expected);
  return NULL;
}

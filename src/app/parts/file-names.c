/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/parts/file-names.h"

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
faint_file_name_for_list (const char *path, FaintListFormat format, gboolean by_name)
{
  static const char *const endings[] = { "csv", "record", "vot", "xml", "json", NULL };
  g_autofree char *typed = faint_file_name_typed (path, endings);
  FaintListFormat named = format;
  gboolean is_named = format_of (typed, &named);
  const char *suffix = faint_list_format_suffix (format);

  if (is_named && (by_name || named == format))
    return g_steal_pointer (&typed);
  if (is_named)
    *(char *)(ending_of (typed) - 1) = '\0';
  else if (format == FAINT_LIST_CSV)
    return faint_file_name_with_ending (typed, suffix);
  return g_strconcat (typed, ".", suffix, NULL); /* so that the ending says the format */
}

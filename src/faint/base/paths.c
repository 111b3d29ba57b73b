/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/base/paths.h"

#include <string.h>

char *
faint_path_relative (const char *path, const char *folder)
{
  g_autofree char *whole_path = g_canonicalize_filename (path, "/");
  g_autofree char *whole_folder = g_canonicalize_filename (folder, "/");
  g_auto (GStrv) to = g_strsplit (whole_path, G_DIR_SEPARATOR_S, -1);
  g_auto (GStrv) from = g_strsplit (whole_folder, G_DIR_SEPARATOR_S, -1);
  GString *relative = g_string_new (NULL);
  guint same = 0;

  while (to[same] != NULL && from[same] != NULL && strcmp (to[same], from[same]) == 0)
    same++;
  for (guint i = same; from[i] != NULL; i++)
    if (from[i][0] != '\0')
      g_string_append (relative, ".." G_DIR_SEPARATOR_S);
  for (guint i = same; to[i] != NULL; i++)
    g_string_append_printf (relative, "%s%s", i > same ? G_DIR_SEPARATOR_S : "", to[i]);
  return g_string_free (relative, FALSE);
}

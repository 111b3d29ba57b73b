/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Files named by process and number: "4711-2.faintline".
 */
#include "recovery.h"

#include <errno.h>
#include <gio/gio.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static void
leftover_free (gpointer data)
{
  FaintLeftover *leftover = data;

  g_free (leftover->path);
  g_free (leftover->when);
  g_free (leftover);
}

const char *
faint_recovery_folder (void)
{
  static char *folder;

  if (g_once_init_enter (&folder))
    g_once_init_leave (&folder,
                       g_build_filename (g_get_user_state_dir (), "faintline", "unsaved", NULL));
  return folder;
}

char *
faint_recovery_new_path (void)
{
  static gint number;
  g_autofree char *name
      = g_strdup_printf ("%d-%d.faintline", (int)getpid (), g_atomic_int_add (&number, 1));

  g_mkdir_with_parents (faint_recovery_folder (), 0700);
  return g_build_filename (faint_recovery_folder (), name, NULL);
}

gboolean
faint_recovery_is_path (const char *path)
{
  g_autofree char *folder = g_path_get_dirname (path);

  return strcmp (folder, faint_recovery_folder ()) == 0;
}

static gboolean
still_runs (const char *name)
{
  pid_t process = (pid_t)strtol (name, NULL, 10);

  return process > 0 && (kill (process, 0) == 0 || errno == EPERM);
}

static char *
time_in_words (const char *path)
{
  g_autoptr (GFile) file = g_file_new_for_path (path);
  g_autoptr (GFileInfo) info = g_file_query_info (file, G_FILE_ATTRIBUTE_TIME_MODIFIED,
                                                  G_FILE_QUERY_INFO_NONE, NULL, NULL);
  g_autoptr (GDateTime) utc = info ? g_file_info_get_modification_date_time (info) : NULL;
  g_autoptr (GDateTime) local = utc ? g_date_time_to_local (utc) : NULL;

  return local ? g_date_time_format (local, "%Y-%m-%d %H:%M") : g_strdup ("");
}

static int
newer (gconstpointer a, gconstpointer b)
{
  return strcmp ((*(FaintLeftover *const *)b)->when, (*(FaintLeftover *const *)a)->when);
}

GPtrArray *
faint_recovery_find (void)
{
  GPtrArray *found = g_ptr_array_new_with_free_func (leftover_free);
  g_autoptr (GDir) dir = g_dir_open (faint_recovery_folder (), 0, NULL);
  const char *name;

  while (dir && (name = g_dir_read_name (dir)))
    {
      FaintLeftover *leftover;

      if (!g_str_has_suffix (name, ".faintline") || still_runs (name))
        continue;
      leftover = g_new0 (FaintLeftover, 1);
      leftover->path = g_build_filename (faint_recovery_folder (), name, NULL);
      leftover->when = time_in_words (leftover->path);
      g_ptr_array_add (found, leftover);
    }
  g_ptr_array_sort (found, newer);
  return found;
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Files named by run and number, "RUN-2.faintline", and for each run "RUN.lock", which it holds
 * locked until it ends, however it ends. A number of a process would not do: after the computer
 * was started again another process may have it.
 */
#include "app/document/recovery.h"

#include <fcntl.h>
#include <gio/gio.h>
#include <glib/gstdio.h>
#include <string.h>
#include <sys/file.h>
#include <time.h>
#include <unistd.h>

#define SUFFIX ".faintline"
#define OLD (24 * 3600) /* s */

static void
leftover_free (gpointer data)
{
  FaintLeftover *leftover = data;

  g_free (leftover->path);
  g_free (leftover->when);
  g_free (leftover->input);
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

static char *
lock_path (const char *run)
{
  g_autofree char *name = g_strdup_printf ("%s.lock", run);

  return g_build_filename (faint_recovery_folder (), name, NULL);
}

/* The name of this run; its lock is held from the first call on. */
static const char *
this_run (void)
{
  static char *run;

  if (g_once_init_enter (&run))
    {
      char *name = g_uuid_string_random ();
      g_autofree char *path = lock_path (name);
      int fd;

      g_mkdir_with_parents (faint_recovery_folder (), 0700);
      fd = open (path, O_RDWR | O_CREAT | O_CLOEXEC, 0600);
      if (fd >= 0 && flock (fd, LOCK_EX | LOCK_NB) != 0)
        close (fd);
      g_once_init_leave (&run, name);
    }
  return run;
}

char *
faint_recovery_new_path (void)
{
  static gint number;
  g_autofree char *name
      = g_strdup_printf ("%s-%d" SUFFIX, this_run (), g_atomic_int_add (&number, 1));

  return g_build_filename (faint_recovery_folder (), name, NULL);
}

char *
faint_recovery_adopt (const char *path)
{
  g_autofree char *own = faint_recovery_new_path ();

  return g_rename (path, own) == 0 ? g_steal_pointer (&own) : g_strdup (path);
}

gboolean
faint_recovery_is_path (const char *path)
{
  g_autofree char *folder = g_path_get_dirname (path);

  return strcmp (folder, faint_recovery_folder ()) == 0;
}

/* A lock that can be taken belongs to a run that is over. */
static gboolean
is_held (const char *path)
{
  int fd = open (path, O_RDWR | O_CLOEXEC);
  gboolean held;

  if (fd < 0)
    return FALSE;
  held = flock (fd, LOCK_EX | LOCK_NB) != 0;
  close (fd);
  return held;
}

static gboolean
still_runs (const char *name)
{
  g_autofree char *run = g_strndup (name, (gsize)(strrchr (name, '-') - name));
  g_autofree char *path = lock_path (run);

  return is_held (path);
}

/* Locks of runs that are over and halves of files go, once they are too old to be just begun. */
static void
sweep (const char *name)
{
  g_autofree char *path = g_build_filename (faint_recovery_folder (), name, NULL);
  GStatBuf about;

  if (!g_str_has_suffix (name, ".lock") && !g_str_has_suffix (name, ".part"))
    return;
  if (g_stat (path, &about) == 0 && time (NULL) - about.st_mtime > OLD && !is_held (path))
    g_unlink (path);
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

/* Opening it may fail, this does not: a name to know it by is enough. */
static char *
input_of (const char *path)
{
  g_autofree char *text = NULL;
  const char *begin;
  g_autofree char *input = NULL;

  if (!g_file_get_contents (path, &text, NULL, NULL) || !(begin = strstr (text, "\npath=")))
    return g_strdup ("");
  begin += strlen ("\npath=");
  input = g_strndup (begin, strcspn (begin, "\r\n"));
  return g_path_get_basename (input);
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

      sweep (name);
      /* hidden names are of files that were not written to their end */
      if (*name == '.' || !g_str_has_suffix (name, SUFFIX) || strrchr (name, '-') == NULL
          || still_runs (name))
        continue;
      leftover = g_new0 (FaintLeftover, 1);
      leftover->path = g_build_filename (faint_recovery_folder (), name, NULL);
      leftover->when = time_in_words (leftover->path);
      leftover->input = input_of (leftover->path);
      g_ptr_array_add (found, leftover);
    }
  g_ptr_array_sort (found, newer);
  return found;
}

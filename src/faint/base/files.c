/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/base/files.h"

#include <errno.h>
#include <fcntl.h>
#include <glib/gstdio.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "faint/base/words.h"

G_DEFINE_QUARK (faint_files_error_quark, faint_files_error)

struct _FaintFilesFolder
{
  char *path;   /* where the files shall be */
  char *hidden; /* where they are written; NULL once it is gone */
};

/* @format has a place for @path. */
static gboolean
refuse (const char *path, const char *format, GError **error)
{
  g_autofree char *sentence = g_strdup_printf (format, path);

  g_set_error_literal (error, FAINT_FILES_ERROR, FAINT_FILES_ERROR_WRITE, sentence);
  return FALSE;
}

static gboolean
refuse_errno (const char *path, int number, GError **error)
{
  if (number == ENOENT)
    return refuse (path, _ ("%s cannot be written: its folder does not exist."), error);
  g_set_error (error, FAINT_FILES_ERROR, FAINT_FILES_ERROR_WRITE, _ ("%s cannot be written: %s."),
               path, g_strerror (number));
  return FALSE;
}

/* A name in @folder that nobody else uses. */
static char *
hidden_name (const char *folder)
{
  g_autofree char *id = g_uuid_string_random ();
  g_autofree char *name = g_strdup_printf (".faintline-%.8s.part", id);

  return g_build_filename (folder, name, NULL);
}

static gboolean
write_all (int fd, const char *bytes, gsize length)
{
  while (length > 0)
    {
      gssize written = write (fd, bytes, MIN (length, (gsize)1 << 30));

      if (written < 0 && errno == EINTR)
        continue;
      if (written < 0)
        return FALSE;
      bytes += written;
      length -= (gsize)written;
    }
  return TRUE;
}

/* Some file systems know no syncing of folders, which is no reason to fail. */
static gboolean
sync_folder (const char *folder)
{
  int fd = open (folder, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  gboolean ok;

  if (fd < 0)
    return errno == EACCES;
  ok = fsync (fd) == 0 || errno == EINVAL || errno == ENOTSUP;
  close (fd);
  return ok;
}

/* A new file @part with the bytes, on disk; with the mode of @like when that is there. */
static gboolean
write_part (const char *part, const char *like, const char *bytes, gsize length)
{
  struct stat old;
  int saved, fd = open (part, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
  gboolean ok;

  if (fd < 0)
    return FALSE;
  ok = stat (like, &old) != 0 || fchmod (fd, old.st_mode & 0777) == 0 || errno == EPERM;
  ok = ok && write_all (fd, bytes, length) && fsync (fd) == 0;
  saved = errno;
  if (close (fd) != 0 && ok)
    return FALSE;
  errno = saved;
  return ok;
}

gboolean
faint_files_write (const char *path, const char *bytes, gsize length, GError **error)
{
  /* Writing through a symbolic link changes the file behind it, as everywhere else. */
  g_autofree char *behind
      = g_file_test (path, G_FILE_TEST_IS_SYMLINK) ? realpath (path, NULL) : NULL;
  const char *target = behind != NULL ? behind : path;
  g_autofree char *folder = g_path_get_dirname (target);
  g_autofree char *part = hidden_name (folder);

  if (*path == '\0')
    return refuse (path, _ ("A file without name cannot be written: give it a name."), error);
  if (g_file_test (target, G_FILE_TEST_IS_DIR))
    return refuse (path, _ ("%s cannot be written: it is a folder."), error);
  if (!write_part (part, target, bytes, length) || rename (part, target) != 0)
    {
      int number = errno;

      unlink (part);
      return refuse_errno (path, number, error);
    }
  if (!sync_folder (folder))
    return refuse_errno (path, errno, error);
  return TRUE;
}

/* The nearest folder above @path that exists; it lies on the disk where @path will lie. */
static char *
existing_ancestor (const char *path)
{
  char *folder = g_path_get_dirname (path);

  while (!g_file_test (folder, G_FILE_TEST_EXISTS) && !g_str_equal (folder, ".")
         && !g_str_equal (folder, "/"))
    {
      char *above = g_path_get_dirname (folder);

      g_free (folder);
      folder = above;
    }
  return folder;
}

/* Without the slashes at its end, which would make the last folder's name empty. */
static char *
without_slashes (const char *path)
{
  char *copy = g_strdup (path);
  gsize length = strlen (copy);

  while (length > 1 && copy[length - 1] == '/')
    copy[--length] = '\0';
  return copy;
}

FaintFilesFolder *
faint_files_folder_begin (const char *path, GError **error)
{
  FaintFilesFolder *self;
  g_autofree char *target = without_slashes (path), *hidden = NULL, *place = NULL;
  gboolean exists = g_file_test (target, G_FILE_TEST_EXISTS);

  if (*path == '\0')
    return refuse (path, _ ("A folder without name cannot be written: give it a name."), error),
           NULL;
  if (exists && !g_file_test (target, G_FILE_TEST_IS_DIR))
    return refuse (path,
                   _ ("%s cannot be written: a file of this name is in the way of the folder."),
                   error),
           NULL;
  place = exists ? g_strdup (target) : existing_ancestor (target);
  hidden = hidden_name (place);
  if (g_mkdir (hidden, 0777) != 0)
    return refuse_errno (path, errno, error), NULL;
  self = g_new0 (FaintFilesFolder, 1);
  self->path = g_steal_pointer (&target);
  self->hidden = g_steal_pointer (&hidden);
  return self;
}

char *
faint_files_folder_path (FaintFilesFolder *self, const char *name)
{
  g_return_val_if_fail (self->hidden != NULL && strchr (name, '/') == NULL, NULL);
  return g_build_filename (self->hidden, name, NULL);
}

static gboolean
sync_file (const char *path)
{
  int fd = open (path, O_RDONLY | O_CLOEXEC);
  gboolean ok;

  if (fd < 0)
    return FALSE;
  ok = fsync (fd) == 0;
  close (fd);
  return ok;
}

static int
compare_names (gconstpointer a, gconstpointer b)
{
  return strcmp (*(const char *const *)a, *(const char *const *)b);
}

/* Names of the files written, in the order of the alphabet. */
static GPtrArray *
written_names (const FaintFilesFolder *self)
{
  GPtrArray *names = g_ptr_array_new_with_free_func (g_free);
  g_autoptr (GDir) dir = g_dir_open (self->hidden, 0, NULL);

  for (const char *name; dir != NULL && (name = g_dir_read_name (dir)) != NULL;)
    g_ptr_array_add (names, g_strdup (name));
  g_ptr_array_sort (names, compare_names);
  return names;
}

static gboolean
sync_all (const FaintFilesFolder *self, const GPtrArray *names, GError **error)
{
  for (guint i = 0; i < names->len; i++)
    {
      const char *name = g_ptr_array_index (names, i);
      g_autofree char *from = g_build_filename (self->hidden, name, NULL);
      g_autofree char *to = g_build_filename (self->path, name, NULL);

      if (!sync_file (from))
        return refuse_errno (to, errno, error);
      if (g_file_test (to, G_FILE_TEST_IS_DIR))
        return refuse (to,
                       _ ("%s cannot be written: a folder of this name is in the way of the file."),
                       error);
    }
  if (!sync_folder (self->hidden))
    return refuse_errno (self->path, errno, error);
  return TRUE;
}

static gboolean
move_all (const FaintFilesFolder *self, const GPtrArray *names, GError **error)
{
  for (guint i = 0; i < names->len; i++)
    {
      const char *name = g_ptr_array_index (names, i);
      g_autofree char *from = g_build_filename (self->hidden, name, NULL);
      g_autofree char *to = g_build_filename (self->path, name, NULL);

      if (rename (from, to) != 0)
        return refuse_errno (to, errno, error);
    }
  if (g_rmdir (self->hidden) != 0 || !sync_folder (self->path))
    return refuse_errno (self->path, errno, error);
  return TRUE;
}

gboolean
faint_files_folder_commit (FaintFilesFolder *self, GError **error)
{
  g_autoptr (GPtrArray) names = NULL;
  g_autofree char *parent = g_path_get_dirname (self->path);

  g_return_val_if_fail (self->hidden != NULL, FALSE);
  names = written_names (self);
  if (!sync_all (self, names, error))
    return FALSE;
  if (g_mkdir_with_parents (parent, 0777) != 0)
    return refuse_errno (self->path, errno, error);
  if (!g_file_test (self->path, G_FILE_TEST_EXISTS) && rename (self->hidden, self->path) == 0)
    {
      if (!sync_folder (parent))
        return refuse_errno (self->path, errno, error);
    }
  else if (!move_all (self, names, error))
    return FALSE;
  g_clear_pointer (&self->hidden, g_free);
  return TRUE;
}

void
faint_files_folder_free (FaintFilesFolder *self)
{
  if (self == NULL)
    return;
  if (self->hidden != NULL)
    {
      g_autoptr (GPtrArray) names = written_names (self);

      for (guint i = 0; i < names->len; i++)
        {
          g_autofree char *file
              = g_build_filename (self->hidden, g_ptr_array_index (names, i), NULL);

          g_unlink (file);
        }
      g_rmdir (self->hidden);
    }
  g_free (self->hidden);
  g_free (self->path);
  g_free (self);
}

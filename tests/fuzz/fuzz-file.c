/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "fuzz-file.h"

#include "faint/base/program.h"

#include <fcntl.h>
#include <glib/gstdio.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define NAME "fuzzed"

static char *folder, *path;

int
LLVMFuzzerInitialize (int *argc, char ***argv)
{
  (void)argc;
  (void)argv;
  faint_program_begin ();
  return 0;
}

static void
remove_folder (void)
{
  g_autoptr (GDir) dir = g_dir_open (folder, 0, NULL);

  for (const char *name; dir != NULL && (name = g_dir_read_name (dir)) != NULL;)
    {
      g_autofree char *file = g_build_filename (folder, name, NULL);

      g_unlink (file);
    }
  g_rmdir (folder);
  g_clear_pointer (&folder, g_free);
  g_clear_pointer (&path, g_free);
}

void
faint_fuzz_fail (const char *format, ...)
{
  va_list arguments;

  va_start (arguments, format);
  vfprintf (stderr, format, arguments);
  va_end (arguments);
  fputc ('\n', stderr);
  abort ();
}

const char *
faint_fuzz_folder (void)
{
  if (folder == NULL)
    {
      folder = g_dir_make_tmp ("faint-fuzz-XXXXXX", NULL);
      if (folder == NULL)
        faint_fuzz_fail ("no temporary folder");
      path = g_build_filename (folder, NAME, NULL);
      atexit (remove_folder);
    }
  return folder;
}

/* A file that is made empty before it is written is put on the disk at once by some file systems,
 * which is several times slower than this. */
void
faint_fuzz_write (const char *to, const void *data, size_t size)
{
  int fd = open (to, O_WRONLY | O_CREAT | O_CLOEXEC, 0600);

  if (fd < 0 || write (fd, data, size) != (ssize_t)size || ftruncate (fd, (off_t)size) != 0
      || close (fd) != 0)
    faint_fuzz_fail ("%s cannot be written", to);
}

const char *
faint_fuzz_file (const uint8_t *data, size_t size)
{
  faint_fuzz_folder ();
  faint_fuzz_write (path, data, size);
  return path;
}

void
faint_fuzz_check (gconstpointer result, const GError *error)
{
  if ((result != NULL) == (error != NULL))
    faint_fuzz_fail (result != NULL ? "read and refused: %s" : "neither read nor refused",
                     error != NULL ? error->message : "");
  if (error == NULL)
    return;
  if (!g_utf8_validate (error->message, -1, NULL))
    faint_fuzz_fail ("a message that is not UTF-8: %s", error->message);
  if (strstr (error->message, NAME) == NULL)
    faint_fuzz_fail ("refused without naming the file: %s", error->message);
}

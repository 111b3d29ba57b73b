/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Preloaded into the window: while the file that FAINT_TEST_SLOW names is there, a file that is
 * being written ("*.part") gets half of its bytes and the writer then waits for ever, so that it
 * can be killed in the middle.
 */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/syscall.h>
#include <unistd.h>

static int
is_part (int fd)
{
  char link[64], path[4096];
  ssize_t length;

  snprintf (link, sizeof link, "/proc/self/fd/%d", fd);
  length = readlink (link, path, sizeof path - 1);
  if (length < 5)
    return 0;
  path[length] = '\0';
  return strcmp (path + length - 5, ".part") == 0;
}

__attribute__ ((visibility ("default"))) ssize_t
write (int fd, const void *bytes, size_t length)
{
  const char *flag = getenv ("FAINT_TEST_SLOW");

  if (length > 1 && flag && access (flag, F_OK) == 0 && is_part (fd))
    {
      syscall (SYS_write, fd, bytes, length / 2);
      for (;;)
        pause ();
    }
  return syscall (SYS_write, fd, bytes, length);
}

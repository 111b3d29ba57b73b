/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/base/files.h"

#include <glib/gstdio.h>
#include <signal.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <unistd.h>

#include "faint-test.h"

static guint
count (const char *folder)
{
  GDir *dir = g_dir_open (folder, 0, NULL);
  guint n = 0;

  while (g_dir_read_name (dir) != NULL)
    n++;
  g_dir_close (dir);
  return n;
}

static void
holds (const char *folder, const char *name, const char *want)
{
  g_autofree char *path = g_build_filename (folder, name, NULL);
  g_autofree char *text = NULL;

  g_assert_true (g_file_get_contents (path, &text, NULL, NULL));
  g_assert_cmpstr (text, ==, want);
}

static void
test_write (void)
{
  char *folder = faint_test_folder_new ();
  g_autofree char *path = g_build_filename (folder, "out.csv", NULL);
  struct stat status;

  g_assert_true (faint_files_write (path, "first\n", 6, NULL));
  g_assert_cmpint (g_chmod (path, 0640), ==, 0);
  g_assert_true (faint_files_write (path, "second\n", 7, NULL));
  holds (folder, "out.csv", "second\n");
  g_assert_cmpint (g_stat (path, &status), ==, 0);
  g_assert_cmpint (status.st_mode & 0777, ==, 0640);
  g_assert_true (faint_files_write (path, "", 0, NULL));
  holds (folder, "out.csv", "");
  g_assert_cmpuint (count (folder), ==, 1);
  faint_test_folder_remove (folder);
}

static void
test_write_through_link (void)
{
  char *folder = faint_test_folder_new ();
  g_autofree char *path = faint_test_file (folder, "real", "old");
  g_autofree char *link_path = g_build_filename (folder, "link", NULL);

  g_assert_cmpint (symlink (path, link_path), ==, 0);
  g_assert_true (faint_files_write (link_path, "new", 3, NULL));
  holds (folder, "real", "new");
  g_assert_true (g_file_test (link_path, G_FILE_TEST_IS_SYMLINK));
  faint_test_folder_remove (folder);
}

static void
test_write_refusals (void)
{
  char *folder = faint_test_folder_new ();
  g_autofree char *below = g_build_filename (folder, "missing", "out.csv", NULL);
  g_autofree char *inside = g_build_filename (folder, "out.csv", NULL);
  g_autoptr (GError) error = NULL;

  g_assert_false (faint_files_write (below, "x", 1, &error));
  faint_assert_error_says (error, FAINT_FILES_ERROR, "its folder does not exist");
  g_assert_false (faint_files_write (folder, "x", 1, &error));
  faint_assert_error_says (error, FAINT_FILES_ERROR, "it is a folder");
  g_assert_false (faint_files_write ("", "x", 1, &error));
  faint_assert_error_says (error, FAINT_FILES_ERROR, "give it a name");
  g_assert_false (faint_files_write ("/proc/out.csv", "x", 1, &error));
  faint_assert_error_says (error, FAINT_FILES_ERROR, "/proc/out.csv cannot be written");
  if (geteuid () != 0)
    {
      g_assert_cmpint (g_chmod (folder, 0500), ==, 0);
      g_assert_false (faint_files_write (inside, "x", 1, &error));
      faint_assert_error_says (error, FAINT_FILES_ERROR, "Permission denied");
      g_assert_cmpint (g_chmod (folder, 0700), ==, 0);
    }
  g_assert_cmpuint (count (folder), ==, 0);
  faint_test_folder_remove (folder);
}

/* A limit on the size of files stops a write in its middle, as a full disk does. */
static void
test_stopped_in_the_middle (void)
{
  char *folder = faint_test_folder_new ();
  g_autofree char *path = faint_test_file (folder, "out", "old");
  g_autofree char *bytes = g_malloc0 (100000);
  g_autoptr (GError) error = NULL;
  struct rlimit limit, small;

  g_assert_cmpint (getrlimit (RLIMIT_FSIZE, &limit), ==, 0);
  small = limit;
  small.rlim_cur = 4096;
  signal (SIGXFSZ, SIG_IGN);
  g_assert_cmpint (setrlimit (RLIMIT_FSIZE, &small), ==, 0);
  g_assert_false (faint_files_write (path, bytes, 100000, &error));
  g_assert_cmpint (setrlimit (RLIMIT_FSIZE, &limit), ==, 0);
  faint_assert_error_says (error, FAINT_FILES_ERROR, "File too large");
  holds (folder, "out", "old");
  g_assert_cmpuint (count (folder), ==, 1);
  faint_test_folder_remove (folder);
}

static void
put (FaintFilesFolder *results, const char *name, const char *text)
{
  g_autofree char *path = faint_files_folder_path (results, name);

  g_assert_true (g_file_set_contents (path, text, -1, NULL));
}

static void
test_folder (void)
{
  char *folder = faint_test_folder_new ();
  g_autofree char *path = g_build_filename (folder, "deep", "er", "results/", NULL);
  g_autoptr (GError) error = NULL;

  for (int round = 0; round < 2; round++)
    {
      g_autoptr (FaintFilesFolder) results = faint_files_folder_begin (path, &error);

      g_assert_no_error (error);
      put (results, "lines.csv", round == 0 ? "one" : "two");
      put (results, round == 0 ? "a" : "b", "x");
      if (round == 0)
        g_assert_false (g_file_test (path, G_FILE_TEST_EXISTS));
      else
        holds (path, "lines.csv", "one");
      g_assert_true (faint_files_folder_commit (results, &error));
      holds (path, "lines.csv", round == 0 ? "one" : "two");
    }
  g_assert_cmpuint (count (path), ==, 3);   /* lines.csv, a, b */
  g_assert_cmpuint (count (folder), ==, 1); /* nothing hidden is left */
  faint_test_folder_remove (folder);
}

static void
test_folder_given_up (void)
{
  char *folder = faint_test_folder_new ();
  g_autofree char *path = g_build_filename (folder, "results", NULL);
  FaintFilesFolder *results = faint_files_folder_begin (path, NULL);

  put (results, "lines.csv", "one");
  g_assert_cmpuint (count (folder), ==, 1); /* the hidden one */
  faint_files_folder_free (results);
  g_assert_cmpuint (count (folder), ==, 0);
  faint_files_folder_free (NULL);
  faint_test_folder_remove (folder);
}

static void
test_folder_refusals (void)
{
  char *folder = faint_test_folder_new ();
  g_autofree char *file = faint_test_file (folder, "file", "x");
  g_autofree char *in_the_way = g_build_filename (folder, "lines.csv", NULL);
  g_autoptr (GError) error = NULL;
  FaintFilesFolder *results = faint_files_folder_begin (file, &error);

  g_assert_null (results);
  faint_assert_error_says (error, FAINT_FILES_ERROR, "in the way of the folder");
  g_assert_cmpint (g_mkdir (in_the_way, 0777), ==, 0);
  results = faint_files_folder_begin (folder, &error);
  put (results, "lines.csv", "x");
  put (results, "a.csv", "x");
  g_assert_false (faint_files_folder_commit (results, &error));
  faint_assert_error_says (error, FAINT_FILES_ERROR, "in the way of the file");
  faint_files_folder_free (results);
  g_assert_cmpuint (count (folder), ==, 2); /* as before: nothing moved, nothing hidden left */
  faint_test_folder_remove (folder);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/files/write", test_write);
  g_test_add_func ("/files/write-through-link", test_write_through_link);
  g_test_add_func ("/files/write-refusals", test_write_refusals);
  g_test_add_func ("/files/stopped-in-the-middle", test_stopped_in_the_middle);
  g_test_add_func ("/files/folder", test_folder);
  g_test_add_func ("/files/folder-given-up", test_folder_given_up);
  g_test_add_func ("/files/folder-refusals", test_folder_refusals);
  return g_test_run ();
}

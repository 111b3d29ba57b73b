/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Runs every file of a folder through a fuzzed reader, and each of its beginnings too: what
 * libFuzzer once found stays found.
 */
#include "fuzz.h"

#include <glib.h>
#include <string.h>

/* Beginnings of a file that are tried, spread over it. */
#define CUTS 64

static int
compare_names (gconstpointer a, gconstpointer b)
{
  return strcmp (*(const char *const *)a, *(const char *const *)b);
}

static GPtrArray *
names_in (const char *folder)
{
  g_autoptr (GDir) dir = g_dir_open (folder, 0, NULL);
  GPtrArray *names = g_ptr_array_new_with_free_func (g_free);

  for (const char *name; dir != NULL && (name = g_dir_read_name (dir)) != NULL;)
    g_ptr_array_add (names, g_strdup (name));
  g_ptr_array_sort (names, compare_names);
  return names;
}

static void
run (gconstpointer data)
{
  g_autofree char *bytes = NULL;
  g_autoptr (GError) error = NULL;
  gsize length;

  g_file_get_contents (data, &bytes, &length, &error);
  g_assert_no_error (error);
  LLVMFuzzerTestOneInput ((const uint8_t *)bytes, length);
  for (gsize i = 0; i < CUTS; i++)
    {
      /* a copy of the exact size, so that a sanitizer sees what reads behind it */
      gsize part = length * i / CUTS;
      g_autofree char *beginning = g_memdup2 (bytes, part);

      LLVMFuzzerTestOneInput ((const uint8_t *)beginning, part);
    }
}

int
main (int argc, char **argv)
{
  g_autoptr (GPtrArray) paths = g_ptr_array_new_with_free_func (g_free);

  g_test_init (&argc, &argv, NULL);
  LLVMFuzzerInitialize (&argc, &argv);
  for (int i = 1; i < argc; i++)
    {
      g_autoptr (GPtrArray) names = names_in (argv[i]);

      g_assert_cmpuint (names->len, >, 0);
      for (guint k = 0; k < names->len; k++)
        {
          const char *name = g_ptr_array_index (names, k);
          char *path = g_build_filename (argv[i], name, NULL);
          g_autofree char *folder = g_path_get_basename (argv[i]);
          g_autofree char *test = g_strdup_printf ("/fuzz/%s/%s", folder, name);

          g_ptr_array_add (paths, path);
          g_test_add_data_func (test, path, run);
        }
    }
  return g_test_run ();
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint-test.h"

#include <glib/gstdio.h>
#include <math.h>
#include <string.h>

void
faint_test_close (const char *where, const char *what, double got, double want, double tolerance,
                  gboolean absolute, const char *why)
{
  double allowed = absolute ? tolerance : tolerance * fabs (want);

  if (got == want || fabs (got - want) <= allowed)
    return;
  g_error ("%s: %s is %.17g, expected %.17g; the difference %.3g is %.3g times what is allowed (%s)",
           where, what, got, want, got - want, fabs (got - want) / allowed, why);
}

void
faint_test_error_says (const char *where, GError **error, GQuark domain, const char *words)
{
  if (*error == NULL)
    g_error ("%s: no error, expected one that says '%s'", where, words);
  if ((*error)->domain != domain || strstr ((*error)->message, words) == NULL)
    g_error ("%s: error of domain %s says '%s', expected domain %s and '%s'", where,
             g_quark_to_string ((*error)->domain), (*error)->message, g_quark_to_string (domain),
             words);
  g_clear_error (error);
}

FaintTestTable *
faint_test_table_read (const char *name)
{
  g_autofree char *path = g_build_filename (g_getenv ("FAINT_TEST_REFERENCE"), name, NULL);
  g_autofree char *text = NULL;
  g_autoptr (GError) error = NULL;
  g_auto (GStrv) lines = NULL;
  FaintTestTable *self = g_new0 (FaintTestTable, 1);

  if (!g_file_get_contents (path, &text, NULL, &error))
    g_error ("%s", error->message);
  self->rows = g_ptr_array_new_with_free_func ((GDestroyNotify) g_strfreev);
  lines = g_strsplit (text, "\n", -1);
  for (char **line = lines; *line != NULL; line++)
    {
      g_strchomp (*line);
      if (**line == '#' || **line == '\0')
        continue;
      if (self->heads == NULL)
        self->heads = g_strsplit (*line, ",", -1);
      else
        g_ptr_array_add (self->rows, g_strsplit (*line, ",", -1));
    }
  g_assert_nonnull (self->heads);
  g_assert_cmpuint (self->rows->len, >, 0);
  return self;
}

void
faint_test_table_free (FaintTestTable *self)
{
  g_strfreev (self->heads);
  g_ptr_array_unref (self->rows);
  g_free (self);
}

const char *
faint_test_table_text (const FaintTestTable *self, guint row, const char *column)
{
  char **cells = g_ptr_array_index (self->rows, row);

  for (guint i = 0; self->heads[i] != NULL; i++)
    if (g_str_equal (self->heads[i], column))
      {
        g_assert_cmpuint (i, <, g_strv_length (cells));
        return cells[i];
      }
  g_error ("no column '%s'", column);
}

double
faint_test_table_number (const FaintTestTable *self, guint row, const char *column)
{
  const char *text = faint_test_table_text (self, row, column);
  char *end;
  double value = g_ascii_strtod (text, &end);

  if (end == text)
    g_error ("row %u: '%s' in column '%s' is no number", row + 1, text, column);
  return value;
}

char *
faint_test_folder_new (void)
{
  g_autoptr (GError) error = NULL;
  char *folder = g_dir_make_tmp ("faint-test-XXXXXX", &error);

  g_assert_no_error (error);
  return folder;
}

static void
remove_tree (const char *path)
{
  g_autoptr (GDir) dir = g_file_test (path, G_FILE_TEST_IS_SYMLINK) ? NULL : g_dir_open (path, 0, NULL);

  if (dir != NULL)
    for (const char *name = g_dir_read_name (dir); name != NULL; name = g_dir_read_name (dir))
      {
        g_autofree char *child = g_build_filename (path, name, NULL);
        remove_tree (child);
      }
  g_remove (path);
}

void
faint_test_folder_remove (char *folder)
{
  remove_tree (folder);
  g_free (folder);
}

char *
faint_test_file (const char *folder, const char *name, const char *text)
{
  char *path = g_build_filename (folder, name, NULL);
  g_autoptr (GError) error = NULL;

  g_file_set_contents (path, text, -1, &error);
  g_assert_no_error (error);
  return path;
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Files of keys and rows: what is a key, what a row, what a remark; where errors say they are.
 */
#include "faint/base/keyed-file.h"

#include "faint-test.h"

static GQuark
error_domain (void)
{
  return g_quark_from_static_string ("test-keyed-file");
}

static gboolean
take_key (FaintKeyedFile *file, const char *key, char *text, GError **error)
{
  double weight;

  g_string_append_printf (file->data, "%" G_GUINT64_FORMAT ":%s=%s;", file->line, key, text);
  if (g_str_equal (key, "weight"))
    return faint_keyed_file_weight (file, key, text, &weight, error);
  return faint_keyed_file_once (file, key, error);
}

static gboolean
take_row (FaintKeyedFile *file, const char *text, GError **error)
{
  g_string_append_printf (file->data, "%" G_GUINT64_FORMAT ":%s;", file->line, text);
  return !g_str_equal (text, "bad") || faint_keyed_file_refuse (file, error, "found '%s'", text);
}

static gboolean
finish (FaintKeyedFile *file, GError **error)
{
  GString *taken = file->data;

  g_assert_cmpuint (file->line, ==, 0);
  return taken->len > 0 || faint_keyed_file_refuse (file, error, "nothing in it");
}

static gboolean
read (const char *bytes, GString *taken, GError **error)
{
  const FaintKeyedFileKind kind
      = { .key = take_key, .row = take_row, .domain = error_domain (), .code = 7 };
  char *folder = faint_test_folder_new ();
  g_autofree char *path = faint_test_file (folder, "file", bytes);
  gboolean good = faint_keyed_file_read (path, &kind, taken, finish, error);

  faint_test_folder_remove (folder);
  return good;
}

static void
test_lines (void)
{
  g_autoptr (GString) taken = g_string_new (NULL);
  g_autoptr (GError) error = NULL;

  g_assert_true (read ("# a remark\n#B = 0.4 cm-1\r\n\n  1 2  \n# one of two = no key\n# c=\n#\n3",
                       taken, &error));
  g_assert_no_error (error);
  g_assert_cmpstr (taken->str, ==, "2:B=0.4 cm-1;4:1 2;6:c=;8:3;");
}

static void
test_refusals (void)
{
  static const char *const cases[][2] = {
    { "# a = 1\n# a = 2\n", ", line 2: a is stated a second time" },
    { "1\n\nbad\n", ", line 3: found 'bad'" },
    { "# weight = -1\n", ", line 1: weight is '-1'; expected a number, 0 or above" },
    { "# weight = nan\n", "expected a number, 0 or above" },
    { "# weight = 1 kg\n", "expected a number, 0 or above" },
    { "# a remark\n", "file: nothing in it" },
    { "", "is empty" },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (GString) taken = g_string_new (NULL);
      g_autoptr (GError) error = NULL;

      g_assert_false (read (cases[i][0], taken, &error));
      g_assert_error (error, error_domain (), 7);
      faint_assert_error_says (error, error_domain (), cases[i][1]);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/keyed-file/lines", test_lines);
  g_test_add_func ("/keyed-file/refusals", test_refusals);
  return g_test_run ();
}

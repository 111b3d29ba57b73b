/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Names as a person types them into a file dialog.
 */
#include "app/parts/file-names.h"
#include "faint-test.h"

static void
test_endings (void)
{
  static const struct
  {
    const char *typed, *want;
  } cases[] = {
    { "/home/a/lines", "/home/a/lines.csv" },
    { "/home/a/lines.csv", "/home/a/lines.csv" },
    { "/home/a/lines.csv.csv", "/home/a/lines.csv" }, /* typed before the ending that stood there */
    { "/home/a/lines.txt", "/home/a/lines.txt" },
    { "/home/a/run-1.3hPa", "/home/a/run-1.3hPa.csv" },
    { "/home/a/2024.05.17", "/home/a/2024.05.17.csv" },
    { "/home/a.b/lines", "/home/a.b/lines.csv" },
    { "/home/a/.hidden", "/home/a/.hidden.csv" },
    { "/home/a/lines.", "/home/a/lines..csv" },
    { "lines", "lines.csv" },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autofree char *got = faint_file_name_with_ending (cases[i].typed, "csv");
      g_assert_cmpstr (got, ==, cases[i].want);
    }
}

static void
test_formats (void)
{
  g_assert_cmpint (faint_file_name_list_format ("a.vot", FAINT_LIST_CSV), ==, FAINT_LIST_VOTABLE);
  g_assert_cmpint (faint_file_name_list_format ("a.xml", FAINT_LIST_CSV), ==, FAINT_LIST_VOTABLE);
  g_assert_cmpint (faint_file_name_list_format ("a.JSON", FAINT_LIST_CSV), ==, FAINT_LIST_JSON);
  g_assert_cmpint (faint_file_name_list_format ("a.record", FAINT_LIST_CSV), ==, FAINT_LIST_RECORD);
  g_assert_cmpint (faint_file_name_list_format ("a.csv", FAINT_LIST_JSON), ==, FAINT_LIST_CSV);
  g_assert_cmpint (faint_file_name_list_format ("a.txt", FAINT_LIST_JSON), ==, FAINT_LIST_JSON);
  g_assert_cmpint (faint_file_name_list_format ("csv", FAINT_LIST_JSON), ==, FAINT_LIST_JSON);
}

/* What stands in the name counts before what was chosen; what is no format is refused. */
static void
test_in_format (void)
{
  static const char *const endings[] = { "csv", "record", "vot", "xml", "json", NULL };
  static const struct
  {
    const char *typed, *chosen, *want;
  } cases[] = {
    { "/a.b/run", "csv", "/a.b/run.csv" },
    { "run", "json", "run.json" },
    { "run-1.3hPa", "record", "run-1.3hPa.record" },
    { "run.json", "csv", "run.json" },
    { "run.XML", "json", "run.XML" },
    { "run.csv", "vot", "run.csv" },
    { "run.txt", "csv", NULL },
    { "run.csv.bak", "csv", NULL },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (GError) error = NULL;
      g_autofree char *got
          = faint_file_name_in_format (cases[i].typed, endings, cases[i].chosen, &error);

      g_assert_cmpstr (got, ==, cases[i].want);
      if (got == NULL)
        faint_assert_error_says (error, G_IO_ERROR,
                                 "one of .csv, .record, .vot, .xml, .json was expected");
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/app/file-names/endings", test_endings);
  g_test_add_func ("/app/file-names/formats", test_formats);
  g_test_add_func ("/app/file-names/in-format", test_in_format);
  return g_test_run ();
}

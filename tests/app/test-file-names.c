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

static void
test_lists (void)
{
  static const struct
  {
    const char *typed;
    FaintListFormat format;
    gboolean by_name;
    const char *want;
  } cases[] = {
    { "run.csv", FAINT_LIST_CSV, TRUE, "run.csv" },
    { "run", FAINT_LIST_CSV, TRUE, "run.csv" },
    { "run.csv.csv", FAINT_LIST_CSV, TRUE, "run.csv" },
    { "run.json", FAINT_LIST_CSV, TRUE, "run.json" },
    { "run.csv", FAINT_LIST_VOTABLE, FALSE, "run.vot" },
    { "run.xml", FAINT_LIST_VOTABLE, FALSE, "run.xml" },
    { "run", FAINT_LIST_JSON, FALSE, "run.json" },
    { "run.json.csv", FAINT_LIST_JSON, FALSE, "run.json" },
    { "run.vot.csv", FAINT_LIST_CSV, TRUE, "run.vot" },
    { "run.json.csv", FAINT_LIST_VOTABLE, FALSE, "run.vot" },
    { "run-1.3hPa.csv", FAINT_LIST_RECORD, FALSE, "run-1.3hPa.record" },
    { "run.txt", FAINT_LIST_RECORD, FALSE, "run.txt.record" },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autofree char *got
          = faint_file_name_for_list (cases[i].typed, cases[i].format, cases[i].by_name);
      g_assert_cmpstr (got, ==, cases[i].want);
      if (!cases[i].by_name)
        g_assert_cmpint (faint_file_name_list_format (got, FAINT_LIST_CSV), ==, cases[i].format);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/app/file-names/endings", test_endings);
  g_test_add_func ("/app/file-names/formats", test_formats);
  g_test_add_func ("/app/file-names/lists", test_lists);
  return g_test_run ();
}

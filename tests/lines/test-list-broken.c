/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * One bad line list for each thing that can be wrong with one, in tests/broken/line-list. Each must
 * be refused in words that name the place and what was expected.
 */
#include "faint/lines/list-file.h"
#include "faint-test.h"

#include <string.h>

typedef struct
{
  const char *name, *words;
} Broken;

/* clang-format off */
static const Broken files[] = {
  { "short.record", "line 2, column 121: a record has 160 columns (133 at the least" },
  { "long.record", "line 2, column 161: a record has 160 columns" },
  { "position-words.record", "line 2, column 4: found 'seven' in the field 'wavenumber'" },
  { "position-zero.record", "line 2, column 4: found '    0.000000' as the wavenumber, expected a number above 0" },
  { "strength-words.record", "line 2, column 16: found '1.235F-25' in the field 'strength', expected a number in columns 16 to 25" },
  { "shift-shifted.record", "line 2, column 60: found '- .00235' in the field 'shift in air'" },
  { "code-letter.record", "line 2, column 130: found 'x' as a code of uncertainty" },
  { "isotopologue.record", "line 2, column 3: found '#' as the isotopologue number" },
  { "molecule.record", "line 2, column 1: found 'x1' in the field 'molecule number'" },
  { "not-ascii.record", "line 2, column 68: the byte 0xC3 stands here; a record is of printable ASCII" },
  { "not-closed.json", "line 4, column 1: the file ends here; expected a comma or the end of the array" },
  { "comma-at-end.json", "line 4, column 3: found ']', expected a value" },
  { "single-quotes.json", "line 1, column 2: found ''', expected a name in double quotes" },
  { "leading-zero.json", "line 1, column 30: a number must not begin with a needless 0" },
  { "bare-point.json", "line 1, column 35: found '}', expected a digit after the decimal point" },
  { "nan.json", "line 2, column 19: found 'N', expected a value" },
  { "name-twice.json", "line 2, column 22: the name 'position/cm-1' stands in this object a second time" },
  { "behind.json", "line 2, column 1: found '{', expected nothing after the value" },
  { "escape.json", "line 2, column 34: a backslash may be followed by" },
  { "surrogate.json", "line 2, column 33: the second half of this surrogate pair is missing" },
  { "surrogate-second.json", "line 2, column 33: the second half of a surrogate pair stands alone" },
  { "zero-escape.json", "line 2, column 33: \\u0000 stands in a string" },
  { "hex-escape.json", "line 2, column 33: expected four hexadecimal digits" },
  { "control.json", "line 2, column 36: the control character 0x0A stands in a string; write it as \\u000a" },
  { "string-open.json", "line 2, column 32: the string that begins here is never closed" },
  { "colon.json", "line 1, column 10: found '[', expected a colon after the name" },
  { "deep.json", "line 1, column 65: more than 64 arrays and objects stand in each other" },
  { "no-lines.json", "line 1, column 1: the object has no member 'lines'" },
  { "lines-number.json", "line 1, column 11: the JSON type of 'lines' is number, expected an array" },
  { "line-number.json", "line 2, column 3: the JSON type of a line is number, expected an object" },
  { "version.json", "line 1, column 13: version 1 of the format was expected, found '2' (JSON type number)" },
  { "text-as-number.json", "line 1, column 30: the JSON type of 'position' is string, expected a number or null" },
  { "number-as-text.json", "line 2, column 34: the JSON type of 'upper' is number, expected a string or null" },
  { "unit.json", "line 2, column 22: the head 'position/furlong' has a unit that is not understood" },
  { "no-position.json", "line 3, column 1: the line has no position" },
  { "overflow.json", "line 2, column 19: found '1e999' under 'position/cm-1'" },
  { "about.json", "line 1, column 11: the JSON type of 'about' is number, expected an object" },
  { "about-deep.json", "line 1, column 17: the JSON type of what 'about' says is object, expected a string" },
  { "not-closed.vot", "line 5, column 1: this is no well-formed XML: Document ended" },
  { "tags-crossed.vot", "line 5, column 27: this is no well-formed XML" },
  { "entity.vot", "line 6, column 15: this is no well-formed XML" },
  { "no-votable.vot", "line 2, column 1: the document begins with 'html', expected VOTABLE" },
  { "binary.vot", "line 5, column 7: the table is in BINARY, which is not read; save it as TABLEDATA" },
  { "binary2.vot", "the table is in BINARY2, which is not read" },
  { "fits.vot", "the table is in FITS, which is not read" },
  { "encoded-cell.vot", "line 6, column 5: a TD with an encoding is not read" },
  { "no-position.vot", "no TABLE with TABLEDATA has a FIELD of positions" },
  { "unit.vot", "line 4, column 1: the FIELD 'position' has the unit 'furlong', which is not understood; expected cm**-1" },
  { "unit-missing.vot", "the FIELD 'position' has no unit; expected cm**-1" },
  { "field-twice.vot", "line 5, column 1: the column 'position' stands here a second time" },
  { "too-many-cells.vot", "line 7, column 1: the row has more cells than the 1 FIELDs" },
  { "too-few-cells.vot", "line 6, column 1: the row has 1 cells, expected 2" },
  { "words.vot", "line 7, column 5: found 'seven' under 'position', expected a number" },
  { "cell-outside.vot", "line 6, column 1: the element TD stands inside of TABLEDATA; expected TR" },
  { "element-in-cell.vot", "line 6, column 10: the element b stands inside of a TD" },
  { "empty-position.vot", "line 6, column 1: the line has no position" },
  { "head-missing.csv", "there is no head row" },
  { "semicolons.csv", "line 1, column 1: the heads are separated by semicolons" },
  { "unit.csv", "line 1, column 4: the head 'position/furlong' has a unit" },
  { "fields.csv", "line 3, column 1: found 1 fields, expected 2" },
  { "words.csv", "line 3, column 1: found '77x91' under 'position/cm-1'" },
  { "quote-open.csv", "line 2, column 6: the quote that begins here is never closed" },
  { "id-twice.csv", "line 3, column 1: the id 3 stands here a second time" },
  { "negative-width.csv", "line 2, column 6: found '-1' under 'lorentz_hwhm/cm-1', which must not be negative" },
};
/* clang-format on */

static void
test_file (gconstpointer data)
{
  const Broken *it = data;
  g_autofree char *path
      = g_build_filename (g_getenv ("FAINT_TEST_BROKEN"), "line-list", it->name, NULL);
  g_autoptr (GError) error = NULL;
  FaintListFile *file = faint_list_file_read (path, &error);

  g_assert_null (file);
  g_assert_nonnull (error);
  if (strstr (error->message, it->words) == NULL)
    g_error ("%s: says '%s', expected '%s'", it->name, error->message, it->words);
  g_assert_true (g_str_has_prefix (error->message, path));
}

/* Every file of the folder is tested. */
static void
test_all (void)
{
  g_autofree char *path = g_build_filename (g_getenv ("FAINT_TEST_BROKEN"), "line-list", NULL);
  g_autoptr (GDir) folder = g_dir_open (path, 0, NULL);

  for (const char *name; (name = g_dir_read_name (folder)) != NULL;)
    {
      gsize i = 0;
      while (i < G_N_ELEMENTS (files) && strcmp (files[i].name, name) != 0)
        i++;
      if (i == G_N_ELEMENTS (files))
        g_error ("%s is not tested", name);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  for (gsize i = 0; i < G_N_ELEMENTS (files); i++)
    {
      g_autofree char *name = g_strdup_printf ("/lines/broken/%s", files[i].name);
      g_test_add_data_func (name, &files[i], test_file);
    }
  g_test_add_func ("/lines/broken/all", test_all);
  return g_test_run ();
}

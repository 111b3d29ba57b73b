/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * One bad comb table for each thing that can be wrong with one, in tests/broken/comb-table. Each
 * must be refused in words that name the place and what was expected.
 */
#include "faint/spectrum/comb-table.h"

#include <sys/stat.h>
#include <unistd.h>
#include <string.h>

#include "faint-test.h"
#include "faint/base/text.h"

typedef struct
{
  const char *name, *words;
} Broken;

/* clang-format off */
static const Broken files[] = {
  { "empty", "is empty" },
  { "binary", "is binary" },
  { "utf-16", "is written in UTF-16" },
  { "utf-16-without-mark", "is written in UTF-16" },
  { "compressed-truncated", "is compressed (gzip) and ends too early" },
  { "compressed-damaged", "is compressed (gzip) and damaged" },
  { "compressed-twice", "is compressed (gzip) twice" },
  { "latin-1-sign", "line 4, column 23: the byte 0xB1 is not UTF-8" },
  { "zero-byte", "a zero byte stands here" },
  { "no-header", "is no comb table" },
  { "header-alone", "has 0 teeth; at least 8" },
  { "first-line-missing", "is no comb table" },
  { "version-2", "line 1: the comb table is of version" },
  { "no-columns-line", "has no line that names its columns" },
  { "columns-line-empty", "no column holds the axis" },
  { "columns-without-axis", "line 5: no column holds the axis" },
  { "columns-with-two-axes", "line 5: more than one column holds the axis" },
  { "columns-without-samples", "line 5: no column holds the samples" },
  { "columns-signal-without-reference", "signal and reference belong together" },
  { "columns-u-of-nothing", "a column u(signal), but none for signal" },
  { "columns-axis-unit-unknown", "line 5: the column 'frequency/PHz' has a unit that is not known here; frequency/THz" },
  { "columns-axis-unit-missing", "the column 'wavenumber' has no unit; wavenumber/cm-1 was expected" },
  { "columns-phase-in-degrees", "the column 'phase/deg' has a unit that is not known here; phase/rad" },
  { "columns-named-twice", "'transmission' is named twice" },
  { "columns-parts-without-field", "state 'observable = field'" },
  { "columns-field-without-phase", "there is no column phase/rad" },
  { "unit-unknown", "line 4, column 17: temperature: 'F' is no unit known here; one of K, degC" },
  { "unit-missing", "line 4, column 17: temperature: '296' has no unit; write one of K, degC" },
  { "unit-of-uncertainty-missing", "line 5, column 20: u(temperature): '0.1' has no unit" },
  { "percent", "mole_fraction: '%' stands behind the number" },
  { "words-behind-unit", "nothing behind it" },
  { "value-missing", "line 4, column 16: temperature has no value" },
  { "key-twice", "line 5, column 17: temperature is given twice with two values: '297 K' here and '296 K' in line 4" },
  { "uncertainty-twice", "u(temperature) is given twice with two values" },
  { "unknown-key-twice", "lamp is given twice with two values" },
  { "mirrors-twice", "The mirrors are described twice, by finesse and by ring_down_time" },
  { "temperature-zero", "a value above 0 K was expected" },
  { "pressure-zero", "a value above 0 Pa was expected" },
  { "finesse-zero", "above 1 and at most 1e9" },
  { "finesse-huge", "above 1 and at most 1e9" },
  { "choice-unknown", "one of standing-wave, ring, none" },
  { "uncertainty-negative", "is negative" },
  { "finesse-table-missing", "finesse_table: " },
  { "key-below-rows", "line 9, column 1: a key stands below the first row" },
  { "comb-missing", "needs repetition_rate and offset_frequency" },
  { "too-few-columns", "line 8, column 12: the row ends after 2 of 3 columns; 'u(transmission)'" },
  { "too-many-columns", "line 8, column 18: the row goes on after its 3 columns" },
  { "text-in-number", "line 8, column 8: '0.9x2' in column 'transmission' is no number" },
  { "decimal-comma", "line 6, column 8: '0,90' in column 'transmission' has a decimal comma; a decimal point" },
  { "nan", "line 8, column 8: 'nan' in column 'transmission' is not a finite number" },
  { "inf", "line 8, column 8: '-inf' in column 'transmission' is not a finite number" },
  { "overflow", "'1e999' in column 'transmission' is not a finite number" },
  { "tooth-not-whole", "line 8, column 1: '767002.5' in column 'tooth' is no whole number" },
  { "tooth-twice", "line 8: 'tooth' of 767001 stands there twice" },
  { "teeth-fall", "line 7: 'tooth' of 767010 is smaller than the one before it" },
  { "tooth-falls-at-line-8", "line 8: 'tooth' of 700000 is smaller than the one before it" },
  { "axis-turns-at-line-9", "line 9: 'wavenumber/cm-1' of 6390" },
  { "axis-falling-turns-at-line-9", "line 9: 'frequency/GHz' of 191799" },
  { "axis-zero", "line 6: 'wavenumber/cm-1' of 0 is not above 0" },
  { "reference-zero", "line 8, column 12: '0' in column 'reference' is not above 0, as a reference" },
  { "reference-negative", "'-1.1' in column 'reference' is not above 0" },
  { "uncertainty-column-zero", "line 8, column 13: '0' in column 'u(transmission)' is not above 0, as a standard uncertainty" },
  { "uncertainty-column-negative", "'-0.01' in column 'u(transmission)' is not above 0" },
  { "one-tooth", "has 1 teeth; at least 8" },
  { "seven-teeth", "has 7 teeth; at least 8" },
  { "no-scatter", "none can be estimated" },
};
/* clang-format on */

static void
test_file (gconstpointer data)
{
  const Broken *broken = data;
  g_autofree char *name = g_strconcat (broken->name, ".comb", NULL);
  g_autofree char *path
      = g_build_filename (g_getenv ("FAINT_TEST_BROKEN"), "comb-table", name, NULL);
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintSpectrum) spectrum = NULL;

  g_assert_true (g_file_test (path, G_FILE_TEST_EXISTS));
  spectrum = faint_spectrum_read (path, NULL, NULL, &error);
  g_assert_null (spectrum);
  g_assert_nonnull (error);
  g_test_message ("%s", error->message);
  g_assert_nonnull (strstr (error->message, name)); /* says which file */
  if (strstr (error->message, broken->words) == NULL)
    g_error ("%s says '%s', expected '%s'", name, error->message, broken->words);
}

/* No file of the folder is forgotten in the table above. */
static void
test_all_files (void)
{
  g_autofree char *folder = g_build_filename (g_getenv ("FAINT_TEST_BROKEN"), "comb-table", NULL);
  GDir *dir = g_dir_open (folder, 0, NULL);
  guint n = 0;

  while (g_dir_read_name (dir) != NULL)
    n++;
  g_dir_close (dir);
  g_assert_cmpuint (n, ==, G_N_ELEMENTS (files));
}

static void
test_places (void)
{
  char *folder = faint_test_folder_new ();
  g_autofree char *missing = g_build_filename (folder, "missing.comb", NULL);
  g_autofree char *closed = faint_test_file (folder, "closed.comb", "# comb-table 1\n");
  g_autoptr (GError) error = NULL;

  g_assert_null (faint_spectrum_read (folder, NULL, NULL, &error));
  faint_assert_error_says (error, FAINT_TEXT_ERROR, "it is a folder");
  g_assert_null (faint_spectrum_read (missing, NULL, NULL, &error));
  faint_assert_error_says (error, FAINT_TEXT_ERROR, "No such file");
  if (geteuid () != 0)
    {
      g_assert_cmpint (chmod (closed, 0), ==, 0);
      g_assert_null (faint_spectrum_read (closed, NULL, NULL, &error));
      faint_assert_error_says (error, FAINT_TEXT_ERROR, "Permission denied");
    }
  faint_test_folder_remove (folder);
}

/* A good table with bytes changed, left out and put in anywhere: read or refused, never a crash
 * (run with the sanitizers on, this is the test). */
static void
test_damaged (void)
{
  static const char bytes[] = "\0\n\r\t #=().,;-+eE019/\"xu\xc2\xb1\xff";
  char *folder = faint_test_folder_new ();
  GRand *random = g_rand_new_with_seed (77);
  GString *good = g_string_new ("# comb-table 1\n# temperature = 296.15(10) K\n# finesse = 12000\n"
                                "# columns = frequency/GHz signal reference u(signal) note\n");

  for (int i = 0; i < 12; i++)
    g_string_append_printf (good, "%d.125 0.9%d 1.01 1.5e-3 ok\n", 191780 + i, i);
  for (int i = 0; i < 3000; i++)
    {
      GString *text = g_string_new_len (good->str, (gssize)good->len);
      int n = g_rand_int_range (random, 1, 6);
      g_autofree char *path = g_build_filename (folder, "damaged.comb", NULL);
      FaintReadOptions options
          = { .columns = i % 2 == 0 ? "frequency/GHz,signal,reference,u(signal),-" : NULL };
      g_autoptr (GError) error = NULL;
      g_autoptr (FaintSpectrum) spectrum = NULL;

      if (i % 3 == 0) /* as foreign text */
        g_string_erase (text, 0, 15);
      for (int k = 0; k < n; k++)
        {
          gssize at = g_rand_int_range (random, 0, (int)text->len);
          char byte = bytes[g_rand_int_range (random, 0, sizeof bytes - 1)];

          if (g_rand_boolean (random))
            text->str[at] = byte;
          else if (g_rand_boolean (random))
            g_string_insert_len (text, at, &byte, 1);
          else
            g_string_erase (text, at, 1);
        }
      if (i % 50 == 0)
        g_string_truncate (text, (gsize)g_rand_int_range (random, 0, (int)text->len));
      /* without a sync, of which thousands take minutes on a slow disk */
      g_assert_true (g_file_set_contents_full (path, text->str, (gssize)text->len,
                                               G_FILE_SET_CONTENTS_NONE, 0600, NULL));
      spectrum = faint_spectrum_read (path, &options, NULL, &error);
      g_assert_true ((spectrum == NULL) == (error != NULL));
      g_string_free (text, TRUE);
    }
  g_string_free (good, TRUE);
  g_rand_free (random);
  faint_test_folder_remove (folder);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  for (gsize i = 0; i < G_N_ELEMENTS (files); i++)
    {
      g_autofree char *path = g_strconcat ("/broken/comb-table/", files[i].name, NULL);

      g_test_add_data_func (path, &files[i], test_file);
    }
  g_test_add_func ("/broken/all-files", test_all_files);
  g_test_add_func ("/broken/places", test_places);
  g_test_add_func ("/broken/damaged", test_damaged);
  return g_test_run ();
}

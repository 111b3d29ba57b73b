/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/spectrum/delimited.h"

#include <string.h>

#include "faint-test.h"
#include "faint/base/text.h"

#define N 20

typedef struct
{
  const char *head;   /* lines before the rows */
  const char *format; /* of a row: frequency in GHz as whole part and three decimals */
  char separator;
  gboolean decimal_comma;
  gsize header_lines, n_columns;
  const char *map;
} Layout;

static const Layout layouts[] = {
  { "", "%d.%03d,0.9,0.01\n", ',', FALSE, 0, 3, "frequency/GHz,transmission,u(transmission)" },
  { "nu,T,u\n", "%d.%03d, 0.9, 0.01\n", ',', FALSE, 1, 3,
    "frequency/GHz, transmission, u(transmission)" },
  { "nu;T;u\n", "%d.%03d;0.9;0.01\n", ';', FALSE, 1, 3,
    "frequency/GHz,transmission,u(transmission)" },
  { "Frequenz;T;u\n", "%d,%03d;0,9;0,01\n", ';', TRUE, 1, 3,
    "frequency/GHz,transmission,u(transmission)" },
  { "", "%d.%03d\t0.9\t0.01\n", '\t', FALSE, 0, 3, "frequency/GHz,transmission,u(transmission)" },
  { "nu\tT\tu\n", "%d,%03d\t0,9\t0,01\n", '\t', TRUE, 1, 3,
    "frequency/GHz,transmission,u(transmission)" },
  { "a recording\n\nnu  T u\n", "  %d.%03d  0.9\t0.01  \n", ' ', FALSE, 3, 3,
    "frequency/GHz,transmission,u(transmission)" },
  { "", "%d,%03d 0,9 0,01\n", ' ', TRUE, 0, 3, "frequency/GHz,transmission,u(transmission)" },
  { "# remark = 3\n\"nu, GHz\",\"note\",T,u\n", "%d.%03d,\"good, I think\",0.9,0.01\n", ',', FALSE,
    2, 4, "frequency/GHz,-,transmission,u(transmission)" },
  { "", "%d.%03d,0.9,0.01,\n", ',', FALSE, 0, 4, "frequency/GHz,transmission,u(transmission),-" },
};

static char *
write_layout (const char *folder, const Layout *layout)
{
  GString *text = g_string_new (layout->head);

  for (int i = 0; i < N; i++)
    g_string_append_printf (text, layout->format, 191780 + i, 125);
  g_autofree char *bytes = g_string_free (text, FALSE);
  return faint_test_file (folder, "foreign.txt", bytes);
}

static void
test_read (void)
{
  char *folder = faint_test_folder_new ();

  for (gsize k = 0; k < G_N_ELEMENTS (layouts); k++)
    {
      g_autofree char *path = write_layout (folder, &layouts[k]);
      FaintReadOptions options = { .columns = layouts[k].map };
      g_autoptr (GError) error = NULL;
      g_autoptr (FaintSpectrum) spectrum = faint_spectrum_read (path, &options, NULL, &error);

      g_assert_no_error (error);
      g_assert_cmpuint (spectrum->n, ==, N);
      faint_assert_close (spectrum->frequency[2], 191782.125e9, 3e-16, "one product");
      g_assert_cmpfloat (spectrum->value[2], ==, 0.9);
      g_assert_cmpfloat (spectrum->u[2], ==, 0.01);
    }
  faint_test_folder_remove (folder);
}

static void
test_preview (void)
{
  char *folder = faint_test_folder_new ();

  for (gsize k = 0; k < G_N_ELEMENTS (layouts); k++)
    {
      g_autofree char *path = write_layout (folder, &layouts[k]);
      g_autoptr (GError) error = NULL;
      g_autoptr (FaintDelimitedPreview) preview = faint_delimited_preview (path, 5, &error);

      g_assert_no_error (error);
      g_assert_cmpint (preview->separator, ==, layouts[k].separator);
      g_assert_cmpint (preview->decimal_comma, ==, layouts[k].decimal_comma);
      g_assert_cmpuint (preview->header_lines, ==, layouts[k].header_lines);
      g_assert_cmpuint (preview->n_columns, ==, layouts[k].n_columns);
      g_assert_cmpuint (preview->rows->len, ==, 5);
      for (guint i = 0; i < 5; i++)
        g_assert_cmpuint (g_strv_length (g_ptr_array_index (preview->rows, i)), ==,
                          layouts[k].n_columns);
      g_assert_cmpuint (preview->heads->len, ==,
                        *layouts[k].head != '\0' ? layouts[k].n_columns : 0);
    }
  faint_test_folder_remove (folder);
}

static void
test_preview_words (void)
{
  char *folder = faint_test_folder_new ();
  g_autofree char *path = write_layout (folder, &layouts[8]);
  g_autoptr (FaintDelimitedPreview) preview = faint_delimited_preview (path, 1, NULL);
  char **row = g_ptr_array_index (preview->rows, 0);

  g_assert_cmpstr (g_ptr_array_index (preview->heads, 0), ==, "nu, GHz");
  g_assert_cmpstr (row[1], ==, "good, I think");
  g_assert_cmpstr (row[2], ==, "0.9");
  faint_test_folder_remove (folder);
}

/* A head row in the words of the comb table is a column map. */
static void
test_own_heads (void)
{
  char *folder = faint_test_folder_new ();
  Layout layout = layouts[0];
  g_autofree char *path = NULL;
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintSpectrum) spectrum = NULL;

  layout.head = "frequency/GHz,transmission,u(transmission)\n";
  path = write_layout (folder, &layout);
  spectrum = faint_spectrum_read (path, NULL, NULL, &error);
  g_assert_no_error (error);
  g_assert_cmpuint (spectrum->n, ==, N);
  faint_test_folder_remove (folder);
}

static void
refuses (const char *text, const char *map, const char *words)
{
  char *folder = faint_test_folder_new ();
  g_autofree char *path = faint_test_file (folder, "foreign.txt", text);
  FaintReadOptions options = { .columns = map };
  g_autoptr (GError) error = NULL;

  g_assert_null (faint_spectrum_read (path, &options, NULL, &error));
  g_assert_nonnull (strstr (error->message, "foreign.txt"));
  faint_assert_error_says (error, FAINT_TEXT_ERROR, words);
  faint_test_folder_remove (folder);
}

static void
test_refusals (void)
{
  const char *map = "frequency/GHz,transmission";

  refuses ("1.5,0.9\n2.5,0.8\n", NULL, "--columns 'frequency/GHz,-,signal,reference'");
  refuses ("1.5,0.9\n2.5,0.8\n", NULL, "Its first row is 1.5 | 0.9: name its 2 columns");
  refuses ("1.5,0.9\n2.5,0.8\n", "frequency/GHz",
           "names 1 columns, but the first row, 1.5 | 0.9, has 2");
  refuses ("1.5,0.9\n2.5,0.8\n", "frequency/GHz,height", "'height' is no meaning of a column");
  refuses ("1.5,0.9\n2.5,0.8\n", "frequency,transmission", "'frequency' has no unit");
  refuses ("1.5,0.9\n2.5,0.8\n", "frequency/PHz,transmission", "a unit that is not known here");
  refuses ("1.5,0.9\n2.5,0.8\n", "-,transmission", "no column holds the axis");
  refuses ("1.5,0.9\n2.5,0.8\n", "frequency/GHz,-", "no column holds the samples");
  refuses ("1.5,0.9\n2.5,0.8\n", "frequency/GHz,signal", "signal and reference belong together");
  refuses ("1.5,0.9\n2.5,0.8\n", "transmission,transmission", "named twice");
  refuses ("1.5,0.9\n2.5,\n", map, "line 2, column 5: the cell of column 'transmission' is empty");
  refuses ("1.5,0.9\n2.5,0.8x\n", map,
           "line 2, column 5: '0.8x' in column 'transmission' is no number");
  refuses ("1.5,0.9\n2.5\n", map, "line 2, column 4: the row ends after 1 of 2 columns");
  refuses ("1.5,0.9\n2.5,0.8,7\n", map, "line 2, column 8: the row goes on after its 2 columns");
  refuses ("1.5;0.9\n2.5;0,8\n", map, "decimal comma");
  refuses ("one\ntwo\nthree\n", map, "holds no table of numbers");
  refuses ("1\n2\n3\n", map, "holds no table of numbers");
  refuses ("one,two\nthree,four\n", map, "holds no table of numbers");
  refuses ("##TITLE=run 14\n##JCAMP-DX=4.24\n##END=\n", NULL, "XYDATA");
}

static void
test_meanings (void)
{
  const char *const *meanings = faint_column_meanings ();

  g_assert_true (g_strv_contains (meanings, "tooth"));
  g_assert_true (g_strv_contains (meanings, "wavelength/nm"));
  g_assert_true (g_strv_contains (meanings, "u(phase)/rad"));
  g_assert_false (g_strv_contains (meanings, "-"));
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/delimited/read", test_read);
  g_test_add_func ("/delimited/preview", test_preview);
  g_test_add_func ("/delimited/preview-words", test_preview_words);
  g_test_add_func ("/delimited/own-heads", test_own_heads);
  g_test_add_func ("/delimited/refusals", test_refusals);
  g_test_add_func ("/delimited/meanings", test_meanings);
  return g_test_run ();
}

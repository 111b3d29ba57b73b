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
  refuses ("wavelength;absorbance\n1.53;0.1\n1.54;0.1\n", NULL,
           "repeat the command with it if it is right: --columns "
           "'wavelength/um,decadic_absorbance'");
  refuses ("wavelength;absorbed\n1.53;0.1\n1.54;0.1\n", NULL,
           "to skip. Its heads and numbers suggest 'wavelength/um,-' at most. Of an absorbance say "
           "which it is, decadic_absorbance or napierian_absorbance.");
  refuses ("1.5,0.9\n2.5,0.8\n", "frequency/GHz,absorbance",
           "'absorbance' is no meaning of a column");
  refuses ("1.5,0.9,1\n2.5,0.8,1\n", "frequency/GHz,decadic_absorbance,transmission",
           "there are both an absorbance and transmission");
  refuses ("1.5,90,1\n2.5,80,1\n", "frequency/GHz,transmission/percent,u(transmission)",
           "'transmission/percent' and 'u(transmission)' are not in one unit");
  refuses ("1.5,0.9,1\n2.5,0.8,1\n", "frequency/GHz,decadic_absorbance,u(napierian_absorbance)",
           "are not in one unit");
  refuses ("1.5,0.9,1\n2.5,0.8,1\n", "frequency/GHz,transmission,u(decadic_absorbance)",
           "a column u(absorbance), but none for absorbance");
  refuses ("1.5,0.9\n2.5,400\n", "frequency/GHz,decadic_absorbance",
           "line 2, column 5: '400' in column 'decadic_absorbance' is too large");
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

/* Each way to a transmission of 0.8 with u = 0.002, computed by hand: 80 % and 0.2 %;
 * A = -lg 0.8 = 1 - 3 lg 2 = 0.096910013008056 (lg 2 = 0.301029995663981, Abramowitz and Stegun,
 * table 1.1), u(A) = u/(T ln 10) = 0.0025/2.302585092994046 = 0.001085736204758;
 * A = -ln 0.8 = 0.223143551314210 (3 ln 2 subtracted from ln 10), u(A) = 0.0025. */
static void
test_ways_to_transmission (void)
{
  static const struct
  {
    const char *columns, *row;
  } ways[] = {
    { "wavenumber/cm-1,transmission/percent,u(transmission)/percent", "80,0.2" },
    { "wavenumber/cm-1,decadic_absorbance,u(decadic_absorbance)",
      "0.096910013008056,0.001085736204758" },
    { "wavenumber/cm-1,napierian_absorbance,u(napierian_absorbance)", "0.223143551314210,0.0025" },
  };
  char *folder = faint_test_folder_new ();

  for (gsize i = 0; i < G_N_ELEMENTS (ways); i++)
    {
      g_autoptr (GString) text = g_string_new (NULL);
      g_autofree char *path = NULL;
      FaintReadOptions options = { .columns = ways[i].columns };
      g_autoptr (GError) error = NULL;
      g_autoptr (FaintSpectrum) spectrum = NULL;

      for (guint tooth = 0; tooth < 10; tooth++)
        g_string_append_printf (text, "6500.%u,%s\n", tooth, ways[i].row);
      path = faint_test_file (folder, "foreign.csv", text->str);
      spectrum = faint_spectrum_read (path, &options, NULL, &error);
      g_assert_no_error (error);
      g_assert_cmpuint (spectrum->n, ==, 10);
      faint_assert_near (spectrum->value[1], 0.8, 1e-13, "digits of the numbers by hand");
      faint_assert_near (spectrum->u[1], 0.002, 1e-12, "digits of the numbers by hand");
    }
  faint_test_folder_remove (folder);
}

/* An amplitude is no power. */
static void
test_absorbance_of_an_amplitude (void)
{
  char *folder = faint_test_folder_new ();
  g_autofree char *path = faint_test_file (folder, "foreign.csv", "1.5,0.1\n2.5,0.1\n");
  static const char *const settings[] = { "observable=amplitude", NULL };
  FaintReadOptions options
      = { .columns = "frequency/GHz,decadic_absorbance", .settings = settings };
  g_autoptr (GError) error = NULL;

  g_assert_null (faint_spectrum_read (path, &options, NULL, &error));
  faint_assert_error_says (error, FAINT_TEXT_ERROR, "an absorbance is one of the power");
  faint_test_folder_remove (folder);
}

/* Heads and the first and the last row, which bound the numbers; what they suggest, with - for
 * nothing. 1 cm-1 = 29.9792458 GHz and 1e7 nm/wavelength places the same line in the other units:
 * 6500 cm-1 = 194.865 THz = 1538.46 nm. Words and ranges: common practice, no source. */
static const struct
{
  const char *heads, *first, *last, *suggestion;
} suggestions[] = {
  { "wavenumber,transmission", "6500,0.99", "6580,1.01", "wavenumber/cm-1,transmission" },
  { "# Wavenumber , Transmittance", "6580,0.99", "6500,0.9", "wavenumber/cm-1,transmission" },
  { "frequency,transmission", "194.865,1", "197.2,1", "frequency/THz,transmission" },
  { "frequency,transmission", "194865.1,1", "197200,1", "frequency/GHz,transmission" },
  { "frequency,transmission", "194865100,1", "197200000,1", "frequency/MHz,transmission" },
  { "frequency,transmission", "1.94865e14,1", "1.972e14,1", "frequency/Hz,transmission" },
  { "wavelength,transmission", "1538.46,1", "1520,1", "wavelength/nm,transmission" },
  { "wavelength,transmission", "1.53846,1", "1.52,1", "wavelength/um,transmission" },
  { "Wellenlänge,T", "1.53846,1", "1.52,1", "wavelength/um,transmission" },
  /* wavenumbers are called frequencies too: said only where no frequency has such numbers */
  { "frequency,transmission", "6500,1", "6580,1", "wavenumber/cm-1,transmission" },
  { "nu,T", "6500,1", "6580,1", "wavenumber/cm-1,transmission" },
  { "nu,T", "20000,1", "20010,1", "-,transmission" },     /* cm-1 or GHz */
  { "frequency,T", "667,1", "700,1", "-,transmission" },  /* cm-1 or THz */
  { "frequency,T", "-100,1", "100,1", "-,transmission" }, /* from a line, not of light */
  { "frequency,T", "1,1", "70,1", "-,transmission" },     /* a beat in the radio range */
  { "frequency (MHz),T", "1,1", "70,1", "-,transmission" },
  { "wavelength,T", "100,1", "120,1", "-,transmission" }, /* nm or um: neither in range */
  /* units in other spellings, and alone */
  { "Wavenumber (cm^-1),T", "6500,1", "6580,1", "wavenumber/cm-1,transmission" },
  { "nu [cm⁻¹],T", "20000,1", "20010,1", "wavenumber/cm-1,transmission" },
  { "frequency in GHz,T", "20000,1", "20010,1", "frequency/GHz,transmission" },
  { "frequency_THz,T", "667,1", "700,1", "frequency/THz,transmission" },
  { "cm-1,T", "6500,1", "6580,1", "wavenumber/cm-1,transmission" },
  { "wavelength/µm,T", "3.3,1", "3.4,1", "wavelength/um,transmission" },
  { "wavenumber (THz),T", "194,1", "195,1", "-,transmission" }, /* word against unit */
  /* what was measured */
  { "wavenumber,Transmission", "6500,99", "6580,100", "wavenumber/cm-1,-" }, /* per cent */
  { "wavenumber,T", "6500,296.1", "6580,296.2", "wavenumber/cm-1,-" },       /* a temperature */
  { "wavenumber,transmission (%)", "6500,0.9", "6580,1", "wavenumber/cm-1,-" },
  { "wavenumber,transmission (%)", "6500,90", "6580,101", "wavenumber/cm-1,transmission/percent" },
  { "wavenumber,%T", "6500,90", "6580,101", "wavenumber/cm-1,transmission/percent" },
  { "wavenumber,T/%,u(T)/%", "6500,90,.1", "6580,101,.1",
    "wavenumber/cm-1,transmission/percent,u(transmission)/percent" },
  { "wavenumber,T/%,u", "6500,90,.1", "6580,101,.1", "wavenumber/cm-1,transmission/percent,-" },
  { "wavenumber,T,u(T)/%", "6500,.9,.1", "6580,1,.1", "wavenumber/cm-1,transmission,-" },
  { "wavenumber,absorbance", "6500,0.9", "6580,1", "wavenumber/cm-1,decadic_absorbance" },
  { "wavenumber,Absorbance,u", "6500,0.9,.1", "6580,1,.1",
    "wavenumber/cm-1,decadic_absorbance,u(decadic_absorbance)" },
  { "wavenumber,-ln(T)", "6500,0.9", "6580,1", "wavenumber/cm-1,napierian_absorbance" },
  { "wavenumber,absorbance", "6500,0.9", "6580,30", "wavenumber/cm-1,-" },
  { "wavenumber,T,absorbance", "6500,1,0", "6580,.9,.1", "wavenumber/cm-1,transmission,-" },
  { "wavenumber,T,T", "6500,0.9,1", "6580,1,1", "wavenumber/cm-1,-,-" },
  { "wavenumber,signal,reference", "6500,3,4", "6580,3,4", "wavenumber/cm-1,signal,reference" },
  { "wavenumber,I,I0", "6500,3,4", "6580,3,4", "wavenumber/cm-1,signal,reference" },
  { "wavenumber,Signal,ref", "6500,3,4", "6580,3,0", "wavenumber/cm-1,-,-" },
  { "wavenumber,Signal", "6500,3", "6580,3", "wavenumber/cm-1,-" },
  { "wavenumber,T,Signal,ref", "6500,1,3,3", "6580,1,3,3", "wavenumber/cm-1,transmission,-,-" },
  { "wavenumber,T,u", "6500,1,.1", "6580,1,.1", "wavenumber/cm-1,transmission,u(transmission)" },
  { "wavenumber,T,u", "6500,1,.1", "6580,1,0", "wavenumber/cm-1,transmission,-" },
  { "wavenumber,Re,Im", "6500,1,.1", "6580,1,.1", "wavenumber/cm-1,real,imag" },
  /* one axis: the one that is stated, else the first */
  { "wavelength,wavenumber,T", "1538.46,6500,1", "1519.76,6580,1", "wavelength/nm,-,transmission" },
  { "wavelength,wavenumber/cm-1,T", "1538.46,6500,1", "1519.76,6580,1",
    "-,wavenumber/cm-1,transmission" },
  /* nothing known */
  { "x,y", "6500,1", "6580,1", "-,-" },
  { "wavenumber,note", "6500,1", "ends,1", "-,-" },
};

static void
test_suggestions (void)
{
  char *folder = faint_test_folder_new ();

  for (gsize i = 0; i < G_N_ELEMENTS (suggestions); i++)
    {
      g_autofree char *text = g_strdup_printf ("%s\n%s\n%s\n", suggestions[i].heads,
                                               suggestions[i].first, suggestions[i].last);
      g_autofree char *path = faint_test_file (folder, "foreign.csv", text);
      g_autoptr (GError) error = NULL;
      g_autoptr (FaintDelimitedPreview) preview = faint_delimited_preview (path, 1, &error);
      g_autofree const char **meanings = NULL;
      g_autofree char *found = NULL;

      g_assert_no_error (error);
      meanings = faint_delimited_suggest (preview);
      for (gsize k = 0; k < preview->n_columns; k++)
        if (meanings[k] == NULL)
          meanings[k] = "-";
      found = g_strjoinv (",", (char **)meanings);
      if (!g_str_equal (found, suggestions[i].suggestion))
        g_error ("'%s' from %s to %s suggests %s, not %s", suggestions[i].heads,
                 suggestions[i].first, suggestions[i].last, found, suggestions[i].suggestion);
    }
  faint_test_folder_remove (folder);
}

/* A text that is not understood is refused with the map that would do, which then does. */
static void
test_suggested_map (void)
{
  static const struct
  {
    const char *heads, *row; /* of ten: %u the place, then a sample that scatters */
    const char *map, *setting;
  } cases[] = {
    { "wavenumber transmission\n", "650%u 0.9%u\n", "wavenumber/cm-1,transmission", NULL },
    { "wavenumber (cm-1) transmission u\n", "650%u 0.9%u .1\n",
      "wavenumber/cm-1,transmission,u(transmission)", NULL },
    { "Frequenz;Transmission;Zeit\n", "19486%u,5;0,9%u;1\n", "frequency/GHz,transmission,-", NULL },
    { "wavelength,Re,Im\n", "1538.%u,0.9%u,.1\n", "wavelength/nm,real,imag", "observable=field" },
  };
  char *folder = faint_test_folder_new ();

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (GString) text = g_string_new (cases[i].heads);
      g_autofree char *path = NULL;
      g_autofree char *words = g_strdup_printf ("repeat the command with it if it is right: "
                                                "--columns '%s'%s%s",
                                                cases[i].map, cases[i].setting ? " --set " : "",
                                                cases[i].setting ? cases[i].setting : "");
      const char *const settings[] = { cases[i].setting, NULL };
      FaintReadOptions options = { .columns = cases[i].map, .settings = settings };
      g_autoptr (GError) error = NULL;
      g_autoptr (FaintSpectrum) spectrum = NULL;

      for (guint k = 0; k < 10; k++)
        {
          g_auto (GStrv) parts = g_strsplit (cases[i].row, "%u", 3);

          g_string_append_printf (text, "%s%u%s%u%s", parts[0], k, parts[1], 7 * k * k % 10,
                                  parts[2]);
        }
      path = faint_test_file (folder, "foreign.txt", text->str);
      g_assert_null (faint_spectrum_read (path, NULL, NULL, &error));
      faint_assert_error_says (error, FAINT_TEXT_ERROR, words);
      g_clear_error (&error);
      spectrum = faint_spectrum_read (path, &options, NULL, &error);
      g_assert_no_error (error);
      g_assert_cmpuint (spectrum->n, ==, 10);
    }
  faint_test_folder_remove (folder);
}

/* Micrometres are a thousand nanometres. */
static void
test_micrometres (void)
{
  char *folder = faint_test_folder_new ();
  g_autofree char *path = faint_test_file (
      folder, "um.csv", "3.25,1,2\n3.5,1,2\n3.75,1,2\n4,1,2\n4.25,1,2\n4.5,1,2\n4.75,1,2\n5,1,2\n");
  FaintReadOptions options = { .columns = "wavelength/um,transmission,u(transmission)" };
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintSpectrum) spectrum = faint_spectrum_read (path, &options, NULL, &error);

  g_assert_no_error (error);
  faint_assert_close (spectrum->wavenumber[0], 2000, 1e-15, "1e4/5 um");
  faint_assert_close (spectrum->wavenumber[7], 1e4 / 3.25, 1e-15, "1e4/3.25 um");
  faint_test_folder_remove (folder);
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
  g_test_add_func ("/delimited/ways-to-transmission", test_ways_to_transmission);
  g_test_add_func ("/delimited/absorbance-of-an-amplitude", test_absorbance_of_an_amplitude);
  g_test_add_func ("/delimited/suggestions", test_suggestions);
  g_test_add_func ("/delimited/suggested-map", test_suggested_map);
  g_test_add_func ("/delimited/micrometres", test_micrometres);
  g_test_add_func ("/delimited/meanings", test_meanings);
  return g_test_run ();
}

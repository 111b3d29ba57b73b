/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * JCAMP-DX: the number forms by the example of the standard (McDonald & Wilks, Appl. Spectrosc. 42,
 * 151 (1988), table of the forms of 1 2 3 3 2 1 0 -1 -2 -3, from memory), whole files by an encoder
 * of this test's own, and damaged ones. tests/spectrum/jcamp-peer.sh holds the reader against
 * another.
 */
#include "faint/spectrum/jcamp-numbers.h"
#include "faint/spectrum/jcamp.h"

#include <math.h>
#include <string.h>

#include "faint-test.h"
#include "jcamp-encoder.h"

static const double example[] = { 1, 2, 3, 3, 2, 1, 0, -1, -2, -3 };

static void
test_forms (void)
{
  static const char *const forms[] = { "1 2 3 3 2 1 0 -1 -2 -3",
                                       "1,2,3,3,2,1,0,-1,-2,-3",
                                       "1.0E+00 2 3 3 2 1 0 -1 -2 -.3e+1",
                                       "+1+2+3+3+2+1+0-1-2-3",
                                       "1+2+3+3+2+1+0-1-2-3",
                                       "1BCCBA@abc",
                                       "ABCCBA@abc",
                                       "1JJ%jjjjjj",
                                       "AJJ%jjjjjj",
                                       "1JT%jX",
                                       "AJT%jX",
                                       "A B CT B A @ a b c",
                                       "ABCTBA@abc" };

  for (gsize i = 0; i < G_N_ELEMENTS (forms); i++)
    {
      g_autoptr (GArray) y = g_array_new (FALSE, FALSE, sizeof (double));
      FaintJcampState state = { 0 };
      FaintJcampFault fault;
      gboolean repeated;
      double repetition;

      g_assert_true (faint_jcamp_ordinates (forms[i], forms[i] + strlen (forms[i]), &state, y,
                                            &repeated, &repetition, &fault));
      g_assert_false (repeated);
      g_assert_cmpuint (y->len, ==, G_N_ELEMENTS (example));
      g_assert_cmpmem (y->data, y->len * sizeof (double), example, sizeof example);
    }
}

static void
test_abscissa (void)
{
  static const struct
  {
    const char *line;
    double x;
    const char *rest;
  } cases[] = {
    { "599.860@VKT%TLkj", 599.86, "@VKT%TLkj" },
    { "  450E21", 450.0, "E21" },
    { "4.5E+02 1", 450.0, " 1" },
    { "-3+4", -3.0, "+4" },
    { "7000.5,12", 7000.5, ",12" },
    { "1e-3 4", 1e-3, " 4" },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      const char *after;
      double x;

      g_assert_true (
          faint_jcamp_abscissa (cases[i].line, cases[i].line + strlen (cases[i].line), &x, &after));
      g_assert_cmpfloat (x, ==, cases[i].x);
      g_assert_cmpstr (after, ==, cases[i].rest);
    }
}

/* A unit of the last digit that is written. */
static void
test_last_digit (void)
{
  static const struct
  {
    const char *number;
    double unit;
  } cases[] = { { "7750.25", 0.01 }, { "7750.2500", 1e-4 }, { "450", 1.0 },   { "450.", 1.0 },
                { "4.5E+02", 10.0 }, { "-1.25e-3", 1e-5 },  { "+.5E1", 1.0 }, { "", 1.0 } };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    faint_assert_near (
        faint_jcamp_last_digit (cases[i].number, cases[i].number + strlen (cases[i].number)),
        cases[i].unit, 1e-12 * cases[i].unit, "rounding of a power of ten");
}

static void
check_spectrum (const FaintSpectrum *spectrum, const gint64 *y)
{
  g_assert_cmpuint (spectrum->n, ==, JCAMP_N);
  for (int i = 0; i < JCAMP_N; i++)
    {
      faint_assert_near (spectrum->wavenumber[i], JCAMP_FIRST_X + i * JCAMP_STEP, 1e-9,
                         "digits of the file");
      faint_assert_near (spectrum->value[i], (double)y[i] * JCAMP_Y_FACTOR, 1e-12,
                         "digits of the file");
    }
  g_assert_cmpfloat (spectrum->setup->temperature.value, ==, 296.15);
}

static void
test_files (void)
{
  gint64 y[JCAMP_N];

  jcamp_fill_ordinates (y);
  for (JcampForm form = JCAMP_AFFN; form < JCAMP_N_FORMS; form++)
    {
      g_autofree char *text = jcamp_encode (form, y);
      g_autoptr (GError) error = NULL;
      g_autoptr (FaintSpectrum) spectrum = jcamp_read (text, NULL, &error);

      g_test_message ("%s", jcamp_form_names[form]);
      g_assert_no_error (error);
      check_spectrum (spectrum, y);
    }
}

static void
test_points (void)
{
  GString *text = g_string_new (NULL);
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintSpectrum) spectrum = NULL;
  gint64 y[JCAMP_N];

  jcamp_fill_ordinates (y);
  jcamp_append_head (text, "invented", &jcamp_exact, "");
  g_string_append (text, "##XYPOINTS= (XY..XY)\r\n");
  for (int i = 0; i < JCAMP_N; i++)
    g_string_append_printf (text, "%.6f, %" G_GINT64_FORMAT "%s", JCAMP_FIRST_X + i * JCAMP_STEP,
                            y[i], i % 4 == 3 || i == JCAMP_N - 1 ? "\r\n" : "; ");
  g_string_append (text, "##END=\r\n");
  spectrum = jcamp_read (text->str, NULL, &error);
  g_assert_no_error (error);
  check_spectrum (spectrum, y);
  g_string_free (text, TRUE);
}

static const char *
warning_of (const FaintSpectrum *spectrum, const char *code)
{
  for (guint i = 0; i < spectrum->warnings->len; i++)
    {
      const FaintWarning *warning = g_ptr_array_index (spectrum->warnings, i);

      if (strcmp (warning->code, code) == 0)
        return warning->text;
    }
  return "";
}

/* Files that are older than UTF-8: every character is kept, and a warning says where the first of
 * them stands. */
static void
test_latin_1 (void)
{
  static const char text[] = "##TITLE= N2O \xfc"
                             "ber 20 \xb5m, 1\xb2\n##JCAMP-DX= 4.24\n##XUNITS= 1/CM\n"
                             "##YUNITS= TRANSMITTANCE $$ \x96\n##TEMPERATURE= 23 \xb0"
                             "C\n"
                             "##XYPOINTS= (XY..XY)\n1 1 2 .9 3 1 4 .8\n5 1 6 .9 7 1 8 .9\n##END=\n";
  g_autofree char *later = g_strdup_printf ("##TITLE= plain\n%s", strchr (text, '\n') + 1);
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintSpectrum) spectrum = jcamp_read (text, NULL, &error), second = NULL, third = NULL;

  g_assert_no_error (error);
  g_assert_cmpstr (spectrum->setup->title, ==, "N2O \u00fcber 20 \u00b5m, 1\u00b2");
  g_assert_cmpfloat (spectrum->setup->temperature.value, ==, 296.15);
  g_assert_true (faint_warnings_has (spectrum->warnings, "latin-1"));
  second = jcamp_read (later, NULL, &error);
  g_assert_no_error (error);
  g_assert_nonnull (strstr (warning_of (second, "latin-1"), "line 4"));
  third = jcamp_read ("1,2\n3,4 \xb0\n", "wavenumber/cm-1,transmission", &error);
  g_assert_null (third);
  g_assert_nonnull (strstr (error->message, "is not UTF-8"));
}

/* Tables that are no spectrum: what they are, and what to do. */
static void
test_other_tables (void)
{
  static const char *const cases[][2] = {
    { "##NTUPLES= NMR SPECTRUM\n##PAGE= N=1\n", "##NTUPLES=' begins a table of several variables" },
    { "##PEAK TABLE= (XY..XY)\n1,2\n", "##PEAK TABLE=' begins a table of peaks" },
    { "##PEAK ASSIGNMENTS= (XYA)\n(1,2,<a>)\n", "table of peaks with their assignments" },
    { "##RADATA= (R++(A..A))\n1 2\n", "an interferogram" },
    { "##SOMETHING= 1\n", "holds no table of a spectrum" },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autofree char *text = g_strdup_printf ("##TITLE= t\n%s##END=\n", cases[i][0]);
      g_autoptr (GError) error = NULL;
      g_autoptr (FaintSpectrum) spectrum = jcamp_read (text, NULL, &error);

      g_assert_null (spectrum);
      g_test_message ("%s", error->message);
      g_assert_nonnull (strstr (error->message, cases[i][1]));
    }
}

/* Percent, absorbance, wavelengths, a falling axis and missing ordinates. */
static void
test_units (void)
{
  GString *text = g_string_new ("##TITLE= t\n##JCAMPDX= 5.01\n##XUNITS= NANOMETERS\n"
                                "##YUNITS= ABSORBANCE\n##FIRSTX= 1290\n##LASTX= 1281\n"
                                "##NPOINTS= 10\n##XFACTOR=1\n##YFACTOR=0.1\n"
                                "##XYDATA=(X++(Y..Y))\n1290 0 1 ? 3 4\n1285 5 6 7 8 9\n##END=\n");
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintSpectrum) spectrum = jcamp_read (text->str, NULL, &error);

  g_assert_no_error (error);
  g_assert_cmpuint (spectrum->n, ==, 9);
  faint_assert_near (spectrum->wavenumber[0], 1e7 / 1290.0, 1e-9, "vacuum wavelength");
  faint_assert_near (spectrum->value[1], pow (10.0, -0.1), 1e-12, "decadic absorbance");
  faint_assert_near (spectrum->value[8], pow (10.0, -0.9), 1e-12, "decadic absorbance");
  g_assert_true (faint_warnings_has (spectrum->warnings, "missing-ordinates"));
  g_assert_true (faint_warnings_has (spectrum->warnings, "wavelength-in-vacuum"));
  g_string_free (text, TRUE);
}

static void
test_compound (void)
{
  GString *text = g_string_new ("##TITLE= both\n##JCAMP-DX= 4.24\n##DATA TYPE= LINK\n"
                                "##BLOCKS= 2\n");
  gint64 y[JCAMP_N];

  jcamp_fill_ordinates (y);
  for (int i = 0; i < 2; i++)
    {
      g_autofree char *block = jcamp_encode (i == 0 ? JCAMP_AFFN : JCAMP_DIFDUP, y);

      g_string_append (text, block);
    }
  g_string_append (text, "##END=\n");
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintSpectrum) none = jcamp_read (text->str, NULL, &error);
  g_assert_null (none);
  g_assert_error (error, FAINT_JCAMP_ERROR, FAINT_JCAMP_ERROR_UNTOLD);
  g_assert_nonnull (strstr (error->message, "block=2 (invented, 103 points, 7750.25 to 7751.0966 "
                                            "1/CM, line "));
  g_clear_error (&error);
  g_autoptr (FaintSpectrum) second = jcamp_read (text->str, "block=2", &error);
  g_assert_no_error (error);
  check_spectrum (second, y);
  g_string_free (text, TRUE);
}

/* What a person chooses from; without a word on number and span, those of the points. */
static void
test_summaries (void)
{
  static const char text[]
      = "##TITLE= both\n##DATA TYPE= LINK\n##BLOCKS= 3\n"
        "##TITLE= first\n##XUNITS= 1/CM\n##YUNITS= ARBITRARY UNITS\n##FIRSTX= 7790.1\n"
        "##LASTX= 7790.3\n##NPOINTS= 3\n##XYDATA= (X++(Y..Y))\nx\n##END=\n"
        "##TITLE= peaks\n##PEAK TABLE= (XY..XY)\n1,2\n##END=\n"
        "##TITLE=\n##XUNITS= NANOMETERS\n##YUNITS= ABSORBANCE\n##XFACTOR= 2\n"
        "##XYPOINTS= (XY..XY)\n640 1 645 1\n650,1\n##END=\n"
        "##END=\n";
  char *folder = faint_test_folder_new ();
  g_autofree char *path = faint_test_file (folder, "file.dx", text);
  g_autofree char *other = faint_test_file (folder, "other.txt", "1 2\n");
  g_autoptr (GError) error = NULL;
  g_autoptr (GPtrArray) summaries = faint_jcamp_summaries (path, &error);
  const FaintJcampSummary *first, *second;

  g_assert_no_error (error);
  g_assert_cmpuint (summaries->len, ==, 2);
  first = g_ptr_array_index (summaries, 0);
  second = g_ptr_array_index (summaries, 1);
  g_assert_cmpuint (first->number, ==, 1);
  g_assert_cmpstr (first->title, ==, "first");
  g_assert_cmpuint (first->line, ==, 4);
  g_assert_cmpstr (first->x_unit, ==, "1/CM");
  g_assert_cmpstr (first->y_unit, ==, "ARBITRARY UNITS");
  g_assert_cmpfloat (first->first_x, ==, 7790.1);
  g_assert_cmpfloat (first->last_x, ==, 7790.3);
  g_assert_cmpfloat (first->n_points, ==, 3);
  g_assert_cmpuint (second->number, ==, 2);
  g_assert_cmpstr (second->title, ==, "without a title");
  g_assert_cmpfloat (second->first_x, ==, 1280);
  g_assert_cmpfloat (second->last_x, ==, 1300);
  g_assert_cmpfloat (second->n_points, ==, 3);
  g_assert_null (faint_jcamp_summaries (other, &error));
  g_assert_nonnull (strstr (error->message, "labelled record"));
  faint_test_folder_remove (folder);
}

/* Replaces the first @old of a good file in difference form. */
static void
refuses (const char *old, const char *new, const char *map, const char *expected)
{
  gint64 y[JCAMP_N];
  g_autoptr (GError) error = NULL;

  jcamp_fill_ordinates (y);
  g_autofree char *good = jcamp_encode (JCAMP_DIF, y);
  const char *at = strstr (good, old);
  g_assert_nonnull (at);
  g_autofree char *bad
      = g_strdup_printf ("%.*s%s%s", (int)(at - good), good, new, at + strlen (old));
  g_autoptr (FaintSpectrum) spectrum = jcamp_read (bad, map, &error);
  g_assert_null (spectrum);
  g_test_message ("%s", error->message);
  /* what a word of the map can mend is told from the rest */
  g_assert_cmpint (error->domain == FAINT_JCAMP_ERROR, ==,
                   strstr (error->message, "have it read unchecked") != NULL
                       || strstr (error->message, "which of the two it is") != NULL
                       || strstr (error->message, "must be told") != NULL);
  if (strstr (error->message, expected) == NULL)
    g_error ("'%s' was expected in: %s", expected, error->message);
}

static void
test_damaged (void)
{
  refuses ("7750.250000I", "7750.250000H", NULL, "repeating the last ordinate");
  refuses ("7750.3247", "7750.4247", NULL, "points are missing or surplus");
  refuses ("##NPOINTS= 103", "##NPOINTS= 102", NULL, "NPOINTS is wrong");
  refuses ("##NPOINTS= 103", "##NPOINTS= many", NULL, "a number was expected");
  refuses ("##FIRSTY= 0.99", "##FIRSTY= 0.5", NULL, "FIRSTY");
  refuses ("##END=", "## END", NULL, "'=' is missing");
  refuses ("##END=", "", NULL, "no '##END='");
  refuses ("##XUNITS= 1/CM", "##XUNITS= SECONDS", NULL, "NANOMETERS");
  refuses ("##YUNITS= TRANSMITTANCE", "##YUNITS= ARBITRARY UNITS", NULL,
           "TRANSMITTANCE or ABSORBANCE");
  refuses ("##XYDATA= (X++(Y..Y))", "##XYDATA= (X++(R..R))", NULL, "(X++(Y..Y))");
  refuses ("##XYDATA=", "##NTUPLES=", NULL, "NTUPLES");
  refuses ("##FIRSTX=", "##SECONDX=", NULL, "FIRSTX");
  refuses ("$$ remark", "!", NULL, "is not a number in any of the forms");
  refuses ("7750.324700", "x", NULL, "no abscissa");
  refuses ("##END=", "##END=", "block=2", "block=1 (invented, 103 points");
  refuses ("##END=", "##END=", "signal", "is none of them");
}

/* What fails is told, but the table is taken. */
static void
test_unchecked (void)
{
  gint64 y[JCAMP_N];
  g_autoptr (GError) error = NULL;

  jcamp_fill_ordinates (y);
  g_autofree char *text = jcamp_encode (JCAMP_DIF, y);
  char *at = strstr (text, "7750.3247");
  memcpy (at, "7750.4247", 9);
  g_autoptr (FaintSpectrum) spectrum = jcamp_read (text, "unchecked", &error);
  g_assert_no_error (error);
  check_spectrum (spectrum, y);
  g_assert_true (faint_warnings_has (spectrum->warnings, "check-failed"));
}

/* For jcamp-peer.sh: the encoder's files into a folder; what the reader makes of a file. */
static void
write_files (const char *folder)
{
  gint64 y[JCAMP_N];

  jcamp_fill_ordinates (y);
  for (JcampForm form = JCAMP_AFFN; form < JCAMP_N_FORMS; form++)
    {
      g_autofree char *text = jcamp_encode (form, y);
      g_autofree char *name = g_strdup_printf ("%s.dx", jcamp_form_names[form]);

      g_free (faint_test_file (folder, name, text));
    }
}

static int
print_file (const char *path)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintSpectrum) spectrum
      = faint_spectrum_read (path, &(FaintReadOptions){ 0 }, NULL, &error);

  g_assert_no_error (error);
  for (gsize i = 0; i < spectrum->n; i++)
    g_print ("%.9f %.9f\n", spectrum->wavenumber[i], spectrum->value[i]);
  return 0;
}

int
main (int argc, char **argv)
{
  if (argc == 3 && strcmp (argv[1], "write") == 0)
    return write_files (argv[2]), 0;
  if (argc == 3 && strcmp (argv[1], "print") == 0)
    return print_file (argv[2]);
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/spectrum/jcamp/forms", test_forms);
  g_test_add_func ("/spectrum/jcamp/abscissa", test_abscissa);
  g_test_add_func ("/spectrum/jcamp/last-digit", test_last_digit);
  g_test_add_func ("/spectrum/jcamp/files", test_files);
  g_test_add_func ("/spectrum/jcamp/latin-1", test_latin_1);
  g_test_add_func ("/spectrum/jcamp/other-tables", test_other_tables);
  g_test_add_func ("/spectrum/jcamp/points", test_points);
  g_test_add_func ("/spectrum/jcamp/units", test_units);
  g_test_add_func ("/spectrum/jcamp/compound", test_compound);
  g_test_add_func ("/spectrum/jcamp/summaries", test_summaries);
  g_test_add_func ("/spectrum/jcamp/damaged", test_damaged);
  g_test_add_func ("/spectrum/jcamp/unchecked", test_unchecked);
  return g_test_run ();
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * JCAMP-DX: the number forms by the example of the standard (McDonald & Wilks, Appl. Spectrosc. 42,
 * 151 (1988), table of the forms of 1 2 3 3 2 1 0 -1 -2 -3, from memory), whole files by an encoder
 * of this test's own, and damaged ones. tests/spectrum/jcamp-peer.sh holds the reader against
 * another.
 */
#include "faint/spectrum/comb-table.h"
#include "faint/spectrum/jcamp-numbers.h"

#include <math.h>
#include <string.h>

#include "faint-test.h"
#include "faint/base/text.h"

#define N 103
#define FIRST_X 7750.25
#define STEP 0.0083
#define Y_FACTOR 1e-6

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

/* ---- an encoder */

typedef enum
{
  AFFN,
  PAC,
  SQZ,
  DIF,
  DIFDUP,
  N_FORMS,
} Form;
static const char *const form_names[] = { "affn", "pac", "sqz", "dif", "difdup" };

/* Transmissions with flat stretches, both signs and jumps, in units of Y_FACTOR. */
static void
fill_ordinates (gint64 *y)
{
  for (int i = 0; i < N; i++)
    y[i] = i % 17 < 5 ? 990000
                      : (gint64)(1e6 * (1.0 - 0.7 / (1.0 + (i - 50) * (i - 50))))
                            - (i == 30 ? 1500000 : 0);
}

static void
append_pseudo (GString *line, gint64 value, char zero, char positive, char negative)
{
  g_autofree char *digits = g_strdup_printf ("%" G_GINT64_FORMAT, value < 0 ? -value : value);

  g_string_append_c (line, value == 0  ? zero
                           : value > 0 ? (char)(positive + digits[0] - '1')
                                       : (char)(negative + digits[0] - '1'));
  g_string_append (line, digits + 1);
}

static void
append_count (GString *line, int count)
{
  g_autofree char *digits = g_strdup_printf ("%d", count);

  g_string_append_c (line, digits[0] == '9' ? 's' : (char)('S' + digits[0] - '1'));
  g_string_append (line, digits + 1);
}

/* Ordinates [from, to) as one line; in difference form the line before has been repeated. */
static void
append_line (GString *text, const gint64 *y, int from, int to, Form form)
{
  GString *line = g_string_new (NULL);
  int start = form >= DIF && from > 0 ? from - 1 : from;

  g_string_append_printf (line, "%.6f", FIRST_X + start * STEP);
  for (int i = start; i < to; i++)
    if (form == AFFN)
      g_string_append_printf (line, " %" G_GINT64_FORMAT, y[i]);
    else if (form == PAC)
      g_string_append_printf (line, "%+" G_GINT64_FORMAT, y[i]);
    else if (form == SQZ || i == start)
      append_pseudo (line, y[i], '@', 'A', 'a');
    else
      {
        int count = 1;

        append_pseudo (line, y[i] - y[i - 1], '%', 'J', 'j');
        while (form == DIFDUP && i + 1 < to && y[i + 1] - y[i] == y[i] - y[i - 1])
          {
            count++;
            i++;
          }
        if (count > 1)
          append_count (line, count);
      }
  g_string_append_printf (text, "%s  $$ remark\r\n", line->str);
  g_string_free (line, TRUE);
}

static void
append_head (GString *text, const char *title, const char *more)
{
  g_string_append_printf (
      text,
      "##TITLE= %s\r\n##JCAMP-DX= 4.24 $$ a remark\r\n##DATA TYPE= INFRARED SPECTRUM\r\n"
      "##XUNITS= 1/CM\r\n##YUNITS= TRANSMITTANCE\r\n##XFACTOR= 1\r\n##Y-FACTOR= 1E-06\r\n"
      "##FIRSTX= %.6f\r\n##LASTX= %.6f\r\n##NPOINTS= %d\r\n##temperature= 23.0 C\r\n%s",
      title, FIRST_X, FIRST_X + (N - 1) * STEP, N, more);
}

static char *
encode (Form form, const gint64 *y)
{
  GString *text = g_string_new (NULL);

  append_head (text, "invented", "##FIRSTY= 0.99\r\n");
  g_string_append (text, "##XYDATA= (X++(Y..Y))\r\n");
  for (int from = 0; from < N; from += 10)
    append_line (text, y, from, MIN (from + 10, N), form);
  /* The last ordinate is repeated too. */
  if (form >= DIF)
    append_line (text, y, N, N, form);
  g_string_append (text, "##END= $$\r\n");
  return g_string_free (text, FALSE);
}

static FaintSpectrum *
read (const char *bytes, const char *map, GError **error)
{
  char *folder = faint_test_folder_new ();
  g_autofree char *path = faint_test_file (folder, "file.dx", bytes);
  FaintReadOptions options = { .columns = map };
  FaintSpectrum *spectrum = faint_spectrum_read (path, &options, NULL, error);

  faint_test_folder_remove (folder);
  return spectrum;
}

static void
check_spectrum (const FaintSpectrum *spectrum, const gint64 *y)
{
  g_assert_cmpuint (spectrum->n, ==, N);
  for (int i = 0; i < N; i++)
    {
      faint_assert_near (spectrum->wavenumber[i], FIRST_X + i * STEP, 1e-9, "digits of the file");
      faint_assert_near (spectrum->value[i], (double)y[i] * Y_FACTOR, 1e-12, "digits of the file");
    }
  g_assert_cmpfloat (spectrum->setup->temperature.value, ==, 296.15);
}

static void
test_files (void)
{
  gint64 y[N];

  fill_ordinates (y);
  for (Form form = AFFN; form < N_FORMS; form++)
    {
      g_autofree char *text = encode (form, y);
      g_autoptr (GError) error = NULL;
      g_autoptr (FaintSpectrum) spectrum = read (text, NULL, &error);

      g_test_message ("%s", form_names[form]);
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
  gint64 y[N];

  fill_ordinates (y);
  append_head (text, "invented", "");
  g_string_append (text, "##XYPOINTS= (XY..XY)\r\n");
  for (int i = 0; i < N; i++)
    g_string_append_printf (text, "%.6f, %" G_GINT64_FORMAT "%s", FIRST_X + i * STEP, y[i],
                            i % 4 == 3 || i == N - 1 ? "\r\n" : "; ");
  g_string_append (text, "##END=\r\n");
  spectrum = read (text->str, NULL, &error);
  g_assert_no_error (error);
  check_spectrum (spectrum, y);
  g_string_free (text, TRUE);
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
  g_autoptr (FaintSpectrum) spectrum = read (text->str, NULL, &error);

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
  gint64 y[N];

  fill_ordinates (y);
  for (int i = 0; i < 2; i++)
    {
      g_autofree char *block = encode (i == 0 ? AFFN : DIFDUP, y);

      g_string_append (text, block);
    }
  g_string_append (text, "##END=\n");
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintSpectrum) none = read (text->str, NULL, &error);
  g_assert_null (none);
  g_assert_nonnull (strstr (error->message, "block=2"));
  g_clear_error (&error);
  g_autoptr (FaintSpectrum) second = read (text->str, "block=2", &error);
  g_assert_no_error (error);
  check_spectrum (second, y);
  g_string_free (text, TRUE);
}

/* Replaces the first @old of a good file in difference form. */
static void
refuses (const char *old, const char *new, const char *map, const char *expected)
{
  gint64 y[N];
  g_autoptr (GError) error = NULL;

  fill_ordinates (y);
  g_autofree char *good = encode (DIF, y);
  const char *at = strstr (good, old);
  g_assert_nonnull (at);
  g_autofree char *bad
      = g_strdup_printf ("%.*s%s%s", (int)(at - good), good, new, at + strlen (old));
  g_autoptr (FaintSpectrum) spectrum = read (bad, map, &error);
  g_assert_null (spectrum);
  g_test_message ("%s", error->message);
  if (strstr (error->message, expected) == NULL)
    g_error ("'%s' was expected in: %s", expected, error->message);
}

static void
test_damaged (void)
{
  refuses ("7750.250000I", "7750.250000H", NULL, "repeating the last ordinate");
  refuses ("7750.3247", "7750.4247", NULL, "points are missing or surplus");
  refuses ("##NPOINTS= 103", "##NPOINTS= 102", NULL, "103");
  refuses ("##NPOINTS= 103", "##NPOINTS= many", NULL, "a number was expected");
  refuses ("##FIRSTY= 0.99", "##FIRSTY= 0.5", NULL, "FIRSTY");
  refuses ("##END=", "## END", NULL, "'=' is missing");
  refuses ("##END=", "", NULL, "no '##END='");
  refuses ("##XUNITS= 1/CM", "##XUNITS= SECONDS", NULL, "NANOMETERS");
  refuses ("##YUNITS= TRANSMITTANCE", "##YUNITS= ARBITRARY UNITS", NULL, "--columns transmission");
  refuses ("##XYDATA= (X++(Y..Y))", "##XYDATA= (X++(R..R))", NULL, "(X++(Y..Y))");
  refuses ("##XYDATA=", "##NTUPLES=", NULL, "NTUPLES");
  refuses ("##FIRSTX=", "##SECONDX=", NULL, "FIRSTX");
  refuses ("$$ remark", "!", NULL, "is not a number in any of the forms");
  refuses ("7750.324700", "x", NULL, "no abscissa");
  refuses ("##END=", "##END=", "block=2", "block=1 (invented, line 1)");
  refuses ("##END=", "##END=", "signal", "is none of them");
}

/* What fails is told, but the table is taken. */
static void
test_unchecked (void)
{
  gint64 y[N];
  g_autoptr (GError) error = NULL;

  fill_ordinates (y);
  g_autofree char *text = encode (DIF, y);
  char *at = strstr (text, "7750.3247");
  memcpy (at, "7750.4247", 9);
  g_autoptr (FaintSpectrum) spectrum = read (text, "unchecked", &error);
  g_assert_no_error (error);
  check_spectrum (spectrum, y);
  g_assert_true (faint_warnings_has (spectrum->warnings, "check-failed"));
}

/* For jcamp-peer.sh: the encoder's files into a folder; what the reader makes of a file. */
static void
write_files (const char *folder)
{
  gint64 y[N];

  fill_ordinates (y);
  for (Form form = AFFN; form < N_FORMS; form++)
    {
      g_autofree char *text = encode (form, y);
      g_autofree char *name = g_strdup_printf ("%s.dx", form_names[form]);

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
  g_test_add_func ("/spectrum/jcamp/files", test_files);
  g_test_add_func ("/spectrum/jcamp/points", test_points);
  g_test_add_func ("/spectrum/jcamp/units", test_units);
  g_test_add_func ("/spectrum/jcamp/compound", test_compound);
  g_test_add_func ("/spectrum/jcamp/damaged", test_damaged);
  g_test_add_func ("/spectrum/jcamp/unchecked", test_unchecked);
  return g_test_run ();
}

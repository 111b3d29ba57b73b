/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Line lists as comma-separated text. Quoting after RFC 4180 (2005), section 2, rules 1 to 7;
 * heads after the quantity calculus of the SI Brochure, section 5.4.1.
 */
#include "faint/base/warnings.h"
#include "faint/lines/line-list.h"
#include "faint-test.h"
#include "random-lines.h"

#include <string.h>

/* The contract of the format's page, word for word, and the columns added at its end. */
static const char head[]
    = "id,position/cm-1,u(position)/cm-1,frequency/MHz,u(frequency)/MHz,strength/(cm/molecule),"
      "u(strength)/(cm/molecule),u_noise(strength)/(cm/molecule),strength_296K/(cm/molecule),"
      "lorentz_hwhm/cm-1,u(lorentz_hwhm)/cm-1,doppler_hwhm/cm-1,u(doppler_hwhm)/cm-1,"
      "lower_energy/cm-1,u(lower_energy)/cm-1,upper,lower,snr,window,chi2_reduced,flags,remark,"
      "u(strength_296K)/(cm/molecule),u_noise(position)/cm-1,u_noise(lorentz_hwhm)/cm-1,"
      "peak_absorption,u_common(position)/cm-1,u_common(strength)/(cm/molecule),"
      "u_common(lorentz_hwhm)/cm-1,U(position)/cm-1,U(strength)/(cm/molecule)";

static FaintLineList *
parse (const char *text)
{
  g_autoptr (GError) error = NULL;
  FaintLineList *list = faint_line_list_parse_csv (text, "list.csv", NULL, &error);

  g_assert_no_error (error);
  return list;
}

static void
test_contract (void)
{
  FaintLine line = faint_line_unknown ();
  g_autoptr (FaintLineList) list = NULL;
  g_autofree char *text = NULL;
  g_auto (GStrv) rows = NULL;
  guint i = 0;

  line.position.value = 7790.5;
  line.lorentz = (FaintParameter){ 0.0125, 0.5, 0.5, FAINT_STATE_FIXED, 0, 1.0, 0.0 };
  line.remark = "said \"weak\", twice";
  list = faint_line_list_new (&line, 1);
  text = faint_line_list_to_csv (list, NULL);
  rows = g_strsplit (text, "\n", -1);
  while (rows[i][0] == '#')
    i++;
  g_assert_cmpuint (i, >, 0);
  g_assert_cmpstr (rows[i], ==, head);
  /* 7790.5 cm-1 times 29979.2458 MHz cm is 233553314.4049 MHz; what is not known is empty. */
  g_assert_cmpstr (rows[i + 1], ==,
                   "1,7790.5,,233553314.4049,,,,,,0.0125,,,,,,,,,,,lorentz-fixed,"
                   "\"said \"\"weak\"\", twice\",,,,,,,,,");
  g_assert_cmpstr (rows[i + 2], ==, "");
}

static void
test_preamble (void)
{
  g_autoptr (FaintSetup) setup = faint_setup_new ();
  g_autoptr (GError) error = NULL;
  const char *const inputs[] = { "run.comb  0123abcd", NULL };
  FaintLineListAbout about = { "a title\nof two lines", setup, inputs, 1.25, "2026-01-02", NAN };
  g_autoptr (FaintLineList) list = faint_line_list_new (NULL, 0);
  g_autoptr (FaintLineList) back = NULL;
  g_autofree char *text = NULL;

  faint_setup_set (setup, "pressure", "1.5 hPa", NULL, &error);
  g_assert_no_error (error);
  faint_setup_set (setup, "u(pressure)", "0.25 hPa", NULL, &error);
  g_assert_no_error (error);
  text = faint_line_list_to_csv (list, &about);
  g_assert_nonnull (strstr (text, "# title = a title of two lines\n"));
  g_assert_nonnull (strstr (text, "# input = run.comb  0123abcd\n"));
  g_assert_nonnull (strstr (text, "# pressure = 1.5 hPa\n"));
  g_assert_nonnull (strstr (text, "# u(pressure) = 0.25 hPa\n"));
  g_assert_nonnull (strstr (text, "# chi2_reduced = 1.25\n"));
  g_assert_nonnull (strstr (text, "# date = 2026-01-02\n"));
  g_assert_nonnull (strstr (text, "# reference_temperature = 296 K\n"));
  g_assert_nonnull (strstr (text, "Faintline " FAINT_VERSION));
  /* JCGM 100:2008, table G.1: k = 2 for 95.45 %, k = 3 for 99.73 % of a normal distribution. */
  g_assert_nonnull (strstr (text, "# coverage_factor = 2\n# level_of_confidence = 95.45 % for a "
                                  "normal distribution"));
  back = parse (text);
  g_assert_cmpuint (faint_line_list_get_n (back), ==, 0);
  about.coverage_factor = 3.0;
  g_free (text);
  text = faint_line_list_to_csv (list, &about);
  g_assert_nonnull (strstr (text, "# coverage_factor = 3\n# level_of_confidence = 99.73 % "));
}

static void
test_round_trip (void)
{
  g_autoptr (GRand) random = g_rand_new_with_seed (20250131);

  for (guint run = 0; run < 60; run++)
    {
      gsize n = (gsize)g_rand_int_range (random, 0, 60);
      g_autofree FaintLine *lines = g_new (FaintLine, n);
      g_autoptr (FaintLineList) list = NULL;
      g_autoptr (FaintLineList) back = NULL;
      g_autofree char *text = NULL;
      g_autofree char *again = NULL;

      for (gsize i = 0; i < n; i++)
        {
          lines[i] = faint_test_random_line (random);
          if (run % 3 > 0)
            faint_test_random_extras (random, &lines[i]);
          if (run % 3 > 1)
            faint_test_random_ties (random, &lines[i], (guint)n);
        }
      list = faint_line_list_new (lines, n);
      text = faint_line_list_to_csv (list, NULL);
      back = parse (text);
      g_assert_cmpuint (faint_line_list_get_n (back), ==, n);
      for (gsize i = 0; i < n; i++)
        faint_test_same_line (faint_line_list_get (back, i), faint_line_list_get (list, i));
      again = faint_line_list_to_csv (back, NULL);
      g_assert_cmpstr (again, ==, text);
    }
}

/* The uncertainties of JCGM 100:2008: contributions of inputs add as squares (5.1.2) to the common
 * part, U = k u (6.2.1). */
static void
test_uncertainties (void)
{
  FaintLine line = faint_line_unknown ();
  const FaintLineListAbout about = { .chi2_reduced = NAN, .coverage_factor = 3.0 };
  g_autoptr (FaintLineList) list = NULL;
  g_autofree char *text = NULL;

  line.position = (FaintParameter){ 7790.5, 13.0, 12.0, FAINT_STATE_FREE, 0, 1.0, 0.0 };
  line.position_from[FAINT_SOURCE_NOISE] = 12.0;
  line.position_from[FAINT_SOURCE_PRESSURE] = -3.0;
  line.position_from[FAINT_SOURCE_REPETITION_RATE] = 4.0;
  /* no contributions: 13^2 = 5^2 + 12^2 leaves 12 */
  line.strength = (FaintParameter){ 100.0, 13.0, 5.0, FAINT_STATE_FREE, 0, 1.0, 0.0 };
  /* noise alone: what is common is not known, and so not written as 0 */
  line.lorentz = (FaintParameter){ 0.25, 0.5, 0.5, FAINT_STATE_FREE, 0, 1.0, 0.0 };
  list = faint_line_list_new (&line, 1);
  text = faint_line_list_to_csv (list, &about);
  g_assert_nonnull (strstr (text, ",12,0.5,,5,12,,39,39\n"));
}

static const char chain[] = "id,position/cm-1,lorentz_hwhm/cm-1,flags,profile,correlation,ties\n"
                            "4,7790,0.25,correlation-fixed lorentz-fixed,hartmann-tran,0.5,\n"
                            "7,7791,0.75,,,,lorentz=4*2+0.125\n"
                            "9,7792,,position-fixed,voigt,, lorentz=7*-1e0-0.5  position=4*1+3\n";

static void
test_ties (void)
{
  g_autoptr (FaintLineList) list = parse (chain);
  const FaintLine *second = faint_line_list_get (list, 1), *third = faint_line_list_get (list, 2);
  g_autofree char *text = faint_line_list_to_csv (list, NULL);

  g_assert_cmpint (faint_line_list_get (list, 0)->profile, ==, FAINT_PROFILE_HARTMANN_TRAN);
  g_assert_cmpint (faint_line_list_get (list, 0)->correlation.state, ==, FAINT_STATE_FIXED);
  g_assert_cmpint (second->profile, ==, FAINT_PROFILE_VOIGT);
  g_assert_cmpint (second->lorentz.state, ==, FAINT_STATE_TIED);
  g_assert_true (second->lorentz.value == 0.625); /* 2 x 0.25 + 0.125, exact in binary */
  g_assert_cmpuint (third->lorentz.tied_to, ==, 4);
  g_assert_true (third->lorentz.tie_factor == -2.0 && third->lorentz.tie_offset == -0.625);
  g_assert_true (third->position.value == 7793.0); /* a tie wins over a flag */
  g_assert_cmpuint (third->flags, ==, FAINT_LINE_POSITION_TIED | FAINT_LINE_LORENTZ_TIED);
  g_assert_nonnull (strstr (text, ",lorentz-fixed correlation-fixed,"));
  g_assert_nonnull (strstr (text, ",lorentz=4*2+0.125\n"));
  g_assert_nonnull (strstr (text, ",position=4*1+3 lorentz=4*-2-0.625\n"));
  g_assert_nonnull (strstr (text, ",profile,correlation,ties\n")); /* what no line has stays out */
}

static void
test_ties_that_cannot_hold (void)
{
  g_autoptr (GPtrArray) warnings = faint_warnings_new ();
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintLineList) list
      = faint_line_list_parse_csv ("id,position/cm-1,lorentz_hwhm/cm-1,ties\n"
                                   "1,10,0.5,lorentz=2*1\n2,11,0.25,\n3,12,0.25,lorentz=77*1\n",
                                   "list.csv", warnings, &error);

  g_assert_no_error (error);
  g_assert_cmpint (faint_line_list_get (list, 0)->lorentz.state, ==, FAINT_STATE_TIED);
  g_assert_cmpint (faint_line_list_get (list, 2)->lorentz.state, ==, FAINT_STATE_FREE);
  g_assert_true (faint_warnings_has (warnings, "ties-ignored"));
}

static void
test_foreign (void)
{
  /* Any order of heads, other units, blanks around numbers, CRLF, quoted numbers. */
  g_autoptr (GPtrArray) warnings = faint_warnings_new ();
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintLineList) list = faint_line_list_parse_csv (
      "# from elsewhere\r\n\r\n"
      "lower,frequency/THz,colour,lorentz_hwhm/GHz,u(frequency)/GHz\r\n"
      "\"a\"\"b\r\nc\", 299.792458 ,red,\"29.9792458\",2.99792458\r\n",
      "list.csv", warnings, &error);
  const FaintLine *line;

  g_assert_no_error (error);
  line = faint_line_list_get (list, 0);
  /* 299.792458 THz are 10 000 cm-1, 29.9792458 GHz are 1 cm-1: c exact in the SI. */
  faint_assert_close (line->position.value, 10000.0, 4.5e-16, "two roundings");
  faint_assert_close (line->position.u, 0.1, 4.5e-16, "two roundings");
  faint_assert_close (line->lorentz.value, 1.0, 4.5e-16, "two roundings");
  g_assert_cmpstr (line->lower, ==, "a\"b\r\nc");
  g_assert_true (isnan (line->strength.value));
  g_assert_true (faint_warnings_has (warnings, "column-ignored"));
  g_assert_cmpuint (warnings->len, ==, 1);
}

static void
test_errors (void)
{
  static const struct
  {
    const char *text, *words;
  } cases[] = {
    { "", "there is no head row" },
    { "# only notes\n", "there is no head row" },
    { "strength/(cm/molecule),id\n", "line 1, column 1: the head row names no position" },
    { "position/cm-1;strength/(cm/molecule)\n", "comma-separated" },
    { "position,id\n1,1\n", "line 1, column 1: the head 'position' has no unit" },
    { "id,position/furlong\n", "line 1, column 4: the head 'position/furlong' has a unit that" },
    { "frequency/cm-1\n", "MHz, GHz, THz" },
    { "position/cm-1,strength\n", "(cm/molecule)" },
    { "position/cm-1,id,position/cm-1\n", "line 1, column 18: the column 'position' stands here" },
    { "position/cm-1,id\n1,1\n2\n", "line 3, column 1: found 1 fields, expected 2" },
    { "position/cm-1,id\n1,1\n2,2,3\n", "found 3 fields, expected 2" },
    { "upper,position/cm-1\nü,12x\n", "line 2, column 3: found '12x' under 'position/cm-1'" },
    { "position/cm-1\nnan\n", "found 'nan'" },
    { "position/cm-1\n1e999\n", "found '1e999'" },
    { "position/cm-1\n-5\n", "must be above 0" },
    { "position/cm-1,lorentz_hwhm/cm-1\n5,-1\n", "must not be negative" },
    { "position/cm-1,id\n,4\n", "line 2, column 1: the line has no position" },
    { "id,position/cm-1\n3,1\n3,2\n", "line 3, column 1: the id 3 stands here a second time" },
    { "id,position/cm-1\n1.5,1\n", "whole number" },
    { "id,position/cm-1\n0,1\n", "must be above 0" },
    { "upper,position/cm-1\n\"open,1\n2,3\n", "line 2, column 1: the quote that begins here" },
    { "upper,position/cm-1\n\"a\"b,1\n", "line 2, column 4: expected a comma" },
    { "upper,position/cm-1\na\"b,1\n", "line 2, column 2: a quote stands inside" },
    { "broadening_self/cm-1,position/cm-1\n", "write 'broadening_self' with a unit: (cm-1/atm)" },
    { "position/cm-1,profile\n1,gauss\n", "line 2, column 3: found 'gauss' under 'profile'" },
    { "position/cm-1,ties\n1,lorentz\n", "line 2, column 3: found 'lorentz' under 'ties'" },
    { "position/cm-1,ties\n1,width=1*1\n", "found 'width=1*1' under 'ties'" },
    { "position/cm-1,ties\n1,lorentz=0*1\n", "found 'lorentz=0*1'" },
    { "position/cm-1,ties\n1,lorentz=-1*1\n", "found 'lorentz=-1*1'" },
    { "position/cm-1,ties\n1,lorentz=2\n", "found 'lorentz=2'" },
    { "position/cm-1,ties\n1,lorentz=2*nan\n", "found 'lorentz=2*nan'" },
    { "position/cm-1,ties\n1,lorentz=2*1+\n", "found 'lorentz=2*1+'" },
    { "position/cm-1,ties\n1,lorentz=2*1+-3\n", "found 'lorentz=2*1+-3'" },
    { "position/cm-1,ties\n1,doppler=2*1 lorentz=2*1+1x\n", "found 'lorentz=2*1+1x'" },
    { "position/cm-1,U(position)/cm-1\n1,-2\n", "must not be negative" },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (GError) error = NULL;
      FaintLineList *list = faint_line_list_parse_csv (cases[i].text, "list.csv", NULL, &error);

      g_assert_null (list);
      g_assert_true (g_str_has_prefix (error->message, "list.csv"));
      faint_assert_error_says (error, FAINT_LINES_ERROR, cases[i].words);
    }
}

static void
test_file (void)
{
  char *folder = faint_test_folder_new ();
  g_autofree char *path = faint_test_file (folder, "list.csv", "position/cm-1\r7790.25\r");
  g_autofree char *missing = g_build_filename (folder, "missing.csv", NULL);
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintLineList) list = faint_line_list_read_csv (path, NULL, &error);

  g_assert_no_error (error);
  g_assert_true (faint_line_list_get (list, 0)->position.value == 7790.25);
  g_assert_null (faint_line_list_read_csv (missing, NULL, &error));
  g_assert_nonnull (error);
  g_assert_nonnull (strstr (error->message, "missing.csv"));
  faint_test_folder_remove (folder);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/lines/csv/contract", test_contract);
  g_test_add_func ("/lines/csv/preamble", test_preamble);
  g_test_add_func ("/lines/csv/round-trip", test_round_trip);
  g_test_add_func ("/lines/csv/uncertainties", test_uncertainties);
  g_test_add_func ("/lines/csv/ties", test_ties);
  g_test_add_func ("/lines/csv/ties-that-cannot-hold", test_ties_that_cannot_hold);
  g_test_add_func ("/lines/csv/foreign", test_foreign);
  g_test_add_func ("/lines/csv/errors", test_errors);
  g_test_add_func ("/lines/csv/file", test_file);
  return g_test_run ();
}

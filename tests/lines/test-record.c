/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Records of 160 columns against the published table of their fields, codes of uncertainty and
 * Einstein coefficients against their published definitions.
 */
#include "faint/base/units.h"
#include "faint/lines/list-file.h"
#include "faint/lines/record-private.h"
#include "faint-test.h"

#include <string.h>

/* A line with everything that a record holds; values invented. */
static FaintLine
full_line (void)
{
  FaintLine line = faint_line_unknown ();

  line.position.value = 7790.1234567;
  line.position.u = 3e-4;
  line.strength_296 = 1.23456e-25;
  line.u_strength_296 = 0.03 * 1.23456e-25;
  line.lower_energy = 254.98765;
  line.coefficient[FAINT_COEFFICIENT_BROADENING_FOREIGN].value = 0.07531;
  line.coefficient[FAINT_COEFFICIENT_BROADENING_FOREIGN].u = 0.005;
  line.coefficient[FAINT_COEFFICIENT_BROADENING_SELF].value = 0.0987;
  line.coefficient[FAINT_COEFFICIENT_BROADENING_SELF].u = 0.03;
  line.coefficient[FAINT_COEFFICIENT_WIDTH_EXPONENT].value = 0.747;
  line.coefficient[FAINT_COEFFICIENT_SHIFT_FOREIGN].value = -0.00234567;
  line.coefficient[FAINT_COEFFICIENT_SHIFT_FOREIGN].u = 2e-5;
  line.coefficient[FAINT_COEFFICIENT_POSITION_ZERO] = line.position;
  line.upper = "4002:J25e";
  line.lower = "0000:J24e";
  return line;
}

static FaintRecordOptions
full_options (void)
{
  FaintRecordOptions options;

  faint_record_options_init (&options);
  options.molecule = 4;
  options.isotopologue = 1;
  options.abundance = 0.990333;
  options.partition_sum = 4984.9;
  options.degeneracy_factor = 9.0;
  options.foreign_is_air = TRUE;
  return options;
}

static char *
field (const FaintTestTable *table, guint row, const char *record)
{
  guint first = (guint)faint_test_table_number (table, row, "first");
  guint last = (guint)faint_test_table_number (table, row, "last");

  return g_strndup (record + first - 1, last - first + 1);
}

/* The number of the field is @want within half a unit of its last decimal and, as a Fortran
 * descriptor writes it, right-adjusted with so many decimals. */
static void
check_number (const FaintTestTable *table, guint row, const char *record, double want)
{
  g_autofree char *text = field (table, row, record);
  const char *letter = faint_test_table_text (table, row, "letter");
  int decimals = (int)faint_test_table_number (table, row, "decimals");
  double unit = pow (10.0, -decimals);
  const char *point = strchr (text, '.');
  char *end;

  if (*letter == 'E')
    unit *= pow (10.0, floor (log10 (fabs (want))));
  faint_assert_near (g_ascii_strtod (text, &end), want, 0.5000001 * unit,
                     "half of the last decimal printed");
  g_assert_cmpstr (end, ==, "");
  if (*letter != 'I')
    {
      g_assert_nonnull (point);
      g_assert_cmpuint (strspn (point + 1, "0123456789"), ==, decimals);
    }
}

static void
test_columns (void)
{
  FaintTestTable *table = faint_test_table_read ("record_columns.csv");
  FaintLine line = full_line ();
  g_autoptr (FaintLineList) list = faint_line_list_new (&line, 1);
  FaintRecordOptions options = full_options ();
  g_autoptr (GPtrArray) losses = faint_warnings_new ();
  g_autofree char *text = faint_line_list_to_record (list, &options, losses);
  double a = faint_einstein_a (7790.1234567, 1.23456e-25, 254.98765, 4984.9, 0.990333, 9.0 * 51.0);
  const struct
  {
    guint row;
    double want;
  } numbers[] = {
    { 0, 4.0 },     { 1, 1.0 },    { 2, 7790.1234567 }, { 3, 1.23456e-25 }, { 4, a },
    { 5, 0.07531 }, { 6, 0.0987 }, { 7, 254.98765 },    { 8, 0.747 },       { 9, -0.00234567 },
    { 17, 459.0 },  { 18, 441.0 }, /* 9 (2J+1) for J' = 25, J'' = 24 */
  };
  const struct
  {
    guint row;
    const char *want;
  } texts[] = {
    { 10, "           4002" },
    { 11, "           0000" },
    { 12, "               " },
    { 13, "     R 24e     " },
    { 14, "465305" },
    { 15, "            " },
    { 16, " " },
  };
  guint next = 1;

  g_assert_cmpuint (strlen (text), ==, 161);
  g_assert_cmpint (text[160], ==, '\n');
  for (guint row = 0; row < table->rows->len; row++)
    {
      g_assert_cmpuint ((guint)faint_test_table_number (table, row, "first"), ==, next);
      next = (guint)faint_test_table_number (table, row, "last") + 1;
    }
  g_assert_cmpuint (next, ==, 161);
  for (gsize i = 0; i < G_N_ELEMENTS (numbers); i++)
    check_number (table, numbers[i].row, text, numbers[i].want);
  for (gsize i = 0; i < G_N_ELEMENTS (texts); i++)
    {
      g_autofree char *got = field (table, texts[i].row, text);
      g_assert_cmpstr (got, ==, texts[i].want);
    }
  g_assert_cmpuint (losses->len, ==, 0);
  faint_test_table_free (table);
}

/* Nothing known is blank, never 0, but for the codes, where 0 says just that. */
static void
test_unknown (void)
{
  FaintLine line = faint_line_unknown ();
  g_autoptr (FaintLineList) list = NULL;
  g_autoptr (GPtrArray) losses = faint_warnings_new ();
  g_autofree char *text = NULL, *want = NULL;
  FaintRecordOptions options;

  line.position.value = 7790.5;
  list = faint_line_list_new (&line, 1);
  faint_record_options_init (&options);
  text = faint_line_list_to_record (list, &options, losses);
  want = g_strdup_printf ("   %12s%112s%s%27s\n", "7790.500000", "", "000000", "");
  g_assert_cmpstr (text, ==, want);
  g_assert_true (faint_warnings_has (losses, "record-molecule"));
  g_assert_true (faint_warnings_has (losses, "record-at-pressure"));
}

/* Numbers as wide as their field, and wider. */
static void
test_room (void)
{
  static const struct
  {
    FaintRecordPlace place;
    double value;
    const char *want; /* NULL: no room */
  } cases[] = {
    { FAINT_RECORD_POSITION, 99999.9999994, "99999.999999" },
    { FAINT_RECORD_POSITION, 123456.7, "123456.70000" },
    { FAINT_RECORD_POSITION, 1e12, NULL },
    { FAINT_RECORD_POSITION, 12345678901.0, "12345678901." },
    { FAINT_RECORD_STRENGTH, -1.2341e-22, "-1.234E-22" },
    { FAINT_RECORD_STRENGTH, 1e300, "1.000E+300" },
    { FAINT_RECORD_STRENGTH, -1.25e-101, "-1.25E-101" }, /* as many digits as have room */
    { FAINT_RECORD_STRENGTH, 4.9406564584124654e-324, "4.941E-324" },
    { FAINT_RECORD_STRENGTH, 0.0, " 0.000E+00" },
    { FAINT_RECORD_WIDTH_AIR, 0.0753, ".0753" },
    { FAINT_RECORD_WIDTH_AIR, 1.25, "1.250" },
    { FAINT_RECORD_WIDTH_AIR, 1e-6, NULL }, /* would be .0000, which is what is not known */
    { FAINT_RECORD_WIDTH_SELF, 0.125, "0.125" },
    { FAINT_RECORD_WIDTH_SELF, 12345.0, NULL },
    { FAINT_RECORD_EXPONENT, -0.5, "-.50" },
    { FAINT_RECORD_SHIFT, -0.001234, "-.001234" },
    { FAINT_RECORD_LOWER_ENERGY, 0.0, "    0.0000" },
    { FAINT_RECORD_UPPER_WEIGHT, 459.0, "  459.0" },
    { FAINT_RECORD_UPPER_WEIGHT, INFINITY, NULL },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      const FaintRecordField *at = faint_record_field (cases[i].place);
      char record[161] = { 0 };
      g_autofree char *got = NULL;

      memset (record, ' ', 160);
      g_assert_cmpint (faint_record_put_number (record, cases[i].place, cases[i].value), ==,
                       cases[i].want != NULL);
      got = g_strndup (record + at->start, at->width);
      if (cases[i].want != NULL)
        g_assert_cmpstr (got, ==, cases[i].want);
      else
        g_assert_cmpuint (strspn (record, " "), ==, 160);
    }
}

/* Table 5 of the same source: lower ends belong to their range. */
static void
test_codes (void)
{
  static const struct
  {
    double u;
    char code;
  } absolute[] = { { NAN, '0' },    { 1.5, '0' },     { 1.0, '0' },  { 0.99, '1' },
                   { 0.1, '1' },    { 0.09, '2' },    { 0.01, '2' }, { 0.001, '3' },
                   { 0.0001, '4' }, { 0.00001, '5' }, { 9e-6, '6' }, { 1e-9, '6' } };
  static const struct
  {
    double percent;
    char code;
  } relative[]
      = { { NAN, '0' }, { 50.0, '3' }, { 20.0, '3' }, { 15.0, '4' }, { 10.0, '4' }, { 9.0, '5' },
          { 5.0, '5' }, { 3.0, '6' },  { 2.0, '6' },  { 1.0, '7' },  { 0.5, '8' } };

  for (gsize i = 0; i < G_N_ELEMENTS (absolute); i++)
    g_assert_cmpint (faint_record_code_absolute (absolute[i].u), ==, absolute[i].code);
  for (gsize i = 0; i < G_N_ELEMENTS (relative); i++)
    g_assert_cmpint (faint_record_code_relative (relative[i].percent, -100.0), ==,
                     relative[i].code);
  /* What is read of a code lies in its range, so that the code comes back. */
  for (char code = '1'; code <= '6'; code++)
    g_assert_cmpint (faint_record_code_absolute (faint_record_u_absolute (code)), ==, code);
  for (char code = '4'; code <= '8'; code++)
    g_assert_cmpint (faint_record_code_relative (faint_record_u_relative (code), 1.0), ==, code);
  for (char code = '0'; code <= '3'; code++)
    g_assert_true (isnan (faint_record_u_relative (code)));
}

/* By another way: integral over frequency of the cross section, (lambda^2 / 8 pi) (g'/g'') A
 * (Hilborn, Am. J. Phys. 50, 982 (1982), table 1), times the population of the lower level less
 * stimulated emission, in SI units. */
static void
test_einstein (void)
{
  const double nu = 7790.5, energy = 250.0, q = 4985.0, abundance = 0.99, g1 = 441.0, g2 = 459.0;
  const double a = 0.0123, k = FAINT_BOLTZMANN_J_K, h = FAINT_PLANCK_J_S, t = 296.0;
  const double c = FAINT_SPEED_OF_LIGHT_CM_S / 100.0, lambda = 1.0 / (nu * 100.0);
  double cross_section = lambda * lambda / (8.0 * G_PI) * (g2 / g1) * a;
  double population = abundance * g1 * exp (-h * c * energy * 100.0 / (k * t)) / q;
  double net = 1.0 - exp (-h * c * nu * 100.0 / (k * t));
  double strength = cross_section * population * net / c * 100.0; /* m to cm */

  faint_assert_close (faint_einstein_a (nu, strength, energy, q, abundance, g2), a, 1e-13,
                      "some twenty roundings, exponents of order 1 to 38");
}

static void
test_labels (void)
{
  static const struct
  {
    const char *upper, *lower;
    gboolean fits;
  } cases[] = {
    { "4002:J25e", "0000:J24e", TRUE },
    { "J24f", "J24e", TRUE },
    { "v:J24e", "v:J24e", TRUE }, /* no electric dipole transition, so in the other form */
    { "J0", "J1", TRUE },
    { "J012e", "J11e", TRUE },
    { "J1000", "J999", TRUE },
    { "s:J12 K3 s", "J11 K3 a", TRUE },
    { "", "0110:J3f", TRUE },
    { "any text", "state:any text", TRUE },
    { "state:", "", FALSE },
    { "ν₁:J3e", "J2e", FALSE },
    { "sixteen letters_", "", FALSE },
    { " J3", "", FALSE },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      FaintLine line = faint_line_unknown ();
      char record[161] = { 0 };
      g_autofree char *upper = NULL, *lower = NULL;

      memset (record, ' ', 160);
      line.upper = cases[i].upper;
      line.lower = cases[i].lower;
      g_assert_cmpint (faint_record_put_labels (record, &line), ==, cases[i].fits);
      if (!cases[i].fits)
        continue;
      faint_record_get_labels (record, &upper, &lower);
      g_assert_cmpstr (upper, ==, cases[i].upper);
      g_assert_cmpstr (lower, ==, cases[i].lower);
    }
}

/* A record as others write it, with zeros for what they do not know, typed by hand after the
 * table; values invented. */
static const char foreign[] = " 41 7790.123456 1.235E-25 1.037E-04.07530.099  254.98770.75-.002346"
                              "        4 0 0 2        0 0 0 0                    R 24e     465305 "
                              "1 2 3 4 5 6*  459.0  441.0\r\n"
                              " 41 7791.000000 2.000E-26 0.000E+00.00000.000   -1.00000.000.000000"
                              "                                                            000000 "
                              "0 0 0 0 0 0     0.0    0.0\r\n";

static void
test_foreign (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintListFile) file
      = faint_list_file_parse (foreign, strlen (foreign), "lines.record", &error);
  const FaintLine *line;
  const FaintParameter *air;

  g_assert_no_error (error);
  g_assert_cmpint (file->format, ==, FAINT_LIST_RECORD);
  g_assert_cmpuint (faint_line_list_get_n (file->lines), ==, 2);
  line = faint_line_list_get (file->lines, 0);
  air = &line->coefficient[FAINT_COEFFICIENT_BROADENING_FOREIGN];
  g_assert_true (line->position.value == 7790.123456 && line->position.u == 0.00099);
  g_assert_true (line->strength_296 == 1.235e-25 && line->lower_energy == 254.9877);
  faint_assert_close (line->u_strength_296, 0.049 * 1.235e-25, 4.5e-16, "two roundings");
  g_assert_true (air->value == 0.0753);
  g_assert_true (line->coefficient[FAINT_COEFFICIENT_SHIFT_FOREIGN].value == -0.002346);
  g_assert_cmpstr (line->upper, ==, "4 0 0 2:J25e");
  g_assert_cmpstr (line->lower, ==, "0 0 0 0:J24e");
  line = faint_line_list_get (file->lines, 1);
  g_assert_true (isnan (line->lower_energy) && isnan (line->position.u));
  for (guint k = 0; k < FAINT_COEFFICIENT_N; k++)
    g_assert_true (isnan (line->coefficient[k].value));
  g_assert_cmpstr (line->upper, ==, "");
  g_assert_true (faint_warnings_has (file->warnings, "record-codes"));
  g_assert_true (faint_warnings_has (file->warnings, "record-ignored"));
  g_assert_cmpstr (g_ptr_array_index (file->notes, 0), ==, "molecule_number = 4");
  g_assert_cmpstr (g_ptr_array_index (file->notes, 1), ==, "isotopologue_number = 1");
  g_assert_cmpstr (g_ptr_array_index (file->notes, 2), ==, "temperature = 296 K");
}

/* Strengths of the pure isotopologue are written for natural abundance, or not at all. */
static void
test_pure (void)
{
  static const char text[] = "# isotopic_abundance = 0.95\nposition/cm-1,strength_296K/"
                             "(cm/molecule)\n7790.5,2e-25\n";
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintListFile) file = faint_list_file_parse (text, strlen (text), "a.csv", &error);
  g_autoptr (GPtrArray) losses = faint_warnings_new ();
  FaintLineListAbout about = { .chi2_reduced = NAN };
  FaintRecordOptions options;
  g_autofree char *without = NULL, *with = NULL;

  g_assert_no_error (error);
  g_ptr_array_add (file->notes, NULL);
  about.notes = (const char *const *)file->notes->pdata;
  without = faint_line_list_to_text (file->lines, &about, FAINT_LIST_RECORD, NULL, losses);
  g_assert_cmpint (strncmp (without + 15, "          ", 10), ==, 0);
  g_assert_true (faint_warnings_has (losses, "record-strength"));
  faint_record_options_init (&options);
  options.abundance = 0.5;
  with = faint_line_list_to_text (file->lines, &about, FAINT_LIST_RECORD, &options, NULL);
  g_assert_cmpint (strncmp (with + 15, " 1.000E-25", 10), ==, 0);
}

static void
test_options (void)
{
  static const struct
  {
    const char *key, *value;
    gboolean right;
  } cases[] = {
    { "molecule_number", "4", TRUE },
    { "molecule_number", "0", FALSE },
    { "molecule_number", "100", FALSE },
    { "isotopologue_number", "10", FALSE },
    { "natural_abundance", "1.5", FALSE },
    { "natural_abundance", "0.99", TRUE },
    { "partition_sum_296K", "-1", FALSE },
    { "degeneracy_factor", "nan", FALSE },
    { "foreign_gas", "air", TRUE },
    { "foreign_gas", "argon", FALSE },
    { "colour", "red", FALSE },
  };
  FaintRecordOptions options;

  faint_record_options_init (&options);
  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (GError) error = NULL;
      g_assert_cmpint (faint_record_options_set (&options, cases[i].key, cases[i].value, &error),
                       ==, cases[i].right);
      if (!cases[i].right)
        g_assert_nonnull (strstr (error->message, cases[i].key));
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/lines/record/columns", test_columns);
  g_test_add_func ("/lines/record/unknown", test_unknown);
  g_test_add_func ("/lines/record/room", test_room);
  g_test_add_func ("/lines/record/codes", test_codes);
  g_test_add_func ("/lines/record/einstein", test_einstein);
  g_test_add_func ("/lines/record/labels", test_labels);
  g_test_add_func ("/lines/record/foreign", test_foreign);
  g_test_add_func ("/lines/record/pure", test_pure);
  g_test_add_func ("/lines/record/options", test_options);
  return g_test_run ();
}

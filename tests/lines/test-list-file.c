/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The four formats of a line list: what is written comes back, whatever the lines hold, and the
 * format is recognised by the content.
 */
#include "faint/lines/list-file.h"
#include "faint/lines/list-notes.h"
#include "faint/lines/parameters.h"
#include "faint-test.h"
#include "random-lines.h"

#include <string.h>

#define RUNS 60

static FaintLineList *
random_list (GRand *random, guint run)
{
  gsize n = (gsize)g_rand_int_range (random, 0, 40);
  g_autofree FaintLine *lines = g_new (FaintLine, n);

  for (gsize i = 0; i < n; i++)
    {
      lines[i] = faint_test_random_line (random);
      if (run % 3 > 0)
        faint_test_random_extras (random, &lines[i]);
      if (run % 3 > 1)
        faint_test_random_ties (random, &lines[i], (guint)n);
    }
  return faint_line_list_new (lines, n);
}

static FaintListFile *
parse (const char *text)
{
  g_autoptr (GError) error = NULL;
  FaintListFile *file = faint_list_file_parse (text, strlen (text), "list", &error);

  g_assert_no_error (error);
  return file;
}

/* In a VOTable coefficients stand per pascal: two roundings, and nothing of a number below the
 * smallest double times 101325. */
static void
forgive_coefficients (FaintLine *got, const FaintLine *want)
{
  for (guint k = 0; k < FAINT_COEFFICIENT_N; k++)
    {
      FaintParameter *a = &got->coefficient[k];
      const FaintParameter *b = &want->coefficient[k];

      if (fabs (a->value - b->value) <= 5e-16 * fabs (b->value) + 1e-318)
        a->value = b->value;
      if (fabs (a->u - b->u) <= 5e-16 * fabs (b->u) + 1e-318)
        a->u = b->u;
    }
}

static void
test_round_trip (gconstpointer data)
{
  FaintListFormat format = (FaintListFormat)GPOINTER_TO_INT (data);
  g_autoptr (GRand) random = g_rand_new_with_seed (20250307);

  for (guint run = 0; run < RUNS; run++)
    {
      g_autoptr (FaintLineList) list = random_list (random, run);
      g_autoptr (GPtrArray) losses = faint_warnings_new ();
      g_autofree char *text = faint_line_list_to_text (list, NULL, format, NULL, losses);
      g_autoptr (FaintListFile) back = parse (text);

      g_assert_cmpuint (losses->len, ==, 0);
      g_assert_cmpint (back->format, ==, format);
      g_assert_cmpuint (faint_line_list_get_n (back->lines), ==, faint_line_list_get_n (list));
      for (gsize i = 0; i < faint_line_list_get_n (list); i++)
        {
          FaintLine got = *faint_line_list_get (back->lines, i);

          if (format == FAINT_LIST_VOTABLE)
            forgive_coefficients (&got, faint_line_list_get (list, i));
          faint_test_same_line (&got, faint_line_list_get (list, i));
        }
    }
}

/* @got is @want to the digits of its field, or unknown where the field had no room. */
static void
check_digits (double got, double want, double unit)
{
  if (!isnan (got) && !(fabs (got - want) <= 0.5000001 * unit))
    g_error ("read back %.17g, written %.17g, allowed half of %g", got, want, unit);
}

/* Code 3 of a relative uncertainty, 20 % and more, has no upper end and is read as not known. */
static void
forget_open_ranges (char *text)
{
  for (; *text != '\0'; text += 161)
    for (guint i = 128; i < 132; i++)
      if (text[i] == '3')
        text[i] = '0';
}

/* Records of random lines: whatever they hold, every line of the file has 160 columns, and what is
 * read back is what was written, to the digits of its field. */
static void
test_records (void)
{
  g_autoptr (GRand) random = g_rand_new_with_seed (77);
  FaintRecordOptions options;
  gsize compared = 0;

  faint_record_options_init (&options);
  options.foreign_is_air = TRUE;
  options.molecule = 4;
  options.isotopologue = 1;
  for (guint run = 0; run < RUNS; run++)
    {
      g_autoptr (FaintLineList) list = random_list (random, run % 2);
      g_autofree char *text
          = faint_line_list_to_text (list, NULL, FAINT_LIST_RECORD, &options, NULL);
      g_autofree char *again = NULL;
      g_autoptr (FaintListFile) back = NULL;
      FaintLineListAbout about = { .chi2_reduced = NAN };

      for (const char *at = text; *at != '\0'; at += 161)
        g_assert_true (strcspn (at, "\n") == 160);
      if (*text == '\0')
        continue;
      back = parse (text);
      g_assert_cmpint (back->format, ==, FAINT_LIST_RECORD);
      g_ptr_array_add (back->notes, NULL);
      about.notes = (const char *const *)back->notes->pdata;
      again = faint_line_list_to_text (back->lines, &about, FAINT_LIST_RECORD, NULL, NULL);
      forget_open_ranges (text);
      g_assert_cmpstr (again, ==, text); /* codes too */
      if (strlen (text) / 161 != faint_line_list_get_n (list) || run % 2 > 0)
        continue; /* some line is at its position at zero pressure, or left out */
      for (gsize i = 0; i < faint_line_list_get_n (list); i++)
        {
          const FaintLine *want = faint_line_list_get (list, i);
          const FaintLine *got = faint_line_list_get (back->lines, i);

          check_digits (got->position.value, want->position.value, 1e-6);
          check_digits (got->lower_energy, want->lower_energy,
                        fmax (1e-4, fabs (want->lower_energy) * 1e-4));
          check_digits (got->strength_296, want->strength_296, fabs (want->strength_296) * 1.1e-2);
          compared++;
        }
    }
  g_assert_cmpuint (compared, >, 100);
}

/* What a list says of itself comes back from every format that can hold it. */
static void
test_notes (gconstpointer data)
{
  FaintListFormat format = (FaintListFormat)GPOINTER_TO_INT (data);
  g_autoptr (FaintSetup) setup = faint_setup_new ();
  g_autoptr (FaintLineList) list = faint_line_list_new (NULL, 0);
  const char *const inputs[] = { "a.comb  01ab", "b <&> \"ü\".comb  23cd", NULL };
  const char *const more[] = { "spectrum 2: pressure = 25 hPa", "spectra = 2", NULL };
  FaintLineListAbout about = { "Ω", setup, inputs, 1.25, "2026-01-02", NAN, more };
  g_autofree char *text = NULL;
  g_autoptr (FaintListFile) back = NULL;
  static const char *const want[] = { "date = 2026-01-02",
                                      "title = Ω",
                                      "input = a.comb  01ab",
                                      "input = b <&> \"ü\".comb  23cd",
                                      "observable = power",
                                      "temperature = 296.15 K",
                                      "u(temperature) = 0.1 K",
                                      "pressure = 1.30 hPa",
                                      "chi2_reduced = 1.25",
                                      "spectrum 2: pressure = 25 hPa",
                                      "spectra = 2" };

  g_assert_true (faint_setup_set (setup, "temperature", "296.15 K", NULL, NULL));
  g_assert_true (faint_setup_set (setup, "u(temperature)", "0.1 K", NULL, NULL));
  g_assert_true (faint_setup_set (setup, "pressure", "1.3 hPa", NULL, NULL));
  text = faint_line_list_to_text (list, &about, format, NULL, NULL);
  back = parse (text);
  for (gsize i = 0; i < G_N_ELEMENTS (want); i++)
    {
      gboolean found = FALSE;
      const char *words = i == 7 ? "pressure = 1.3 hPa" : want[i];
      for (guint k = 0; k < back->notes->len; k++)
        found = found || strcmp (g_ptr_array_index (back->notes, k), words) == 0;
      if (!found)
        g_error ("'%s' did not come back", words);
    }
  g_assert_null (faint_list_notes_get (back->notes, "program"));
}

/* A VOTable as others write it: a prefix, a comment, CDATA, groups, another table before, null
 * values, units to convert, columns by their meaning, a wavelength. */
static const char foreign[]
    = "<?xml version='1.0'?>\n<!-- <TABLE> -->\n"
      "<v:VOTABLE xmlns:v='http://www.ivoa.net/xml/VOTable/v1.3' version='1.3'>\n"
      "<v:RESOURCE><v:INFO name='x' value='y'/>"
      "<v:TABLE><v:FIELD name='a' datatype='int'/><v:DATA><v:TABLEDATA><v:TR><v:TD>1</v:TD></v:TR>"
      "</v:TABLEDATA></v:DATA></v:TABLE></v:RESOURCE>\n"
      "<v:RESOURCE><v:PARAM name='temperature' datatype='float' unit='K' value='300'/><v:TABLE>\n"
      "<v:FIELD name='wl' datatype='double' ucd='em.wl' unit='um'/>\n"
      "<v:FIELD name='S' datatype='float' ucd='spect.line.strength' unit='m'>"
      "<v:VALUES null='-99'/></v:FIELD>\n"
      "<v:FIELD name='El' datatype='double' ucd='phys.energy;phys.atmol.initial' unit='m**-1'/>\n"
      "<v:FIELD name='upper' datatype='unicodeChar' arraysize='*'/>\n"
      "<v:FIELD name='vector' datatype='double' arraysize='2' ucd='em.freq' unit='Hz'/>\n"
      "<v:FIELD name='broadening_self' datatype='double' unit='cm**-1.Pa**-1'/>\n"
      "<v:DATA><v:TABLEDATA>\n"
      "<v:TR><v:TD> 2 </v:TD><v:TD>1e-27</v:TD><v:TD>100</v:TD><v:TD><![CDATA[<ü>]]></v:TD>"
      "<v:TD>1 2</v:TD><v:TD>1e-6</v:TD></v:TR>\n"
      "<v:TR><v:TD>4</v:TD><v:TD>-99</v:TD><v:TD>NaN</v:TD><v:TD/><v:TD/><v:TD/></v:TR>\n"
      "</v:TABLEDATA></v:DATA></v:TABLE></v:RESOURCE></v:VOTABLE>\n";

static void
test_foreign_votable (void)
{
  g_autoptr (FaintListFile) file = parse (foreign);
  const FaintLine *line = faint_line_list_get (file->lines, 1);

  g_assert_cmpint (file->format, ==, FAINT_LIST_VOTABLE);
  g_assert_true (line->position.value == 5000.0); /* 2 um */
  faint_assert_close (line->strength.value, 1e-25, 4.5e-16, "two roundings");
  g_assert_true (line->lower_energy == 1.0);
  g_assert_cmpstr (line->upper, ==, "<ü>");
  /* 1 atm = 101325 Pa */
  faint_assert_close (line->coefficient[FAINT_COEFFICIENT_BROADENING_SELF].value, 0.101325, 4.5e-16,
                      "two roundings");
  line = faint_line_list_get (file->lines, 0);
  g_assert_true (line->position.value == 2500.0);
  g_assert_true (isnan (line->strength.value) && isnan (line->lower_energy));
  g_assert_cmpstr (line->upper, ==, "");
  g_assert_true (faint_warnings_has (file->warnings, "column-ignored"));
  g_assert_true (faint_warnings_has (file->warnings, "votable-wavelength"));
  g_assert_true (faint_warnings_has (file->warnings, "votable-tables"));
  g_assert_cmpstr (g_ptr_array_index (file->notes, 0), ==, "temperature = 300 K");
}

/* JSON as other programs write it: members in any order, null, escapes, a bare array, one line. */
static void
test_foreign_json (void)
{
  g_autoptr (FaintListFile) file = parse ("\n [{\"remark\":\"\\u00fc\\ud83d\\ude00\\/\\n\","
                                          "\"position/cm-1\":7.79E3,\"colour\":[1,{}]},"
                                          "{\"frequency/THz\": 299.792458, \"upper\": null}]");
  const FaintLine *line = faint_line_list_get (file->lines, 0);

  g_assert_cmpint (file->format, ==, FAINT_LIST_JSON);
  g_assert_true (line->position.value == 7790.0);
  g_assert_cmpstr (line->remark, ==, "ü😀/\n");
  g_assert_true (faint_warnings_has (file->warnings, "column-ignored"));
  /* 299.792458 THz are 10 000 cm-1: c exact in the SI. */
  faint_assert_close (faint_line_list_get (file->lines, 1)->position.value, 10000.0, 4.5e-16,
                      "two roundings");
}

/* What a text file cannot hold is replaced there, and said; JSON holds it. */
static void
test_control (void)
{
  g_autoptr (FaintListFile) file
      = parse ("{\"about\": {\"k\": \"a\\u0001\\nb\"}, \"lines\": [{\"position/cm-1\": 5, "
               "\"remark\": \"a\\u0001b\"}]}");
  static const char *const want[FAINT_LIST_N] = {
    [FAINT_LIST_CSV] = "a\uFFFDb", [FAINT_LIST_VOTABLE] = "a\uFFFDb", [FAINT_LIST_JSON] = "a\001b"
  };

  g_assert_cmpstr (g_ptr_array_index (file->notes, 0), ==, "k = a  b");
  for (guint i = 0; i < FAINT_LIST_N; i++)
    {
      g_autoptr (GPtrArray) losses = faint_warnings_new ();
      g_autofree char *text = NULL;
      g_autoptr (FaintListFile) back = NULL;

      if (want[i] == NULL)
        continue;
      text = faint_line_list_to_text (file->lines, NULL, (FaintListFormat)i, NULL, losses);
      back = parse (text);
      g_assert_cmpstr (faint_line_list_get (back->lines, 0)->remark, ==, want[i]);
      g_assert_cmpint (losses->len, ==, i == FAINT_LIST_JSON ? 0 : 1);
    }
}

static void
test_files (void)
{
  char *folder = faint_test_folder_new ();
  FaintLine line = faint_line_unknown ();
  g_autoptr (FaintLineList) list = NULL;

  line.position.value = 7790.25;
  list = faint_line_list_new (&line, 1);
  for (guint i = 0; i < FAINT_LIST_N; i++)
    {
      FaintListFormat format = (FaintListFormat)i, named;
      g_autofree char *path = g_build_filename (folder, "list", NULL);
      g_autoptr (GError) error = NULL;
      g_autoptr (FaintListFile) back = NULL;

      g_assert_true (faint_list_file_write (list, NULL, path, format, NULL, NULL, &error));
      back = faint_list_file_read (path, &error);
      g_assert_no_error (error);
      g_assert_cmpint (back->format, ==, format);
      g_assert_cmpuint (strlen (back->sha256), ==, 64);
      g_assert_true (faint_line_list_get (back->lines, 0)->position.value == 7790.25);
      g_assert_true (faint_list_format_from_name (faint_list_format_name (format), &named));
      g_assert_cmpint (named, ==, format);
    }
  faint_test_folder_remove (folder);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  for (guint i = 0; i < FAINT_LIST_N; i++)
    {
      g_autofree char *trip
          = g_strdup_printf ("/lines/file/round-trip/%s", faint_list_format_name (i));
      g_autofree char *notes = g_strdup_printf ("/lines/file/notes/%s", faint_list_format_name (i));

      if (i == FAINT_LIST_RECORD)
        continue;
      g_test_add_data_func (trip, GINT_TO_POINTER (i), test_round_trip);
      g_test_add_data_func (notes, GINT_TO_POINTER (i), test_notes);
    }
  g_test_add_func ("/lines/file/records", test_records);
  g_test_add_func ("/lines/file/foreign-votable", test_foreign_votable);
  g_test_add_func ("/lines/file/foreign-json", test_foreign_json);
  g_test_add_func ("/lines/file/control", test_control);
  g_test_add_func ("/lines/file/files", test_files);
  return g_test_run ();
}

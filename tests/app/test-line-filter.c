/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Conditions on lines: what each of them lets through, and what is refused. Expected: the rules
 * that line-filter.h states, on three invented lines.
 */
#include <string.h>

#include "app/lines/line-filter.h"
#include "faint-test.h"

static FaintLine
line_new (double position, double strength, double width)
{
  FaintLine line = faint_line_unknown ();

  line.position.value = position;
  line.position.u = 1e-5;
  line.strength.value = strength;
  line.strength.u = 0.02 * strength;
  line.lorentz.value = width;
  line.snr = 50;
  line.upper = line.lower = line.remark = "";
  return line;
}

static FaintLine lines[3];

static void
make_lines (void)
{
  lines[0] = line_new (7790.22034, 2e-25, 0.015);
  lines[0].upper = "J19e";
  lines[0].lower = "J20e";
  lines[0].lower_energy = 175.98;
  lines[1] = line_new (7791.5, 8e-26, 0.025);
  lines[1].flags = FAINT_LINE_BLENDED | FAINT_LINE_AT_EDGE | FAINT_LINE_NOT_DETERMINED;
  lines[1].strength.u = 0.2 * 8e-26;
  lines[1].snr = 5;
  lines[2] = line_new (7800.0, 3e-24, 0.005);
  lines[2].remark = "Perhaps water; J=5";
  lines[2].flags = FAINT_LINE_LORENTZ_FIXED;
}

/* @met: the lines that meet it, as "13". */
static void
check_on (const FaintAxisUnit *axis, const char *text, const char *met)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintLineFilter) filter = faint_line_filter_new (text, axis, &error);
  g_autoptr (GString) got = g_string_new (NULL);
  const FaintLineDifference difference = { .value = -2e-3, .u = 1e-4 };

  g_assert_no_error (error);
  for (guint i = 0; i < G_N_ELEMENTS (lines); i++)
    if (faint_line_filter_matches (filter, &lines[i], i + 1, i == 0 ? &difference : NULL))
      g_string_append_printf (got, "%u", i + 1);
  if (strcmp (got->str, met) != 0)
    g_error ("'%s' is met by '%s', not '%s'", text, got->str, met);
}

static void
check (const char *text, const char *met)
{
  check_on (NULL, text, met);
}

static void
refuse (const char *text, FaintLineFilterError code, const char *words)
{
  g_autoptr (GError) error = NULL;

  g_assert_null (faint_line_filter_new (text, NULL, &error));
  g_assert_error (error, FAINT_LINE_FILTER_ERROR, (int)code);
  if (!strstr (error->message, words))
    g_error ("'%s': '%s' does not say '%s'", text, error->message, words);
}

static void
test_comparisons (void)
{
  check ("S > 1e-25", "13");
  check ("s>1e-25", "13");
  check ("strength <= 2e-25", "12");
  check ("S < 2e-25", "2");
  check ("S ≥ 2e-25", "13");
  check ("S != 2e-25", "23");
  check ("S = 2e-25", "1");
  check ("S/N >= 50", "13");
  check ("E > 100", "1");
  check ("not E > 100", "23");
  check ("known E", "1");
  check ("not known E", "23");
  check ("number > 2", "3");
  check ("obs-calc < 0", "1");
  check ("u(obs-calc) < 1", "1");
}

static void
test_ranges (void)
{
  check ("7790..7791", "1");
  check ("7791.0..7792.5", "2");
  check ("7790...7791", "1");
  check ("7791..", "23");
  check ("..7791", "1");
  check ("width 0.01..0.02", "1");
  check ("width 0.015 .. 0.025", "12");
  check ("width ..0.01", "3");
  check ("E 100..", "1");
  check ("not width 0.01..0.02", "23");
}

/* 0.01 cm-1 are 299.792458 MHz (SI Brochure, 9th edition, table 1). */
static void
test_units (void)
{
  check ("width > 299.7 MHz", "12");
  check ("width 299.8..500MHz", "1");
  check ("width < 0.01 cm-1", "3");
  check ("width < 0.01 cm⁻¹", "3");
  check ("S > 1e-25 cm/molecule", "13");
  /* 7790.22034 cm-1 times c */
  check ("frequency 233.544..233.546 THz", "1");
  check ("u(S) < 5 %", "13");
  check ("ur(S) < 0.05", "13");
  check ("u(S) < 1e-26", "1");
  check ("u(S) 10..30 %", "2");
}

static void
test_text (void)
{
  check ("", "123");
  check (NULL, "123");
  check ("  ", "123");
  check ("7790.22", "1");
  check ("BLENDED", "2");
  check ("not blended", "13");
  check ("flag blended", "2");
  check ("flag fixed", "3");
  check ("flag", "23");
  check ("not flag", "1");
  /* remarks whose words begin with the word that turns a condition round */
  check ("not determined", "2");
  check ("Not Determined", "2");
  check ("not not determined", "13");
  check ("flag not determined", "2");
  check ("not converged", "");
  check ("upper", "1");
  check ("upper j19", "1");
  check ("upper = J19", "");
  check ("upper = j19e", "1");
  check ("upper != J19e", "23");
  check ("lower J2", "1");
  check ("note water", "3");
  check ("water", "3");
  check ("\"water; J=5\"", "3");
  check ("note \"J=5\"", "3");
  check ("\"J=6\"", "");
}

static void
test_several (void)
{
  check ("S > 1e-25; width < 0.01", "3");
  check ("S > 1e-25 and width < 0.01", "3");
  check ("S > 1e-25 & not flag fixed", "1");
  check ("; S > 1e-25 ;", "13");
  check ("7790..7792; S/N > 10", "1");
}

static void
test_refused (void)
{
  refuse ("colour > 3", FAINT_LINE_FILTER_ERROR_COLUMN, "colour");
  refuse ("colour 1..2", FAINT_LINE_FILTER_ERROR_COLUMN, "colour");
  refuse ("> 3", FAINT_LINE_FILTER_ERROR_COLUMN, "column");
  refuse ("upper > 3", FAINT_LINE_FILTER_ERROR_COLUMN, "upper");
  refuse ("u(upper) > 3", FAINT_LINE_FILTER_ERROR_COLUMN, "u(upper)");
  refuse ("S >", FAINT_LINE_FILTER_ERROR_NUMBER, "missing");
  refuse ("S > much", FAINT_LINE_FILTER_ERROR_NUMBER, "much");
  refuse ("width > 0,01", FAINT_LINE_FILTER_ERROR_NUMBER, "point");
  refuse ("width > 1 hPa", FAINT_LINE_FILTER_ERROR_NUMBER, "hPa");
  refuse ("S/N > 5 %", FAINT_LINE_FILTER_ERROR_NUMBER, "%");
  refuse ("S > 5 %", FAINT_LINE_FILTER_ERROR_NUMBER, "%");
  refuse ("width 2..1", FAINT_LINE_FILTER_ERROR_NUMBER, "ends before");
  refuse ("flag purple", FAINT_LINE_FILTER_ERROR_FLAG, "purple");
  refuse ("S > 1e-25; width >", FAINT_LINE_FILTER_ERROR_NUMBER, "missing");
}

/* What the popover writes is read as that column. */
static void
test_names (void)
{
  for (FaintLineColumn column = 0; column < FAINT_N_LINE_COLUMNS; column++)
    {
      const char *name = faint_line_filter_name (column);
      g_autofree char *text = faint_line_filter_is_text (column)
                                  ? g_strdup (name)
                                  : g_strdup_printf ("%s -1e30..1e30", name);
      double value;
      gboolean known;

      for (guint i = 0; i < G_N_ELEMENTS (lines); i++)
        {
          g_autoptr (FaintLineFilter) filter = faint_line_filter_new (text, NULL, NULL);

          g_assert_nonnull (filter);
          if (faint_line_filter_is_text (column))
            continue;
          value = faint_line_column_value (&lines[i], i + 1, NULL, column);
          known = value == value;
          g_assert_cmpint (faint_line_filter_matches (filter, &lines[i], i + 1, NULL), ==, known);
        }
    }
}

/* The lines by 0.0299792458 THz per cm-1 and 1e7 nm cm-1: 233.5449, 233.5833, 233.8381 THz;
 * 1283.661, 1283.450, 1282.051 nm, where u = 1e-5 cm-1 is 1.6478e-6, 1.6472e-6, 1.6437e-6 nm; from
 * 7790 cm-1 6605.6, 44969, 299792 MHz. The widths are 449.7, 749.5 and 149.9 MHz. */
static void
test_axes (void)
{
  FaintAxisUnit thz = { .kind = FAINT_AXIS_UNIT_THZ };
  FaintAxisUnit mhz = { .kind = FAINT_AXIS_UNIT_MHZ, .origin = 7790 };
  FaintAxisUnit nm = { .kind = FAINT_AXIS_UNIT_WAVELENGTH };

  check_on (&thz, "233.5..233.57", "1");
  check_on (&thz, "7790..7791", "");
  check_on (&thz, "7790..7791 cm-1", "1");
  check_on (&thz, "width > 300", "12");
  check_on (&thz, "width > 0.01 cm-1", "12");
  check_on (&thz, "difference < -50", "1"); /* -2e-3 cm-1 is -60 MHz */
  check_on (&thz, "E > 100", "1");
  check_on (&nm, "1283..1284", "12");
  check_on (&nm, "..1283", "3");
  check_on (&nm, "position < 1283.5", "23");
  check_on (&nm, "position >= 1283.5", "1");
  check_on (&nm, "not 1283..1284", "3");
  check_on (&nm, "position 7790..7791 cm-1", "1");
  check_on (&nm, "width > 0.01", "12");
  check_on (&nm, "u(position) < 1.645e-6", "3");
  check_on (&nm, "u(position) < 1e-4 cm-1", "123");
  check_on (&mhz, "0..10000", "1");
  check_on (&mhz, "position > 10000 MHz", "23");
  check_on (&mhz, "u(position) < 1", "123"); /* 0.29979 MHz */
  check_on (&mhz, "u(position) < 0.2", "");
  check_on (NULL, "position 1283..1284 nm", "12");
  check_on (NULL, "position > 233550000 MHz", "23");
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  make_lines ();
  g_test_add_func ("/app/line-filter/comparisons", test_comparisons);
  g_test_add_func ("/app/line-filter/ranges", test_ranges);
  g_test_add_func ("/app/line-filter/units", test_units);
  g_test_add_func ("/app/line-filter/axes", test_axes);
  g_test_add_func ("/app/line-filter/text", test_text);
  g_test_add_func ("/app/line-filter/several", test_several);
  g_test_add_func ("/app/line-filter/refused", test_refused);
  g_test_add_func ("/app/line-filter/names", test_names);
  return g_test_run ();
}

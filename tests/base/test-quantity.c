/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/base/quantity.h"

#include <locale.h>
#include <string.h>

#include "faint-test.h"

typedef struct
{
  const char *text;
  FaintDimension dimension;
  double value, u; /* u < 0: not stated */
} Reading;

static void
test_parse (void)
{
  /* The mass of GUM 7.2.2 (JCGM 100:2008), there in g, in its notations 2, 3 and 4; the rest
   * follows from the meaning of the notations and exact conversions. */
  static const Reading readings[] = {
    { "100.02147(35) u", FAINT_DIMENSION_MOLAR_MASS, 100.02147, 0.00035 },
    { "100.02147(0.00035) u", FAINT_DIMENSION_MOLAR_MASS, 100.02147, 0.00035 },
    { "100.02147 ± 0.00035 u", FAINT_DIMENSION_MOLAR_MASS, 100.02147, 0.00035 },
    { "1.30 hPa", FAINT_DIMENSION_PRESSURE, 130, -1 },
    { "  1.30(2) hPa ", FAINT_DIMENSION_PRESSURE, 130, 2 },
    { "1.30 +/- 0.02 hPa", FAINT_DIMENSION_PRESSURE, 130, 2 },
    { "1.30(2)e2 Pa", FAINT_DIMENSION_PRESSURE, 130, 2 },
    { "13(2) Pa", FAINT_DIMENSION_PRESSURE, 13, 2 },
    { "1.3e+2 Pa", FAINT_DIMENSION_PRESSURE, 130, -1 },
    { "23 degC", FAINT_DIMENSION_TEMPERATURE, 296.15, -1 },
    { "23.00(15) degC", FAINT_DIMENSION_TEMPERATURE, 296.15, 0.15 },
    { "-20.5degC", FAINT_DIMENSION_TEMPERATURE, 252.65, -1 },
    { "250.000000 MHz", FAINT_DIMENSION_FREQUENCY, 250e6, -1 },
    { "1 cm-1", FAINT_DIMENSION_FREQUENCY, 29979245800.0, -1 },
    { "0.5", FAINT_DIMENSION_NUMBER, 0.5, -1 },
    { "0.990333(3)", FAINT_DIMENSION_NUMBER, 0.990333, 3e-6 },
    { "60.0 cm", FAINT_DIMENSION_LENGTH, 60, -1 },
    { "12.5(1) us", FAINT_DIMENSION_TIME, 12.5e-6, 0.1e-6 },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (readings); i++)
    {
      FaintQuantity quantity = FAINT_QUANTITY_UNKNOWN;
      g_autoptr (GError) error = NULL;

      faint_quantity_parse (readings[i].text, readings[i].dimension, &quantity, &error);
      g_assert_no_error (error);
      faint_assert_close (quantity.value, readings[i].value, 4e-16, "rounding of one product");
      if (readings[i].u < 0)
        g_assert_true (isnan (quantity.u));
      else
        faint_assert_close (quantity.u, readings[i].u, 4e-16, "rounding of one product");
    }
}

typedef struct
{
  const char *text;
  FaintDimension dimension;
  const char *words;
} Refusal;

static void
test_refusals (void)
{
  static const Refusal refusals[] = {
    { "", FAINT_DIMENSION_PRESSURE, "missing" },
    { "low", FAINT_DIMENSION_PRESSURE, "is no number" },
    { "1.3", FAINT_DIMENSION_PRESSURE, "Pa, hPa, kPa" },
    { "1.3 psi", FAINT_DIMENSION_PRESSURE, "'psi' is no unit known here" },
    { "1.3 K", FAINT_DIMENSION_PRESSURE, "'K' is no unit known here" },
    { "1,3 hPa", FAINT_DIMENSION_PRESSURE, "decimal comma" },
    { "nan Pa", FAINT_DIMENSION_PRESSURE, "not a finite" },
    { "inf Pa", FAINT_DIMENSION_PRESSURE, "not a finite" },
    { "1e999 Pa", FAINT_DIMENSION_PRESSURE, "not a finite" },
    { "1e307 atm", FAINT_DIMENSION_PRESSURE, "not a finite" },
    { "1.3(2 hPa", FAINT_DIMENSION_PRESSURE, "is no number" },
    { "1.3() hPa", FAINT_DIMENSION_PRESSURE, "is no number" },
    { "1.3(x) hPa", FAINT_DIMENSION_PRESSURE, "is no number" },
    { "1.3(2.3.4) hPa", FAINT_DIMENSION_PRESSURE, "is no number" },
    { "1.3e2(2) Pa", FAINT_DIMENSION_PRESSURE, "power of ten" },
    { "1.3 +/- -0.1 hPa", FAINT_DIMENSION_PRESSURE, "negative" },
    { "1.3 +/- hPa", FAINT_DIMENSION_PRESSURE, "is no number" },
    { "1.3 hPa  measured", FAINT_DIMENSION_PRESSURE, "nothing behind" },
    { "1.3 hPa | u(...) allowed", FAINT_DIMENSION_PRESSURE, "nothing behind" },
    { "1 %", FAINT_DIMENSION_NUMBER, "number without unit" },
    { "0x10 Pa", FAINT_DIMENSION_PRESSURE, "'x10 Pa'" },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (refusals); i++)
    {
      FaintQuantity quantity = faint_quantity (FAINT_DIMENSION_PRESSURE, 7.0, 0.25);
      g_autoptr (GError) error = NULL;

      g_assert_false (
          faint_quantity_parse (refusals[i].text, refusals[i].dimension, &quantity, &error));
      faint_assert_error_says (error, FAINT_QUANTITY_ERROR, refusals[i].words);
      g_assert_cmpfloat (quantity.value, ==, 7.0);
      g_assert_cmpfloat (quantity.u, ==, 0.25);
    }
}

static void
test_parse_u (void)
{
  FaintQuantity quantity = faint_quantity (FAINT_DIMENSION_TEMPERATURE, 296.0, (double)NAN);
  g_autoptr (GError) error = NULL;

  g_assert_true (
      faint_quantity_parse_u ("0.15 degC", FAINT_DIMENSION_TEMPERATURE, &quantity, &error));
  g_assert_cmpfloat (quantity.u, ==, 0.15); /* no offset: a difference */
  g_assert_false (
      faint_quantity_parse_u ("-0.1 K", FAINT_DIMENSION_TEMPERATURE, &quantity, &error));
  faint_assert_error_says (error, FAINT_QUANTITY_ERROR, "negative");
  g_assert_false (faint_quantity_parse_u ("0.1", FAINT_DIMENSION_TEMPERATURE, &quantity, &error));
  faint_assert_error_says (error, FAINT_QUANTITY_ERROR, "no unit");
  g_assert_cmpfloat (quantity.u, ==, 0.15);
}

/* What is read is written so that it reads the same again, bit for bit, in the same unit. */
static void
test_round_trip (void)
{
  static const char *const texts[]
      = { "1.3 hPa", "0.7 Torr", "23.1 degC", "-40.7 degC", "59.97 mm", "12.7 us" };
  static const FaintDimension dimensions[]
      = { FAINT_DIMENSION_PRESSURE,    FAINT_DIMENSION_PRESSURE, FAINT_DIMENSION_TEMPERATURE,
          FAINT_DIMENSION_TEMPERATURE, FAINT_DIMENSION_LENGTH,   FAINT_DIMENSION_TIME };
  GRand *random = g_rand_new_with_seed (11);
  const FaintUnit *units[16];

  for (gsize i = 0; i < G_N_ELEMENTS (texts); i++)
    {
      FaintQuantity quantity;
      g_assert_true (faint_quantity_parse (texts[i], dimensions[i], &quantity, NULL));
      g_autofree char *text = faint_quantity_to_text (quantity);
      g_assert_cmpstr (text, ==, texts[i]);
    }
  for (int i = 0; i < 20000; i++)
    {
      FaintDimension dimension = (FaintDimension)(i % (FAINT_DIMENSION_ANGLE + 1));
      gsize n = faint_units_of (dimension, units, G_N_ELEMENTS (units));
      const FaintUnit *unit = units[g_rand_int_range (random, 0, (int)n)];
      FaintQuantity quantity = { .value = g_rand_double_range (random, 1e-3, 1e3),
                                 .u = g_rand_double (random),
                                 .unit = unit };
      FaintQuantity back;
      g_autofree char *value = faint_quantity_to_text (quantity);
      g_autofree char *u = faint_quantity_u_to_text (quantity);

      g_assert_true (faint_quantity_parse (value, dimension, &back, NULL));
      g_assert_true (faint_quantity_parse_u (u, dimension, &back, NULL));
      g_assert_cmpfloat (back.value, ==, quantity.value);
      g_assert_cmpfloat (back.u, ==, quantity.u);
    }
  g_rand_free (random);
  g_autofree char *unknown = faint_quantity_to_text (FAINT_QUANTITY_UNKNOWN);
  g_autofree char *no_u = faint_quantity_u_to_text (faint_quantity (FAINT_DIMENSION_TIME, 1, NAN));
  g_assert_cmpstr (unknown, ==, "");
  g_assert_cmpstr (no_u, ==, "");
}

typedef struct
{
  double value, u;
  const char *text;
} Concise;

static void
test_concise (void)
{
  /* First: GUM 7.2.2, notation 2. The others follow from the rule: two digits of u, value to the
   * same place. */
  static const Concise cases[] = {
    { 100.02147, 0.00035, "100.02147(35)" },
    { 7790.220341, 0.000123, "7790.22034(12)" },
    { 1.23412e-25, 5.61e-27, "1.234(56)e-25" },
    { -1.23412e-25, 5.61e-27, "-1.234(56)e-25" },
    { 0.0712, 0.00999, "0.071(10)" },
    { 12345.0, 678.0, "12340(680)" },
    { 12.34, 5.6, "12.3(56)" },
    { 12.34, 56.0, "12(56)" },
    { 0.002, 5.6, "0.0(56)" },
    { 1e-27, 5.6e-25, "0.0(56)e-25" },
    { 9.99996e-25, 1.2e-29, "9.99996(12)e-25" },
    { 9.9999996e-25, 1.2e-30, "1.0000000(12)e-24" },
    { 9.9996e-25, 1.2e-27, "1.0000(12)e-24" },
    { 191780770e6, 2500, "1.917807700000(25)e14" },
    { 0.0, 0.25, "0.00(25)" },
    { 2.385, NAN, "2.385" },
    { 2.385, 0.0, "2.385" },
    { 1.0 / 3.0, NAN, "0.333333333333" },
    { NAN, 0.1, "" },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autofree char *text = faint_format_concise (cases[i].value, cases[i].u);

      g_assert_cmpstr (text, ==, cases[i].text);
    }
}

/* The notation reads back to the rounded numbers: half a unit of its last digit at most. */
static void
test_concise_reads_back (void)
{
  GRand *random = g_rand_new_with_seed (5);

  for (int i = 0; i < 20000; i++)
    {
      double u = exp (g_rand_double_range (random, -70, 20));
      double value
          = u * g_rand_double_range (random, -1, 1) * exp (g_rand_double_range (random, -3, 20));
      g_autofree char *text = faint_format_concise (value, u);
      FaintQuantity back;

      g_assert_true (faint_quantity_parse (text, FAINT_DIMENSION_NUMBER, &back, NULL));
      faint_assert_near (back.u, u, 0.051 * u, "two digits: 0.5 in 10 at most, and rounding");
      faint_assert_near (back.value, value, 0.051 * u, "to the same place as the uncertainty");
    }
  g_rand_free (random);
}

static void
test_format_double (void)
{
  GRand *random = g_rand_new_with_seed (3);
  static const double plain[] = { 0.1, 1.3, 296.15, 5e-324, 1e-25, 123456789012345680.0, -0.0 };
  static const char *const texts[]
      = { "0.1", "1.3", "296.15", "5e-324", "1e-25", "1.2345678901234568e+17", "-0" };

  for (gsize i = 0; i < G_N_ELEMENTS (plain); i++)
    {
      g_autofree char *text = faint_format_double (plain[i]);
      g_assert_cmpstr (text, ==, texts[i]);
    }
  for (int i = 0; i < 50000; i++)
    {
      union
      {
        guint32 half[2];
        double value;
      } bits = { .half = { g_rand_int (random), g_rand_int (random) } };
      g_autofree char *text = NULL;

      if (!isfinite (bits.value))
        continue;
      text = faint_format_double (bits.value);
      g_assert_cmpfloat (g_ascii_strtod (text, NULL), ==, bits.value);
    }
  g_rand_free (random);
}

/* A locale with a decimal comma must change nothing. */
static void
test_locale (void)
{
  FaintQuantity quantity;
  g_autofree char *old = g_strdup (setlocale (LC_ALL, NULL));

  if (setlocale (LC_ALL, "de_DE.UTF-8") == NULL)
    {
      g_test_skip ("the locale de_DE.UTF-8 is not installed");
      return;
    }
  g_assert_true (faint_quantity_parse ("1.30(2)e2 Pa", FAINT_DIMENSION_PRESSURE, &quantity, NULL));
  g_autofree char *text = faint_quantity_to_text (quantity);
  g_autofree char *half = faint_format_double (0.5);
  g_autofree char *concise = faint_format_concise (2.385, 0.012);
  setlocale (LC_ALL, old);
  g_assert_cmpfloat (quantity.value, ==, 130.0);
  g_assert_cmpstr (text, ==, "130 Pa");
  g_assert_cmpstr (half, ==, "0.5");
  g_assert_cmpstr (concise, ==, "2.385(12)");
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/quantity/parse", test_parse);
  g_test_add_func ("/quantity/refusals", test_refusals);
  g_test_add_func ("/quantity/parse-u", test_parse_u);
  g_test_add_func ("/quantity/round-trip", test_round_trip);
  g_test_add_func ("/quantity/concise", test_concise);
  g_test_add_func ("/quantity/concise-reads-back", test_concise_reads_back);
  g_test_add_func ("/quantity/format-double", test_format_double);
  g_test_add_func ("/quantity/locale", test_locale);
  return g_test_run ();
}

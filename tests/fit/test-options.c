/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The options as text: what the header says of each, set and got.
 */
#include "faint/fit/fit.h"
#include "faint-test.h"

#include <math.h>

typedef struct
{
  const char *key, *usual;  /* usual: as got from fresh options (fit.h) */
  const char *const *good;  /* set and got the same */
  const char *const *wrong; /* refused */
} Option;

#define LIST(...) ((const char *const[]){ __VA_ARGS__, NULL })

static const Option table[] = {
  { "threshold", "5", LIST ("3", "4.5", "100"),
    LIST ("2.99", "100.1", "", "five", "5 ", "5x", "nan", "inf") },
  { "find_rounds", "6", LIST ("0", "1", "100"), LIST ("-1", "101", "1.5", "", "many") },
  { "baseline_degree", "2", LIST ("0", "8"), LIST ("9", "-1", "2.5", "") },
  { "window_width", "0", LIST ("0", "0.25", "10000"), LIST ("-0.1", "10001", "", "wide", "nan") },
  { "max_iterations", "60", LIST ("1", "1000"), LIST ("0", "1001", "1e9", "", "ten") },
  { "doppler_free", "no", LIST ("yes", "no"), LIST ("", "maybe", "2", "YES!") },
  { "width_shared", "yes", LIST ("no", "yes"), LIST ("", "maybe", "-1") },
  { "lorentz_common", "no", LIST ("no", "yes"), LIST ("", "maybe", "-1") },
  { "doppler_common", "no", LIST ("no", "yes"), LIST ("", "maybe", "-1") },
  { "detuning_free", "no", LIST ("no", "yes"), LIST ("", "maybe", "-1") },
  { "detuning_slope_free", "no", LIST ("no", "yes"), LIST ("", "maybe", "-1") },
  { "fringes", "0", LIST ("0", "3"), LIST ("-1", "4", "1.5", "", "many") },
  { "fringe_period_1", "0", LIST ("0", "0.31"), LIST ("-1", "", "wide", "nan") },
  { "fringe_period_2", "0", LIST ("0", "0.31"), LIST ("-1", "", "wide", "nan") },
  { "fringe_period_3", "0", LIST ("0", "0.31"), LIST ("-1", "", "wide", "nan") },
  { "range_lower", "", LIST ("7790.5", "0", ""), LIST ("-1", "1000001", "x", "7790 cm-1") },
  { "range_upper", "", LIST ("7790.5", "1000000", ""), LIST ("-1", "1000001", "x", "nan") },
};

/* The keys are these, in this order. */
static void
test_keys (void)
{
  const char *const *keys = faint_fit_option_keys ();

  for (gsize i = 0; i < G_N_ELEMENTS (table); i++)
    g_assert_cmpstr (keys[i], ==, table[i].key);
  g_assert_null (keys[G_N_ELEMENTS (table)]);
}

static void
test_usual (void)
{
  FaintFitOptions options;

  faint_fit_options_init (&options);
  for (gsize i = 0; i < G_N_ELEMENTS (table); i++)
    {
      g_autofree char *got = faint_fit_options_get (&options, table[i].key);
      g_assert_cmpstr (got, ==, table[i].usual);
    }
}

/* Set, got, and nothing else touched. */
static void
test_round_trip (void)
{
  for (gsize i = 0; i < G_N_ELEMENTS (table); i++)
    for (const char *const *text = table[i].good; *text != NULL; text++)
      {
        FaintFitOptions options;
        GError *error = NULL;
        gboolean known = FALSE;

        faint_fit_options_init (&options);
        g_assert_true (faint_fit_options_set (&options, table[i].key, *text, &known, &error));
        g_assert_no_error (error);
        g_assert_true (known);
        for (gsize k = 0; k < G_N_ELEMENTS (table); k++)
          {
            g_autofree char *got = faint_fit_options_get (&options, table[k].key);
            g_assert_cmpstr (got, ==, k == i ? *text : table[k].usual);
          }
      }
}

/* A bad value is refused with its key and itself, and changes nothing. */
static void
test_refused (void)
{
  for (gsize i = 0; i < G_N_ELEMENTS (table); i++)
    for (const char *const *text = table[i].wrong; *text != NULL; text++)
      {
        FaintFitOptions options;
        GError *error = NULL;
        gboolean known = FALSE;
        g_autofree char *said = g_strdup_printf ("%s: '%s' was given", table[i].key, *text);
        g_autofree char *got = NULL;

        faint_fit_options_init (&options);
        if (faint_fit_options_set (&options, table[i].key, *text, &known, &error))
          g_error ("%s = '%s' was taken", table[i].key, *text);
        g_assert_true (known);
        g_assert_cmpint (error->code, ==, FAINT_FIT_ERROR_OPTION);
        faint_assert_error_says (error, FAINT_FIT_ERROR, said);
        got = faint_fit_options_get (&options, table[i].key);
        g_assert_cmpstr (got, ==, table[i].usual);
      }
}

static void
test_other_words (void)
{
  static const char *const words[][2]
      = { { "true", "yes" }, { "1", "yes" }, { "false", "no" }, { "0", "no" } };
  FaintFitOptions options;
  gboolean known;

  faint_fit_options_init (&options);
  for (gsize i = 0; i < G_N_ELEMENTS (words); i++)
    {
      g_autofree char *got = NULL;

      g_assert_true (faint_fit_options_set (&options, "doppler_free", words[i][0], &known, NULL));
      got = faint_fit_options_get (&options, "doppler_free");
      g_assert_cmpstr (got, ==, words[i][1]);
    }
}

static void
test_unknown (void)
{
  FaintFitOptions options;
  GError *error = NULL;
  gboolean known = TRUE;

  faint_fit_options_init (&options);
  g_assert_false (faint_fit_options_set (&options, "treshold", "5", &known, &error));
  g_assert_false (known);
  faint_assert_error_says (error, FAINT_FIT_ERROR, "no fit option 'treshold'");
  g_assert_null (faint_fit_options_get (&options, "treshold"));
}

static void
test_verdicts (void)
{
  g_assert_cmpstr (faint_verdict_name (FAINT_VERDICT_CONVERGED), ==, "converged");
  g_assert_cmpstr (faint_verdict_name (FAINT_VERDICT_STALLED), ==, "stalled");
  g_assert_cmpstr (faint_verdict_name (FAINT_VERDICT_LIMIT), ==, "iteration limit");
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/fit/options/keys", test_keys);
  g_test_add_func ("/fit/options/usual", test_usual);
  g_test_add_func ("/fit/options/round-trip", test_round_trip);
  g_test_add_func ("/fit/options/refused", test_refused);
  g_test_add_func ("/fit/options/other-words", test_other_words);
  g_test_add_func ("/fit/options/unknown", test_unknown);
  g_test_add_func ("/fit/options/verdicts", test_verdicts);
  return g_test_run ();
}

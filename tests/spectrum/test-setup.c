/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/spectrum/setup.h"

#include <string.h>

#include "faint-test.h"
#include "faint/base/text.h"

static void
set (FaintSetup *setup, const char *key, const char *text)
{
  g_autoptr (GError) error = NULL;

  faint_setup_set (setup, key, text, NULL, &error);
  g_assert_no_error (error);
}

static void
is (const FaintSetup *setup, const char *key, const char *want)
{
  g_autofree char *got = faint_setup_get (setup, key);

  g_assert_cmpstr (got, ==, want);
}

static void
test_nothing_stated (void)
{
  g_autoptr (FaintSetup) setup = faint_setup_new ();
  gsize n;
  const FaintSetupKey *keys = faint_setup_keys (&n);

  g_assert_cmpuint (n, ==, 24);
  for (gsize i = 0; i < n; i++)
    {
      g_autofree char *u_key = g_strdup_printf ("u(%s)", keys[i].key);

      g_assert_true (faint_setup_key_find (keys[i].key) == &keys[i]);
      is (setup, u_key, NULL);
      if (!g_str_equal (keys[i].key, "observable") && !g_str_equal (keys[i].key, "coupling"))
        is (setup, keys[i].key, NULL);
    }
  is (setup, "observable", "power");
  is (setup, "coupling", "locked");
  is (setup, "nonsense", NULL);
}

static void
test_set_and_get (void)
{
  static const char *const pairs[][2] = {
    { "title", "run 14" },
    { "observable", "field" },
    { "temperature", "23.1 degC" },
    { "pressure", "1.3 hPa" },
    { "mole_fraction", "0.98" },
    { "isotopic_abundance", "0.990333" },
    { "molar_mass", "44.0011 g/mol" },
    { "recording_time", "60 s" },
    { "repetition_rate", "250 MHz" },
    { "offset_frequency", "-20 MHz" },
    { "cavity", "none" },
    { "coupling", "swept" },
    { "cavity_length", "60 cm" },
    { "absorber_length", "55.5 cm" },
    { "output_share", "0" },
    { "tooth_detuning", "-1.5 kHz" },
    { "tooth_detuning_slope", "1e-09" },
    { "excluded", "7789..7789.5, 7790.1..7790.2 cm-1" },
    { "u(temperature)", "0.2 degC" },
    { "u(repetition_rate)", "5e-07 MHz" },
    { "u(tooth_detuning_slope)", "1e-10" },
  };
  g_autoptr (FaintSetup) setup = faint_setup_new (), copy = NULL;

  for (gsize i = 0; i < G_N_ELEMENTS (pairs); i++)
    set (setup, pairs[i][0], pairs[i][1]);
  copy = faint_setup_copy (setup);
  for (gsize i = G_N_ELEMENTS (pairs); i-- > 0;) /* an uncertainty goes with its quantity */
    {
      is (copy, pairs[i][0], pairs[i][1]);
      if (!g_str_equal (pairs[i][0], "observable") && !g_str_equal (pairs[i][0], "coupling"))
        {
          set (copy, pairs[i][0], "");
          is (copy, pairs[i][0], NULL);
        }
      is (setup, pairs[i][0], pairs[i][1]); /* the copy is its own */
    }
  /* A detuning may be given as a wavenumber: 1 cm-1 is 29979.2458 MHz. */
  set (setup, "tooth_detuning", "1e-7 cm-1");
  faint_assert_close (setup->tooth_detuning.value, 2997.92458, 1e-15, "one product");
}

static void
test_uncertainty_is_kept (void)
{
  g_autoptr (FaintSetup) setup = faint_setup_new ();

  set (setup, "u(pressure)", "2 Pa");
  g_assert_false (faint_quantity_is_known (setup->pressure));
  set (setup, "pressure", "1.3 hPa");
  is (setup, "u(pressure)", "0.02 hPa");
  set (setup, "pressure", "1.4 hPa");
  is (setup, "u(pressure)", "0.02 hPa");
  set (setup, "pressure", "1.4(1) hPa");
  is (setup, "u(pressure)", "0.1 hPa");
  set (setup, "u(pressure)", "");
  is (setup, "u(pressure)", NULL);
  is (setup, "pressure", "1.4 hPa");
}

static void
test_mirrors (void)
{
  static const char *const pairs[][2] = { { "finesse", "12000" },
                                          { "mirror_reflectivity", "0.9997" },
                                          { "ring_down_time", "7.7 us" },
                                          { "cavity_linewidth", "20.8 kHz" } };
  static const FaintMirrorKind kinds[] = { FAINT_MIRROR_FINESSE, FAINT_MIRROR_REFLECTIVITY,
                                           FAINT_MIRROR_RING_DOWN_TIME, FAINT_MIRROR_LINEWIDTH };
  g_autoptr (FaintSetup) setup = faint_setup_new ();

  for (gsize i = 0; i < G_N_ELEMENTS (pairs); i++)
    {
      set (setup, pairs[i][0], pairs[i][1]);
      g_assert_cmpint (setup->mirror_kind, ==, kinds[i]);
      for (gsize k = 0; k < G_N_ELEMENTS (pairs); k++)
        is (setup, pairs[k][0], k == i ? pairs[k][1] : NULL);
      g_assert_true (isnan (setup->mirror.u)); /* that of the way before is not taken over */
      setup->mirror.u = setup->mirror.value / 100;
    }
  set (setup, "finesse", ""); /* not the way in use: nothing changes */
  is (setup, "cavity_linewidth", "20.8 kHz");
  set (setup, "cavity_linewidth", "");
  g_assert_cmpint (setup->mirror_kind, ==, FAINT_MIRROR_UNKNOWN);
  set (setup, "u(finesse)", "50");
  set (setup, "finesse", "12000");
  is (setup, "u(finesse)", "50");
}

typedef struct
{
  const char *key, *text, *words;
} Refusal;

static void
test_refusals (void)
{
  static const Refusal refusals[] = {
    { "temperature", "0 K", "a value above 0 K was expected" },
    { "temperature", "-300 degC", "a value above 0 K was expected" },
    { "temperature", "296", "no unit" },
    { "temperature", "296 hPa", "'hPa' is no unit known here; one of K, degC" },
    { "pressure", "0 Pa", "a value above 0 Pa was expected" },
    { "pressure", "-1 Pa", "a value above 0 Pa was expected" },
    { "pressure", "1,3 hPa", "decimal comma" },
    { "mole_fraction", "0", "above 0 and at most 1" },
    { "mole_fraction", "1.01", "above 0 and at most 1" },
    { "mole_fraction", "1 %", "number without unit" },
    { "isotopic_abundance", "2", "above 0 and at most 1" },
    { "molar_mass", "0 u", "above 0 g/mol" },
    { "recording_time", "0 s", "above 0 s" },
    { "repetition_rate", "0 Hz", "above 0 Hz" },
    { "cavity_length", "0 cm", "above 0 cm" },
    { "absorber_length", "-1 cm", "above 0 cm" },
    { "finesse", "0", "above 1 and at most 1e9" },
    { "finesse", "1", "above 1 and at most 1e9" },
    { "finesse", "1e12", "above 1 and at most 1e9" },
    { "mirror_reflectivity", "1", "above 0 and below 1" },
    { "ring_down_time", "0 us", "above 0 s" },
    { "cavity_linewidth", "0 kHz", "above 0 Hz" },
    { "output_share", "1.5", "from 0 to 1" },
    { "observable", "intensity", "one of power, amplitude, field" },
    { "cavity", "bow-tie", "one of standing-wave, ring, none" },
    { "u(temperature)", "-1 K", "negative" },
    { "u(title)", "1", "no key known here" },
    { "u()", "1", "no key known here" },
    { "", "1", "no key known here" },
    { "finesse_table", "/nowhere/f.txt", "No such file" },
    { "partition_sums", "/nowhere/q.txt", "not there" },
  };
  g_autoptr (FaintSetup) setup = faint_setup_new ();

  for (gsize i = 0; i < G_N_ELEMENTS (refusals); i++)
    {
      g_autoptr (GError) error = NULL;

      g_assert_false (faint_setup_set (setup, refusals[i].key, refusals[i].text, NULL, &error));
      g_assert_nonnull (strstr (error->message, refusals[i].key));
      faint_assert_error_says (error,
                               g_str_equal (refusals[i].key, "finesse_table") ? FAINT_TEXT_ERROR
                                                                              : FAINT_SETUP_ERROR,
                               refusals[i].words);
      g_assert_cmpint (setup->mirror_kind, ==, FAINT_MIRROR_UNKNOWN);
    }
}

static void
refuses_table (const char *folder, const char *text, const char *words)
{
  g_autoptr (FaintSetup) setup = faint_setup_new ();
  g_autofree char *path = faint_test_file (folder, "f.txt", text);
  g_autoptr (GError) error = NULL;

  g_assert_false (faint_setup_set (setup, "finesse_table", "f.txt", folder, &error));
  faint_assert_error_says (error, FAINT_TEXT_ERROR, words);
}

static void
test_table_refusals (void)
{
  char *folder = faint_test_folder_new ();

#define HEAD "# columns = wavenumber/cm-1 finesse\n"
  refuses_table (folder, HEAD, "holds 0 rows");
  refuses_table (folder, HEAD "6390 12000\n", "holds 1 rows");
  refuses_table (folder, "6390 12000\n6400 12000\n", "line 1: numbers stand before the columns");
  refuses_table (folder, "# columns = wavenumber finesse\n", "line 1, column 13: the columns are");
  refuses_table (folder, HEAD "6390 12000\n6390 12000\n", "line 3: the wavenumber does not rise");
  refuses_table (folder, HEAD "6390 0.5\n", "line 2: a finesse above 1");
  refuses_table (folder, HEAD "6390 1e12\n", "line 2: a finesse above 1");
  refuses_table (folder, HEAD "6390 12000 30\n", "line 2: there are 3 numbers");
  refuses_table (folder, HEAD "6390\n", "line 2: there are 1 numbers");
  refuses_table (folder, HEAD "6390 x\n", "line 2, column 6: a finite number");
  refuses_table (folder, HEAD "6390 12,5\n", "line 2, column 8: a finite number");
  refuses_table (folder, HEAD "6390 nan\n", "a finite number");
  faint_test_folder_remove (folder);
}

static void
test_check (void)
{
  static const char *const needed[][2] = {
    { "temperature", "296 K" }, { "pressure", "1 hPa" },       { "mole_fraction", "1" },
    { "molar_mass", "44 u" },   { "cavity", "standing-wave" }, { "cavity_length", "60 cm" },
    { "finesse", "12000" },
  };
  g_autoptr (FaintSetup) setup = faint_setup_new ();
  g_autoptr (GError) error = NULL;

  for (gsize i = 0; i < G_N_ELEMENTS (needed); i++)
    {
      g_assert_false (faint_setup_check (setup, &error));
      g_assert_error (error, FAINT_SETUP_ERROR, FAINT_SETUP_ERROR_MISSING);
      for (gsize k = i; k < G_N_ELEMENTS (needed); k++)
        g_assert_nonnull (strstr (error->message, needed[k][0])); /* all at once */
      g_clear_error (&error);
      set (setup, needed[i][0], needed[i][1]);
    }
  g_assert_true (faint_setup_check (setup, &error));
  set (setup, "absorber_length", "0.61 m");
  g_assert_false (faint_setup_check (setup, &error));
  faint_assert_error_says (error, FAINT_SETUP_ERROR,
                           "0.61 m is longer than the cavity_length of 60 cm");
  set (setup, "absorber_length", "");
  set (setup, "coupling", "swept");
  g_assert_true (faint_setup_check (setup, &error));
  set (setup, "observable", "field");
  g_assert_false (faint_setup_check (setup, &error));
  faint_assert_error_says (error, FAINT_SETUP_ERROR, "the observable is 'field'");
  set (setup, "observable", "power");
  set (setup, "cavity", "none");
  g_assert_false (faint_setup_check (setup, &error));
  faint_assert_error_says (error, FAINT_SETUP_ERROR, "without a cavity");
  set (setup, "coupling", "");
  set (setup, "finesse", "");
  g_assert_true (faint_setup_check (setup, &error)); /* a single pass has no mirrors */
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/setup/nothing-stated", test_nothing_stated);
  g_test_add_func ("/setup/set-and-get", test_set_and_get);
  g_test_add_func ("/setup/uncertainty-is-kept", test_uncertainty_is_kept);
  g_test_add_func ("/setup/mirrors", test_mirrors);
  g_test_add_func ("/setup/refusals", test_refusals);
  g_test_add_func ("/setup/table-refusals", test_table_refusals);
  g_test_add_func ("/setup/check", test_check);
  return g_test_run ();
}

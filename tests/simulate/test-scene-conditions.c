/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Lines of a scene stated apart from its conditions: strengths at 296 K, coefficients instead of
 * widths, profiles beyond Voigt, settings over the file. The formulas are computed here, from
 * constants typed from the SI Brochure (9th ed., 2019).
 */
#include "faint/simulate/scene.h"
#include "faint-test.h"
#include "scene-keys.h"

#include <complex.h>
#include <math.h>
#include <string.h>

#define C_CM_S 29979245800.0
#define K_J_K 1.380649e-23
#define N_A 6.02214076e23
#define C2 1.438776877503933802 /* hc/k, cm K */

static FaintScene *
read_with (const char *text, const char *const *settings)
{
  g_autoptr (GError) error = NULL;
  char *folder = faint_test_folder_new ();
  /* Q(T) = T/100, for which a spline of ln Q over ln T is exact */
  G_GNUC_UNUSED g_autofree char *table
      = faint_test_file (folder, "q.txt", "# columns = temperature/K Q\n200 2\n296 2.96\n400 4\n");
  g_autofree char *path = faint_test_file (folder, "a.scene", text);
  FaintScene *scene = faint_scene_read_with (path, settings, &error);

  g_assert_no_error (error);
  faint_test_folder_remove (folder);
  return scene;
}

static FaintSpectrum *
simulate (const FaintScene *scene)
{
  g_autoptr (GError) error = NULL;
  FaintSpectrum *spectrum = faint_scene_simulate (scene, 1, NULL, &error);

  g_assert_no_error (error);
  return spectrum;
}

#define SERIES                                                                                     \
  EMPTY "# teeth = 200\n# partition_sums = q.txt\n"                                                \
        "# columns = position/cm-1 strength_296K/(cm/molecule) lower_energy/cm-1 "                 \
        "broadening_self/(cm-1/atm) broadening_foreign/(cm-1/atm) "                                \
        "broadening_mixture/(cm-1/atm) shift_self/(cm-1/atm) shift_foreign/(cm-1/atm) "            \
        "shift_mixture/(cm-1/atm) width_exponent\n"                                                \
        "7754.1 3e-25 150.5 0.11 0.08 - -0.003 0.002 - 0.75\n"                                     \
        "7754.2 2e-25 12 - - 0.09 - - -0.0015 0.5\n"

static void
check_doppler (const FaintLine *line, double temperature)
{
  double mass = 44.0011e-3 / N_A, c = C_CM_S / 100.0; /* kg, m/s */
  double want
      = line->position.value * sqrt (2.0 * log (2.0) * K_J_K * temperature / (mass * c * c));

  g_assert_cmpint (line->doppler.state, ==, FAINT_STATE_DERIVED);
  faint_assert_close (line->doppler.value, want, 1e-14, "some roundings");
}

/* GAS has a mole fraction of 0.8; 1 atm = 1013.25 hPa exactly (10th CGPM, 1954). */
static void
check_series (const char *const *settings, double temperature, double hectopascal)
{
  g_autoptr (FaintScene) scene = read_with (SERIES, settings);
  g_autoptr (FaintLineList) lines = faint_scene_truth (scene);
  const FaintLine *first = faint_line_list_get (lines, 0), *second = faint_line_list_get (lines, 1);
  double p = hectopascal / 1013.25;
  double width = pow (296.0 / temperature, 0.75) * p * (0.8 * 0.11 + 0.2 * 0.08);
  double shift = p * (0.8 * -0.003 + 0.2 * 0.002);
  /* Rothman et al., JQSRT 60, 665 (1998), appendix A */
  double strength = 3e-25 * 296.0 / temperature
                    * exp (-C2 * 150.5 * (1.0 / temperature - 1 / 296.0))
                    * (1.0 - exp (-C2 * 7754.1 / temperature)) / (1.0 - exp (-C2 * 7754.1 / 296.0));

  faint_assert_close (first->lorentz.value, width, 1e-14, "some roundings");
  faint_assert_close (first->position.value, 7754.1 + shift, 2.3e-16, "one rounding");
  faint_assert_close (first->strength.value, strength, 1e-12, "roundings in exponents below 1");
  g_assert_true (first->strength_296 == 3e-25);
  check_doppler (first, temperature);
  g_assert_true (first->coefficient[FAINT_COEFFICIENT_POSITION_ZERO].value == 7754.1);
  g_assert_true (first->coefficient[FAINT_COEFFICIENT_SHIFT_SELF].value == -0.003);
  g_assert_true (isnan (first->coefficient[FAINT_COEFFICIENT_BROADENING_MIXTURE].value));
  faint_assert_close (second->lorentz.value, sqrt (296.0 / temperature) * p * 0.09, 1e-14,
                      "some roundings");
  faint_assert_close (second->position.value, 7754.2 - 0.0015 * p, 2.3e-16, "one rounding");
  g_assert_true (first->peak > 0.0 && first->peak < 1.0);
}

static void
test_series (void)
{
  const char *const cold[] = { "temperature=250 K", " pressure = 20 hPa ", NULL };
  const char *const hot[] = { "temperature = 350 K", "pressure = 0.1 atm", NULL };
  const char *const reference[] = { "temperature = 296 K", NULL };

  check_series (NULL, 296.15, 1.3);
  check_series (cold, 250.0, 20.0);
  check_series (hot, 350.0, 101.325);
  check_series (reference, 296.0, 1.3);
}

/* A truth is stated at the conditions, so it gives the same spectrum; and settings are as good as
 * the file. */
static void
test_truth_again (void)
{
  char *folder = faint_test_folder_new ();
  const char *const settings[] = { "pressure=20 hPa", "noise=1e-3", "teeth=150", NULL };
  g_autoptr (FaintScene) scene = read_with (SERIES, settings), again = NULL;
  g_autoptr (FaintLineList) truth = faint_scene_truth (scene);
  g_autofree char *csv = faint_line_list_to_csv (truth, NULL);
  g_autofree char *path = faint_test_file (folder, "truth.csv", csv);
  g_autofree char *with_lines = g_strconcat ("lines = ", path, NULL);
  const char *const more[]
      = { "pressure=20 hPa", "noise=1e-3", with_lines, "detected_noise=constant", NULL };
  g_autoptr (FaintSpectrum) one = simulate (scene), other = NULL;

  again = read_with (EMPTY "# teeth = 150\n# partition_sums = q.txt\n", more);
  other = simulate (again);
  g_assert_cmpuint (one->n, ==, 150);
  g_assert_cmpmem (one->value, one->n * sizeof (double), other->value, other->n * sizeof (double));
  g_assert_true (one->u[0] == 1e-3 && one->setup->pressure.value == 2000.0);
  faint_test_folder_remove (folder);
}

/* What a fit of several spectra gives of a line, at conditions of another one: 0.25 atm at 296 K.
 */
static void
test_coefficients_from_file (void)
{
  char *folder = faint_test_folder_new ();
  g_autofree char *path = faint_test_file (
      folder, "list.csv",
      "position/cm-1,position_zero/cm-1,strength_296K/(cm/molecule),broadening_self/(cm-1/atm),"
      "shift_self/(cm-1/atm),doppler_hwhm/cm-1,flags\n"
      "7754.5,7754.25,1e-25,0.5,0.125,0.5,doppler-derived\n"
      "7755.5,,1e-25,0.5,0.125,0.5,\n");
  g_autofree char *with_lines = g_strconcat ("lines = ", path, NULL);
  const char *const settings[]
      = { with_lines, "temperature=296 K", "pressure=0.25 atm", "mole_fraction=1", NULL };
  g_autoptr (FaintScene) scene = read_with (EMPTY "# teeth = 20\n", settings);
  g_autoptr (FaintLineList) truth = faint_scene_truth (scene);
  const FaintLine *first = faint_line_list_get (truth, 0), *second = faint_line_list_get (truth, 1);

  g_assert_true (first->position.value == 7754.28125); /* exact in binary, as all of these */
  g_assert_true (first->lorentz.value == 0.125);
  g_assert_true (first->strength.value == 1e-25); /* it is 296 K: without Q and energy */
  check_doppler (first, 296.0);
  g_assert_true (second->position.value == 7755.53125);
  g_assert_true (second->doppler.value == 0.5);
  faint_test_folder_remove (folder);
}

/* Hartmann-Tran profiles of tests/reference/profiles_htp.csv as a single pass shows them: a field
 * exp(-N l S p/2). Rows with a shift and a correlation are left out, as a line's position holds its
 * whole shift. The teeth lie near 1 cm-1, so that wavenumbers round to 1e-16 cm-1. */
static void
check_profile (const FaintTestTable *table, guint row, const char *profile)
{
  double offset = faint_test_table_number (table, row, "nu_minus_nu0");
  double position = 100.0 * 3e8 / C_CM_S - offset + faint_test_table_number (table, row, "Delta0");
  double complex want = faint_test_table_number (table, row, "re_profile")
                        + I * faint_test_table_number (table, row, "im_profile");
  double density = 1000.0 / (K_J_K * 300.0) * 1e-6; /* 10 hPa, per cm3 */
  double strength = 0.01 / (0.5 * density * 100.0);
  gboolean whole = strcmp (profile, "hartmann-tran") == 0;
  double complex got;
  g_autofree char *rows = g_strdup_printf ("%.17g %.17g %s %s %s %s %s %s %s\n", position, strength,
                                           faint_test_table_text (table, row, "Gamma0"),
                                           faint_test_table_text (table, row, "GammaD_hwhm"),
                                           profile, faint_test_table_text (table, row, "Gamma2"),
                                           faint_test_table_text (table, row, "Delta2"),
                                           whole ? faint_test_table_text (table, row, "nuVC") : "-",
                                           whole ? faint_test_table_text (table, row, "eta") : "-");
  g_autofree char *text = g_strconcat (
      "# scene 1\n# repetition_rate = 300 MHz\n# offset_frequency = 0 Hz\n# first_tooth = 100\n"
      "# teeth = 8\n# temperature = 300 K\n# pressure = 10 hPa\n# mole_fraction = 1\n"
      "# molar_mass = 44 g/mol\n# cavity = none\n# cavity_length = 100 cm\n# observable = field\n"
      "# columns = position/cm-1 strength/(cm/molecule) lorentz_hwhm/cm-1 doppler_hwhm/cm-1 "
      "profile speed_width/cm-1 speed_shift/cm-1 velocity_changing/cm-1 correlation\n",
      rows, NULL);
  g_autoptr (FaintScene) scene = read_with (text, NULL);
  g_autoptr (FaintSpectrum) spectrum = simulate (scene);

  got = -clog (spectrum->value[0] + I * spectrum->value_im[0]) / 0.01;
  faint_assert_near (cabs (got - want) / cabs (want), 0.0, 1e-11,
                     "1e-12 of the profile, and a logarithm of 1 minus 0.01 at least");
}

static void
test_profiles (void)
{
  FaintTestTable *table = faint_test_table_read ("profiles_htp.csv");
  guint whole = 0, speed_dependent = 0;

  for (guint row = 0; row < table->rows->len; row++)
    {
      double correlation = faint_test_table_number (table, row, "eta");

      if (correlation != 0.0 && faint_test_table_number (table, row, "Delta0") != 0.0)
        continue;
      check_profile (table, row, "hartmann-tran");
      whole += correlation != 0.0;
      if (correlation != 0.0 || faint_test_table_number (table, row, "nuVC") != 0.0)
        continue;
      check_profile (table, row, "speed-dependent-voigt");
      speed_dependent += faint_test_table_number (table, row, "Gamma2") != 0.0;
    }
  g_assert_cmpuint (whole, >, 0);
  g_assert_cmpuint (speed_dependent, >, 0);
  faint_test_table_free (table);
}

#define HEADS(more) EMPTY "# teeth = 20\n# columns = position/cm-1 " more "\n"
#define COEFFICIENTS                                                                               \
  HEADS ("strength/(cm/molecule) lorentz_hwhm/cm-1 broadening_self/(cm-1/atm) "                    \
         "shift_self/(cm-1/atm) width_exponent")
#define SHAPES                                                                                     \
  HEADS ("strength/(cm/molecule) lorentz_hwhm/cm-1 doppler_hwhm/cm-1 profile speed_width/cm-1 "    \
         "correlation")
/* The rows begin on line 14. */
static const struct
{
  const char *text, *words;
} bad[] = {
  { HEADS ("strength_296K/(cm/molecule)"), "line 13: columns: 'lorentz_hwhm/cm-1' is missing (or" },
  { HEADS ("lorentz_hwhm/cm-1"), "line 13: columns: 'strength/(cm/molecule)' is missing (or" },
  { COEFFICIENTS "7790 1e-25 - - 0.1 -\n", "line 14: the line has neither lorentz_hwhm nor" },
  { COEFFICIENTS "7790 1e-25 0.1 - 0.1 -\n", "line 14: the line has lorentz_hwhm, which" },
  { COEFFICIENTS "7790 1e-25 - 0.1 - -\n", "at 7790.000000 cm-1 has broadening at 296 K but no" },
  { COEFFICIENTS "7790 1e-25 - -0.1 - 0\n", "found '-0.1' under 'broadening_self/(cm-1/atm)'" },
  { COEFFICIENTS "7790 1e-25 - 0.1 x 0\n",
    "found 'x' under 'shift_self/(cm-1/atm)', expected a n" },
  { COEFFICIENTS "1 1e-25 - 0.1 -1e6 0\n", "the shift moves a line to" },
  { HEADS ("strength_296K/(cm/molecule) strength/(cm/molecule) lorentz_hwhm/cm-1") "7790 1e-25 "
                                                                                   "1e-25 0.1\n",
    "line 14: the line needs a strength at the scene's temperature or one at 296 K, not both" },
  { HEADS ("strength_296K/(cm/molecule) lorentz_hwhm/cm-1") "7790 1e-25 0.1\n",
    "at 296.15 K it needs the key partition_sums" },
  { SHAPES "7790 1e-25 0.1 - gauss - -\n", "line 14: found 'gauss' under 'profile'" },
  { SHAPES "7790 1e-25 0.1 - - 0.01 -\n",
    "line 14: the line has a speed_width, which its profile" },
  { SHAPES "7790 1e-25 0.1 - speed-dependent-voigt - 0.5\n",
    "line 14: the line has a correlation" },
  { SHAPES "7790 1e-25 0.1 - hartmann-tran - 1.5\n", "expected a number from 0 to 1" },
  { SHAPES "7790 1e-25 0.1 0 hartmann-tran - -\n",
    "has no Doppler width, which its profile needs" },
  { SHAPES "7790 1e-25 0.1 - hartmann-tran 0.07 -\n", "has a speed_width of 0.07 cm-1; it must" },
};

static void
test_errors (void)
{
  char *folder = faint_test_folder_new ();

  for (gsize i = 0; i < G_N_ELEMENTS (bad); i++)
    {
      g_autoptr (GError) error = NULL;
      g_autofree char *path = faint_test_file (folder, "bad.scene", bad[i].text);

      g_assert_null (faint_scene_read (path, &error));
      g_assert_true (g_str_has_prefix (error->message, path));
      if (strstr (error->message, bad[i].words) == NULL)
        g_error ("'%s' does not say '%s'", error->message, bad[i].words);
    }
  faint_test_folder_remove (folder);
}

static void
test_bad_settings (void)
{
  static const struct
  {
    const char *setting, *words;
  } cases[] = {
    { "pressure", "found 'pressure', expected KEY=VALUE" },
    { "pressure=1.3", "pressure" },
    { "nosie=1e-3", "the key 'nosie' is not known" },
    { "noise=small", "noise: found 'small'" },
    { "teeth=-1", "teeth: found '-1'" },
    { "columns=position/cm-1", "columns: the rows" },
    { "lines=missing.csv", "the scene has rows of lines too" },
  };
  char *folder = faint_test_folder_new ();
  g_autofree char *path = faint_test_file (folder, "a.scene", EMPTY "# teeth = 20\n" ROWS);

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (GError) error = NULL;
      const char *const settings[] = { cases[i].setting, NULL };

      g_assert_null (faint_scene_read_with (path, settings, &error));
      g_assert_error (error, FAINT_SCENE_ERROR, FAINT_SCENE_ERROR_SETTING);
      faint_assert_error_says (error, FAINT_SCENE_ERROR, cases[i].words);
    }
  faint_test_folder_remove (folder);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/simulate/conditions/series", test_series);
  g_test_add_func ("/simulate/conditions/truth-again", test_truth_again);
  g_test_add_func ("/simulate/conditions/coefficients-from-file", test_coefficients_from_file);
  g_test_add_func ("/simulate/conditions/profiles", test_profiles);
  g_test_add_func ("/simulate/conditions/errors", test_errors);
  g_test_add_func ("/simulate/conditions/bad-settings", test_bad_settings);
  return g_test_run ();
}

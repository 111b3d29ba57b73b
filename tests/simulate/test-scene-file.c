/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Scenes as files: what they name, what is wrong with them, the tables that are made of them.
 */
#include "faint/simulate/scene.h"
#include "faint/spectrum/comb-table.h"
#include "faint-test.h"
#include "scene-keys.h"

#include <glib/gstdio.h>
#include <math.h>
#include <string.h>

/* At 296 K and at 296.15 K strengths differ little, by Q and by Boltzmann factors alone; the case
 * is chosen so that both are plain: a table with Q(T) = T/100. */
static void
test_reference_strength (void)
{
  g_autoptr (GError) error = NULL;
  char *folder = faint_test_folder_new ();
  G_GNUC_UNUSED g_autofree char *table = faint_test_file (
      folder, "q.txt",
      "# columns = temperature/K Q\n200 2\n250 2.5\n296 2.96\n300 3\n350 3.5\n400 4\n");
  g_autofree char *path
      = faint_test_file (folder, "a.scene", EMPTY "# teeth = 20\n# partition_sums = q.txt\n" ROWS);
  g_autoptr (FaintScene) scene = faint_scene_read (path, &error);
  g_autoptr (FaintLineList) lines = NULL;
  double c2 = 1.438776877503933802; /* hc/k, cm K */
  double boltzmann = exp (-c2 * 12.5 / 296.0) / exp (-c2 * 12.5 / 296.15);
  double emission = (1.0 - exp (-c2 * 7790.02 / 296.0)) / (1.0 - exp (-c2 * 7790.02 / 296.15));

  g_assert_no_error (error);
  lines = faint_scene_truth (scene);
  faint_assert_close (faint_line_list_get (lines, 0)->strength_296,
                      5.1e-25 * 2.9615 / 2.96 * boltzmann * emission, 1e-12,
                      "a spline of ln Q over ln T is exact for a straight line");
  g_assert_true (isnan (faint_line_list_get (lines, 1)->strength_296));
  faint_test_folder_remove (folder);
}

static void
test_lines_file (void)
{
  g_autoptr (GError) error = NULL;
  char *folder = faint_test_folder_new ();
  G_GNUC_UNUSED g_autofree char *list
      = faint_test_file (folder, "list.csv",
                         "position/cm-1,strength/(cm/molecule),lorentz_hwhm/cm-1,u(position)/cm-1\n"
                         "7790.02,1e-25,0.001,0.5\n");
  g_autofree char *path
      = faint_test_file (folder, "a.scene", EMPTY "# teeth = 20\n# lines = list.csv\n");
  g_autoptr (FaintScene) scene = faint_scene_read (path, &error);
  g_autoptr (FaintLineList) lines = NULL;

  g_assert_no_error (error);
  lines = faint_scene_truth (scene);
  g_assert_cmpuint (faint_line_list_get_n (lines), ==, 1);
  g_assert_true (isnan (faint_line_list_get (lines, 0)->position.u)); /* the truth is exact */
  faint_test_folder_remove (folder);
}

#define GOOD EMPTY "# teeth = 20\n"
/* GOOD has 12 lines; what is added begins on line 13. */
static const struct
{
  const char *text, *words;
} bad[] = {
  { "# comb-table 1\n", "line 1: found '# comb-table 1', expected '# scene 1'" },
  { GOOD "# nosie = 1e-3\n", "line 13: the key 'nosie' is not known" },
  { GOOD "# noise = small\n", "line 13: noise: found 'small'" },
  { GOOD "# noise = -1\n", "line 13: noise: found '-1', expected a number of at least 0" },
  { GOOD "# noise = nan\n", "line 13: noise: found 'nan'" },
  { GOOD "# interleave = 0\n", "line 13: interleave: found '0', expected a whole number from 1" },
  { GOOD "# interleave = 2.5\n", "line 13: interleave: found '2.5'" },
  { GOOD "# teeth = 30\n", "line 13: the key 'teeth' was given in line 12 with another value" },
  { EMPTY "# teeth = 10000000\n# interleave = 1000\n", "more than 10000000 samples" },
  { EMPTY, "the key 'teeth' is missing" },
  { GOOD "# temperature = 300\n", "line 13: the key 'temperature' was given" },
  { "# scene 1\n# temperature = 300\n", "line 2: temperature" },
  { "# scene 1\n# pressure = 1 furlong\n", "line 2: pressure" },
  { "# scene 1\n# teeth = 20\n", "temperature" },
  { GOOD "# detected_noise = pink\n", "line 13: detected_noise: found 'pink', expected one of" },
  { GOOD "# baseline = 1 x\n", "line 13: baseline: found 'x'" },
  { GOOD "# baseline =\n", "line 13: baseline: no number" },
  { GOOD "# fringe = 0.1 2\n", "line 13: fringe: found 2 numbers, expected three" },
  { GOOD "# fringe = 1.5 2 0\n", "line 13: fringe: the amplitude" },
  { GOOD "# axis = wavelength/nm\n", "line 13: axis: found 'wavelength/nm'" },
  { GOOD "# interleave = 2\n# axis = tooth\n", "line 14: axis: interleaved records" },
  { GOOD "# write = real imag\n", "line 13: write: 'real imag' does not fit" },
  { GOOD "# reference_level = 0\n", "line 13: reference_level" },
  { GOOD "7790 1e-25 0.001\n", "line 13: a row of a line stands before" },
  { GOOD "# columns = position/cm-1 strength/(cm/molecule)\n",
    "line 13: columns: 'lorentz_hwhm/cm-1' is missing" },
  { GOOD "# columns = position/nm\n", "line 13: columns: 'position/nm' is not known" },
  { GOOD ROWS "7790 1e-25\n", "line 16: found 2 fields, expected 6" },
  { GOOD ROWS "7790 1e-25 -0.1 0 a b\n", "line 16: found '-0.1' under 'lorentz_hwhm/cm-1'" },
  { GOOD ROWS "7790 - 0.1 0 a b\n", "line 16: the line needs a strength" },
  { GOOD ROWS "- 1e-25 0.1 0 a b\n", "line 16: the line has no position" },
  { GOOD ROWS "# lines = list.csv\n", "line 16: lines: the scene has rows" },
  { GOOD "# lines = missing.csv\n", "missing.csv" },
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
        g_error ("case %" G_GSIZE_FORMAT ": '%s' does not say '%s'", i, error->message,
                 bad[i].words);
    }
  faint_test_folder_remove (folder);
}

/* What the file says when it is read again is what was simulated. */
static void
check_table (const char *keys, const char *columns)
{
  g_autoptr (GError) error = NULL;
  char *folder = faint_test_folder_new ();
  G_GNUC_UNUSED g_autofree char *q = faint_test_file (
      folder, "q.txt", "# columns = temperature/K Q\n200 2\n250 3\n300 4\n350 5\n");
  g_autofree char *below = g_build_filename (folder, "below", NULL);
  g_autofree char *out = g_build_filename (below, "out.comb", NULL);
  g_autofree char *text
      = g_strconcat (EMPTY "# teeth = 300\n# partition_sums = q.txt\n", keys, NULL);
  g_autofree char *path = faint_test_file (folder, "a.scene", text);
  g_autofree char *written = NULL;
  g_autoptr (FaintScene) scene = faint_scene_read (path, &error);
  g_autoptr (FaintSpectrum) spectrum = NULL, back = NULL;

  g_assert_no_error (error);
  spectrum = faint_scene_simulate (scene, 1, NULL, &error);
  g_assert_no_error (error);
  g_assert_cmpint (g_mkdir (below, 0700), ==, 0);
  g_assert_true (faint_scene_write (scene, spectrum, out, &error));
  g_assert_true (g_file_get_contents (out, &written, NULL, &error));
  g_assert_nonnull (strstr (written, columns));
  g_assert_nonnull (strstr (written, "\n# partition_sums = ../q.txt\n"));
  back = faint_spectrum_read (out, NULL, NULL, &error);
  g_assert_no_error (error);
  g_assert_cmpuint (back->n, ==, spectrum->n);
  for (gsize k = 0; k < back->n; k++)
    {
      const char *why = "a product and a quotient, an angle there and back";
      g_assert_true (back->frequency[k] == spectrum->frequency[k]);
      faint_assert_near (back->value[k], spectrum->value[k], 1e-15, why);
      faint_assert_close (back->u[k], spectrum->u[k], 1e-14, why);
      if (spectrum->value_im == NULL)
        continue;
      faint_assert_near (back->value_im[k], spectrum->value_im[k], 1e-15, why);
      faint_assert_close (back->u_im[k], spectrum->u_im[k], 1e-14, why);
      g_assert_true (back->polar == spectrum->polar);
    }
  faint_test_folder_remove (folder);
}

static void
test_table (void)
{
  check_table ("# noise = 1e-3\n# reference_level = 0.7\n",
               "\n# columns = tooth signal reference u(signal)\n");
  check_table ("# noise = 1e-3\n# write = transmission\n# interleave = 2\n",
               "transmission u(transmission)\n");
  check_table ("# noise = 1e-3\n# observable = field\n# baseline_phase = 2 1\n",
               "real imag u(real) u(imag)\n");
  check_table ("# noise = 1e-3\n# observable = field\n# baseline_phase = 2 1\n"
               "# write = signal reference phase/rad\n# reference_level = 3\n",
               "\n# columns = tooth signal reference phase/rad u(signal) u(phase)/rad\n");
}

static gboolean
always (gpointer data)
{
  return TRUE;
}

static void
test_cancelled (void)
{
  const FaintProgress progress = { .is_cancelled = always };
  g_autoptr (GError) error = NULL;
  char *folder = faint_test_folder_new ();
  g_autofree char *path = faint_test_file (folder, "a.scene", GOOD);
  g_autoptr (FaintScene) scene = faint_scene_read (path, NULL);

  g_assert_null (faint_scene_simulate (scene, 1, &progress, &error));
  g_assert_error (error, FAINT_PROGRESS_ERROR, FAINT_PROGRESS_ERROR_CANCELLED);
  faint_test_folder_remove (folder);
}

/* The scenes that come with the program can be simulated, and say that they are invented. */
static void
test_shipped (void)
{
  static const char *const names[] = { "demo", "crowded", "saturated", "field", "ring", "series" };

  for (gsize i = 0; i < G_N_ELEMENTS (names); i++)
    {
      g_autoptr (GError) error = NULL;
      g_autofree char *path
          = g_strdup_printf ("%s/scenes/%s.scene", g_getenv ("FAINT_TEST_DATA"), names[i]);
      g_autofree char *text = NULL;
      g_autoptr (FaintScene) scene = faint_scene_read (path, &error);
      g_autoptr (FaintSpectrum) spectrum = NULL;

      g_assert_no_error (error);
      spectrum = faint_scene_simulate (scene, 1, NULL, &error);
      g_assert_no_error (error);
      g_assert_cmpuint (spectrum->warnings->len, ==, 0);
      g_file_get_contents (path, &text, NULL, &error);
      g_assert_nonnull (strstr (text, "\n# Invented values"));
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/simulate/file/reference-strength", test_reference_strength);
  g_test_add_func ("/simulate/file/lines-file", test_lines_file);
  g_test_add_func ("/simulate/file/errors", test_errors);
  g_test_add_func ("/simulate/file/cancelled", test_cancelled);
  g_test_add_func ("/simulate/file/table", test_table);
  g_test_add_func ("/simulate/file/shipped", test_shipped);
  return g_test_run ();
}

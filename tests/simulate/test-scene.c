/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The simulator against a model of the test's own: the profile as an integral over molecular
 * velocities, the cavity in complex numbers, constants typed from the SI Brochure (9th ed.,
 * 2019). Nothing of it comes from the library.
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
#define PI 3.14159265358979323846

typedef struct
{
  double round_trip, s, share, detuning, slope, fsr; /* cm, 1, 1, Hz, 1, Hz */
  char kind; /* p power, a amplitude, f field, s swept, n amplitude of a
                single pass */
} Cavity;

/* w(z) = (i/pi) integral exp(-t^2)/(z - t) dt (DLMF 7.7.2), by the trapezoidal rule, whose error
 * is exp(-2 pi y/h): below 1e-40 for y > 0.2 and h = 1/80. */
static double complex
w_by_integral (double complex z)
{
  const double h = 1.0 / 80.0;
  double complex sum = 0.0;

  for (int i = -640; i <= 640; i++)
    sum += exp (-(i * h) * (i * h)) / (z - i * h);
  return I / PI * h * sum;
}

static double complex
profile (double nu, double centre, double lorentz)
{
  double mass = 44.0011e-3 / N_A; /* kg */
  double c = C_CM_S / 100.0;
  double doppler = centre * sqrt (2.0 * log (2.0) * K_J_K * 296.15 / (mass * c * c));
  double complex z = sqrt (log (2.0)) / doppler * (nu - centre + I * lorentz);

  return sqrt (log (2.0) / PI) / doppler * w_by_integral (z);
}

static double complex
model (const Cavity *cavity, double frequency, double centre_frequency)
{
  double nu = frequency / C_CM_S;
  double density = 0.8 * 130.0 / (K_J_K * 296.15) * 1e-6; /* per cm3 */
  double complex kappa
      = 0.5 * density * cavity->round_trip
        * (5.1e-25 * profile (nu, 7790.02, 0.0023) + 2.3e-25 * profile (nu, 7790.071, 0.0031));
  double phase = 2.0 * PI * (cavity->detuning + cavity->slope * (frequency - centre_frequency))
                 / cavity->fsr;
  double complex e = cavity->s * cexp (I * phase), field;
  double x = cavity->s * exp (-creal (kappa));

  if (cavity->kind == 's')
    return exp (-2.0 * cavity->share * creal (kappa)) * (1.0 - cavity->s * cavity->s)
           / (1.0 - x * x);
  field = cavity->kind == 'n'
              ? cexp (-kappa)
              : cexp (-cavity->share * kappa) * (1.0 - e) / (1.0 - e * cexp (-kappa));
  if (cavity->kind == 'f')
    return field;
  return cavity->kind == 'a' || cavity->kind == 'n' ? cabs (field) : creal (field * conj (field));
}

static FaintScene *
read_scene (const char *text)
{
  g_autoptr (GError) error = NULL;
  char *folder = faint_test_folder_new ();
  g_autofree char *path = faint_test_file (folder, "a.scene", text);
  FaintScene *scene = faint_scene_read (path, &error);

  g_assert_no_error (error);
  faint_test_folder_remove (folder);
  return scene;
}

static FaintSpectrum *
simulate (const char *text, guint64 seed)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintScene) scene = read_scene (text);
  FaintSpectrum *spectrum = faint_scene_simulate (scene, seed, NULL, &error);

  g_assert_no_error (error);
  return spectrum;
}

static void
check_against_model (const char *keys, const Cavity *cavity)
{
  g_autofree char *text = g_strconcat ("# scene 1\n" GAS COMB, keys, ROWS, NULL);
  g_autoptr (FaintSpectrum) spectrum = simulate (text, 1);
  double centre = (934152.0 + 11.5) * 250e6 + 20e6;

  g_assert_cmpuint (spectrum->n, ==, 24);
  for (gsize k = 0; k < spectrum->n; k++)
    {
      double frequency = (934152.0 + (double)k) * 250e6 + 20e6;
      double complex want = model (cavity, frequency, centre);
      const char *why = "a wavenumber rounds to 1e-12 cm-1, 2e-10 of a Doppler width";

      g_assert_true (spectrum->frequency[k] == frequency); /* whole numbers below 2^53 */
      g_assert_cmpint (spectrum->tooth[k], ==, 934152 + (gint64)k);
      faint_assert_near (spectrum->value[k], creal (want), 1e-9, why);
      if (spectrum->value_im != NULL)
        faint_assert_near (spectrum->value_im[k], cimag (want), 1e-9, why);
    }
}

/* Amplitude survival from the finesse: F = pi sqrt(s)/(1-s) solved for s. */
static double
survival (double finesse)
{
  double root = (-PI + sqrt (PI * PI + 4.0 * finesse * finesse)) / (2.0 * finesse);
  return root * root;
}

static void
test_model (void)
{
  const double fsr = C_CM_S / 120.0, ring_fsr = C_CM_S / 119.0;
  const char *standing = "# cavity = standing-wave\n# cavity_length = 60 cm\n# finesse = 12000\n"
                         "# tooth_detuning = 5 kHz\n# tooth_detuning_slope = 1e-6\n";
  Cavity cavity = { 120.0, survival (12000.0), 0.5, 5e3, 1e-6, fsr, 'p' };
  g_autofree char *amplitude = g_strconcat ("# observable = amplitude\n", standing, NULL);
  g_autofree char *field = g_strconcat ("# observable = field\n", standing, NULL);

  check_against_model (standing, &cavity);
  cavity.kind = 'a';
  check_against_model (amplitude, &cavity);
  cavity.kind = 'f';
  check_against_model (field, &cavity);
  /* 1/e time of the power: s^2 = exp (-1/(tau FSR)) */
  cavity = (Cavity){ 101.0, exp (-0.5 / (9.2e-6 * ring_fsr)), 0.25, 0.0, 0.0, ring_fsr, 's' };
  check_against_model ("# cavity = ring\n# coupling = swept\n# cavity_length = 119 cm\n"
                       "# absorber_length = 101 cm\n# ring_down_time = 9.2 us\n"
                       "# output_share = 0.25\n",
                       &cavity);
  check_against_model ("# observable = amplitude\n# cavity = none\n# cavity_length = 50 m\n",
                       &(Cavity){ 5000.0, 0.0, 0.0, 0.0, 0.0, 1.0, 'n' });
}

static void
test_baseline (void)
{
  g_autoptr (FaintSpectrum) spectrum
      = simulate (EMPTY "# observable = field\n# teeth = 101\n# baseline = 1.1 0.2 -0.03\n"
                        "# baseline_phase = 0.4 0.1\n# fringe = 0.01 0.37 0.9\n",
                  1);

  for (gsize k = 0; k < 101; k++)
    {
      double x = ((double)k - 50.0) / 50.0;
      double nu = ((930001.0 + (double)k) * 250e6 + 20e6) / C_CM_S;
      double level = (1.1 + 0.2 * x - 0.03 * (1.5 * x * x - 0.5))
                     * (1.0 + 0.01 * cos (2.0 * PI * nu / 0.37 + 0.9));
      double phase = 0.4 + 0.1 * x;

      /* 2 pi nu/0.37 is 1.3e5 rad, of which a double holds 3e-11; times the amplitude 0.01 */
      faint_assert_near (spectrum->value[k], level * cos (phase), 1e-11, "rounding of the phase");
      faint_assert_near (spectrum->value_im[k], level * sin (phase), 1e-11,
                         "rounding of the phase");
    }
}

static void
test_noise (void)
{
  const gsize n = 40000;
  g_autoptr (FaintSpectrum) spectrum
      = simulate (EMPTY "# teeth = 40000\n# noise = 2e-3\n# write = transmission\n", 7);
  double sum = 0.0, squares = 0.0, lagged = 0.0, before = 0.0;
  gsize beyond = 0;

  for (gsize k = 0; k < n; k++)
    {
      double r = (spectrum->value[k] - 1.0) / 2e-3;
      g_assert_true (spectrum->u[k] == 2e-3);
      sum += r;
      squares += r * r;
      lagged += r * before;
      before = r;
      beyond += fabs (r) > 2.0;
    }
  g_assert_false (spectrum->u_estimated);
  /* Of n normal numbers: standard deviations 1/sqrt(n), sqrt(2/n), 1/sqrt(n), and the binomial
   * one of the share 0.0455 beyond two. Four of each; the seed is fixed. */
  faint_assert_near (sum / n, 0.0, 4.0 / sqrt (n), "4 standard deviations of the mean");
  faint_assert_near (squares / n, 1.0, 4.0 * sqrt (2.0 / n), "4 standard deviations");
  faint_assert_near (lagged / n, 0.0, 4.0 / sqrt (n), "4 standard deviations");
  faint_assert_near ((double)beyond / n, 0.04550026, 4.0 * sqrt (0.0455 * 0.9545 / n),
                     "4 standard deviations");
}

static void
test_field_noise (void)
{
  const gsize n = 20000;
  g_autoptr (FaintSpectrum) spectrum
      = simulate (EMPTY "# observable = field\n# teeth = 20000\n# noise = 1e-3\n", 3);
  double re = 0.0, im = 0.0, both = 0.0;

  for (gsize k = 0; k < n; k++)
    {
      double a = (spectrum->value[k] - 1.0) / 1e-3, b = spectrum->value_im[k] / 1e-3;
      re += a * a;
      im += b * b;
      both += a * b;
    }
  faint_assert_near (re / n, 1.0, 4.0 * sqrt (2.0 / n), "4 standard deviations");
  faint_assert_near (im / n, 1.0, 4.0 * sqrt (2.0 / n), "4 standard deviations");
  faint_assert_near (both / n, 0.0, 4.0 / sqrt (n), "4 standard deviations");
  g_assert_false (spectrum->polar);
  g_assert_true (spectrum->u_im[5] == 1e-3);
}

static void
test_shot_noise (void)
{
  const char *keys = "# scene 1\n" GAS COMB "# cavity = standing-wave\n# cavity_length = 60 cm\n"
                     "# finesse = 2000000\n";
  g_autofree char *quiet_text = g_strconcat (keys, ROWS, NULL);
  g_autofree char *shot_text
      = g_strconcat (keys, "# noise = 1e-3\n# detected_noise = shot\n", ROWS, NULL);
  g_autoptr (FaintSpectrum) quiet = simulate (quiet_text, 1);
  g_autoptr (FaintSpectrum) shot = simulate (shot_text, 1);
  double least = 1.0;

  for (gsize k = 0; k < quiet->n; k++)
    {
      least = MIN (least, quiet->value[k]);
      faint_assert_close (shot->u[k], 1e-3 * sqrt (fmax (quiet->value[k], 0.01)), 1e-15,
                          "rounding");
    }
  g_assert_cmpfloat (least, <, 0.01); /* the floor was reached */
}

static void
test_seed (void)
{
  const char *text = EMPTY "# teeth = 500\n# noise = 1e-3\n";
  g_autoptr (FaintSpectrum) a = simulate (text, 5);
  g_autoptr (FaintSpectrum) b = simulate (text, 5);
  g_autoptr (FaintSpectrum) c = simulate (text, 6);
  g_autoptr (FaintSpectrum) d = simulate (text, G_GUINT64_CONSTANT (0x500000000));

  g_assert_cmpmem (a->value, 500 * sizeof (double), b->value, 500 * sizeof (double));
  g_assert_true (memcmp (a->value, c->value, 500 * sizeof (double)) != 0);
  g_assert_true (d->value[0] == a->value[0]); /* the upper half of a seed counts */
}

static void
test_interleaved (void)
{
  g_autoptr (FaintSpectrum) spectrum
      = simulate (EMPTY "# teeth = 50\n# interleave = 4\n# noise = 1e-4\n", 1);

  g_assert_cmpuint (spectrum->n, ==, 200);
  g_assert_cmpint (spectrum->axis, ==, FAINT_AXIS_FREQUENCY);
  for (gsize k = 0; k < 200; k++)
    g_assert_true (spectrum->frequency[k] == 930001.0 * 250e6 + 20e6 + (double)k * 62.5e6);
  g_assert_true (spectrum->setup->offset_frequency.value == 20e6);
}

static void
test_truth (void)
{
  const char *text = "# scene 1\n" GAS COMB "# cavity = standing-wave\n# cavity_length = 60 cm\n"
                     "# finesse = 12000\n" ROWS;
  g_autoptr (FaintScene) scene = read_scene (text);
  g_autoptr (FaintLineList) lines = faint_scene_truth (scene);
  const FaintLine *line = faint_line_list_get (lines, 0);
  double s = survival (12000.0), density = 0.8 * 130.0 / (K_J_K * 296.15) * 1e-6;
  double kappa = 60.0 * density * 5.1e-25 * creal (profile (7790.02, 7790.02, 0.0023));
  double value = pow (exp (-0.5 * kappa) * (1.0 - s) / (1.0 - s * exp (-kappa)), 2.0);

  g_assert_cmpuint (faint_line_list_get_n (lines), ==, 2);
  g_assert_true (line->position.value == 7790.02 && isnan (line->position.u));
  g_assert_true (line->strength.value == 5.1e-25 && line->lorentz.value == 0.0023);
  g_assert_true (line->lower_energy == 12.5);
  g_assert_cmpstr (line->upper, ==, "up");
  g_assert_cmpint (line->doppler.state, ==, FAINT_STATE_DERIVED);
  /* 1 - s is 2.6e-4, known to 1e-16/2.6e-4 */
  faint_assert_close (line->peak, 1.0 - value, 1e-10, "1 - s loses four digits in this test");
  line = faint_line_list_get (lines, 1);
  g_assert_true (isnan (line->lower_energy));
  g_assert_cmpstr (line->upper, ==, "");
  g_assert_cmpstr (line->lower, ==, "lo2");
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/simulate/model", test_model);
  g_test_add_func ("/simulate/baseline", test_baseline);
  g_test_add_func ("/simulate/noise", test_noise);
  g_test_add_func ("/simulate/field-noise", test_field_noise);
  g_test_add_func ("/simulate/shot-noise", test_shot_noise);
  g_test_add_func ("/simulate/seed", test_seed);
  g_test_add_func ("/simulate/interleaved", test_interleaved);
  g_test_add_func ("/simulate/truth", test_truth);
  return g_test_run ();
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * From a spectrum's setup to loss and phase of every tooth.
 */
#include "faint/cavity/finesse.h"
#include "faint/cavity/response.h"
#include "faint-test.h"

#include <math.h>

#define N_TEETH 101
static const double first_tooth = 195e12, spacing = 250e6; /* Hz */

/* "key = value" pairs up to a NULL. */
static FaintSetup *
setup_of (const char *const *pairs)
{
  g_autoptr (GError) error = NULL;
  FaintSetup *setup = faint_setup_new ();

  for (gsize i = 0; pairs[i] != NULL; i += 2)
    if (!faint_setup_set (setup, pairs[i], pairs[i + 1], NULL, &error))
      g_error ("%s", error->message);
  return setup;
}

static FaintSpectrum *
spectrum_of (const char *const *pairs)
{
  g_autoptr (FaintSetup) setup = setup_of (pairs);
  g_autoptr (GError) error = NULL;
  FaintSpectrum *spectrum = faint_spectrum_new (N_TEETH, setup);

  spectrum->axis = FAINT_AXIS_FREQUENCY;
  for (gsize i = 0; i < N_TEETH; i++)
    {
      spectrum->frequency[i] = first_tooth + spacing * (double)i;
      spectrum->value[i] = 1.0;
      spectrum->u[i] = 1e-3;
    }
  if (!faint_spectrum_finish (spectrum, &error))
    g_error ("%s", error->message);
  return spectrum;
}

/* A cavity of 0.6 m: FSR = c/1.2 m. A tooth 25 kHz above its mode, 1e-5 Hz more with every hertz.
 */
static void
test_phase (void)
{
  const char *const pairs[]
      = { "cavity",         "standing-wave", "cavity_length",        "60 cm", "finesse", "12000",
          "tooth_detuning", "25 kHz",        "tooth_detuning_slope", "1e-5",  NULL };
  g_autoptr (FaintSpectrum) spectrum = spectrum_of (pairs);
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintCavityTeeth) teeth = faint_cavity_teeth_new (spectrum, &error);
  const double range = 299792458.0 / 1.2;

  g_assert_no_error (error);
  g_assert_cmpuint (teeth->n, ==, N_TEETH);
  for (gsize i = 0; i < N_TEETH; i++)
    {
      double detuning = 25e3 + 1e-5 * spacing * ((double)i - 50.0);

      faint_assert_near (teeth->phase[i], 2.0 * G_PI * detuning / range, 1e-14,
                         "frequencies of 2e14 Hz are rounded to 0.03 Hz, times 1e-5");
      faint_assert_close (teeth->loss[i], faint_cavity_loss_from_finesse (12000.0), 0.0,
                          "the same");
      g_assert_true (teeth->u_loss[i] == 0.0);
    }
}

static void
test_ring_and_none (void)
{
  const char *const ring[] = { "cavity", "ring",           "cavity_length", "60 cm", "finesse",
                               "100(1)", "tooth_detuning", "-1 MHz",        NULL };
  const char *const none[]
      = { "cavity", "none", "cavity_length", "60 cm", "tooth_detuning", "1 MHz", NULL };
  g_autoptr (FaintSpectrum) in_ring = spectrum_of (ring), in_none = spectrum_of (none);
  g_autoptr (FaintCavityTeeth) ring_teeth = faint_cavity_teeth_new (in_ring, NULL);
  g_autoptr (FaintCavityTeeth) none_teeth = faint_cavity_teeth_new (in_none, NULL);

  faint_assert_close (ring_teeth->phase[7], -2.0 * G_PI * 1e6 * 0.6 / 299792458.0, 1e-15,
                      "rounding");
  /* loss = pi/F (1 - pi/(2F) ...): its relative uncertainty is that of F, 1 %, but for pi/(2F). */
  faint_assert_close (ring_teeth->u_loss[7] / ring_teeth->loss[7], 0.01, 0.02, "pi/(2 F)");
  g_assert_true (none_teeth->phase[7] == 0.0 && none_teeth->loss[7] == 1.0);
}

static void
test_missing (void)
{
  const char *const no_length[]
      = { "cavity", "ring", "finesse", "100", "tooth_detuning", "1 kHz", NULL };
  const char *const no_mirrors[] = { "cavity", "ring", "cavity_length", "1 m", NULL };
  g_autoptr (FaintSpectrum) length = spectrum_of (no_length), mirrors = spectrum_of (no_mirrors);
  g_autoptr (GError) error = NULL;

  g_assert_null (faint_cavity_teeth_new (length, &error));
  faint_assert_error_says (error, FAINT_SETUP_ERROR, "cavity_length");
  g_assert_null (faint_cavity_teeth_new (mirrors, &error));
  faint_assert_error_says (error, FAINT_SETUP_ERROR, "finesse");
}

static void
test_response_of (void)
{
  const char *const wave[] = { "cavity", "standing-wave", "coupling", "swept", "cavity_length",
                               "60 cm",  "output_share",  "0.3",      NULL };
  const char *const ring[]
      = { "cavity", "ring",         "cavity_length", "60 cm",      "absorber_length",
          "40 cm",  "output_share", "0.3",           "observable", "field",
          NULL };
  const char *const plain[] = { "cavity", "ring", "cavity_length", "60 cm", NULL };
  const char *const none[] = { "cavity", "none", "cavity_length", "60 cm", NULL };
  FaintSetup *setups[] = { setup_of (wave), setup_of (ring), setup_of (plain), setup_of (none) };
  FaintResponse response = faint_response_of (setups[0]);

  g_assert_cmpint (response.coupling, ==, FAINT_COUPLING_SWEPT);
  g_assert_true (response.output_share == 0.5); /* whatever is stated: both ways are the same */
  g_assert_true (faint_response_absorber_round_trip (setups[0]) == 120.0);
  response = faint_response_of (setups[1]);
  g_assert_cmpint (response.observable, ==, FAINT_OBSERVABLE_FIELD);
  g_assert_true (response.output_share == 0.3);
  g_assert_true (faint_response_absorber_round_trip (setups[1]) == 40.0);
  g_assert_true (faint_response_of (setups[2]).output_share == 0.5);
  g_assert_true (faint_response_of (setups[3]).output_share == 1.0);
  g_assert_true (faint_response_absorber_round_trip (setups[3]) == 60.0);
  for (gsize i = 0; i < G_N_ELEMENTS (setups); i++)
    faint_setup_unref (setups[i]);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/cavity/teeth/phase", test_phase);
  g_test_add_func ("/cavity/teeth/ring-and-none", test_ring_and_none);
  g_test_add_func ("/cavity/teeth/missing", test_missing);
  g_test_add_func ("/cavity/teeth/response-of", test_response_of);
  return g_test_run ();
}

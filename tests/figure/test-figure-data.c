/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a figure is drawn from: absorption against the Beer-Lambert law and the weak limit of a
 * cavity (Foltynowicz et al., Appl. Phys. B 110, 163 (2013): locked teeth lose (2F/pi) alpha L of
 * their power), the phase of a field, gaps, and what is missing.
 */
#include "figure/figure-data.h"

#include "faint-test.h"

#include <math.h>
#include <string.h>

#define N 400

static void
set (FaintSetup *setup, const char *key, const char *text)
{
  GError *error = NULL;
  g_assert_true (faint_setup_set (setup, key, text, NULL, &error));
  g_assert_no_error (error);
}

/* A dip of 1e-3 to 1e-8 in absorption times length over a flat rest. */
static double
depth_at (gsize i, double peak)
{
  double x = ((double)i - 0.5 * N) / 20.0;
  return peak * exp (-0.5 * x * x);
}

static FaintSpectrum *
spectrum_new (FaintSetup *setup)
{
  FaintSpectrum *spectrum = faint_spectrum_new (N, setup);
  for (gsize i = 0; i < N; i++)
    {
      spectrum->frequency[i] = 233.5e12 + 250e6 * (double)i;
      spectrum->u[i] = 1e-4;
    }
  return spectrum;
}

static void
finish (FaintSpectrum *spectrum)
{
  GError *error = NULL;
  g_assert_true (faint_spectrum_finish (spectrum, &error));
  g_assert_no_error (error);
}

/* Single pass: alpha = -ln(I/I0)/L, u(alpha) = u(I/I0)/(I/I0)/L. */
static void
test_beer_lambert (void)
{
  g_autoptr (FaintSetup) setup = faint_setup_new ();
  set (setup, "cavity", "none");
  set (setup, "cavity_length", "200 cm");
  g_autoptr (FaintSpectrum) spectrum = spectrum_new (setup);
  for (gsize i = 0; i < N; i++)
    spectrum->value[i] = exp (-depth_at (i, 0.7));
  finish (spectrum);

  g_autoptr (FaintFigureData) data = faint_figure_data_new (spectrum, NULL, NULL);
  g_assert_nonnull (data->absorption);
  g_assert_null (data->absorption_reason);
  const double *alpha = faint_pyramid_get_y (data->absorption, NULL);
  for (gsize i = 0; i < N; i += 7)
    {
      faint_assert_near (alpha[i], depth_at (i, 0.7) / 200.0, 1e-17,
                         "ulp of the transmission near 1, over 200 cm, a few roundings");
      faint_assert_close (data->absorption_u[i], 1e-4 / spectrum->value[i] / 200.0, 1e-12,
                          "derivative of an exponential");
    }
  g_assert_null (data->model);
  g_assert_null (data->residual);
  g_assert_null (data->phase);
}

/* Locked, standing wave of 60 cm, F = 12000: 1 - I/I0 = (2F/pi) alpha L for weak absorption. */
static void
test_weak_limit (void)
{
  g_autoptr (FaintSetup) setup = faint_setup_new ();
  set (setup, "cavity", "standing-wave");
  set (setup, "coupling", "locked");
  set (setup, "cavity_length", "60 cm");
  set (setup, "finesse", "12000");
  g_autoptr (FaintSpectrum) spectrum = spectrum_new (setup);
  for (gsize i = 0; i < N; i++)
    spectrum->value[i] = 1.0 - depth_at (i, 1e-4);
  finish (spectrum);

  g_autoptr (FaintFigureData) data = faint_figure_data_new (spectrum, NULL, NULL);
  const double *alpha = faint_pyramid_get_y (data->absorption, NULL);
  for (gsize i = 160; i < 240; i += 7)
    faint_assert_close (alpha[i], depth_at (i, 1e-4) / (2.0 * 12000.0 / G_PI * 60.0), 3e-4,
                        "the next order is the depth itself, 1e-4; finesse against pi/loss 1e-4");
}

/* Single pass, field exp(-kappa) with a phase that turns several times. */
static void
test_field (void)
{
  g_autoptr (FaintSetup) setup = faint_setup_new ();
  set (setup, "observable", "field");
  set (setup, "cavity", "none");
  set (setup, "cavity_length", "200 cm");
  g_autoptr (FaintSpectrum) spectrum = spectrum_new (setup);
  for (gsize i = 0; i < N; i++)
    {
      double modulus = exp (-0.5 * depth_at (i, 0.7)), phase = 0.05 * (double)i - 3.0;
      spectrum->value[i] = modulus * cos (phase);
      spectrum->value_im[i] = modulus * sin (phase);
      spectrum->u_im[i] = 1e-4;
    }
  finish (spectrum);

  g_autoptr (FaintFigureData) data = faint_figure_data_new (spectrum, NULL, NULL);
  const double *amplitude = faint_pyramid_get_y (data->observed, NULL);
  const double *phase = faint_pyramid_get_y (data->phase, NULL);
  const double *alpha = faint_pyramid_get_y (data->absorption, NULL);
  for (gsize i = 0; i < N; i += 7)
    {
      faint_assert_close (amplitude[i], exp (-0.5 * depth_at (i, 0.7)), 1e-15, "a few roundings");
      faint_assert_near (phase[i], 0.05 * (double)i - 3.0, 1e-13, "17 rad in a few roundings");
      faint_assert_near (alpha[i], depth_at (i, 0.7) / 200.0, 1e-17, "as for the power");
    }
}

static void
test_missing (void)
{
  g_autoptr (FaintSetup) setup = faint_setup_new ();
  set (setup, "cavity", "standing-wave");
  set (setup, "cavity_length", "60 cm"); /* but no word of the mirrors */
  g_autoptr (FaintSpectrum) spectrum = spectrum_new (setup);
  for (gsize i = 0; i < N; i++)
    spectrum->value[i] = 1.0 - depth_at (i, 0.1);
  finish (spectrum);

  g_autoptr (FaintFigureData) data = faint_figure_data_new (spectrum, NULL, NULL);
  g_assert_nonnull (data->observed);
  g_assert_null (data->absorption);
  g_assert_nonnull (strstr (data->absorption_reason, "finesse"));
  g_assert_null (data->lines);

  FaintLine line = faint_line_unknown ();
  line.position.value = spectrum->wavenumber[N / 2];
  g_autoptr (FaintLineList) lines = faint_line_list_new (&line, 1);
  g_autoptr (FaintFigureData) other = faint_figure_data_with_lines (data, lines);
  g_assert_true (other->lines == lines);
  g_assert_true (other->observed == data->observed); /* shared, not computed again */
}

/* Teeth that are missing break a curve; without a comb 20 spacings do. */
static void
test_gap (void)
{
  g_autoptr (FaintSetup) setup = faint_setup_new ();
  g_autoptr (FaintSpectrum) spectrum = spectrum_new (setup);
  for (gsize i = 0; i < N; i++)
    spectrum->value[i] = 1.0;
  finish (spectrum);
  g_autoptr (FaintFigureData) data = faint_figure_data_new (spectrum, NULL, NULL);
  /* 20 x 250 MHz = 5 GHz = 0.16678 cm-1 (1 cm-1 = 29.9792458 GHz) */
  faint_assert_close (data->gap, 5.0 / 29.9792458, 1e-6, "spacing from differences near 7788 cm-1");
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/figure-data/beer-lambert", test_beer_lambert);
  g_test_add_func ("/figure-data/weak-limit", test_weak_limit);
  g_test_add_func ("/figure-data/field", test_field);
  g_test_add_func ("/figure-data/missing", test_missing);
  g_test_add_func ("/figure-data/gap", test_gap);
  return g_test_run ();
}

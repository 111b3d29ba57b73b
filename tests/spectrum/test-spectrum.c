/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/spectrum/spectrum.h"

#include <math.h>

#include "faint-test.h"

#define N 100

static FaintSetup *
comb_setup (void)
{
  FaintSetup *setup = faint_setup_new ();

  g_assert_true (faint_setup_set (setup, "repetition_rate", "250.0000000(2) MHz", NULL, NULL));
  g_assert_true (faint_setup_set (setup, "offset_frequency", "20.0(1) MHz", NULL, NULL));
  return setup;
}

/* Not finished: teeth 767000 on, a flat signal. */
static FaintSpectrum *
flat (gsize n, FaintSetup *setup)
{
  FaintSpectrum *self = faint_spectrum_new (n, setup);

  self->axis = FAINT_AXIS_TOOTH;
  for (gsize i = 0; i < n; i++)
    {
      self->tooth[i] = 767000 + (gint64)i;
      self->value[i] = 0.9;
      self->u[i] = 0.01;
    }
  return self;
}

static void
test_axis (void)
{
  g_autoptr (FaintSetup) setup = comb_setup ();
  g_autoptr (FaintSpectrum) teeth = flat (N, setup);
  g_autoptr (FaintSpectrum) frequencies = faint_spectrum_new (N, setup);
  double u_rep, u_off;

  g_assert_true (faint_spectrum_finish (teeth, NULL));
  frequencies->axis = FAINT_AXIS_TOOTH;
  for (gsize i = 0; i < N; i++)
    {
      frequencies->frequency[i] = 767000 * 250e6 + 20e6 + (double)i * 250e6;
      frequencies->value[i] = frequencies->u[i] = 0.5;
      g_assert_cmpfloat (teeth->frequency[i], ==, frequencies->frequency[i]);
      faint_assert_close (teeth->wavenumber[i], teeth->frequency[i] / 29979245800.0, 3e-16,
                          "one division");
    }
  g_assert_true (faint_spectrum_finish (frequencies, NULL));
  g_assert_cmpint (frequencies->tooth[N - 1], ==, 767000 + N - 1);
  faint_assert_close (faint_spectrum_spacing (teeth), 250e6 / 29979245800.0, 1e-12,
                      "a difference of two axis values in Hz is exact, then one division");
  g_assert_cmpfloat (faint_spectrum_centre_frequency (teeth), ==, 767049.5 * 250e6 + 20e6);
  /* n u(f_rep)/c and u(f_0)/c with n = 767000, u(f_rep) = 0.2 Hz, u(f_0) = 0.1 MHz. */
  faint_spectrum_axis_u (teeth, teeth->wavenumber[0], &u_rep, &u_off);
  faint_assert_close (u_rep, 767000 * 0.2 / 29979245800.0, 1e-12, "the tooth number is recovered");
  faint_assert_close (u_off, 0.1e6 / 29979245800.0, 1e-15, "one division");
}

static void
test_index (void)
{
  g_autoptr (FaintSetup) setup = comb_setup ();
  g_autoptr (FaintSpectrum) spectrum = flat (N, setup);

  g_assert_true (faint_spectrum_finish (spectrum, NULL));
  g_assert_cmpuint (faint_spectrum_index (spectrum, 0.0), ==, 0);
  g_assert_cmpuint (faint_spectrum_index (spectrum, 1e9), ==, N);
  for (gsize i = 0; i < N; i++)
    {
      double nu = spectrum->wavenumber[i];

      g_assert_cmpuint (faint_spectrum_index (spectrum, nu), ==, i);
      g_assert_cmpuint (faint_spectrum_index (spectrum, nextafter (nu, INFINITY)), ==, i + 1);
    }
}

static void
refuses (FaintSpectrum *spectrum, int code, const char *words)
{
  g_autoptr (GError) error = NULL;

  g_assert_false (faint_spectrum_finish (spectrum, &error));
  g_assert_error (error, FAINT_SPECTRUM_ERROR, code);
  faint_assert_error_says (error, FAINT_SPECTRUM_ERROR, words);
  faint_spectrum_unref (spectrum);
}

static FaintSpectrum *
with (FaintSetup *setup, double **member, FaintSpectrum *spectrum, gsize i, double value)
{
  (*member)[i] = value;
  return spectrum;
}

static void
test_refusals (void)
{
  g_autoptr (FaintSetup) setup = comb_setup ();
  FaintSpectrum *s;

  refuses (flat (7, setup), FAINT_SPECTRUM_ERROR_SIZE, "has 7 teeth; at least 8");
  refuses (flat (1, setup), FAINT_SPECTRUM_ERROR_SIZE, "has 1 teeth; at least 8");
  refuses (faint_spectrum_new (0, setup), FAINT_SPECTRUM_ERROR_SIZE, "has 0 teeth");
  s = flat (N, setup);
  s->tooth[3] = s->tooth[2];
  refuses (s, FAINT_SPECTRUM_ERROR_AXIS, "Sample 4 lies at 191750520000000 Hz, as the one before");
  s = flat (N, setup);
  s->tooth[3] = s->tooth[1];
  refuses (s, FAINT_SPECTRUM_ERROR_AXIS, "Sample 4");
  s = flat (N, setup);
  refuses (with (setup, &s->value, s, 5, NAN), FAINT_SPECTRUM_ERROR_SIGNAL, "Sample 6 has a value");
  s = flat (N, setup);
  refuses (with (setup, &s->value, s, 5, INFINITY), FAINT_SPECTRUM_ERROR_SIGNAL, "Sample 6");
  s = flat (N, setup);
  refuses (with (setup, &s->u, s, 8, 0.0), FAINT_SPECTRUM_ERROR_SIGNAL, "Sample 9 has a standard");
  s = flat (N, setup);
  refuses (with (setup, &s->u, s, 8, -1.0), FAINT_SPECTRUM_ERROR_SIGNAL, "uncertainty of -1");
  s = flat (N, setup);
  refuses (with (setup, &s->u, s, 8, NAN), FAINT_SPECTRUM_ERROR_SIGNAL, "uncertainty of nan");
  s = flat (N, setup);
  for (gsize i = 0; i < N; i++)
    s->u[i] = 0.0;
  refuses (s, FAINT_SPECTRUM_ERROR_SIGNAL, "Give a column u(...)");
}

static FaintSpectrum *
finished (FaintSpectrum *spectrum)
{
  g_autoptr (GError) error = NULL;

  faint_spectrum_finish (spectrum, &error);
  g_assert_no_error (error);
  return spectrum;
}

static void
warns (FaintSpectrum *spectrum, const char *code)
{
  g_assert_true (faint_warnings_has (finished (spectrum)->warnings, code));
  g_assert_cmpuint (spectrum->warnings->len, ==, 1);
  faint_spectrum_unref (spectrum);
}

static void
test_warnings (void)
{
  g_autoptr (FaintSetup) setup = comb_setup ();
  g_autoptr (FaintSetup) gas = comb_setup ();
  FaintSpectrum *s = finished (flat (N, setup));

  g_assert_cmpuint (s->warnings->len, ==, 0);
  faint_spectrum_unref (s);
  s = flat (N, setup);
  for (gsize i = 50; i < N; i++)
    s->tooth[i] += 1;
  warns (s, "gap");
  s = flat (N, setup);
  warns (with (setup, &s->value, s, 3, -0.001), "negative-samples");
  s = flat (N, setup);
  warns (with (setup, &s->value, s, 3, 1.51), "samples-above-one");
  /* N2O at 296 K and 6396 cm-1: 0.0119 cm-1 wide, 1.4 teeth of 250 MHz; at 1200 K 2.9 teeth. */
  faint_setup_set (gas, "molar_mass", "44.0011 u", NULL, NULL);
  faint_setup_set (gas, "temperature", "296 K", NULL, NULL);
  warns (flat (N, gas), "few-teeth-per-width");
  faint_setup_set (gas, "temperature", "1200 K", NULL, NULL);
  s = finished (flat (N, gas));
  g_assert_cmpuint (s->warnings->len, ==, 0);
  faint_spectrum_unref (s);
}

/* A pattern of two unequal steps is no gap: interleaved combs are not evenly interleaved. */
static void
test_uneven_pattern (void)
{
  g_autoptr (FaintSetup) setup = comb_setup ();
  FaintSpectrum *s = flat (N, setup);

  for (gsize i = 0; i < N; i++)
    s->tooth[i] = 767000 + 10 * (gint64)(i / 2) + 2 * (gint64)(i % 2);
  g_assert_cmpuint (finished (s)->warnings->len, ==, 0);
  faint_spectrum_unref (s);
}

static void
test_with_setup (void)
{
  g_autoptr (FaintSetup) setup = comb_setup (), other = comb_setup (), field = comb_setup ();
  g_autoptr (FaintSetup) none = faint_setup_new ();
  g_autoptr (FaintSpectrum) spectrum = flat (N, setup), moved = NULL, without = NULL;
  g_autoptr (GError) error = NULL;

  spectrum->tooth[N - 1] += 1;
  spectrum->path = g_strdup ("run.comb");
  faint_warnings_add (spectrum->warnings, "extra-column", "A column was ignored.");
  finished (spectrum);
  faint_setup_set (other, "offset_frequency", "30 MHz", NULL, NULL);
  moved = faint_spectrum_with_setup (spectrum, other, &error);
  g_assert_no_error (error);
  g_assert_cmpfloat (moved->frequency[5] - spectrum->frequency[5], ==, 10e6);
  g_assert_cmpmem (moved->u, N * sizeof (double), spectrum->u, N * sizeof (double));
  g_assert_cmpstr (moved->path, ==, "run.comb");
  g_assert_cmpuint (moved->warnings->len, ==, 2); /* the column and the gap, each once */
  without = faint_spectrum_with_setup (spectrum, none, &error);
  g_assert_cmpint (without->axis, ==, FAINT_AXIS_FREQUENCY);
  g_assert_null (without->tooth);
  g_assert_cmpfloat (without->frequency[5], ==, spectrum->frequency[5]);
  field->observable = FAINT_OBSERVABLE_FIELD;
  g_assert_null (faint_spectrum_with_setup (spectrum, field, &error));
  faint_assert_error_says (error, FAINT_SPECTRUM_ERROR, "observable cannot be changed");
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/spectrum/axis", test_axis);
  g_test_add_func ("/spectrum/index", test_index);
  g_test_add_func ("/spectrum/refusals", test_refusals);
  g_test_add_func ("/spectrum/warnings", test_warnings);
  g_test_add_func ("/spectrum/uneven-pattern", test_uneven_pattern);
  g_test_add_func ("/spectrum/with-setup", test_with_setup);
  return g_test_run ();
}

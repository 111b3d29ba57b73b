/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/spectrum/comb-table.h"

#include <glib/gstdio.h>
#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>
#include <locale.h>
#include <math.h>
#include <string.h>

#include "faint-test.h"
#include "faint/base/text.h"

#define N 40

/* A table of N teeth: @header, then a row for each tooth whose cells behind the first are @cells.
 */
static char *
table_of (const char *header, const char *cells)
{
  GString *text = g_string_new ("# comb-table 1\n");

  g_string_append (text, header);
  for (int i = 0; i < N; i++)
    g_string_append_printf (text, "%d %s\n", 767123 + i, cells);
  return g_string_free (text, FALSE);
}

static FaintSpectrum *
read_text (const char *text, const FaintReadOptions *options, GError **error)
{
  char *folder = faint_test_folder_new ();
  g_autofree char *path = faint_test_file (folder, "run.comb", text);
  FaintSpectrum *spectrum = faint_spectrum_read (path, options, NULL, error);

  faint_test_folder_remove (folder);
  return spectrum;
}

static FaintSpectrum *
read_good (const char *header, const char *cells)
{
  g_autofree char *text = table_of (header, cells);
  g_autoptr (GError) error = NULL;
  FaintSpectrum *spectrum = read_text (text, NULL, &error);

  g_assert_no_error (error);
  return spectrum;
}

#define COMB "# repetition_rate = 250 MHz\n# offset_frequency = 20.0 MHz\n"

/* The example of docs/formats.md, number by number. */
static void
test_documented (void)
{
  g_autoptr (FaintSpectrum) spectrum = read_good ("# title = nitrous oxide, run 14, 1.3 hPa\n"
                                                  "# repetition_rate = 250.000000 MHz\n"
                                                  "# u(repetition_rate) = 0.5 Hz\n"
                                                  "# offset_frequency = 20.0 MHz\n"
                                                  "# observable = power\n"
                                                  "# temperature = 296.15 K\n"
                                                  "# pressure = 1.30 hPa\n"
                                                  "# mole_fraction = 1\n"
                                                  "# molar_mass = 44.0011 g/mol\n"
                                                  "# cavity = standing-wave\n"
                                                  "# coupling = locked\n"
                                                  "# cavity_length = 60.0 cm\n"
                                                  "# finesse = 12000\n"
                                                  "# tooth_detuning = 0 Hz\n"
                                                  "# columns = tooth signal reference u(signal)\n",
                                                  "0.991231 1.002312 0.00031");
  const FaintSetup *setup = spectrum->setup;

  g_assert_cmpuint (spectrum->n, ==, N);
  g_assert_cmpint (spectrum->axis, ==, FAINT_AXIS_TOOTH);
  g_assert_cmpint (spectrum->tooth[0], ==, 767123);
  g_assert_cmpfloat (spectrum->frequency[0], ==, 767123 * 250e6 + 20e6);
  faint_assert_close (spectrum->wavenumber[0], (767123 * 250e6 + 20e6) / 29979245800.0, 3e-16,
                      "rounding of one division");
  faint_assert_close (spectrum->value[3], 0.991231 / 1.002312, 3e-16, "one division");
  faint_assert_close (spectrum->u[3], 0.00031 / 1.002312, 3e-16, "one division");
  g_assert_null (spectrum->value_im);
  g_assert_false (spectrum->u_estimated);
  g_assert_cmpstr (setup->title, ==, "nitrous oxide, run 14, 1.3 hPa");
  g_assert_cmpfloat (setup->pressure.value, ==, 130.0);
  g_assert_cmpfloat (setup->repetition_rate.u, ==, 0.5);
  g_assert_cmpint (setup->mirror_kind, ==, FAINT_MIRROR_FINESSE);
  g_assert_cmpfloat (setup->mirror.value, ==, 12000.0);
  g_assert_true (setup->geometry_stated);
  g_assert_cmpuint (strlen (spectrum->sha256), ==, 64);
  /* A Doppler width of N2O here is about 356 MHz, hence less than two teeth of 250 MHz. */
  g_assert_cmpuint (spectrum->warnings->len, ==, 1);
  g_assert_true (faint_warnings_has (spectrum->warnings, "few-teeth-per-width"));
  g_assert_true (faint_setup_check (setup, NULL));
}

/* u of a ratio by GUM 5.1.2, eq. 10: sqrt((u_s/r)^2 + (s u_r/r^2)^2), worked by hand:
 * s = 0.9, r = 1.2, u_s = 0.012, u_r = 0.008: sqrt(0.01^2 + 0.005^2). */
static void
test_ratio (void)
{
  g_autoptr (FaintSpectrum) spectrum = read_good (
      COMB "# columns = tooth signal reference u(signal) u(reference)\n", "0.9 1.2 0.012 0.008");

  faint_assert_close (spectrum->value[0], 0.75, 4e-16, "one division");
  faint_assert_close (spectrum->u[0], sqrt (0.0001 + 0.000025), 1e-15, "a few operations");
}

static void
test_transmission (void)
{
  g_autoptr (FaintSpectrum) spectrum = read_good (
      COMB "# observable = amplitude\n# columns = tooth transmission u(transmission)\n",
      "0.75 0.01");

  g_assert_cmpint (spectrum->setup->observable, ==, FAINT_OBSERVABLE_AMPLITUDE);
  g_assert_cmpfloat (spectrum->value[0], ==, 0.75);
  g_assert_cmpfloat (spectrum->u[0], ==, 0.01);
}

/* 0.5 exp(i 0.3): along 0.01, across 0.5 * 0.004 = 0.002. */
static void
test_amplitude_and_phase (void)
{
  g_autoptr (FaintSpectrum) spectrum
      = read_good (COMB "# observable = field\n"
                        "# columns = tooth signal reference phase/rad u(signal) u(phase)/rad\n",
                   "1.0 2.0 0.3 0.02 0.004");
  g_autoptr (FaintSpectrum) assumed = read_good (
      COMB "# observable = field\n# columns = tooth transmission phase/rad u(transmission)\n",
      "0.5 0.3 0.01");

  for (int i = 0; i < 2; i++)
    {
      const FaintSpectrum *s = i == 0 ? spectrum : assumed;

      faint_assert_close (s->value[7], 0.5 * cos (0.3), 1e-15, "a few operations");
      faint_assert_close (s->value_im[7], 0.5 * sin (0.3), 1e-15, "a few operations");
      faint_assert_close (s->u[7], 0.01, 1e-15, "one division");
      g_assert_true (s->polar);
    }
  faint_assert_close (spectrum->u_im[7], 0.002, 1e-15, "one product");
  g_assert_cmpfloat (assumed->u_im[7], ==, 0.01);
  g_assert_true (faint_warnings_has (assumed->warnings, "phase-uncertainty-assumed"));
  g_assert_false (faint_warnings_has (spectrum->warnings, "phase-uncertainty-assumed"));
}

static void
test_parts (void)
{
  g_autoptr (FaintSpectrum) both
      = read_good (COMB "# observable = field\n# columns = tooth real imag u(real) u(imag)\n",
                   "0.6 -0.2 0.01 0.02");
  g_autoptr (FaintSpectrum) one = read_good (
      COMB "# observable = field\n# columns = tooth imag u(imag) real\n", "-0.2 0.02 0.6");

  g_assert_cmpfloat (both->value[1], ==, 0.6);
  g_assert_cmpfloat (both->value_im[1], ==, -0.2);
  g_assert_cmpfloat (both->u[1], ==, 0.01);
  g_assert_cmpfloat (both->u_im[1], ==, 0.02);
  g_assert_false (both->polar);
  g_assert_cmpfloat (one->u[1], ==, 0.02);
  g_assert_cmpfloat (one->u_im[1], ==, 0.02);
}

static void
test_axes (void)
{
  /* 1 cm-1 = 29979.2458 MHz; 1e7/1530 cm-1 at 1530 nm in vacuum. */
  static const char *const heads[]
      = { "frequency/THz", "frequency/GHz", "frequency/MHz", "frequency/Hz", "wavenumber/cm-1" };
  static const double scales[] = { 1e12, 1e9, 1e6, 1.0, 29979245800.0 };

  for (gsize k = 0; k < G_N_ELEMENTS (heads); k++)
    {
      g_autofree char *header
          = g_strdup_printf ("# columns = %s transmission u(transmission)\n", heads[k]);
      g_autoptr (FaintSpectrum) spectrum = read_good (header, "0.9 0.01");

      faint_assert_close (spectrum->frequency[2], 767125 * scales[k], 3e-16, "one product");
      g_assert_null (spectrum->tooth);
      g_assert_cmpint (spectrum->axis, ==, k < 4 ? FAINT_AXIS_FREQUENCY : FAINT_AXIS_WAVENUMBER);
    }
}

/* Wavelengths rise while frequencies fall: the samples are turned round, none is lost. */
static void
test_wavelengths (void)
{
  GString *text
      = g_string_new ("# comb-table 1\n# columns = wavelength/nm transmission u(transmission)\n");
  g_autoptr (GError) error = NULL;

  for (int i = 0; i < N; i++)
    g_string_append_printf (text, "%.3f 0.%03d 0.01\n", 1530.0 + i * 0.001, 900 + i);
  g_autofree char *bytes = g_string_free (text, FALSE);
  g_autoptr (FaintSpectrum) spectrum = read_text (bytes, NULL, &error);
  g_assert_no_error (error);
  faint_assert_close (spectrum->wavenumber[N - 1], 1e7 / 1530.0, 5e-16, "three operations");
  faint_assert_close (spectrum->wavenumber[0], 1e7 / (1530.0 + (N - 1) * 0.001), 5e-16,
                      "three operations");
  g_assert_cmpfloat (spectrum->value[N - 1], ==, 0.900);
  g_assert_cmpfloat (spectrum->value[0], ==, 0.939);
}

/* Interleaved records step f_0: the frequencies stay as they are, the teeth are the nearest. */
static void
test_frequencies_with_comb (void)
{
  GString *text = g_string_new ("# comb-table 1\n" COMB
                                "# columns = frequency/MHz transmission u(transmission)\n");
  g_autoptr (GError) error = NULL;

  for (int i = 0; i < N; i++)
    g_string_append_printf (text, "%.1f 0.9 0.01\n", 250.0 * (767123 + i) + 20.0 + 62.5);
  g_autofree char *bytes = g_string_free (text, FALSE);
  g_autoptr (FaintSpectrum) spectrum = read_text (bytes, NULL, &error);
  g_assert_no_error (error);
  g_assert_cmpint (spectrum->tooth[5], ==, 767128);
  g_assert_cmpfloat (spectrum->frequency[5], ==, 250e6 * 767128 + 82.5e6);
}

static void
test_uncertainty_lines (void)
{
  /* Before or after its quantity, or in the same line, or twice the same. */
  static const char *const headers[] = {
    "# u(pressure) = 2 Pa\n# pressure = 1.30 hPa\n",
    "# pressure = 1.30 hPa\n# u(pressure) = 0.02 hPa\n",
    "# pressure = 1.30(2) hPa\n",
    "# pressure = 1.30 +/- 0.02 hPa\n",
    "# pressure = 1.30(2) hPa\n# u(pressure) = 0.02 hPa\n# pressure = 130 Pa\n",
    "#pressure=1.30(2)   hPa\n#\n# a remark\n",
  };

  for (gsize i = 0; i < G_N_ELEMENTS (headers); i++)
    {
      g_autofree char *header
          = g_strconcat (headers[i], COMB "# columns = tooth transmission u(transmission)\n", NULL);
      g_autoptr (FaintSpectrum) spectrum = read_good (header, "0.9 0.01");

      g_assert_cmpfloat (spectrum->setup->pressure.value, ==, 130.0);
      g_assert_cmpfloat (spectrum->setup->pressure.u, ==, 2.0);
    }
}

static void
test_kept_and_ignored (void)
{
  g_autoptr (FaintSpectrum) spectrum
      = read_good (COMB "# operator_note = evening run\n# lamp = 3\n"
                        "# columns = tooth transmission u(transmission) monitor/V phase/rad\n",
                   "0.9 0.01 high 0.1");

  g_assert_cmpuint (spectrum->setup->other_keys->len, ==, 2);
  g_assert_cmpstr (g_ptr_array_index (spectrum->setup->other_keys, 0), ==,
                   "operator_note = evening run");
  g_assert_cmpuint (spectrum->warnings->len, ==, 2); /* once each */
  g_assert_true (faint_warnings_has (spectrum->warnings, "extra-column"));
  g_assert_true (faint_warnings_has (spectrum->warnings, "unknown-key"));
}

static void
test_line_ends_and_mark (void)
{
  g_autofree char *plain
      = table_of (COMB "# columns = tooth transmission u(transmission)\n", "0.9 0.01");
  g_auto (GStrv) lines = g_strsplit (plain, "\n", -1);
  g_autofree char *crlf = g_strjoinv ("\r\n", lines);
  g_autofree char *cr = g_strjoinv ("\r", lines);
  g_autofree char *marked = g_strconcat ("\xef\xbb\xbf", plain, NULL);
  const char *const texts[] = { crlf, cr, marked };

  for (gsize i = 0; i < G_N_ELEMENTS (texts); i++)
    {
      g_autoptr (GError) error = NULL;
      g_autoptr (FaintSpectrum) spectrum = read_text (texts[i], NULL, &error);

      g_assert_no_error (error);
      g_assert_cmpuint (spectrum->n, ==, N);
    }
}

static void
test_settings (void)
{
  char *folder = faint_test_folder_new ();
  g_autofree char *text = table_of (
      "# pressure = 1 hPa\n# columns = tooth transmission u(transmission)\n", "0.9 0.01");
  g_autofree char *path = faint_test_file (folder, "run.comb", text);
  g_autofree char *with = faint_test_file (folder, "conditions",
                                           "# of the day\nrepetition_rate = 250 MHz\n"
                                           "# offset_frequency = 20 MHz\n\ntemperature = 290 K\n");
  const char *const settings[] = { "temperature=295(1) K", "pressure = 2 hPa", NULL };
  const char *const wrong[] = { "temprature=295 K", NULL };
  FaintReadOptions options = { .with = with, .settings = settings };
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintSpectrum) spectrum = faint_spectrum_read (path, &options, NULL, &error);

  g_assert_no_error (error);
  g_assert_cmpfloat (spectrum->setup->temperature.value, ==, 295.0);
  g_assert_cmpfloat (spectrum->setup->pressure.value, ==, 200.0);
  g_assert_cmpfloat (spectrum->frequency[0], ==, 767123 * 250e6 + 20e6);
  options.settings = wrong;
  g_assert_null (faint_spectrum_read (path, &options, NULL, &error));
  faint_assert_error_says (error, FAINT_SETUP_ERROR, "'temprature' is no key known here");
  faint_test_folder_remove (folder);
}

static void
refuses_with (const char *conditions, GQuark domain, const char *words)
{
  char *folder = faint_test_folder_new ();
  g_autoptr (FaintSetup) setup = faint_setup_new ();
  FaintReadOptions options = { .with = faint_test_file (folder, "conditions", conditions) };
  g_autoptr (GError) error = NULL;

  g_assert_false (faint_setup_apply (setup, &options, &error));
  g_assert_nonnull (strstr (error->message, options.with));
  faint_assert_error_says (error, domain, words);
  g_free ((char *)options.with);
  faint_test_folder_remove (folder);
}

static void
test_with_refusals (void)
{
  refuses_with ("temperature = 290 K\n12 13\n", FAINT_TEXT_ERROR,
                "line 2: a line like 'temperature = 296.15 K' was expected");
  refuses_with ("\ntemprature = 290 K\n", FAINT_SETUP_ERROR, "not known here: temprature");
  refuses_with ("temperature = 290\n", FAINT_SETUP_ERROR, "line 1, column 15: temperature: '290'");
  refuses_with ("columns = tooth transmission\n", FAINT_TEXT_ERROR, "line 1: columns are named");
}

static void
test_finesse_table (void)
{
  char *folder = faint_test_folder_new ();
  g_autofree char *text = table_of (COMB "# finesse_table = mirrors.txt\n"
                                         "# columns = tooth transmission u(transmission)\n",
                                    "0.9 0.01");
  g_autofree char *path = faint_test_file (folder, "run.comb", text);
  g_autofree char *table = faint_test_file (folder, "mirrors.txt",
                                            "# measured by ring-down\n"
                                            "# columns = wavenumber/cm-1 finesse u(finesse)\n"
                                            "6390 11500 50\n6410.5 12000 60\n");
  g_autofree char *copy = g_build_filename (folder, "copy.comb", NULL);
  g_autofree char *below = g_build_filename (folder, "below", NULL);
  g_autofree char *deep = g_build_filename (below, "copy.comb", NULL);
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintSpectrum) spectrum = faint_spectrum_read (path, NULL, NULL, &error);
  g_autoptr (FaintSpectrum) again = NULL;
  g_autofree char *written = NULL, *written_deep = NULL;

  g_assert_no_error (error);
  g_assert_cmpint (spectrum->setup->mirror_kind, ==, FAINT_MIRROR_TABLE);
  g_assert_cmpuint (spectrum->setup->table_finesse->len, ==, 2);
  g_assert_cmpfloat (g_array_index (spectrum->setup->table_wavenumber, double, 1), ==, 6410.5);
  g_assert_cmpfloat (g_array_index (spectrum->setup->table_u, double, 0), ==, 50.0);
  g_assert_cmpstr (spectrum->setup->finesse_table, ==, table);
  g_assert_true (faint_comb_table_write (spectrum, copy, &error));
  g_assert_true (g_file_get_contents (copy, &written, NULL, NULL));
  g_assert_nonnull (strstr (written, "# finesse_table = mirrors.txt\n"));
  /* into another folder: as seen from there, and found again */
  g_assert_cmpint (g_mkdir (below, 0700), ==, 0);
  g_assert_true (faint_comb_table_write (spectrum, deep, &error));
  g_assert_true (g_file_get_contents (deep, &written_deep, NULL, NULL));
  g_assert_nonnull (strstr (written_deep, "# finesse_table = ../mirrors.txt\n"));
  again = faint_spectrum_read (deep, NULL, NULL, &error);
  g_assert_no_error (error);
  g_assert_cmpstr (again->setup->finesse_table, ==, table);
  faint_test_folder_remove (folder);
}

/* A spectrum of random numbers in all 17 digits, so that a lost digit would show. */
static FaintSpectrum *
random_spectrum (FaintObservable observable, FaintAxis axis, gsize n, gboolean with_u)
{
  g_autoptr (FaintSetup) setup = faint_setup_new ();
  gsl_rng *random = gsl_rng_alloc (gsl_rng_mt19937);
  FaintSpectrum *spectrum;
  g_autoptr (GError) error = NULL;

  setup->observable = observable;
  g_assert_true (faint_setup_set (setup, "repetition_rate", "249.99871(2) MHz", NULL, NULL));
  g_assert_true (faint_setup_set (setup, "offset_frequency", "-20.7 MHz", NULL, NULL));
  g_assert_true (faint_setup_set (setup, "temperature", "23.1(2) degC", NULL, NULL));
  g_assert_true (faint_setup_set (setup, "ring_down_time", "7.7 us", NULL, NULL));
  g_assert_true (faint_setup_set (setup, "cavity", "ring", NULL, NULL));
  g_ptr_array_add (setup->other_keys, g_strdup ("remark = kept"));
  spectrum = faint_spectrum_new (n, setup);
  spectrum->axis = axis;
  spectrum->polar = observable == FAINT_OBSERVABLE_FIELD && axis == FAINT_AXIS_TOOTH;
  for (gsize i = 0; i < n; i++)
    {
      if (axis == FAINT_AXIS_TOOTH)
        spectrum->tooth[i] = 767000 + (gint64)i * 3;
      else
        spectrum->frequency[i] = 1.9e14 + (double)i * 250e6 + gsl_rng_uniform (random) * 1e6;
      spectrum->value[i] = 1.0 + gsl_ran_gaussian (random, 0.01);
      spectrum->u[i] = with_u ? 0.01 + gsl_rng_uniform (random) * 1e-3 : 0.0;
      if (spectrum->value_im != NULL)
        {
          spectrum->value_im[i] = gsl_ran_gaussian (random, 0.01);
          spectrum->u_im[i] = with_u ? 0.01 + gsl_rng_uniform (random) * 1e-3 : 0.0;
        }
    }
  gsl_rng_free (random);
  faint_spectrum_finish (spectrum, &error);
  g_assert_no_error (error);
  return spectrum;
}

static void
same_doubles (const double *a, const double *b, gsize n)
{
  g_assert_true ((a == NULL) == (b == NULL));
  if (a != NULL)
    g_assert_cmpmem (a, n * sizeof *a, b, n * sizeof *b);
}

static void
same_spectrum (const FaintSpectrum *a, const FaintSpectrum *b)
{
  gsize n_keys;
  const FaintSetupKey *keys = faint_setup_keys (&n_keys);

  g_assert_cmpuint (a->n, ==, b->n);
  same_doubles (a->frequency, b->frequency, a->n);
  same_doubles (a->wavenumber, b->wavenumber, a->n);
  same_doubles (a->value, b->value, a->n);
  same_doubles (a->value_im, b->value_im, a->n);
  same_doubles (a->u, b->u, a->n);
  same_doubles (a->u_im, b->u_im, a->n);
  g_assert_cmpmem (a->tooth, a->n * sizeof *a->tooth, b->tooth, b->n * sizeof *b->tooth);
  g_assert_cmpint (a->polar, ==, b->polar);
  g_assert_cmpint (a->u_estimated, ==, b->u_estimated);
  for (gsize i = 0; i < n_keys; i++)
    {
      g_autofree char *u_key = g_strdup_printf ("u(%s)", keys[i].key);
      g_autofree char *value_a = faint_setup_get (a->setup, keys[i].key);
      g_autofree char *value_b = faint_setup_get (b->setup, keys[i].key);
      g_autofree char *u_a = faint_setup_get (a->setup, u_key);
      g_autofree char *u_b = faint_setup_get (b->setup, u_key);

      g_assert_cmpstr (value_a, ==, value_b);
      g_assert_cmpstr (u_a, ==, u_b);
    }
}

static void
test_round_trip (void)
{
  char *folder = faint_test_folder_new ();
  g_autofree char *path = g_build_filename (folder, "copy.comb", NULL);

  for (int observable = 0; observable <= FAINT_OBSERVABLE_FIELD; observable++)
    for (int axis = 0; axis <= FAINT_AXIS_WAVELENGTH; axis++)
      for (int with_u = 0; with_u < 2; with_u++)
        {
          g_autoptr (FaintSpectrum) before
              = random_spectrum ((FaintObservable)observable, (FaintAxis)axis, 3000, with_u);
          g_autoptr (FaintSpectrum) after = NULL, again = NULL;
          g_autoptr (GError) error = NULL;

          g_assert_true (faint_comb_table_write (before, path, &error));
          after = faint_spectrum_read (path, NULL, NULL, &error);
          g_assert_no_error (error);
          same_spectrum (before, after);
          g_assert_true (faint_comb_table_write (after, path, &error));
          again = faint_spectrum_read (path, NULL, NULL, &error);
          g_assert_cmpint (again->axis, ==, after->axis);
          same_spectrum (after, again);
        }
  faint_test_folder_remove (folder);
}

/* An axis that was read from a unit is written in that unit again. */
static void
test_axis_is_kept (void)
{
  static const char *const heads[] = { "wavenumber/cm-1", "wavelength/nm" };

  for (int k = 0; k < 2; k++)
    {
      GString *text = g_string_new ("# comb-table 1\n");
      g_autoptr (GError) error = NULL;

      g_string_append_printf (text, "# columns = %s transmission u(transmission)\n", heads[k]);
      for (int i = 0; i < 1000; i++)
        g_string_append_printf (text, "%.6f 0.9 0.01\n",
                                6391.123457 + i * 0.008339 * (k == 0 ? 1 : -1));
      g_autofree char *bytes = g_string_free (text, FALSE);
      g_autoptr (FaintSpectrum) spectrum = read_text (bytes, NULL, &error);
      g_assert_no_error (error);
      g_autofree char *written = faint_comb_table_to_text (spectrum, NULL);
      g_autofree char *columns = g_strdup_printf ("# columns = %s transmission", heads[k]);
      g_assert_nonnull (strstr (written, columns));
    }
}

static void
test_estimated (void)
{
  g_autoptr (FaintSpectrum) spectrum
      = random_spectrum (FAINT_OBSERVABLE_FIELD, FAINT_AXIS_TOOTH, 20000, FALSE);

  g_assert_true (spectrum->u_estimated);
  g_assert_true (faint_warnings_has (spectrum->warnings, "uncertainty-estimated"));
  for (gsize i = 0; i < spectrum->n; i++)
    {
      g_assert_cmpfloat (spectrum->u[i], ==, spectrum->u_im[i]);
      faint_assert_close (spectrum->u[i], 0.01, 0.2,
                          "1.7/sqrt(2 * 1000) is 3.8 % for a block; five standard deviations");
    }
}

/* The same under a locale with a decimal comma, for reading and writing. */
static void
test_locale (void)
{
  g_autofree char *old = g_strdup (setlocale (LC_ALL, NULL));

  if (setlocale (LC_ALL, "de_DE.UTF-8") == NULL)
    {
      g_test_skip ("the locale de_DE.UTF-8 is not installed");
      return;
    }
  test_round_trip ();
  setlocale (LC_ALL, old);
}

static gboolean
stop (gpointer data)
{
  return TRUE;
}

static void
test_cancel (void)
{
  FaintProgress progress = { .is_cancelled = stop };
  g_autoptr (GError) error = NULL;

  g_assert_null (faint_spectrum_read ("/nowhere", NULL, &progress, &error));
  g_assert_error (error, FAINT_PROGRESS_ERROR, FAINT_PROGRESS_ERROR_CANCELLED);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/comb-table/documented", test_documented);
  g_test_add_func ("/comb-table/ratio", test_ratio);
  g_test_add_func ("/comb-table/transmission", test_transmission);
  g_test_add_func ("/comb-table/amplitude-and-phase", test_amplitude_and_phase);
  g_test_add_func ("/comb-table/parts", test_parts);
  g_test_add_func ("/comb-table/axes", test_axes);
  g_test_add_func ("/comb-table/wavelengths", test_wavelengths);
  g_test_add_func ("/comb-table/frequencies-with-comb", test_frequencies_with_comb);
  g_test_add_func ("/comb-table/uncertainty-lines", test_uncertainty_lines);
  g_test_add_func ("/comb-table/kept-and-ignored", test_kept_and_ignored);
  g_test_add_func ("/comb-table/line-ends-and-mark", test_line_ends_and_mark);
  g_test_add_func ("/comb-table/settings", test_settings);
  g_test_add_func ("/comb-table/with-refusals", test_with_refusals);
  g_test_add_func ("/comb-table/finesse-table", test_finesse_table);
  g_test_add_func ("/comb-table/round-trip", test_round_trip);
  g_test_add_func ("/comb-table/axis-is-kept", test_axis_is_kept);
  g_test_add_func ("/comb-table/estimated", test_estimated);
  g_test_add_func ("/comb-table/locale", test_locale);
  g_test_add_func ("/comb-table/cancel", test_cancel);
  return g_test_run ();
}

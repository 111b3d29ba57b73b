/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/spectrum/merge.h"

#include <math.h>

#include "faint-test.h"

#define N 50

typedef struct
{
  const char *offset; /* of the comb */
  FaintAxis axis;
  FaintObservable observable;
  gboolean polar;
  double value, value_im, u, u_im;
} Record;

static FaintSpectrum *
record_new (Record record, const char *key, const char *value)
{
  g_autoptr (FaintSetup) setup = faint_setup_new ();
  FaintSpectrum *self;
  g_autoptr (GError) error = NULL;

  setup->observable = record.observable;
  faint_setup_set (setup, "repetition_rate", "250 MHz", NULL, NULL);
  faint_setup_set (setup, "offset_frequency", record.offset, NULL, NULL);
  faint_setup_set (setup, "temperature", "296 K", NULL, NULL);
  faint_setup_set (setup, "recording_time", "3 s", NULL, NULL);
  if (key != NULL)
    faint_setup_set (setup, key, value, NULL, &error);
  g_assert_no_error (error);
  self = faint_spectrum_new (N, setup);
  self->axis = record.axis;
  self->polar = record.polar;
  for (int i = 0; i < N; i++)
    {
      self->tooth[i] = 767000 + i;
      self->frequency[i] = 250e6 * (767000 + i) + setup->offset_frequency.value;
      self->value[i] = record.value;
      self->u[i] = record.u;
      if (self->value_im != NULL)
        {
          self->value_im[i] = record.value_im;
          self->u_im[i] = record.u_im;
        }
    }
  g_assert_true (faint_spectrum_finish (self, &error));
  return self;
}

static const Record plain
    = { .offset = "20 MHz", .axis = FAINT_AXIS_TOOTH, .value = 0.9, .u = 0.01 };

static void
test_interleaved (void)
{
  Record stepped = plain;
  FaintSpectrum *spectra[3];
  g_autoptr (FaintSpectrum) merged = NULL;
  g_autoptr (GError) error = NULL;

  spectra[0] = record_new (plain, NULL, NULL);
  stepped.offset = "145 MHz";
  stepped.value = 0.8;
  spectra[1] = record_new (stepped, "title", "another");
  stepped.offset = "82.5 MHz";
  stepped.value = 0.7;
  spectra[2] = record_new (stepped, NULL, NULL);
  merged = faint_spectrum_merge (spectra, 3, &error);
  g_assert_no_error (error);
  g_assert_cmpuint (merged->n, ==, 3 * N);
  g_assert_cmpint (merged->axis, ==, FAINT_AXIS_FREQUENCY);
  for (gsize i = 0; i < N; i++)
    {
      /* In the order of offsets: 20, 82.5, 145 MHz. */
      g_assert_cmpfloat (merged->frequency[3 * i], ==, spectra[0]->frequency[i]);
      g_assert_cmpfloat (merged->frequency[3 * i + 1], ==, spectra[2]->frequency[i]);
      g_assert_cmpfloat (merged->frequency[3 * i + 2], ==, spectra[1]->frequency[i]);
      g_assert_cmpfloat (merged->value[3 * i + 1], ==, 0.7);
      g_assert_cmpfloat (merged->u[3 * i + 1], ==, 0.01);
    }
  g_assert_cmpfloat (merged->setup->recording_time.value, ==, 9.0);
  g_assert_false (faint_warnings_has (merged->warnings, "gap"));
  for (int k = 0; k < 3; k++)
    faint_spectrum_unref (spectra[k]);
}

/* Weighted mean by hand: weights 1/0.01^2 and 1/0.02^2 are 4 to 1: (4 * 0.9 + 0.8)/5 = 0.88, with
 * u = 0.01 sqrt(4/5). */
static void
test_same_teeth (void)
{
  Record other = plain;
  FaintSpectrum *spectra[2];
  g_autoptr (FaintSpectrum) merged = NULL;

  spectra[0] = record_new (plain, NULL, NULL);
  other.value = 0.8;
  other.u = 0.02;
  spectra[1] = record_new (other, NULL, NULL);
  merged = faint_spectrum_merge (spectra, 2, NULL);
  g_assert_cmpuint (merged->n, ==, N);
  g_assert_cmpint (merged->axis, ==, FAINT_AXIS_TOOTH);
  g_assert_cmpint (merged->tooth[4], ==, 767004);
  faint_assert_close (merged->value[4], 0.88, 1e-15, "a few operations");
  faint_assert_close (merged->u[4], 0.01 * sqrt (0.8), 1e-15, "a few operations");
  faint_spectrum_unref (spectra[0]);
  faint_spectrum_unref (spectra[1]);
}

/* Three records of one tooth of a field: the mean has the value of all and u/sqrt(3) in each
 * direction, along and across as well as real and imaginary. */
static void
test_same_fields (void)
{
  for (int polar = 0; polar < 2; polar++)
    {
      Record field = plain;
      FaintSpectrum *spectra[3];
      g_autoptr (FaintSpectrum) merged = NULL;

      field.observable = FAINT_OBSERVABLE_FIELD;
      field.polar = polar;
      field.value = 0.6;
      field.value_im = -0.3;
      field.u_im = 0.04;
      for (int k = 0; k < 3; k++)
        spectra[k] = record_new (field, NULL, NULL);
      merged = faint_spectrum_merge (spectra, 3, NULL);
      g_assert_cmpint (merged->polar, ==, polar);
      faint_assert_close (merged->value[9], 0.6, 1e-14, "two inversions of a matrix");
      faint_assert_close (merged->value_im[9], -0.3, 1e-14, "two inversions of a matrix");
      faint_assert_close (merged->u[9], 0.01 / sqrt (3.0), 1e-13,
                          "two inversions, variances 16 to 1");
      faint_assert_close (merged->u_im[9], 0.04 / sqrt (3.0), 1e-13,
                          "two inversions, variances 16 to 1");
      for (int k = 0; k < 3; k++)
        faint_spectrum_unref (spectra[k]);
    }
}

static void
refuses (FaintSpectrum *other, const char *words)
{
  g_autoptr (FaintSpectrum) first = record_new (plain, NULL, NULL);
  FaintSpectrum *spectra[] = { first, other };
  g_autoptr (GError) error = NULL;

  g_assert_null (faint_spectrum_merge (spectra, 2, &error));
  faint_assert_error_says (error, FAINT_SETUP_ERROR, words);
  faint_spectrum_unref (other);
}

static void
test_refusals (void)
{
  Record amplitude = plain;

  refuses (record_new (plain, "temperature", "250 K"),
           "temperature is 296 K in the first and 250 K in record 2");
  refuses (record_new (plain, "pressure", "1 Pa"),
           "pressure is not stated in the first and 1 Pa in record 2");
  refuses (record_new (plain, "finesse", "1000"), "finesse is not stated");
  amplitude.observable = FAINT_OBSERVABLE_AMPLITUDE;
  refuses (record_new (amplitude, NULL, NULL), "observable is power");
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/merge/interleaved", test_interleaved);
  g_test_add_func ("/merge/same-teeth", test_same_teeth);
  g_test_add_func ("/merge/same-fields", test_same_fields);
  g_test_add_func ("/merge/refusals", test_refusals);
  return g_test_run ();
}

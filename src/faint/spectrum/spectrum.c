/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/spectrum/spectrum-private.h"

#include <string.h>

#include "faint/base/words.h"
#include "faint/spectrum/comb.h"
#include "faint/spectrum/noise.h"

G_DEFINE_QUARK (faint_spectrum_error_quark, faint_spectrum_error)

/* Samples over which the noise is taken as one where it must be estimated. */
#define NOISE_WINDOW 1000

gboolean
faint_setup_states_comb (const FaintSetup *setup)
{
  return faint_quantity_is_known (setup->repetition_rate)
         && faint_quantity_is_known (setup->offset_frequency);
}

FaintSpectrum *
faint_spectrum_new (gsize n, FaintSetup *setup)
{
  FaintSpectrum *self = g_new0 (FaintSpectrum, 1);
  gboolean field = setup->observable == FAINT_OBSERVABLE_FIELD;

  self->n = n;
  self->frequency = g_new0 (double, n);
  self->wavenumber = g_new0 (double, n);
  self->tooth = faint_setup_states_comb (setup) ? g_new0 (gint64, n) : NULL;
  self->value = g_new0 (double, n);
  self->u = g_new0 (double, n);
  self->value_im = field ? g_new0 (double, n) : NULL;
  self->u_im = field ? g_new0 (double, n) : NULL;
  self->setup = faint_setup_ref (setup);
  self->warnings = faint_warnings_new ();
  g_atomic_ref_count_init (&self->refs);
  return self;
}

FaintSpectrum *
faint_spectrum_ref (FaintSpectrum *self)
{
  g_atomic_ref_count_inc (&self->refs);
  return self;
}

void
faint_spectrum_unref (FaintSpectrum *self)
{
  if (self == NULL || !g_atomic_ref_count_dec (&self->refs))
    return;
  faint_spectrum_clear_excluded (self);
  g_free (self->frequency);
  g_free (self->wavenumber);
  g_free (self->tooth);
  g_free (self->value);
  g_free (self->value_im);
  g_free (self->u);
  g_free (self->u_im);
  g_free (self->path);
  g_ptr_array_unref (self->warnings);
  faint_setup_unref (self->setup);
  g_free (self);
}

/* Teeth from frequencies or frequencies from teeth, whichever the caller has filled; afterwards an
 * axis of teeth is exactly that of its comb. */
static void
complete_axis (FaintSpectrum *self)
{
  const FaintSetup *setup = self->setup;
  gboolean have_teeth;

  if (self->tooth == NULL && self->axis == FAINT_AXIS_TOOTH)
    self->axis = FAINT_AXIS_FREQUENCY;
  if (self->tooth == NULL)
    return;
  have_teeth
      = self->axis == FAINT_AXIS_TOOTH && (self->tooth[0] != 0 || self->tooth[self->n - 1] != 0);
  for (gsize i = 0; i < self->n; i++)
    {
      double f_rep = setup->repetition_rate.value, f_0 = setup->offset_frequency.value;

      if (!have_teeth)
        self->tooth[i] = faint_comb_tooth (self->frequency[i], f_rep, f_0);
      if (self->axis == FAINT_AXIS_TOOTH)
        self->frequency[i] = faint_comb_frequency (self->tooth[i], f_rep, f_0);
    }
}

static gboolean
check_axis (const FaintSpectrum *self, GError **error)
{
  for (gsize i = 0; i < self->n; i++)
    {
      double f = self->frequency[i];

      if (isfinite (f) && f > 0.0 && (i == 0 || f > self->frequency[i - 1]))
        continue;
      if (i > 0 && f == self->frequency[i - 1])
        g_set_error (error, FAINT_SPECTRUM_ERROR, FAINT_SPECTRUM_ERROR_AXIS,
                     _ ("Sample %zu lies at %s Hz, as the one before it. Frequencies must be "
                        "finite, above 0, and rise from sample to sample."),
                     i + 1, FAINT_NUMBER ("%.17g", f));
      else
        g_set_error (error, FAINT_SPECTRUM_ERROR, FAINT_SPECTRUM_ERROR_AXIS,
                     _ ("Sample %zu lies at %s Hz. Frequencies must be finite, above 0, and rise "
                        "from sample to sample."),
                     i + 1, FAINT_NUMBER ("%.17g", f));
      return FALSE;
    }
  return TRUE;
}

static gboolean
check_finite (const FaintSpectrum *self, const double *values, GError **error)
{
  for (gsize i = 0; values != NULL && i < self->n; i++)
    if (!isfinite (values[i]))
      {
        g_set_error (error, FAINT_SPECTRUM_ERROR, FAINT_SPECTRUM_ERROR_SIGNAL,
                     _ ("Sample %zu has a value that is not a finite number."), i + 1);
        return FALSE;
      }
  return TRUE;
}

static gboolean
is_absent (const double *u, gsize n)
{
  for (gsize i = 0; i < n; i++)
    if (u[i] != 0.0)
      return FALSE;
  return TRUE;
}

static gboolean
check_u (const FaintSpectrum *self, const double *u, GError **error)
{
  for (gsize i = 0; u != NULL && i < self->n; i++)
    if (!isfinite (u[i]) || u[i] <= 0.0)
      {
        g_set_error (error, FAINT_SPECTRUM_ERROR, FAINT_SPECTRUM_ERROR_SIGNAL,
                     _ ("Sample %zu has a standard uncertainty of %s; one above 0 was expected."),
                     i + 1, FAINT_NUMBER ("%.6g", u[i]));
        return FALSE;
      }
  return TRUE;
}

/* Of a field both parts scatter alike, so each tells about the noise of both. */
static gboolean
estimate_u (FaintSpectrum *self, GError **error)
{
  faint_noise_estimate (self->value, self->n, NOISE_WINDOW, self->u);
  if (self->value_im != NULL)
    {
      faint_noise_estimate (self->value_im, self->n, NOISE_WINDOW, self->u_im);
      for (gsize i = 0; i < self->n; i++)
        self->u[i] = self->u_im[i] = hypot (self->u[i], self->u_im[i]) * G_SQRT2 / 2.0;
    }
  if (!(self->u[0] > 0.0))
    {
      g_set_error (error, FAINT_SPECTRUM_ERROR, FAINT_SPECTRUM_ERROR_SIGNAL,
                   _ ("No uncertainties are stated, and the samples do not scatter, so that none "
                      "can be estimated. Give a column u(...)."));
      return FALSE;
    }
  self->u_estimated = TRUE;
  self->polar = FALSE; /* the same in every direction */
  faint_warnings_add (
      self->warnings, "uncertainty-estimated",
      N_ ("The file states no uncertainties. They were estimated from the scatter of "
          "neighbouring teeth."));
  return TRUE;
}

static gboolean
complete_u (FaintSpectrum *self, GError **error)
{
  if (is_absent (self->u, self->n))
    return estimate_u (self, error);
  if (self->u_im != NULL && is_absent (self->u_im, self->n))
    memcpy (self->u_im, self->u, self->n * sizeof *self->u);
  return TRUE;
}

gboolean
faint_spectrum_finish (FaintSpectrum *self, GError **error)
{
  if (self->n < FAINT_SPECTRUM_MIN_TEETH)
    {
      g_set_error (error, FAINT_SPECTRUM_ERROR, FAINT_SPECTRUM_ERROR_SIZE,
                   _ ("The spectrum has %zu teeth; at least %d are needed."), self->n,
                   FAINT_SPECTRUM_MIN_TEETH);
      return FALSE;
    }
  complete_axis (self);
  if (!check_axis (self, error) || !check_finite (self, self->value, error)
      || !check_finite (self, self->value_im, error) || !complete_u (self, error)
      || !check_u (self, self->u, error) || !check_u (self, self->u_im, error))
    return FALSE;
  for (gsize i = 0; i < self->n; i++)
    self->wavenumber[i] = faint_comb_wavenumber_from_frequency (self->frequency[i]);
  faint_spectrum_mark_excluded (self);
  faint_spectrum_warn (self);
  return TRUE;
}

static void
copy_samples (const FaintSpectrum *self, FaintSpectrum *copy)
{
  gsize size = self->n * sizeof (double);

  memcpy (copy->frequency, self->frequency, size);
  memcpy (copy->value, self->value, size);
  memcpy (copy->u, self->u, size);
  if (self->value_im != NULL)
    {
      memcpy (copy->value_im, self->value_im, size);
      memcpy (copy->u_im, self->u_im, size);
    }
  if (self->tooth != NULL && copy->tooth != NULL)
    memcpy (copy->tooth, self->tooth, self->n * sizeof *self->tooth);
}

FaintSpectrum *
faint_spectrum_with_setup (const FaintSpectrum *self, FaintSetup *setup, GError **error)
{
  g_autoptr (FaintSpectrum) copy = NULL;

  if (setup->observable != self->setup->observable)
    {
      g_set_error (error, FAINT_SPECTRUM_ERROR, FAINT_SPECTRUM_ERROR_SIGNAL,
                   _ ("The observable cannot be changed for samples that are already read. Read "
                      "the file again with the other observable."));
      return NULL;
    }
  copy = faint_spectrum_new (self->n, setup);
  copy_samples (self, copy);
  copy->axis = self->axis;
  copy->polar = self->polar;
  copy->u_estimated = self->u_estimated;
  copy->path = g_strdup (self->path);
  g_strlcpy (copy->sha256, self->sha256, sizeof copy->sha256);
  faint_spectrum_copy_reading_warnings (self, copy);
  if (!faint_spectrum_finish (copy, error))
    return NULL;
  return g_steal_pointer (&copy);
}

gsize
faint_spectrum_index (const FaintSpectrum *self, double wavenumber)
{
  gsize low = 0, high = self->n;

  while (low < high)
    {
      gsize middle = low + (high - low) / 2;

      if (self->wavenumber[middle] < wavenumber)
        low = middle + 1;
      else
        high = middle;
    }
  return low;
}

double
faint_spectrum_centre_frequency (const FaintSpectrum *self)
{
  return 0.5 * (self->frequency[0] + self->frequency[self->n - 1]);
}

void
faint_spectrum_axis_u (const FaintSpectrum *self, double wavenumber, double *u_repetition_rate,
                       double *u_offset_frequency)
{
  const FaintSetup *setup = self->setup;

  *u_repetition_rate = *u_offset_frequency = 0.0;
  if (!faint_setup_states_comb (setup))
    return;
  *u_repetition_rate
      = (faint_comb_frequency_from_wavenumber (wavenumber) - setup->offset_frequency.value)
        / setup->repetition_rate.value * faint_quantity_u_or_zero (setup->repetition_rate)
        / FAINT_SPEED_OF_LIGHT_CM_S;
  *u_offset_frequency
      = faint_quantity_u_or_zero (setup->offset_frequency) / FAINT_SPEED_OF_LIGHT_CM_S;
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>

#include "faint/base/units.h"
#include "faint/cavity/finesse.h"
#include "faint/cavity/response.h"
#include "faint/shape/hartmann-tran.h"
#include "faint/shape/voigt.h"
#include "faint/simulate/scene-private.h"
#include "faint/spectrum/comb.h"

/* Teeth that are computed at a time: their arrays stay in the first-level cache. */
#define BLOCK 512

/* Sample k belongs to record k % interleave, whose teeth lie f_rep/interleave above the last
 * record's, so samples rise in frequency. */
static FaintSpectrum *
new_spectrum (const FaintScene *self)
{
  gsize n = (gsize)(self->teeth * self->interleave);
  FaintSpectrum *spectrum = faint_spectrum_new (n, self->setup);
  double rate = self->setup->repetition_rate.value;
  double offset = self->setup->offset_frequency.value;

  spectrum->axis = self->axis;
  spectrum->polar = self->write == FAINT_SCENE_WRITE_POLAR;
  if (self->axis == FAINT_AXIS_TOOTH && spectrum->tooth == NULL)
    spectrum->tooth = g_new (gint64, n);
  for (gsize k = 0; k < n; k++)
    {
      gint64 tooth = self->first_tooth + (gint64)k / self->interleave;
      double shift = (double)((gint64)k % self->interleave) * rate / (double)self->interleave;
      spectrum->frequency[k] = faint_comb_frequency (tooth, rate, offset + shift);
      spectrum->wavenumber[k] = faint_comb_wavenumber_from_frequency (spectrum->frequency[k]);
      if (self->axis == FAINT_AXIS_TOOTH)
        spectrum->tooth[k] = tooth;
    }
  return spectrum;
}

/* The position holds the whole shift. */
static FaintHartmannTran
hartmann_tran_of (const FaintLine *line)
{
  gboolean whole = line->profile == FAINT_PROFILE_HARTMANN_TRAN;

  return (FaintHartmannTran){ .position = line->position.value,
                              .doppler = line->doppler.value,
                              .lorentz = line->lorentz.value,
                              .lorentz_2 = line->speed_width.value,
                              .shift_2 = line->speed_shift.value,
                              .velocity_changing = whole ? line->velocity_changing.value : 0.0,
                              .correlation = whole ? line->correlation.value : 0.0 };
}

static void
fill_profile (const FaintLine *line, const double *wavenumber, gsize n, double *re, double *im)
{
  const FaintVoigt voigt = { line->position.value, line->doppler.value, line->lorentz.value };

  if (line->profile == FAINT_PROFILE_VOIGT)
    faint_voigt_fill (voigt, wavenumber, n, re, im);
  else
    faint_hartmann_tran_fill (hartmann_tran_of (line), wavenumber, n, re, im);
}

/* Round-trip exponent kappa = (N l/2) sum S p at @n wavenumbers. */
static void
fill_kappa (const FaintLineList *lines, double half_column, const double *wavenumber, gsize n,
            double *kappa_re, double *kappa_im)
{
  double re[BLOCK], im[BLOCK];

  memset (kappa_re, 0, n * sizeof (double));
  memset (kappa_im, 0, n * sizeof (double));
  for (gsize i = 0; i < faint_line_list_get_n (lines); i++)
    {
      const FaintLine *line = faint_line_list_get (lines, i);
      double weight = half_column * line->strength.value;

      if (line->flags & FAINT_LINE_EXCLUDED)
        continue;
      fill_profile (line, wavenumber, n, re, im);
      for (gsize k = 0; k < n; k++)
        {
          kappa_re[k] += weight * re[k];
          kappa_im[k] += weight * im[k];
        }
    }
}

/* N l/2, in molecules/cm2, l the absorber in one round trip. */
static double
half_column (const FaintSetup *setup)
{
  double abundance = faint_quantity_is_known (setup->abundance) ? setup->abundance.value : 1.0;
  double density = faint_number_density (setup->pressure.value, setup->temperature.value);

  return 0.5 * density * setup->mole_fraction.value * abundance
         * faint_response_absorber_round_trip (setup);
}

/* What the cavity shows, without baseline and noise, into value and value_im. */
static gboolean
fill_response (const FaintScene *self, FaintSpectrum *spectrum, const FaintProgress *progress,
               GError **error)
{
  g_autoptr (FaintCavityTeeth) teeth = faint_cavity_teeth_new (spectrum, error);
  FaintResponse response = faint_response_of (self->setup);
  double column = half_column (self->setup);
  double re[BLOCK], im[BLOCK];

  if (teeth == NULL)
    return FALSE;
  for (gsize first = 0; first < spectrum->n; first += BLOCK)
    {
      gsize n = MIN (BLOCK, spectrum->n - first);
      const FaintResponseValues out
          = { .value = spectrum->value + first,
              .value_im = spectrum->value_im != NULL ? spectrum->value_im + first : NULL };

      if (!faint_progress_step (progress, (double)first / (double)spectrum->n, "simulating", error))
        return FALSE;
      fill_kappa (self->lines, column, spectrum->wavenumber + first, n, re, im);
      faint_response_fill (&response, teeth, first, n, re, im, &out);
    }
  return TRUE;
}

/* Legendre series sum c_k P_k(x) by the recurrence of DLMF 18.9.1. */
static double
legendre_sum (const GArray *coefficients, double x)
{
  double before = 0.0, now = 1.0, sum = 0.0;

  for (guint k = 0; k < coefficients->len; k++)
    {
      double next = ((2.0 * k + 1.0) * x * now - k * before) / (k + 1.0);
      sum += g_array_index (coefficients, double, k) * now;
      before = now;
      now = next;
    }
  return sum;
}

static void
apply_baseline (const FaintScene *self, FaintSpectrum *spectrum)
{
  double low = spectrum->wavenumber[0];
  double width = spectrum->wavenumber[spectrum->n - 1] - low;

  for (gsize k = 0; k < spectrum->n; k++)
    {
      double x = width > 0.0 ? 2.0 * (spectrum->wavenumber[k] - low) / width - 1.0 : 0.0;
      double level = legendre_sum (self->baseline, x);
      double phase = legendre_sum (self->baseline_phase, x);
      double re = spectrum->value[k];

      if (self->fringe_amplitude != 0.0)
        level *= 1.0
                 + self->fringe_amplitude
                       * cos (2.0 * G_PI * spectrum->wavenumber[k] / self->fringe_period
                              + self->fringe_phase);
      if (spectrum->value_im == NULL)
        {
          spectrum->value[k] = level * re;
          continue;
        }
      spectrum->value[k] = level * (cos (phase) * re - sin (phase) * spectrum->value_im[k]);
      spectrum->value_im[k] = level * (sin (phase) * re + cos (phase) * spectrum->value_im[k]);
    }
}

/* Shot noise grows with the root of the detected level; 0.01 is the floor that stray light and
 * the detector leave. Common practice, no source. */
static double
noise_at (const FaintScene *self, double level)
{
  return self->shot ? self->noise * sqrt (MAX (level, 0.01)) : self->noise;
}

static void
add_noise (const FaintScene *self, FaintSpectrum *spectrum, guint64 seed)
{
  gsl_rng *random = gsl_rng_alloc (gsl_rng_mt19937);

  /* GSL takes 32 bits of a seed. */
  gsl_rng_set (random, (unsigned long)((seed ^ (seed >> 32)) & 0xffffffffu));
  for (gsize k = 0; k < spectrum->n; k++)
    {
      double im = spectrum->value_im != NULL ? spectrum->value_im[k] : 0.0;
      double sigma = noise_at (self, hypot (spectrum->value[k], im));

      spectrum->u[k] = sigma;
      spectrum->value[k] += gsl_ran_gaussian_ziggurat (random, sigma);
      if (spectrum->value_im == NULL)
        continue;
      spectrum->u_im[k] = sigma;
      spectrum->value_im[k] += gsl_ran_gaussian_ziggurat (random, sigma);
    }
  gsl_rng_free (random);
}

FaintSpectrum *
faint_scene_simulate (const FaintScene *self, guint64 seed, const FaintProgress *progress,
                      GError **error)
{
  g_autoptr (FaintSpectrum) spectrum = new_spectrum (self);

  if (!fill_response (self, spectrum, progress, error))
    return NULL;
  apply_baseline (self, spectrum);
  if (self->noise > 0.0)
    add_noise (self, spectrum, seed);
  if (!faint_spectrum_finish (spectrum, error))
    return NULL;
  return g_steal_pointer (&spectrum);
}

/* Peak absorption of @line alone, 1 - |value| at its centre; NAN where the cavity has no loss to
 * work with. */
static double
peak_absorption (const FaintScene *self, const FaintLine *line, double centre_frequency)
{
  const FaintSetup *setup = self->setup;
  double weight = half_column (setup) * line->strength.value;
  double re, im, value = NAN, value_im = 0.0;
  double loss = 1.0, u_loss = 0.0, phase = 0.0;
  FaintCavityTeeth tooth = { 1, &loss, &u_loss, &phase };
  FaintResponse response = faint_response_of (setup);

  if (!faint_cavity_loss_fill (setup, &line->position.value, 1, &loss, &u_loss, NULL, NULL))
    return NAN;
  fill_profile (line, &line->position.value, 1, &re, &im);
  re *= weight;
  im *= weight;
  if (setup->geometry != FAINT_GEOMETRY_NONE)
    {
      double away = faint_comb_frequency_from_wavenumber (line->position.value) - centre_frequency;
      double slope = setup->tooth_detuning_slope.value, at_centre = setup->tooth_detuning.value;
      phase = 2.0 * G_PI
              * ((isnan (at_centre) ? 0.0 : at_centre) + (isnan (slope) ? 0.0 : slope * away))
              / faint_cavity_free_spectral_range (setup->geometry, setup->cavity_length.value);
    }
  faint_response_fill (&response, &tooth, 0, 1, &re, &im,
                       &(FaintResponseValues){ .value = &value, .value_im = &value_im });
  return 1.0 - hypot (value, value_im);
}

FaintLineList *
faint_scene_truth (const FaintScene *self)
{
  gsize n = faint_line_list_get_n (self->lines);
  g_autofree FaintLine *lines = g_new (FaintLine, n);
  g_autoptr (FaintSpectrum) spectrum = new_spectrum (self);
  double centre = faint_spectrum_centre_frequency (spectrum);

  for (gsize i = 0; i < n; i++)
    {
      lines[i] = *faint_line_list_get (self->lines, i);
      lines[i].peak = peak_absorption (self, &lines[i], centre);
    }
  return faint_line_list_new (lines, n);
}

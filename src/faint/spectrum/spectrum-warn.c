/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/spectrum/spectrum-private.h"

#include "faint/spectrum/rank.h"
#include "faint/base/words.h"

#define LARGEST_TRANSMISSION 1.5
/* A distance beyond this many usual ones is a gap: at least one tooth is missing. */
#define GAP 1.5
/* The usual distance is the one that so many of all distances do not exceed: interleaved combs need
 * not be evenly interleaved, and their pattern is no gap. */
#define USUAL_RANK 0.95
#define LEAST_TEETH_PER_WIDTH 2.0

static const char *const found_by_finish[]
    = { "gap", "negative-samples", "samples-above-one", "few-teeth-per-width" };

/* The distance of neighbours, cm-1, that the share @rank of all does not exceed. */
static double
distance_at_rank (const FaintSpectrum *self, double rank)
{
  gsize m = self->n - 1;
  g_autofree double *distance = g_new (double, m);

  for (gsize i = 0; i < m; i++)
    distance[i] = (self->frequency[i + 1] - self->frequency[i]) / FAINT_SPEED_OF_LIGHT_CM_S;
  return faint_rank_select (distance, m, MIN ((gsize)(rank * (double)m), m - 1));
}

double
faint_spectrum_spacing (const FaintSpectrum *self)
{
  return self->n > 1 ? distance_at_rank (self, 0.5) : 0.0;
}

static void
warn_gaps (FaintSpectrum *self)
{
  gsize m = self->n - 1, n_gaps = 0, largest = 0;
  double usual = distance_at_rank (self, USUAL_RANK), longest = 0.0;

  for (gsize i = 0; i < m; i++)
    {
      double distance = self->wavenumber[i + 1] - self->wavenumber[i];

      n_gaps += distance > GAP * usual;
      if (distance > longest)
        {
          longest = distance;
          largest = i;
        }
    }
  if (n_gaps > 0)
    faint_warnings_add (
        self->warnings, "gap",
        n_gaps == 1 ? N_ ("The spectrum has %zu gap. The largest lies between %.5f cm-1 "
                          "and %.5f cm-1, %.0f times the usual distance of teeth.")
                    : N_ ("The spectrum has %zu gaps. The largest lies between %.5f cm-1 "
                          "and %.5f cm-1, %.0f times the usual distance of teeth."),
        n_gaps, self->wavenumber[largest], self->wavenumber[largest + 1], longest / usual);
}

static void
warn_samples (FaintSpectrum *self)
{
  gsize n_negative = 0, n_above = 0;

  if (self->value_im != NULL)
    return; /* the parts of a field have any sign */
  for (gsize i = 0; i < self->n; i++)
    {
      n_negative += self->value[i] < 0.0;
      n_above += self->value[i] > LARGEST_TRANSMISSION;
    }
  if (n_negative > 0)
    faint_warnings_add (self->warnings, "negative-samples",
                        N_ ("%zu of %zu samples are below 0. Noise on "
                            "deep lines does that; an offset of the detector does it too."),
                        n_negative, self->n);
  if (n_above > 0)
    faint_warnings_add (self->warnings, "samples-above-one",
                        N_ ("%zu of %zu samples are above %.1f. Sample "
                            "and reference may not belong together."),
                        n_above, self->n, LARGEST_TRANSMISSION);
}

static void
warn_sparse (FaintSpectrum *self, double spacing)
{
  const FaintSetup *setup = self->setup;
  double middle = self->wavenumber[self->n / 2], fwhm;

  if (!faint_quantity_is_known (setup->temperature) || !faint_quantity_is_known (setup->molar_mass))
    return;
  fwhm = 2.0 * faint_doppler_hwhm (middle, setup->temperature.value, setup->molar_mass.value);
  if (fwhm < LEAST_TEETH_PER_WIDTH * spacing)
    faint_warnings_add (
        self->warnings, "few-teeth-per-width",
        N_ ("There are %.2g teeth on a Doppler width of %.3g cm-1 (full width at half "
            "maximum). At least two are needed; interleave records with a stepped comb."),
        fwhm / spacing, fwhm);
}

void
faint_spectrum_warn (FaintSpectrum *self)
{
  warn_gaps (self);
  warn_samples (self);
  warn_sparse (self, faint_spectrum_spacing (self));
}

void
faint_spectrum_copy_reading_warnings (const FaintSpectrum *self, FaintSpectrum *copy)
{
  for (guint i = 0; i < self->warnings->len; i++)
    {
      const FaintWarning *warning = g_ptr_array_index (self->warnings, i);
      gboolean found_again = FALSE;

      for (gsize k = 0; k < G_N_ELEMENTS (found_by_finish); k++)
        found_again |= g_str_equal (warning->code, found_by_finish[k]);
      if (!found_again)
        faint_warnings_add (copy->warnings, warning->code, "%s", warning->text);
    }
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * From what a setup states to the numbers that the response needs.
 */
#include "faint/cavity/finesse.h"
#include "faint/base/words.h"
#include "faint/cavity/response.h"

FaintResponse
faint_response_of (const FaintSetup *setup)
{
  gboolean stated = faint_quantity_is_known (setup->output_share);
  FaintResponse response = {
    .observable = setup->observable,
    .geometry = setup->geometry,
    .coupling = setup->coupling,
    .output_share = stated ? setup->output_share.value : 0.5,
  };

  /* A standing wave crosses the whole absorber on either way, and a single pass has but one. */
  if (setup->geometry == FAINT_GEOMETRY_STANDING_WAVE)
    response.output_share = 0.5;
  else if (setup->geometry == FAINT_GEOMETRY_NONE)
    response.output_share = 1.0;
  return response;
}

double
faint_response_absorber_round_trip (const FaintSetup *setup)
{
  double length = faint_quantity_is_known (setup->absorber_length) ? setup->absorber_length.value
                                                                   : setup->cavity_length.value;

  return setup->geometry == FAINT_GEOMETRY_STANDING_WAVE ? 2.0 * length : length;
}

static double
known_or_zero (FaintQuantity quantity)
{
  return faint_quantity_is_known (quantity) ? quantity.value : 0.0;
}

static gboolean
fill_phase (const FaintSpectrum *spectrum, double *phase, GError **error)
{
  const FaintSetup *setup = spectrum->setup;
  double detuning = known_or_zero (setup->tooth_detuning);
  double slope = known_or_zero (setup->tooth_detuning_slope);
  double centre, range;

  if (setup->geometry == FAINT_GEOMETRY_NONE || (detuning == 0.0 && slope == 0.0))
    return TRUE; /* the array is zero already */
  if (!faint_quantity_is_known (setup->cavity_length))
    {
      g_set_error_literal (error, FAINT_SETUP_ERROR, FAINT_SETUP_ERROR_MISSING,
                           _ ("A tooth detuning becomes a phase only with the free spectral range: "
                              "state cavity_length too."));
      return FALSE;
    }
  centre = faint_spectrum_centre_frequency (spectrum);
  range = faint_cavity_free_spectral_range (setup->geometry, setup->cavity_length.value);
  for (gsize i = 0; i < spectrum->n; i++)
    phase[i] = 2.0 * G_PI * (detuning + slope * (spectrum->frequency[i] - centre)) / range;
  return TRUE;
}

FaintCavityTeeth *
faint_cavity_teeth_new (const FaintSpectrum *spectrum, GError **error)
{
  g_autoptr (FaintCavityTeeth) self = g_new0 (FaintCavityTeeth, 1);

  self->n = spectrum->n;
  self->loss = g_new0 (double, self->n);
  self->u_loss = g_new0 (double, self->n);
  self->phase = g_new0 (double, self->n);
  if (!faint_cavity_loss_fill (spectrum->setup, spectrum->wavenumber, self->n, self->loss,
                               self->u_loss, NULL, error)
      || !fill_phase (spectrum, self->phase, error))
    return NULL;
  return g_steal_pointer (&self);
}

void
faint_cavity_teeth_free (FaintCavityTeeth *self)
{
  if (self == NULL)
    return;
  g_free (self->loss);
  g_free (self->u_loss);
  g_free (self->phase);
  g_free (self);
}

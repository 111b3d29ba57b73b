/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the fit found of the instrument.
 */
#include "figure/report-private.h"

#include <math.h>

static void
add_found (FaintReport *self, const char *name, double value, double u, const char *unit)
{
  g_autofree char *number = faint_report_number (value, u);

  if (isfinite (value))
    faint_report_pair (self, name, "%s%s", number, unit);
}

static void
add_fringe (FaintReport *self, guint k)
{
  const FaintFitFringe *fringe = &self->fit->instrument.fringe[k];
  g_autofree char *period = faint_report_number (fringe->period, fringe->u_period);
  g_autofree char *amplitude
      = faint_report_number (faint_fit_fringe_amplitude (fringe), faint_analysis_fringe_u (fringe));
  g_autofree char *name = g_strdup_printf ("fringe %u", k + 1);

  faint_report_pair (self, name, "period %s cm⁻¹, relative amplitude %s", period, amplitude);
}

void
faint_report_instrument (FaintReport *self)
{
  const FaintFitInstrument *found = self->fit != NULL ? &self->fit->instrument : NULL;

  if (found == NULL
      || (!isfinite (found->detuning) && !isfinite (found->detuning_slope)
          && found->n_fringes == 0))
    return;
  faint_paper_heading (self->paper, "Instrument, as fitted");
  add_found (self, "tooth minus mode", found->detuning, found->u_detuning, " Hz");
  add_found (self, "its slope", found->detuning_slope, found->u_detuning_slope, "");
  for (guint k = 0; k < found->n_fringes; k++)
    add_fringe (self, k);
}

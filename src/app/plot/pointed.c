/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What lies under the pointer, and its read-out.
 */
#include "app/plot/plot-private.h"
#include "app/plot/hit.h"

#include <math.h>

gsize
faint_plot_sample_at (FaintPlot *self, double wavenumber)
{
  if (self->data == NULL || self->data->observed == NULL || isnan (wavenumber))
    return G_MAXSIZE;
  return faint_pyramid_nearest (self->data->observed, wavenumber);
}

static const FaintLine *
stick_at (FaintPlot *self, const FaintLineList *lines, double wavenumber)
{
  FaintView view;

  if (lines == NULL || isnan (wavenumber) || !faint_plot_shared_view (self, &view))
    return NULL;
  return faint_hit_line (lines, &view, faint_view_x (&view, wavenumber), FAINT_HIT_REACH);
}

const FaintLine *
faint_plot_line_at (FaintPlot *self, double wavenumber)
{
  return self->data != NULL ? stick_at (self, self->data->lines, wavenumber) : NULL;
}

/* A line that was not found is read out where it is nearer than one that was. */
static void
read_predicted (FaintPlot *self, FaintReadout *what)
{
  what->predicted = stick_at (self, self->figure.predicted, what->wavenumber);
  if (what->predicted != NULL && what->line != NULL
      && fabs (what->line->position.value - what->wavenumber)
             <= fabs (what->predicted->position.value - what->wavenumber))
    what->predicted = NULL;
}

void
faint_plot_refresh_readout (FaintPlot *self)
{
  double pointer = faint_session_get_pointer (self->session);
  FaintReadout what = {
    .data = self->data,
    .unit = self->figure.unit,
    .wavenumber = pointer,
    .pixel = faint_plot_pixel (self),
    .sample = faint_plot_sample_at (self, pointer),
    .line = faint_plot_line_at (self, pointer),
    .selected = faint_plot_selected_line (self),
  };

  faint_session_get_view (self->session, &what.view.lower, &what.view.upper);
  read_predicted (self, &what);
  faint_plot_readout_show (FAINT_PLOT_READOUT (self->readout), &what);
}

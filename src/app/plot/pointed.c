/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What lies under the pointer, and its read-out.
 */
#include "app/plot/plot-private.h"
#include "app/plot/hit.h"

#include <math.h>

#define PROFILE_REACH 2.0 /* half widths: a Voigt profile is seen that far, common practice */

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

/* What is drawn of the profile belongs to the line, too: far zoomed in, it is wider than the reach
 * of a pointer. */
static const FaintLine *
profile_at (FaintPlot *self, const FaintLineList *lines, double wavenumber)
{
  gsize nearest = lines != NULL ? faint_line_list_nearest (lines, wavenumber) : G_MAXSIZE;
  const FaintLine *line;

  if (nearest == G_MAXSIZE)
    return NULL;
  line = faint_line_list_get (lines, nearest);
  return fabs (line->position.value - wavenumber)
                 <= PROFILE_REACH * faint_hit_half_width (line, faint_plot_usual_half_width (self))
             ? line
             : NULL;
}

const FaintLine *
faint_plot_line_at (FaintPlot *self, double wavenumber)
{
  const FaintLine *line;

  if (self->data == NULL || isnan (wavenumber))
    return NULL;
  line = stick_at (self, self->data->lines, wavenumber);
  return line != NULL ? line : profile_at (self, self->data->lines, wavenumber);
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

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Ranges of the parameters and how far they may go in one step.
 */
#include "faint/fit/model.h"

#include <math.h>

#include "faint/cavity/finesse.h"

/* A step of the position stays within this many half widths, of a width within a factor. */
#define POSITION_STEP 0.5
#define WIDTH_STEP 1.0
/* The Doppler width, where free, stays above this part of its start. */
#define DOPPLER_LEAST 0.05

/* The bound that all that follow one parameter leave it. */
static void
bound_from_below (const FaintLayout *layout, gsize line, FaintPlace p, double least, double *lower)
{
  gssize at = layout->place[line][p];
  double bound;

  if (at < 0 || !(layout->factor[line][p] > 0.0))
    return;
  bound = (least - layout->offset[line][p]) / layout->factor[line][p];
  lower[at] = isfinite (lower[at]) ? MAX (lower[at], bound) : bound;
}

double *
faint_model_lower_bounds (const FaintModel *self)
{
  const FaintLayout *layout = self->layout;
  double *lower = g_new (double, MAX (layout->n_parameters, 1));

  for (gsize j = 0; j < layout->n_parameters; j++)
    lower[j] = -INFINITY;
  for (gsize i = 0; i < layout->n_lines; i++)
    {
      bound_from_below (layout, i, FAINT_PLACE_LORENTZ, 0.0, lower);
      bound_from_below (layout, i, FAINT_PLACE_DOPPLER,
                        DOPPLER_LEAST * self->lines[i].doppler.value, lower);
      bound_from_below (layout, i, FAINT_PLACE_SPEED_WIDTH, 0.0, lower);
      bound_from_below (layout, i, FAINT_PLACE_VELOCITY_CHANGING, 0.0, lower);
      bound_from_below (layout, i, FAINT_PLACE_CORRELATION, 0.0, lower);
    }
  return lower;
}

double *
faint_model_upper_bounds (const FaintModel *self)
{
  const FaintLayout *layout = self->layout;
  double *upper = g_new (double, MAX (layout->n_parameters, 1));

  for (gsize j = 0; j < layout->n_parameters; j++)
    upper[j] = INFINITY;
  for (gsize i = 0; i < layout->n_lines; i++)
    if (layout->place[i][FAINT_PLACE_CORRELATION] >= 0)
      upper[layout->place[i][FAINT_PLACE_CORRELATION]] = 1.0;
  return upper;
}

/* A fringe may slip by a twentieth of a period over the fitted range, a detuning move by a quarter
 * of the mode's half width, that is of the loss. */
static void
limit_instrument_steps (const FaintModel *self, double *most)
{
  const FaintLayout *layout = self->layout;
  const FaintSpectrum *s = self->spectrum;
  const FaintSetup *setup = s->setup;
  double range, width, span;

  if (layout->n_teeth == 0)
    return;
  span = s->wavenumber[layout->first + layout->n_teeth - 1] - s->wavenumber[layout->first];
  range = faint_cavity_free_spectral_range (setup->geometry, setup->cavity_length.value);
  width = self->teeth->loss[s->n / 2] * range / (2.0 * G_PI);
  if (layout->detuning >= 0)
    most[layout->detuning] = 0.25 * width;
  if (layout->detuning_slope >= 0)
    most[layout->detuning_slope]
        = 0.5 * width / MAX (s->frequency[s->n - 1] - s->frequency[0], 1.0);
  for (guint k = 0; k < layout->n_fringes; k++)
    {
      double *of_fringe = most + layout->fringe + FAINT_FRINGE_PARAMETERS * k;

      of_fringe[0] = of_fringe[1] = 0.1;
      of_fringe[2] = 0.05 * self->fringe[k].period * self->fringe[k].period / span;
    }
}

static void
limit_step (const FaintLayout *layout, gsize line, FaintPlace p, double step, double *most)
{
  gssize at = layout->place[line][p];
  double factor = at >= 0 ? fabs (layout->factor[line][p]) : 0.0;

  if (factor > 0.0)
    most[at] = MIN (most[at], step / factor);
}

double *
faint_model_step_limits (const FaintModel *self)
{
  const FaintLayout *layout = self->layout;
  double *most = g_new (double, MAX (layout->n_parameters, 1));

  for (gsize j = 0; j < layout->n_parameters; j++)
    most[j] = INFINITY;
  for (gsize i = 0; i < layout->n_lines; i++)
    {
      double width = self->lines[i].doppler.value + self->lines[i].lorentz.value;

      limit_step (layout, i, FAINT_PLACE_POSITION, POSITION_STEP * width, most);
      limit_step (layout, i, FAINT_PLACE_LORENTZ, WIDTH_STEP * width, most);
      limit_step (layout, i, FAINT_PLACE_DOPPLER, 0.3 * self->lines[i].doppler.value, most);
      limit_step (layout, i, FAINT_PLACE_SPEED_WIDTH, 0.2 * width, most);
      limit_step (layout, i, FAINT_PLACE_SPEED_SHIFT, 0.2 * width, most);
      limit_step (layout, i, FAINT_PLACE_VELOCITY_CHANGING, 0.5 * width, most);
      limit_step (layout, i, FAINT_PLACE_CORRELATION, 0.3, most);
    }
  limit_instrument_steps (self, most);
  return most;
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/fit/window-rows-private.h"

#include "faint/cavity/finesse.h"

/* Jacobian rows of one baseline polynomial: d model = P E (field: also i P E). */
void
_faint_window_baseline_row (const FaintModel *self, FaintModelWorkspace *w,
                            const FaintLayoutWindow *window, gsize degree, gboolean imaginary,
                            double *row)
{
  const double *u = self->spectrum->fit_u + window->first;
  const double *p = w->legendre + degree * w->teeth;

  if (w->fringe != NULL)
    {
      double *times = w->weight_re;

      for (gsize t = 0; t < window->n; t++)
        times[t] = p[t] * w->fringe[t];
      p = times;
    }
  if (self->layout->channels == 1)
    {
      for (gsize t = 0; t < window->n; t++)
        row[t] = p[t] * w->value[t] * w->inverse_u[t];
      return;
    }
  for (gsize t = 0; t < window->n; t++)
    {
      double re = p[t] * (imaginary ? -w->value_im[t] : w->value[t]);
      double im = p[t] * (imaginary ? w->value[t] : w->value_im[t]);
      whiten (w, u, self->spectrum->fit_u_im + window->first, t, re, im, &row[t],
              &row[window->n + t]);
    }
}

/* What the change of a parameter of a near line does to kappa. */
static FaintKappaRow
kappa_row (const FaintModel *self, const FaintModelWorkspace *w, const FaintLayoutWindow *window,
           gsize near, FaintPlace p)
{
  gsize at = near * w->teeth;
  const FaintLine *line = &self->lines[window->near_first + near];
  double tie = self->layout->factor[window->near_first + near][p];
  double factor = tie * self->column * line->strength.value;

  switch (p)
    {
    case FAINT_PLACE_STRENGTH:
      return (FaintKappaRow){ tie * self->column, tie * self->column, w->near_re + at,
                              w->near_im + at };
    case FAINT_PLACE_POSITION:
      return (FaintKappaRow){ factor, factor, w->position_re + at, w->position_im + at };
    case FAINT_PLACE_LORENTZ:
      if (line->profile == FAINT_PROFILE_VOIGT)
        return (FaintKappaRow){ factor, -factor, w->position_im + at, w->position_re + at };
      return (FaintKappaRow){ factor, factor, w->lorentz_re + at, w->lorentz_im + at };
    case FAINT_PLACE_DOPPLER:
      return (FaintKappaRow){ factor, factor, w->doppler_re + at, w->doppler_im + at };
    default:
      return (FaintKappaRow){ factor, factor, w->further_re[p] + at, w->further_im[p] + at };
    }
}

/* The row of parameter @index, which comes next in the window. */
static double *
next_row (FaintModelWorkspace *w, gsize rows, gsize index, FaintWindowSums *sums)
{
  sums->index[sums->used] = index;
  w->row_slot[w->n_rows] = sums->used++;
  return w->jacobian + w->n_rows++ * rows;
}

static void
fill_line_rows (const FaintModel *self, FaintModelWorkspace *w, const FaintLayoutWindow *window,
                gsize near, FaintWindowSums *sums)
{
  gsize rows = self->layout->channels * window->n;
  const gssize *place = self->layout->place[window->near_first + near];

  for (FaintPlace p = 0; p < FAINT_PLACE_N; p++)
    {
      FaintKappaRow kappa;
      double *row;

      if (place[p] < 0)
        continue;
      kappa = kappa_row (self, w, window, near, p);
      if (w->smooth[near])
        {
          sums->index[sums->used] = (gsize)place[p];
          w->smooth_slot[w->n_smooth] = sums->used++;
          w->smooth_kappa[w->n_smooth++] = kappa;
          continue;
        }
      row = next_row (w, rows, (gsize)place[p], sums);
      for (guint c = 0; c < self->layout->channels; c++)
        w->kernel->rows_combine (window->n, (FaintFitTerm){ kappa.along, w->row_re[c], kappa.re },
                                 (FaintFitTerm){ kappa.across, w->row_im[c], kappa.im },
                                 row + c * window->n);
    }
}

/* Rows of the teeth's phase: what a Hz of detuning, or of its slope, changes. */
static void
fill_detuning_row (const FaintModel *self, FaintModelWorkspace *w, const FaintLayoutWindow *window,
                   gboolean slope, double *row)
{
  const FaintSpectrum *s = self->spectrum;
  double range
      = faint_cavity_free_spectral_range (s->setup->geometry, s->setup->cavity_length.value);
  double centre = faint_spectrum_centre_frequency (s);

  for (gsize t = 0; t < window->n; t++)
    w->weight_re[t] = 2.0 * G_PI * (slope ? s->frequency[window->first + t] - centre : 1.0) / range;
  _faint_window_stretch_weigh (self, w, window, w->by_phase, w->by_phase_im, w->weight_re, row,
                               row + window->n);
}

static void
fill_instrument_rows (const FaintModel *self, FaintModelWorkspace *w,
                      const FaintLayoutWindow *window, FaintWindowSums *sums)
{
  const FaintLayout *layout = self->layout;
  gsize rows = layout->channels * window->n;

  for (int slope = 0; slope < 2; slope++)
    {
      gssize at = slope ? layout->detuning_slope : layout->detuning;

      if (at < 0)
        continue;
      fill_detuning_row (self, w, window, slope, next_row (w, rows, (gsize)at, sums));
    }
  for (guint k = 0; k < layout->n_fringes; k++)
    for (int j = 0; j < FAINT_FRINGE_PARAMETERS; j++)
      {
        double *row = next_row (
            w, rows, (gsize)layout->fringe + FAINT_FRINGE_PARAMETERS * k + (gsize)j, sums);

        _faint_window_stretch_weigh (self, w, window, w->value, w->value_im, w->by_fringe[k][j],
                                     row, row + window->n);
      }
}

void
_faint_window_jacobian_fill (const FaintModel *self, FaintModelWorkspace *w,
                             const FaintLayoutWindow *window, FaintWindowSums *sums)
{
  gsize rows = self->layout->channels * window->n, terms = window->degree + 1;

  sums->used = w->n_rows = w->n_smooth = 0;
  for (guint c = 0; c < self->layout->channels; c++)
    for (gsize d = 0; d < terms; d++)
      _faint_window_baseline_row (self, w, window, d, c == 1,
                                  next_row (w, rows, window->coefficient + c * terms + d, sums));
  for (gsize j = 0; j < window->n_near; j++)
    fill_line_rows (self, w, window, j, sums);
  fill_instrument_rows (self, w, window, sums);
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a solution says of its lines.
 */
#include "faint/fit/fit-private.h"

#include <math.h>

#include "faint/shape/voigt.h"
#include "faint/spectrum/rank.h"

/* A window this near its optimum, in standard uncertainties, has converged whatever the others
 * do. */
#define CONVERGED 1e-3

static gsize
nearest_tooth (const FaintSpectrum *spectrum, double wavenumber)
{
  gsize at = faint_spectrum_index (spectrum, wavenumber);

  if (at == spectrum->n)
    return at - 1;
  if (at > 0 && wavenumber - spectrum->wavenumber[at - 1] < spectrum->wavenumber[at] - wavenumber)
    return at - 1;
  return at;
}

/* 1 - value that the line alone makes at its centre, with the cavity of the nearest tooth. */
static double
peak_absorption (const FaintModel *model, const FaintLine *line)
{
  double peak
      = line->profile == FAINT_PROFILE_VOIGT
            ? faint_voigt_peak (line->doppler.value, line->lorentz.value)
            : faint_hartmann_tran (faint_model_hartmann_tran (line), line->position.value).re;
  double re = model->column * line->strength.value * peak;
  double im = 0.0, value, value_im = 0.0;

  faint_response_fill (&model->response, model->teeth,
                       nearest_tooth (model->spectrum, line->position.value), 1, &re, &im,
                       &(FaintResponseValues){ .value = &value, .value_im = &value_im });
  return 1.0 - hypot (value, value_im);
}

static guint
window_of_line (const FaintLayout *layout, gsize line)
{
  for (guint k = 0; k < layout->n_windows; k++)
    if (line >= layout->windows[k].line_first
        && line < layout->windows[k].line_first + layout->windows[k].n_lines)
      return k + 1;
  return 0;
}

/* A line nearer than its width, or one of those beside it in the list. */
static gboolean
is_blended (const FaintModel *model, gsize i, double hwhm)
{
  for (gsize j = i > 0 ? i - 1 : 0; j < MIN (i + 2, model->layout->n_lines); j++)
    if (j != i
        && fabs (model->lines[j].position.value - model->lines[i].position.value) < 2.0 * hwhm)
      return TRUE;
  return FALSE;
}

static guint
flags_of (const FaintFit *fit, const FaintModel *model, gsize i, const double *variance,
          const FaintLine *line)
{
  const FaintSpectrum *s = fit->spectrum;
  double hwhm = faint_voigt_hwhm (line->doppler.value, line->lorentz.value);
  guint flags = line->flags & FAINT_LINE_EXCLUDED;

  flags |= line->position.state == FAINT_STATE_FIXED ? FAINT_LINE_POSITION_FIXED : 0;
  flags |= line->strength.state == FAINT_STATE_FIXED ? FAINT_LINE_STRENGTH_FIXED : 0;
  flags |= line->lorentz.state == FAINT_STATE_FIXED ? FAINT_LINE_LORENTZ_FIXED : 0;
  flags |= line->doppler.state == FAINT_STATE_FIXED ? FAINT_LINE_DOPPLER_FIXED : 0;
  if (!isnan (variance[FAINT_PLACE_LORENTZ]))
    flags |= line->lorentz.value <= 0.0 ? FAINT_LINE_LORENTZ_AT_LIMIT : 0;
  flags |= is_blended (model, i, hwhm) ? FAINT_LINE_BLENDED : 0;
  flags |= line->peak > 0.5 ? FAINT_LINE_SATURATED : 0;
  if (line->position.value - 3.0 * hwhm < s->wavenumber[0]
      || line->position.value + 3.0 * hwhm > s->wavenumber[s->n - 1])
    flags |= FAINT_LINE_AT_EDGE;
  if (fit->verdict != FAINT_VERDICT_CONVERGED
      && (model->distance == NULL || line->window == 0
          || model->distance[line->window - 1] > CONVERGED))
    flags |= FAINT_LINE_NOT_CONVERGED;
  for (FaintPlace p = 0; p < FAINT_PLACE_N; p++)
    if (isinf (variance[p]))
      flags |= FAINT_LINE_NOT_DETERMINED;
  return flags;
}

void
faint_fit_describe_line (const FaintFit *fit, const FaintModel *model, gsize i,
                         const double *variance, FaintLine *line)
{
  for (FaintPlace p = 0; p < FAINT_PLACE_N; p++)
    {
      FaintParameter *parameter = faint_line_parameter (line, p);

      parameter->u = parameter->u_noise = sqrt (variance[p] * faint_fit_variance_scale (fit));
    }
  line->snr = line->strength.value / line->strength.u_noise;
  line->peak = peak_absorption (model, line);
  line->window = (int)window_of_line (model->layout, i);
  line->chi2_reduced = line->window > 0 ? fit->windows[line->window - 1].chi2_reduced : NAN;
  line->flags = flags_of (fit, model, i, variance, line);
  line->strength_296 = line->u_strength_296 = NAN;
  for (int k = 0; k < FAINT_SOURCE_N; k++)
    line->position_from[k] = line->strength_from[k] = line->lorentz_from[k] = NAN;
  line->position_from[FAINT_SOURCE_NOISE] = line->position.u_noise;
  line->strength_from[FAINT_SOURCE_NOISE] = line->strength.u_noise;
  line->lorentz_from[FAINT_SOURCE_NOISE] = line->lorentz.u_noise;
}

void
faint_fit_take_instrument (FaintFit *fit, const FaintFitWork *work)
{
  const FaintLayout *layout = work->model->layout;
  FaintFitInstrument *instrument = &fit->instrument;
  double scale = faint_fit_variance_scale (fit);

  *instrument = faint_model_get_instrument (work->model);
  if (layout->detuning >= 0)
    instrument->u_detuning = sqrt (scale * faint_fit_work_variance (work, layout->detuning));
  if (layout->detuning_slope >= 0)
    instrument->u_detuning_slope
        = sqrt (scale * faint_fit_work_variance (work, layout->detuning_slope));
  for (guint k = 0; k < layout->n_fringes; k++)
    {
      gssize at = layout->fringe + FAINT_FRINGE_PARAMETERS * (gssize)k;

      instrument->fringe[k].u_cosine = sqrt (scale * faint_fit_work_variance (work, at));
      instrument->fringe[k].u_sine = sqrt (scale * faint_fit_work_variance (work, at + 1));
      instrument->fringe[k].u_period = sqrt (scale * faint_fit_work_variance (work, at + 2));
    }
}

/* Median over teeth of u over |d value/d alpha| for the empty cavity, alpha = 2 kappa/l. */
void
faint_fit_take_noise (FaintFit *fit, const FaintModel *model)
{
  const FaintLayout *layout = model->layout;
  double length = faint_response_absorber_round_trip (fit->spectrum->setup);
  double time = fit->spectrum->setup->recording_time.value;
  g_autofree double *zero = g_new0 (double, layout->n_teeth);
  g_autofree double *value = g_new (double, 4 * layout->n_teeth);
  gsize used = 0;
  double *value_im = value + layout->n_teeth, *re = value_im + layout->n_teeth,
         *im = re + layout->n_teeth;

  faint_response_fill (&model->response, model->teeth, layout->first, layout->n_teeth, zero, zero,
                       &(FaintResponseValues){ value, value_im, re, im, NULL, NULL, NULL, NULL });
  for (gsize t = 0; t < layout->n_teeth; t++)
    {
      gsize at = layout->first + t;
      double baseline = layout->channels == 2 ? hypot (fit->baseline[at], fit->baseline_im[at])
                                              : fabs (fit->baseline[at]);
      double slope = layout->channels == 2 ? hypot (re[t], im[t]) : fabs (re[t]);

      if (isfinite (fit->spectrum->fit_u[at]))
        value[used++] = 2.0 * fit->spectrum->u[at] / (baseline * slope * length);
    }
  if (used == 0)
    return;
  fit->noise_equivalent_absorption = faint_rank_select (value, used, used / 2);
  if (time > 0.0)
    fit->noise_equivalent_absorption_root
        = fit->noise_equivalent_absorption * sqrt (time / (double)used);
}

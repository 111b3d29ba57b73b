/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/fit/fit.h"

#include <math.h>
#include <string.h>

#include "faint/fit/doubt.h"
#include "faint/fit/find.h"
#include "faint/fit/search.h"
#include "faint/shape/voigt.h"
#include "faint/spectrum/rank.h"

#define POOR_WINDOW 2.0
#define NOISE_LARGER 1.3
/* A fringe counts from this many standard uncertainties of its amplitude on. */
#define FRINGE_SEEN 4.0

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
  double re = model->column * line->strength.value
              * faint_voigt_peak (line->doppler.value, line->lorentz.value);
  double im = 0.0, value, value_im = 0.0;

  faint_response_fill (&model->response, model->teeth,
                       nearest_tooth (model->spectrum, line->position.value), 1, &re, &im,
                       &(FaintResponseValues){ .value = &value, .value_im = &value_im });
  return 1.0 - hypot (value, value_im);
}

static void
take_uncertainties (const FaintFit *fit, const FaintFitWork *work, gsize line, FaintLine *out)
{
  for (FaintPlace p = 0; p < FAINT_PLACE_N; p++)
    {
      FaintParameter *parameter = faint_line_parameter (out, p);

      parameter->u = parameter->u_noise
          = sqrt (faint_fit_work_line_variance (work, line, p) * faint_fit_variance_scale (fit));
    }
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

static guint
flags_of (const FaintFit *fit, const FaintSearch *search, gsize i, const FaintLine *line)
{
  const FaintModel *model = search->model;
  const FaintSpectrum *s = fit->spectrum;
  double hwhm = faint_voigt_hwhm (line->doppler.value, line->lorentz.value);
  double own, own_u;
  guint flags = line->flags & FAINT_LINE_EXCLUDED;

  flags |= line->position.state == FAINT_STATE_FIXED ? FAINT_LINE_POSITION_FIXED : 0;
  flags |= line->strength.state == FAINT_STATE_FIXED ? FAINT_LINE_STRENGTH_FIXED : 0;
  flags |= line->lorentz.state == FAINT_STATE_FIXED ? FAINT_LINE_LORENTZ_FIXED : 0;
  flags |= line->doppler.state == FAINT_STATE_FIXED ? FAINT_LINE_DOPPLER_FIXED : 0;
  if (model->layout->place[i][FAINT_PLACE_LORENTZ] >= 0)
    {
      flags |= line->lorentz.value <= 0.0 ? FAINT_LINE_LORENTZ_AT_LIMIT : 0;
      if (search->width_known && faint_search_own_width (search, i, &own, &own_u)
          && own_u > model->width_spread)
        flags |= FAINT_LINE_WIDTH_SHARED;
    }
  for (gsize j = i > 0 ? i - 1 : 0; j < MIN (i + 2, model->layout->n_lines); j++)
    if (j != i && fabs (model->lines[j].position.value - line->position.value) < 2.0 * hwhm)
      flags |= FAINT_LINE_BLENDED;
  flags |= line->peak > 0.5 ? FAINT_LINE_SATURATED : 0;
  if (line->position.value - 3.0 * hwhm < s->wavenumber[0]
      || line->position.value + 3.0 * hwhm > s->wavenumber[s->n - 1])
    flags |= FAINT_LINE_AT_EDGE;
  if (fit->verdict != FAINT_VERDICT_CONVERGED)
    flags |= FAINT_LINE_NOT_CONVERGED;
  flags |= faint_doubt_flags (search, i);
  return flags;
}

/* What the search held for want of data is free again in the result. */
static void
release_held (const FaintSearchLine *search, FaintLine *line)
{
  if (search->held && search->free_position)
    line->position.state = FAINT_STATE_FREE;
  if (search->held && search->free_lorentz)
    line->lorentz.state = FAINT_STATE_FREE;
}

/* Widths that the options made one are tied to the first of them. */
static void
tie_common (const FaintLayout *layout, FaintLine *lines, FaintPlace p)
{
  gsize first = layout->n_lines;
  guint largest = 0;

  for (gsize i = 0; i < layout->n_lines; i++)
    largest = MAX (largest, lines[i].id);
  for (gsize i = 0; i < layout->n_lines; i++)
    lines[i].id = lines[i].id > 0 ? lines[i].id : ++largest;
  for (gsize i = 0; i < layout->n_lines; i++)
    {
      FaintParameter *parameter = faint_line_parameter (&lines[i], p);

      if (layout->place[i][p] < (gssize)layout->n_band || parameter->state != FAINT_STATE_FREE)
        continue;
      if (first < layout->n_lines)
        {
          parameter->state = FAINT_STATE_TIED;
          parameter->tied_to = lines[first].id;
          parameter->tie_factor = layout->factor[i][p] / layout->factor[first][p];
          parameter->tie_offset = 0.0;
        }
      else
        first = i;
    }
}

/* Values and standard uncertainties of what was fitted of the instrument. */
static void
take_instrument (FaintFit *fit, const FaintFitWork *work)
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

static void
take_lines (FaintFit *fit, const FaintSearch *search)
{
  const FaintLayout *layout = search->model->layout;
  g_autofree FaintLine *lines = g_new (FaintLine, MAX (layout->n_lines, 1));

  for (gsize i = 0; i < layout->n_lines; i++)
    {
      FaintLine *line = &lines[i];

      *line = g_array_index (search->lines, FaintSearchLine, i).line;
      release_held (&g_array_index (search->lines, FaintSearchLine, i), line);
      take_uncertainties (fit, search->work, i, line);
      line->snr = line->strength.value / line->strength.u_noise;
      line->peak = peak_absorption (search->model, line);
      line->window = (int)window_of_line (layout, i);
      line->chi2_reduced = line->window > 0 ? fit->windows[line->window - 1].chi2_reduced : NAN;
      line->flags = flags_of (fit, search, i, line);
      line->strength_296 = line->u_strength_296 = NAN;
      for (int k = 0; k < FAINT_SOURCE_N; k++)
        line->position_from[k] = line->strength_from[k] = line->lorentz_from[k] = NAN;
      line->position_from[FAINT_SOURCE_NOISE] = line->position.u_noise;
      line->strength_from[FAINT_SOURCE_NOISE] = line->strength.u_noise;
      line->lorentz_from[FAINT_SOURCE_NOISE] = line->lorentz.u_noise;
    }
  if (fit->options.lorentz_common)
    tie_common (layout, lines, FAINT_PLACE_LORENTZ);
  if (fit->options.doppler_common)
    tie_common (layout, lines, FAINT_PLACE_DOPPLER);
  fit->lines = faint_line_list_new (lines, layout->n_lines);
}

/* Median over teeth of u over |d value/d alpha| for the empty cavity, alpha = 2 kappa/l. */
static void
noise_equivalent_absorption (FaintFit *fit, const FaintModel *model)
{
  const FaintLayout *layout = model->layout;
  double length = faint_response_absorber_round_trip (fit->spectrum->setup);
  double time = fit->spectrum->setup->recording_time.value;
  g_autofree double *zero = g_new0 (double, layout->n_teeth);
  g_autofree double *value = g_new (double, 4 * layout->n_teeth);
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
      value[t] = 2.0 * fit->spectrum->u[at] / (baseline * slope * length);
    }
  fit->noise_equivalent_absorption
      = faint_rank_select (value, layout->n_teeth, layout->n_teeth / 2);
  if (time > 0.0)
    fit->noise_equivalent_absorption_root
        = fit->noise_equivalent_absorption * sqrt (time / (double)layout->n_teeth);
}

static void
warn (FaintFit *fit, const FaintSearch *search)
{
  gsize n = faint_line_list_get_n (fit->lines), poor = 0, shared = 0;

  for (gsize k = 0; k < fit->n_windows; k++)
    poor += fit->windows[k].chi2_reduced > POOR_WINDOW;
  for (gsize i = 0; i < n; i++)
    shared += (faint_line_list_get (fit->lines, i)->flags & FAINT_LINE_WIDTH_SHARED) != 0;
  if (fit->verdict != FAINT_VERDICT_CONVERGED)
    faint_warnings_add (fit->warnings, "not-converged",
                        "The fit did not reach its optimum (%s after %u iterations).",
                        faint_verdict_name (fit->verdict), fit->iterations);
  for (guint k = 0; k < fit->instrument.n_fringes; k++)
    {
      const FaintFitFringe *fringe = &fit->instrument.fringe[k];
      double amplitude = faint_fit_fringe_amplitude (fringe);

      if (!(amplitude > FRINGE_SEEN * MAX (fringe->u_cosine, fringe->u_sine)))
        faint_warnings_add (fit->warnings, "fringe-not-seen",
                            "Fringe %u does not stand out of the noise: amplitude %.2g, standard "
                            "uncertainty %.2g. Fit fewer fringes or state its period.",
                            k + 1, amplitude, MAX (fringe->u_cosine, fringe->u_sine));
    }
  if (n == 0)
    faint_warnings_add (fit->warnings, "no-lines", "No line stands above %.3g standard deviations.",
                        fit->options.threshold);
  if (poor > 0)
    faint_warnings_add (fit->warnings, "poor-windows",
                        "In %zu of %zu windows chi-square is more than %.0f times what the stated "
                        "uncertainties let expect.",
                        poor, fit->n_windows, POOR_WINDOW);
  if (shared > 0)
    faint_warnings_add (
        fit->warnings, "widths-shared",
        "The Lorentz widths of %zu faint lines rest mainly on those of the other lines "
        "(mean %.4g cm-1, spread %.2g cm-1).",
        shared, fit->width_mean, fit->width_spread);
  faint_doubt_warn (search, fit->warnings);
  if (search->noise_scale > NOISE_LARGER)
    faint_warnings_add (fit->warnings, "noise-larger-than-stated",
                        "The samples scatter %.2f times as much as their stated uncertainties; the "
                        "threshold for finding lines was raised accordingly.",
                        search->noise_scale);
  if (faint_fit_variance_scale (fit) != 1.0)
    faint_warnings_add (
        fit->warnings, "uncertainty-scaled",
        "The uncertainties of the samples were estimated from their scatter; those of "
        "the lines were multiplied by the square root of the reduced chi-square, %.3f.",
        sqrt (faint_fit_variance_scale (fit)));
}

static FaintVerdict
verdict_of (const FaintSearch *search)
{
  if (search->verdict == FAINT_LEAST_SQUARES_CONVERGED)
    return FAINT_VERDICT_CONVERGED;
  return search->verdict == FAINT_LEAST_SQUARES_LIMIT ? FAINT_VERDICT_LIMIT : FAINT_VERDICT_STALLED;
}

static FaintFit *
result_of (FaintSearch *search, FaintLineList *start, GError **error)
{
  g_autoptr (FaintFit) fit = faint_fit_new_empty (search->spectrum, search->options, start);
  const FaintModel *model = search->model;
  double centre = search->spectrum->wavenumber[search->spectrum->n / 2];
  double doppler = search->doppler_per_wavenumber * centre;

  if (!faint_fit_take_model (fit, search->work, error))
    return NULL;
  fit->verdict = verdict_of (search);
  fit->iterations = search->iterations;
  fit->distance = search->distance;
  fit->width_mean = search->width_known ? model->width_mean : NAN;
  fit->width_spread = search->width_known ? model->width_spread : NAN;
  take_instrument (fit, search->work);
  take_lines (fit, search);
  noise_equivalent_absorption (fit, model);
  fit->false_finds_expected
      = faint_find_false_expected (model->layout->n_teeth,
                                   faint_voigt_hwhm (doppler, search->lorentz_ratio * doppler)
                                       / faint_spectrum_spacing (search->spectrum),
                                   search->options->threshold);
  warn (fit, search);
  return g_steal_pointer (&fit);
}

static gboolean
check_range (const FaintSpectrum *spectrum, const FaintFitOptions *options, GError **error)
{
  gsize first = isfinite (options->lower) ? faint_spectrum_index (spectrum, options->lower) : 0;
  gsize end
      = isfinite (options->upper) ? faint_spectrum_index (spectrum, options->upper) : spectrum->n;
  gsize least = 3 * (options->baseline_degree + 1);

  if (end < first + least)
    {
      g_set_error (error, FAINT_FIT_ERROR, FAINT_FIT_ERROR_TOO_FEW_TEETH,
                   "The range to fit holds %zu teeth; a baseline of degree %u with a line needs at "
                   "least %zu. Widen the range or lower baseline_degree.",
                   end > first ? end - first : 0, options->baseline_degree, least);
      return FALSE;
    }
  return TRUE;
}

/* Detuning acts through the modes of a cavity that the teeth stand on. */
static gboolean
check_detuning (const FaintSetup *setup, const FaintFitOptions *options, GError **error)
{
  if (!options->detuning_free && !options->detuning_slope_free)
    return TRUE;
  if (setup->geometry == FAINT_GEOMETRY_NONE || setup->coupling == FAINT_COUPLING_SWEPT)
    {
      g_set_error (error, FAINT_FIT_ERROR, FAINT_FIT_ERROR_OPTION,
                   "detuning_free: %s has no detuning of teeth from modes that could be fitted.",
                   setup->geometry == FAINT_GEOMETRY_NONE ? "a single pass" : "swept coupling");
      return FALSE;
    }
  if (!faint_quantity_is_known (setup->cavity_length))
    {
      g_set_error_literal (error, FAINT_FIT_ERROR, FAINT_FIT_ERROR_OPTION,
                           "detuning_free: a detuning becomes a phase only with the free spectral "
                           "range: state cavity_length too.");
      return FALSE;
    }
  return TRUE;
}

FaintFit *
faint_fit_run (FaintSpectrum *spectrum, FaintLineList *start, const FaintFitOptions *options,
               const FaintProgress *progress, GError **error)
{
  g_autoptr (FaintSearch) search = NULL;

  if (!faint_setup_check (spectrum->setup, error) || !check_range (spectrum, options, error)
      || !check_detuning (spectrum->setup, options, error))
    return NULL;
  search = faint_search_new (spectrum, start, options, progress, error);
  if (search == NULL || !faint_search_run (search, error))
    return NULL;
  return result_of (search, start, error);
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/fit/fit.h"

#include <math.h>
#include <string.h>

#include "faint/base/words.h"
#include "faint/fit/doubt.h"
#include "faint/fit/find.h"
#include "faint/fit/fringe.h"
#include "faint/fit/score.h"
#include "faint/fit/search.h"
#include "faint/shape/voigt.h"

#define POOR_WINDOW 2.0
#define NOISE_LARGER 1.3
/* More lines than this tell how wide they are. */
#define FEW 30

static guint
flags_of (const FaintSearch *search, gsize i)
{
  double own, own_u;
  guint flags = 0;

  if (search->model->layout->place[i][FAINT_PLACE_LORENTZ] >= 0 && search->width_known
      && faint_search_own_width (search, i, &own, &own_u) && own_u > search->model->width_spread)
    flags |= FAINT_LINE_WIDTH_SHARED;
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

static void
take_lines (FaintFit *fit, const FaintSearch *search)
{
  const FaintLayout *layout = search->model->layout;
  g_autofree FaintLine *lines = g_new (FaintLine, MAX (layout->n_lines, 1));

  for (gsize i = 0; i < layout->n_lines; i++)
    {
      FaintLine *line = &lines[i];
      double variance[FAINT_PLACE_N];

      *line = g_array_index (search->lines, FaintSearchLine, i).line;
      release_held (&g_array_index (search->lines, FaintSearchLine, i), line);
      for (FaintPlace p = 0; p < FAINT_PLACE_N; p++)
        variance[p] = faint_fit_work_line_variance (search->work, i, p);
      faint_fit_describe_line (fit, search->model, i, variance, line);
      line->flags |= flags_of (search, i);
    }
  if (fit->options.lorentz_common)
    tie_common (layout, lines, FAINT_PLACE_LORENTZ);
  if (fit->options.doppler_common)
    tie_common (layout, lines, FAINT_PLACE_DOPPLER);
  fit->lines = faint_line_list_new (lines, layout->n_lines);
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
                        N_ ("The fit did not reach its optimum (%s after %u iterations)."),
                        faint_verdict_name (fit->verdict), fit->iterations);
  for (guint k = 0; k < fit->instrument.n_fringes; k++)
    {
      const FaintFitFringe *fringe = &fit->instrument.fringe[k];
      double amplitude = faint_fit_fringe_amplitude (fringe);

      if (!(amplitude > FAINT_FRINGE_SEEN * MAX (fringe->u_cosine, fringe->u_sine)))
        faint_warnings_add (
            fit->warnings, "fringe-not-seen",
            N_ ("Fringe %u does not stand out of the noise: amplitude %.2g, standard "
                "uncertainty %.2g. Fit fewer fringes or state its period."),
            k + 1, amplitude, MAX (fringe->u_cosine, fringe->u_sine));
    }
  if (n == 0)
    faint_warnings_add (fit->warnings, "no-lines",
                        N_ ("No line stands above %.3g standard deviations."),
                        fit->options.threshold);
  if (poor > 0)
    faint_warnings_add (
        fit->warnings, "poor-windows",
        N_ ("In %zu of %zu windows chi-square is more than %.0f times what the stated "
            "uncertainties let expect. Lines may be missing or wrong: look at the "
            "residuals. Or something is not as it was stated: detuning "
            "(detuning_free), fringes, finesse, temperature, or the lines' profile."),
        poor, fit->n_windows, POOR_WINDOW);
  if (shared > 0)
    faint_warnings_add (
        fit->warnings, "widths-shared",
        N_ ("The Lorentz widths of %zu faint lines rest mainly on those of the other lines "
            "(mean %.4g cm-1, spread %.2g cm-1)."),
        shared, fit->width_mean, fit->width_spread);
  faint_doubt_warn (search, fit->warnings);
  if (search->noise_scale > NOISE_LARGER)
    faint_warnings_add (
        fit->warnings, "noise-larger-than-stated",
        N_ ("The samples scatter %.2f times as much as their stated uncertainties; the "
            "threshold for finding lines was raised accordingly."),
        search->noise_scale);
  if (faint_fit_variance_scale (fit) != 1.0)
    faint_warnings_add (
        fit->warnings, "uncertainty-scaled",
        N_ ("The uncertainties of the samples were estimated from their scatter; those of "
            "the lines were multiplied by the square root of the reduced chi-square, %.3f."),
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
  faint_fit_take_instrument (fit, search->work);
  take_lines (fit, search);
  faint_fit_take_noise (fit, model);
  fit->false_finds_expected = faint_find_false_expected (
      faint_spectrum_count_used (search->spectrum, model->layout->first, model->layout->n_teeth),
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
  gsize used = end > first ? faint_spectrum_count_used (spectrum, first, end - first) : 0;

  if (used < least)
    {
      g_set_error (error, FAINT_FIT_ERROR, FAINT_FIT_ERROR_TOO_FEW_TEETH,
                   _ ("The range to fit holds %zu teeth that are not excluded; a baseline of "
                      "degree %u with a line needs at least %zu. Widen the range, take teeth back "
                      "or lower baseline_degree."),
                   used, options->baseline_degree, least);
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
  if (setup->geometry == FAINT_GEOMETRY_NONE)
    {
      g_set_error (error, FAINT_FIT_ERROR, FAINT_FIT_ERROR_OPTION,
                   _ ("detuning_free: a single pass has no detuning of teeth from modes that could "
                      "be fitted."));
      return FALSE;
    }
  if (setup->coupling == FAINT_COUPLING_SWEPT)
    {
      g_set_error (error, FAINT_FIT_ERROR, FAINT_FIT_ERROR_OPTION,
                   _ ("detuning_free: swept coupling has no detuning of teeth from modes that "
                      "could be fitted."));
      return FALSE;
    }
  if (!faint_quantity_is_known (setup->cavity_length))
    {
      g_set_error_literal (error, FAINT_FIT_ERROR, FAINT_FIT_ERROR_OPTION,
                           _ ("detuning_free: a detuning becomes a phase only with the free "
                              "spectral range: state cavity_length too."));
      return FALSE;
    }
  return TRUE;
}

gboolean
faint_fit_check (FaintSpectrum *spectrum, const FaintFitOptions *options, GError **error)
{
  return faint_setup_check (spectrum->setup, error) && check_range (spectrum, options, error)
         && check_detuning (spectrum->setup, options, error);
}

static FaintFit *
run_once (FaintSpectrum *spectrum, FaintLineList *start, const FaintFitOptions *options,
          double broadening, const FaintProgress *progress, GError **error)
{
  g_autoptr (FaintSearch) search = faint_search_new (spectrum, start, options, progress, error);

  if (search == NULL)
    return NULL;
  if (isfinite (broadening) && isfinite (faint_search_broadened (search, broadening)))
    search->start_ratio = faint_search_broadened (search, broadening);
  return faint_search_run (search, error) ? result_of (search, start, error) : NULL;
}

static gboolean
is_poor (const FaintFit *fit)
{
  return !(fit->chi2_reduced < POOR_WINDOW);
}

/* With a few strong lines, all of them blended, the width that the search begins with decides where
 * it ends. Where it ends badly it begins again with the usual widths; the best end counts. */
static FaintFit *
try_again (FaintFit *first, FaintSpectrum *spectrum, FaintLineList *start,
           const FaintFitOptions *options, const FaintProgress *progress, GError **error)
{
  /* Common practice, no source: cm-1/atm, of most molecules; narrow; wide. */
  static const double broadenings[] = { 0.1, 0.03, 0.3 };
  g_autoptr (FaintFit) best = first;

  for (gsize k = 0; k < G_N_ELEMENTS (broadenings) && is_poor (best); k++)
    {
      FaintFit *fit = run_once (spectrum, start, options, broadenings[k], progress, error);

      if (fit == NULL)
        return NULL;
      if (fit->chi2_reduced < best->chi2_reduced)
        {
          faint_fit_unref (best);
          best = fit;
        }
      else
        faint_fit_unref (fit);
    }
  return g_steal_pointer (&best);
}

/* What is wrong with the instrument comes before what may only follow from that. */
static void
question_instrument (FaintFit *fit)
{
  guint before = fit->warnings->len;

  faint_score_warn (&fit, 1, fit->warnings);
  if (fit->warnings->len > before)
    g_ptr_array_insert (fit->warnings, 0, g_ptr_array_steal_index (fit->warnings, before));
}

FaintFit *
faint_fit_run (FaintSpectrum *spectrum, FaintLineList *start, const FaintFitOptions *options,
               const FaintProgress *progress, GError **error)
{
  FaintFit *fit;

  if (!faint_fit_check (spectrum, options, error))
    return NULL;
  fit = run_once (spectrum, start, options, NAN, progress, error);
  if (fit != NULL && options->find_rounds > 0 && is_poor (fit)
      && (start == NULL || faint_line_list_get_n (start) == 0)
      && faint_line_list_get_n (fit->lines) <= FEW)
    fit = try_again (fit, spectrum, start, options, progress, error);
  if (fit != NULL)
    question_instrument (fit);
  return fit;
}

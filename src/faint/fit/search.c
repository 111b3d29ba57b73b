/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/fit/search.h"

#include <math.h>
#include <string.h>

#include "faint/base/units.h"
#include "faint/base/words.h"
#include "faint/fit/baseline.h"
#include "faint/fit/find.h"
#include "faint/fit/split.h"
#include "faint/fit/fringe.h"
#include "faint/fit/widths.h"
#include "faint/shape/voigt.h"
#include "faint/spectrum/rank.h"

/* Between rounds the fit need only be good enough to find on; at the end it is to be within 1e-3
 * standard uncertainty of the optimum, with a margin for the far couplings left out of the matrix.
 */
#define ROUGH_TOLERANCE 0.1
#define ROUGH_ITERATIONS 15
#define PASS_TOLERANCE 0.02
#define FINE_TOLERANCE 3e-4
/* Lines found within this many half widths of one that did not stay count as the same. */
#define AGAIN 0.7
/* Windows that move less than this many standard uncertainties are not computed anew. */
#define SETTLED 0.02
#define FINAL_PASSES 6
/* After the end has been reached the residuals are searched again this often. */
#define SECOND_LOOKS 3

/* Pressure broadening is hardly ever more than this, cm-1/atm (self broadening of water; from
 * memory, common practice, no source): before the lines have told their width, what is wider is
 * taken for a blend or a bend of the baseline. */
#define WIDEST_BROADENING 0.5
#define ATMOSPHERE 101325.0 /* Pa */

/* Median over the lines. */
double
faint_search_typical_half_width (const FaintSearch *self)
{
  double centre = self->spectrum->wavenumber[self->spectrum->n / 2];
  double doppler = self->doppler_per_wavenumber * centre;
  g_autofree double *widths = NULL;

  if (self->lines->len == 0)
    return faint_voigt_hwhm (doppler, self->lorentz_ratio * doppler);
  widths = g_new (double, self->lines->len);
  for (guint i = 0; i < self->lines->len; i++)
    widths[i] = faint_search_half_width (&g_array_index (self->lines, FaintSearchLine, i).line);
  return faint_rank_select (widths, self->lines->len, self->lines->len / 2);
}

static int
lower_first (gconstpointer a, gconstpointer b)
{
  double x = ((const FaintSearchLine *)a)->line.position.value;
  double y = ((const FaintSearchLine *)b)->line.position.value;

  return x < y ? -1 : x > y ? 1 : 0;
}

static FaintLine *
plain_lines (const FaintSearch *self)
{
  FaintLine *lines = g_new (FaintLine, MAX (self->lines->len, 1));

  for (guint i = 0; i < self->lines->len; i++)
    lines[i] = g_array_index (self->lines, FaintSearchLine, i).line;
  return lines;
}

static void
drop_model (FaintSearch *self)
{
  if (self->work != NULL)
    g_clear_pointer (&self->work, faint_fit_work_unref);
  else
    faint_model_free (self->model);
  self->model = NULL;
}

/* A model with @layout, which has the old one's constants of the teeth, instrument and baseline. */
static FaintModel *
model_after (FaintModel *old, FaintLayout *layout, const FaintLine *lines, guint threads)
{
  const FaintSpectrum *spectrum = old->spectrum;
  g_autofree double *baseline = g_new0 (double, spectrum->n);
  g_autofree double *baseline_im = g_new0 (double, spectrum->n);
  FaintFitInstrument instrument = faint_model_get_instrument (old);
  FaintModel *model;

  faint_model_fill_baseline (old, baseline, baseline_im);
  for (gsize t = 0; t < spectrum->n && instrument.n_fringes > 0; t++)
    {
      double factor = faint_model_fringe_factor (old, spectrum->wavenumber[t]);
      baseline[t] /= factor;
      baseline_im[t] /= factor;
    }
  model = faint_model_new_of_teeth ((FaintSpectrum *)spectrum, layout, lines, threads,
                                    g_steal_pointer (&old->teeth));
  faint_model_set_instrument (model, &instrument);
  memcpy (model->held_fringe, old->held_fringe, sizeof model->held_fringe);
  faint_baseline_take (model, baseline, baseline_im);
  return model;
}

/* Cuts the windows anew around the present lines; the baseline goes over from the last model. */
static gboolean
rebuild_model (FaintSearch *self, GError **error)
{
  g_autofree FaintLine *lines = NULL;
  FaintLayout *layout;
  FaintModel *model;

  g_array_sort (self->lines, lower_first);
  lines = plain_lines (self);
  layout = faint_layout_new (self->spectrum, lines, self->lines->len, self->options,
                             faint_search_typical_half_width (self));
  if (self->model != NULL)
    model = model_after (self->model, layout, lines, self->options->threads);
  else
    {
      model = faint_model_new (self->spectrum, layout, lines, self->options->threads, error);
      if (model == NULL)
        return FALSE;
      faint_fringes_start (model, self->options->fringe_period);
      faint_baseline_start (model);
    }
  drop_model (self);
  self->model = model;
  return TRUE;
}

/* What is known of the widths: the population once it is determined; until then a wide guess
 * that only keeps faint lines from running away. */
static void
set_known_widths (FaintSearch *self, gboolean final)
{
  double doppler = self->doppler_per_wavenumber * self->spectrum->wavenumber[self->spectrum->n / 2];

  self->model->width_mean = self->model->width_spread = NAN;
  if (self->width_known)
    {
      self->model->width_mean = self->width_mean;
      self->model->width_spread = self->width_spread;
    }
  else if (!final)
    {
      self->model->width_mean = self->lorentz_ratio * doppler;
      self->model->width_spread = 0.5 * (1.0 + self->lorentz_ratio) * doppler;
    }
}

static void
take_values (FaintSearch *self, const FaintModel *model)
{
  for (guint i = 0; i < self->lines->len; i++)
    {
      FaintLine *line = &g_array_index (self->lines, FaintSearchLine, i).line;

      for (FaintPlace p = 0; p < FAINT_PLACE_N; p++)
        faint_line_parameter (line, p)->value
            = faint_line_peek_parameter (&model->lines[i], p)->value;
    }
}

/* Fits the model and takes the lines' values over. */
static gboolean
solve (FaintSearch *self, double tolerance, guint max_iterations, GError **error)
{
  const FaintLayout *layout = self->model->layout;
  g_autofree double *lower = faint_model_lower_bounds (self->model);
  g_autofree double *upper = faint_model_upper_bounds (self->model);
  g_autofree double *most = faint_model_step_limits (self->model);
  g_autofree double *theta = g_memdup2 (self->model->theta, layout->n_parameters * sizeof (double));
  FaintLeastSquares problem = {
    .n = layout->n_parameters,
    .bandwidth = layout->bandwidth,
    .n_border = layout->n_border,
    .n_groups = layout->n_groups,
    .group = layout->group,
    .lower = lower,
    .upper = upper,
    .max_step = most,
    .evaluate = faint_model_evaluate_rows,
    .refresh = faint_model_refresh,
    .distrust = faint_model_distrust,
    .data = self->model,
  };
  FaintLeastSquaresResult result;
  FaintModel *model = self->model;

  model->settled = SETTLED;
  if (self->work != NULL)
    {
      /* The equations of an earlier solution of this model are out of date. */
      FaintFitWork *old = g_steal_pointer (&self->work);
      old->model = NULL;
      faint_fit_work_unref (old);
    }
  if (!faint_least_squares_solve (&problem, theta,
                                  &(FaintLeastSquaresOptions){ max_iterations, tolerance }, &result,
                                  self->progress, error))
    return FALSE;
  self->iterations += result.iterations;
  self->verdict = result.verdict;
  self->distance = result.decrement;
  faint_model_set_theta (model, theta);
  g_free (self->gradient);
  self->gradient = g_steal_pointer (&result.gradient);
  g_free (model->distance);
  model->distance = g_steal_pointer (&result.distance);
  if (result.verdict != FAINT_LEAST_SQUARES_INVALID)
    self->work = faint_fit_work_new (model, result.normal);
  else
    faint_model_free (model);
  faint_least_squares_result_clear (&result);
  if (self->work == NULL)
    {
      self->model = NULL;
      g_set_error (error, FAINT_FIT_ERROR, FAINT_FIT_ERROR_NUMERIC,
                   _ ("The model has no finite value with these lines and this cavity. Check the "
                      "strengths and widths of the start lines, the finesse and the pressure."));
      return FALSE;
    }
  take_values (self, model);
  return TRUE;
}

gboolean
faint_search_own_width (const FaintSearch *self, gsize line, double *width, double *u)
{
  const FaintModel *model = self->model;
  gssize at = model->layout->place[line][FAINT_PLACE_LORENTZ];
  double variance, information;

  if (at < 0 || at >= (gssize)model->layout->n_band
      || model->lines[line].lorentz.state != FAINT_STATE_FREE)
    return FALSE;
  variance = faint_fit_work_line_variance (self->work, line, FAINT_PLACE_LORENTZ);
  /* A width held at 0 would go on by this much. */
  *width = model->lines[line].lorentz.value
           + (model->theta[at] <= 0.0 ? MIN (self->gradient[at], 0.0) * variance : 0.0);
  *u = sqrt (variance);
  if (!isfinite (model->width_mean))
    return isfinite (*u);
  information = 1.0 / variance - 1.0 / (model->width_spread * model->width_spread);
  if (!(information > 1e-4 / variance))
    {
      *u = INFINITY;
      return TRUE;
    }
  *width = (*width / variance - model->width_mean / (model->width_spread * model->width_spread))
           / information;
  *u = 1.0 / sqrt (information);
  return TRUE;
}

/* Estimates mean and spread of the widths from the last fit. */
static void
learn_widths (FaintSearch *self)
{
  gsize n = 0;
  double typical = faint_search_typical_half_width (self), mean, spread;
  g_autofree double *x = g_new (double, MAX (self->lines->len, 1));
  g_autofree double *u = g_new (double, MAX (self->lines->len, 1));

  if (!self->options->width_shared)
    return;
  for (guint i = 0; i < self->lines->len; i++)
    if (faint_search_own_width (self, i, &x[n], &u[n]))
      n++;
  self->width_known = faint_widths_population (x, u, n, 0.2 * typical, &mean, &spread);
  if (self->width_known)
    {
      self->width_mean = mean;
      self->width_spread = spread;
      self->lorentz_ratio = MIN (
          mean / (self->doppler_per_wavenumber * self->spectrum->wavenumber[self->spectrum->n / 2]),
          self->widest_ratio);
    }
}

static void
measure_noise (FaintSearch *self)
{
  self->noise_scale = faint_find_noise_scale (self->model);
}

static FaintFindTemplate
template_of (const FaintSearch *self)
{
  return (FaintFindTemplate){
    .doppler_per_wavenumber = self->doppler_per_wavenumber,
    .lorentz_over_doppler = self->lorentz_ratio,
    .threshold = self->options->threshold,
    .noise_scale = self->noise_scale,
    .progress = self->progress,
  };
}

/* Without any line yet: which Lorentz width suits the peaks best. */
static void
choose_template (FaintSearch *self)
{
  static const double ratios[] = { 0.15, 0.5, 1.5, 5.0, 15.0 };
  FaintFindTemplate template = template_of (self);
  gsize n = 1;

  if (isfinite (self->start_ratio))
    {
      self->lorentz_ratio = self->start_ratio;
      return;
    }
  while (n < G_N_ELEMENTS (ratios) && ratios[n] <= self->widest_ratio)
    n++;
  template.lorentz_over_doppler = ratios[0];
  self->lorentz_ratio = faint_find_ratio (self->model, &template, ratios, n);
}

/* How often a line near @position did not stay. */
static guint
refusals (const FaintSearch *self, double position, double reach)
{
  guint count = 0;

  for (guint i = 0; i < self->refused->len; i++)
    count += fabs (g_array_index (self->refused, double, i) - position) < reach;
  return count;
}

static guint
add_found (FaintSearch *self)
{
  FaintFindTemplate template = template_of (self);
  g_autoptr (GArray) candidates = faint_find_candidates (self->model, &template);
  double reach = AGAIN * faint_search_typical_half_width (self);
  guint before = self->lines->len;

  for (guint i = 0; i < candidates->len; i++)
    {
      const FaintCandidate *candidate = &g_array_index (candidates, FaintCandidate, i);
      FaintSearchLine search = { .line = faint_line_unknown (), .found = TRUE };

      /* In a blend the strength of a line may be uncertain though the data do not allow to leave
       * the line out: what counts is the fall of chi-square. A line that went, and that the fit to
       * the end without it still asks for, comes back to stay; once. */
      guint refused = refusals (self, candidate->position, reach);

      if (refused > 1)
        continue;
      search.needed = refused == 1;
      search.found_at = candidate->position;
      search.line.position.value = candidate->position;
      search.line.strength.value = candidate->strength;
      search.line.doppler.value = self->doppler_per_wavenumber * candidate->position;
      search.line.doppler.state
          = self->options->doppler_free ? FAINT_STATE_FREE : FAINT_STATE_DERIVED;
      search.line.lorentz.value = self->lorentz_ratio * search.line.doppler.value;
      g_array_append_val (self->lines, search);
    }
  return self->lines->len - before;
}

/* A strength that no list gave: small against the mirrors' loss, so that the first step is linear.
 */
static double
faint_start_strength (const FaintSearch *self, const FaintLine *line)
{
  return 1e-3 * self->model->teeth->loss[self->spectrum->n / 2]
         / (self->model->column * faint_voigt_peak (line->doppler.value, line->lorentz.value));
}

/* Small effects to begin with, away from the bounds, where a column may vanish. */
static void
complete_profile (FaintLine *line)
{
  const double usual[FAINT_PLACE_N] = {
    [FAINT_PLACE_SPEED_WIDTH] = 0.1 * line->lorentz.value,
    [FAINT_PLACE_VELOCITY_CHANGING] = 0.05 * line->doppler.value,
    [FAINT_PLACE_CORRELATION] = 0.1,
  };

  for (FaintPlace p = FAINT_PLACE_SPEED_WIDTH; p < FAINT_PLACE_N; p++)
    {
      FaintParameter *parameter = faint_line_parameter (line, p);

      if (isnan (parameter->value))
        parameter->value = parameter->state == FAINT_STATE_FREE ? usual[p] : 0.0;
    }
}

static void
complete_given_lines (FaintSearch *self)
{
  for (guint i = 0; i < self->lines->len; i++)
    {
      FaintLine *line = &g_array_index (self->lines, FaintSearchLine, i).line;

      if (line->doppler.state == FAINT_STATE_FREE && !self->options->doppler_free)
        line->doppler.state = FAINT_STATE_DERIVED;
      if (line->doppler.state == FAINT_STATE_DERIVED && self->options->doppler_free)
        line->doppler.state = FAINT_STATE_FREE;
      if (line->doppler.state == FAINT_STATE_DERIVED || !(line->doppler.value > 0.0))
        line->doppler.value = self->doppler_per_wavenumber * line->position.value;
      if (!(line->lorentz.value >= 0.0))
        line->lorentz.value = self->lorentz_ratio * line->doppler.value;
      if (isnan (line->strength.value))
        line->strength.value = faint_start_strength (self, line);
      if (line->profile != FAINT_PROFILE_VOIGT)
        complete_profile (line);
    }
}

double
faint_search_broadened (const FaintSearch *self, double broadening)
{
  double pressure = self->spectrum->setup->pressure.value;
  double centre = self->spectrum->wavenumber[self->spectrum->n / 2];

  return pressure > 0.0
             ? broadening / ATMOSPHERE * pressure / (self->doppler_per_wavenumber * centre)
             : INFINITY;
}

FaintSearch *
faint_search_new (FaintSpectrum *spectrum, const FaintLineList *start,
                  const FaintFitOptions *options, const FaintProgress *progress, GError **error)
{
  FaintSearch *self = g_new0 (FaintSearch, 1);
  const FaintSetup *setup = spectrum->setup;

  self->spectrum = faint_spectrum_ref (spectrum);
  self->options = options;
  self->progress = progress;
  self->lines = g_array_new (FALSE, FALSE, sizeof (FaintSearchLine));
  self->refused = g_array_new (FALSE, FALSE, sizeof (double));
  self->doppler_per_wavenumber
      = faint_doppler_hwhm (1.0, setup->temperature.value, setup->molar_mass.value);
  self->lorentz_ratio = 0.15;
  self->start_ratio = NAN;
  self->widest_ratio = faint_search_broadened (self, WIDEST_BROADENING);
  self->noise_scale = 1.0;
  self->width_mean = self->width_spread = NAN;
  if (!rebuild_model (self, error))
    {
      faint_search_free (self);
      return NULL;
    }
  for (gsize i = 0; start != NULL && i < faint_line_list_get_n (start); i++)
    {
      FaintSearchLine search = { .line = *faint_line_list_get (start, i) };

      search.found_at = search.line.position.value;
      g_array_append_val (self->lines, search);
    }
  return self;
}

void
faint_search_free (FaintSearch *self)
{
  if (self == NULL)
    return;
  drop_model (self);
  g_free (self->gradient);
  g_array_unref (self->lines);
  g_array_unref (self->refused);
  faint_spectrum_unref (self->spectrum);
  g_free (self);
}

static gboolean
rough_fit (FaintSearch *self, GError **error)
{
  if (!rebuild_model (self, error))
    return FALSE;
  if (self->lines->len == 0)
    return TRUE;
  set_known_widths (self, FALSE);
  if (!solve (self, ROUGH_TOLERANCE, MIN (ROUGH_ITERATIONS, self->options->max_iterations), error))
    return FALSE;
  learn_widths (self);
  return TRUE;
}

static gboolean
find_in_rounds (FaintSearch *self, GError **error)
{
  guint rounds = self->options->find_rounds;

  for (guint round = 0; round < rounds; round++)
    {
      if (!faint_progress_step (self->progress, 0.8 * round / rounds, "Finding lines", error))
        return FALSE;
      if (self->lines->len == 0 && round == 0)
        choose_template (self);
      if (add_found (self) == 0)
        return TRUE;
      if (!rough_fit (self, error))
        return FALSE;
      if (faint_search_prune (self) > 0 && !rebuild_model (self, error))
        return FALSE;
      measure_noise (self);
    }
  return TRUE;
}

/* Have mean and spread of the widths come to rest? */
static gboolean
widths_rest (const FaintSearch *self, gboolean known, double mean, double spread)
{
  return known == self->width_known
         && (!known
             || (fabs (mean - self->width_mean) < 0.01 * spread
                 && fabs (spread - self->width_spread) < 0.02 * spread));
}

/* A fringe that does not stand out of the noise has no period: left free it wanders without end. */
static void
hold_fringes (FaintSearch *self)
{
  const FaintLayout *layout = self->model->layout;

  for (guint k = 0; k < layout->n_fringes; k++)
    {
      gssize at = layout->fringe + FAINT_FRINGE_PARAMETERS * (gssize)k;
      double u = sqrt (MAX (faint_fit_work_variance (self->work, at),
                            faint_fit_work_variance (self->work, at + 1)));

      self->model->held_fringe[k] = !(faint_fit_fringe_amplitude (&self->model->fringe[k])
                                      > FAINT_FRINGE_SEEN * u * self->noise_scale);
    }
}

/* Fits to the end. Widths and lines that stay depend on the fit and it on them: a few passes. */
static gboolean
finish (FaintSearch *self, GError **error)
{
  self->finishing = TRUE;
  if (!rebuild_model (self, error))
    return FALSE;
  for (int pass = 0; pass < FINAL_PASSES; pass++)
    {
      double mean = self->width_mean, spread = self->width_spread;
      gboolean known = self->width_known;

      if (!faint_progress_step (self->progress, 0.8 + 0.2 * pass / FINAL_PASSES, "Fitting", error))
        return FALSE;
      set_known_widths (self, pass > 0);
      if (!solve (self, PASS_TOLERANCE, self->options->max_iterations, error))
        return FALSE;
      hold_fringes (self);
      if (faint_search_prune (self) > 0 || faint_search_hold_undetermined (self) > 0)
        {
          if (!rebuild_model (self, error))
            return FALSE;
          continue;
        }
      learn_widths (self);
      if (pass > 0 && self->verdict == FAINT_LEAST_SQUARES_CONVERGED
          && widths_rest (self, known, mean, spread))
        break;
    }
  set_known_widths (self, TRUE);
  return solve (self, FINE_TOLERANCE, self->options->max_iterations, error);
}

gboolean
faint_search_run (FaintSearch *self, GError **error)
{
  complete_given_lines (self);
  measure_noise (self);
  if (self->lines->len > 0 && !rough_fit (self, error))
    return FALSE;
  if (!find_in_rounds (self, error) || !finish (self, error))
    return FALSE;
  for (int look = 0; look < SECOND_LOOKS && self->options->find_rounds > 0; look++)
    {
      guint split;

      measure_noise (self);
      if (!faint_search_split (self, &split, error))
        return FALSE;
      /* A search cut short finds nothing, which must not pass for a result. Where the model does
       * not suit the lines, looking on in its residuals would find only its own faults. */
      if (self->profile_doubtful || (split == 0 && add_found (self) == 0))
        return faint_progress_step (self->progress, -1.0, "Finding lines", error);
      if (!rough_fit (self, error) || !finish (self, error))
        return FALSE;
    }
  return TRUE;
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/fit/joint.h"

#include <math.h>

#include "faint/fit/joint-search.h"
#include "faint/fit/score.h"
#include "faint/shape/voigt.h"
#include "faint/base/words.h"

/* Each spectrum by itself takes this share of the progress. */
#define FINDING_SHARE 0.5

FaintJointFit *
faint_joint_fit_ref (FaintJointFit *self)
{
  g_atomic_ref_count_inc (&self->refs);
  return self;
}

void
faint_joint_fit_unref (FaintJointFit *self)
{
  if (self == NULL || !g_atomic_ref_count_dec (&self->refs))
    return;
  for (gsize s = 0; s < self->n; s++)
    g_clear_pointer (&self->parts[s], faint_fit_unref);
  g_free (self->parts);
  g_clear_pointer (&self->lines, faint_line_list_unref);
  g_clear_pointer (&self->start, faint_line_list_unref);
  g_ptr_array_unref (self->warnings);
  faint_joint_unref (self->work);
  g_free (self);
}

static FaintVerdict
verdict_of (const FaintJoint *joint)
{
  if (joint->verdict == FAINT_LEAST_SQUARES_CONVERGED)
    return FAINT_VERDICT_CONVERGED;
  return joint->verdict == FAINT_LEAST_SQUARES_LIMIT ? FAINT_VERDICT_LIMIT : FAINT_VERDICT_STALLED;
}

/* Number of parameters of lines that each spectrum would count if it were alone. */
static double
count_local (const FaintJoint *joint)
{
  double n = 0.0;

  for (gsize s = 0; s < joint->n; s++)
    {
      const FaintLayout *layout = joint->models[s]->layout;

      n += (double)layout->n_band;
      for (gsize k = 0; k < layout->n_windows; k++)
        n -= (double)faint_layout_coefficients (layout, &layout->windows[k]);
    }
  return n;
}

/* Parameters of lines, less what is known of them beforehand. */
static double
count_joint (const FaintJoint *joint)
{
  double n = 0.0;

  for (gsize i = 0; i < joint->lines->len; i++)
    for (FaintJointPlace p = 0; p < FAINT_JOINT_N; p++)
      {
        gssize at = faint_joint_line (joint, i)->place[p];
        double known;

        if (at < 0)
          continue;
        known = isfinite (joint->spread[p])
                    ? faint_normal_get (joint->inverse, (gsize)at, (gsize)at)
                          / (joint->spread[p] * joint->spread[p])
                    : 0.0;
        n += 1.0 - CLAMP (known, 0.0, 1.0);
      }
  return n;
}

/* The equations of all as those of one spectrum's parameters, for its correlations. */
static FaintFitWork *
work_of_part (FaintJoint *joint, gsize s)
{
  FaintFitWork *work = g_new0 (FaintFitWork, 1);
  const FaintLayout *layout = joint->models[s]->layout;
  const FaintTerms *terms = joint->terms[s];

  g_atomic_ref_count_init (&work->refs);
  work->model = joint->models[s];
  work->joint = faint_joint_ref (joint);
  work->inverse = faint_model_normal_new (work->model);
  for (gsize i = 0; i < layout->n_parameters; i++)
    for (gsize j = i >= layout->n_band     ? 0
                   : i > layout->bandwidth ? i - layout->bandwidth
                                           : 0;
         j <= i; j++)
      {
        double sum = 0.0;

        for (guint a = 0; a < terms[i].n; a++)
          for (guint b = 0; b < terms[j].n; b++)
            sum += terms[i].factor[a] * terms[j].factor[b]
                   * faint_normal_get (joint->inverse, terms[i].index[a], terms[j].index[b]);
        *faint_normal_at (work->inverse, i, j) = sum;
      }
  return work;
}

/* Lines of one spectrum under its conditions. */
static FaintLineList *
lines_of_part (const FaintFit *fit, const FaintJoint *joint, gsize s)
{
  gsize n = joint->lines->len;
  g_autofree FaintLine *lines = g_new (FaintLine, MAX (n, 1));

  for (gsize i = 0; i < n; i++)
    {
      const FaintJointLine *line = faint_joint_line (joint, i);
      double variance[FAINT_PLACE_N];

      lines[i] = line->line;
      for (FaintPlace p = 0; p < FAINT_PLACE_N; p++)
        {
          FaintParameter *parameter = faint_line_parameter (&lines[i], p);

          variance[p] = NAN;
          if (!faint_profile_has (lines[i].profile, p))
            continue;
          parameter->value = faint_line_peek_parameter (&joint->models[s]->lines[i], p)->value;
          if (parameter->state != FAINT_STATE_DERIVED)
            faint_joint_value (joint, s, i, p, &variance[p]);
        }
      faint_fit_describe_line (fit, joint->models[s], i, variance, &lines[i]);
    }
  return faint_line_list_new (lines, n);
}

/* Expected in pure noise, for lines as wide as the middle one. */
static double
false_finds (const FaintJoint *joint, gsize s)
{
  const FaintModel *model = joint->models[s];
  gsize n = joint->lines->len;
  const FaintLine *middle = n > 0 ? &model->lines[n / 2] : NULL;

  if (middle == NULL)
    return NAN;
  return faint_find_false_expected (
      faint_spectrum_count_used (model->spectrum, model->layout->first, model->layout->n_teeth),
      faint_voigt_hwhm (middle->doppler.value, middle->lorentz.value)
          / faint_spectrum_spacing (model->spectrum),
      joint->options.threshold);
}

static FaintFit *
part_of (FaintJoint *joint, gsize s, FaintVerdict verdict, double share, GError **error)
{
  g_autoptr (FaintFit) fit = faint_fit_new_empty (joint->spectra[s], &joint->options, NULL);
  FaintFitWork *work = work_of_part (joint, s);
  gboolean finite = faint_fit_take_model (fit, work, error);

  faint_fit_work_unref (work); /* the fit keeps it */
  if (!finite)
    return NULL;
  fit->verdict = verdict;
  fit->iterations = joint->iterations;
  fit->distance = joint->distance;
  fit->dof = 0.0;
  for (gsize k = 0; k < fit->n_windows; k++)
    {
      FaintFitWindow *window = &fit->windows[k];
      const FaintLayoutWindow *at = &joint->models[s]->layout->windows[k];
      double own = (double)faint_layout_coefficients (joint->models[s]->layout, at);
      double rows = (double)window->n_used * joint->models[s]->layout->channels;

      /* Parameters that spectra share count in each by its share. */
      window->dof = rows - own - share * ((double)window->n_parameters - own);
      window->chi2_reduced = window->dof > 0.0 ? window->chi2 / window->dof : NAN;
      fit->dof += window->dof;
    }
  fit->dof -= (double)joint->models[s]->layout->n_border;
  fit->chi2_reduced = fit->dof > 0.0 ? fit->chi2 / fit->dof : NAN;
  faint_fit_take_instrument (fit, work);
  fit->lines = lines_of_part (fit, joint, s);
  fit->false_finds_expected = false_finds (joint, s);
  faint_fit_take_noise (fit, joint->models[s]);
  return g_steal_pointer (&fit);
}

/* Standard uncertainty from noise; NAN if not fitted. */
static double
u_of (const FaintJoint *joint, gssize at)
{
  return at >= 0 ? sqrt (joint->scale * faint_normal_get (joint->inverse, (gsize)at, (gsize)at))
                 : NAN;
}

static void
set_coefficient (const FaintJoint *joint, const FaintJointLine *line, FaintJointPlace p,
                 FaintParameter *parameter)
{
  gssize at = line->place[p];

  parameter->value = line->value[p];
  parameter->state = at >= 0 ? FAINT_STATE_FREE : FAINT_STATE_FIXED;
  parameter->u = parameter->u_noise = u_of (joint, at);
}

/* What the conditions tell beyond position, strength and width under those of the first. */
static void
add_coefficients (const FaintJoint *joint, gsize i, FaintLine *line)
{
  const FaintConditions *c = joint->conditions;
  const FaintJointLine *at = faint_joint_line (joint, i);

  for (guint k = 0; k < c->n_broadening; k++)
    {
      const FaintJointLine *owner = faint_joint_line (joint, at->root[FAINT_PLACE_LORENTZ]);
      if (owner == at)
        set_coefficient (joint, at, FAINT_JOINT_BROADENING_A + k,
                         &line->coefficient[c->broadening[k]]);
    }
  for (guint k = 0; k < c->n_shift; k++)
    set_coefficient (joint, at, FAINT_JOINT_SHIFT_A + k, &line->coefficient[c->shift[k]]);
  if (c->n_shift == c->n_broadening)
    set_coefficient (joint, at, FAINT_JOINT_POSITION,
                     &line->coefficient[FAINT_COEFFICIENT_POSITION_ZERO]);
  if (!c->energies)
    return;
  set_coefficient (joint, at, FAINT_JOINT_EXPONENT,
                   &line->coefficient[FAINT_COEFFICIENT_WIDTH_EXPONENT]);
  line->lower_energy = at->value[FAINT_JOINT_ENERGY];
  line->u_lower_energy = NAN;
  line->strength_296 = at->value[FAINT_JOINT_STRENGTH];
  if (at->place[FAINT_JOINT_ENERGY] >= 0)
    {
      line->flags |= FAINT_LINE_ENERGY_FITTED;
      line->u_lower_energy = u_of (joint, at->place[FAINT_JOINT_ENERGY]);
    }
  if (at->place[FAINT_JOINT_STRENGTH] >= 0)
    line->u_strength_296 = u_of (joint, at->place[FAINT_JOINT_STRENGTH]);
}

/* Lines of a part come sorted by their own positions: found again by that of the joint line. */
static FaintLineList *
joint_list (const FaintJoint *joint, const FaintFit *first)
{
  gsize n = joint->lines->len;
  g_autofree FaintLine *lines = g_new (FaintLine, MAX (n, 1));

  for (gsize i = 0; i < n; i++)
    {
      lines[i] = *faint_line_list_find (first->lines, faint_joint_line (joint, i)->line.id);
      add_coefficients (joint, i, &lines[i]);
    }
  return faint_line_list_new (lines, n);
}

static void
warn (FaintJointFit *self)
{
  const FaintJoint *joint = self->work;
  gsize n = faint_line_list_get_n (self->lines);

  if (self->verdict != FAINT_VERDICT_CONVERGED)
    faint_warnings_add (self->warnings, "not-converged",
                        N_ ("The joint fit did not reach its optimum (%s after %u iterations)."),
                        faint_verdict_name (self->verdict), self->iterations);
  if (n == 0)
    faint_warnings_add (self->warnings, "no-lines",
                        N_ ("No line stands above %.3g standard deviations in any of the spectra."),
                        self->options.threshold);
  if (isfinite (joint->mean[FAINT_JOINT_BROADENING_A]))
    faint_warnings_add (self->warnings, "widths-shared",
                        N_ ("Broadening of faint lines leans on that of the others (mean %.4g "
                            "cm-1/atm, spread %.2g cm-1/atm)."),
                        joint->mean[FAINT_JOINT_BROADENING_A],
                        joint->spread[FAINT_JOINT_BROADENING_A]);
  if (joint->conditions->energies && isfinite (joint->mean[FAINT_JOINT_EXPONENT]))
    faint_warnings_add (self->warnings, "exponents-shared",
                        N_ ("Temperature exponents of faint lines lean on %.3g with spread %.2g."),
                        joint->mean[FAINT_JOINT_EXPONENT], joint->spread[FAINT_JOINT_EXPONENT]);
  if (joint->conditions->n_shift == 0)
    faint_warnings_add (
        self->warnings, "no-shift",
        N_ ("The pressures do not tell a shift: positions hold at the pressure of the "
            "measurement."));
  if (joint->noise_scale > 1.3)
    faint_warnings_add (
        self->warnings, "noise-larger-than-stated",
        N_ ("The samples scatter up to %.2f times as much as their stated "
            "uncertainties; the threshold for finding lines was raised accordingly."),
        joint->noise_scale);
  faint_score_warn (self->parts, self->n, self->warnings);
}

/* Every line is known by its number in all lists; what options made common is tied from now on. */
static void
name_lines (FaintJoint *joint)
{
  guint largest = 0;

  for (gsize i = 0; i < joint->lines->len; i++)
    largest = MAX (largest, faint_joint_line (joint, i)->line.id);
  for (gsize i = 0; i < joint->lines->len; i++)
    {
      FaintJointLine *line = faint_joint_line (joint, i);
      line->line.id = line->line.id > 0 ? line->line.id : ++largest;
    }
  for (gsize i = 0; i < joint->lines->len; i++)
    for (FaintPlace p = 0; p < FAINT_PLACE_N; p++)
      {
        FaintJointLine *line = faint_joint_line (joint, i);
        FaintParameter *parameter = faint_line_parameter (&line->line, p);

        if (line->root[p] == i)
          continue;
        parameter->state = FAINT_STATE_TIED;
        parameter->tied_to = faint_joint_line (joint, line->root[p])->line.id;
        parameter->tie_factor = line->factor[p];
        parameter->tie_offset = line->offset[p];
      }
}

static gboolean
take_parts (FaintJointFit *self, FaintJoint *joint, GError **error)
{
  gboolean estimated = TRUE;
  double local = count_local (joint), parameters = count_joint (joint);
  double share = local > 0.0 ? parameters / local : 1.0;

  name_lines (joint);
  for (gsize s = 0; s < joint->n; s++)
    {
      self->parts[s] = part_of (joint, s, self->verdict, share, error);
      if (self->parts[s] == NULL)
        return FALSE;
      estimated = estimated && joint->spectra[s]->u_estimated;
      self->chi2 += self->parts[s]->chi2;
      self->dof += self->parts[s]->dof;
    }
  self->chi2_reduced = self->dof > 0.0 ? self->chi2 / self->dof : NAN;
  joint->scale = estimated && self->chi2_reduced > 0.0 ? self->chi2_reduced : 1.0;
  return TRUE;
}

static FaintJointFit *
result_of (FaintJoint *joint, FaintLineList *start, GError **error)
{
  g_autoptr (FaintJointFit) self = g_new0 (FaintJointFit, 1);
  const FaintConditions *c = joint->conditions;

  g_atomic_ref_count_init (&self->refs);
  self->n = joint->n;
  self->parts = g_new0 (FaintFit *, joint->n);
  self->warnings = faint_warnings_new ();
  self->work = faint_joint_ref (joint);
  self->start = start != NULL ? faint_line_list_ref (start) : NULL;
  self->options = joint->options;
  self->verdict = verdict_of (joint);
  self->iterations = joint->iterations;
  self->distance = joint->distance;
  for (guint k = 0; k < c->n_broadening; k++)
    self->determined[c->broadening[k]] = TRUE;
  for (guint k = 0; k < c->n_shift; k++)
    self->determined[c->shift[k]] = TRUE;
  self->determined[FAINT_COEFFICIENT_POSITION_ZERO] = c->n_shift == c->n_broadening;
  self->determined[FAINT_COEFFICIENT_WIDTH_EXPONENT] = self->energies = c->energies;
  if (!take_parts (self, joint, error))
    return NULL;
  self->lines = joint_list (joint, self->parts[0]);
  warn (self);
  return g_steal_pointer (&self);
}

/* Each spectrum by itself, for what it shows. */
static gboolean
find_in_each (FaintJoint *joint, const FaintProgress *progress, GError **error)
{
  g_autofree FaintFit **fits = g_new0 (FaintFit *, joint->n);
  gboolean done = TRUE;

  for (gsize s = 0; s < joint->n && done; s++)
    {
      FaintProgressPart part;
      double each = FINDING_SHARE / (double)joint->n;

      fits[s] = faint_fit_run (
          joint->spectra[s], NULL, &joint->options,
          faint_progress_part (&part, progress, each * (double)s, each * (double)(s + 1)), error);
      done = fits[s] != NULL;
    }
  if (done)
    faint_joint_begin_found (joint, fits);
  for (gsize s = 0; s < joint->n; s++)
    g_clear_pointer (&fits[s], faint_fit_unref);
  return done;
}

FaintJointFit *
faint_joint_fit_run (FaintSpectrum *const *spectra, gsize n, FaintLineList *start,
                     const FaintFitOptions *options, const double *partition_sums,
                     const FaintProgress *progress, GError **error)
{
  g_autoptr (FaintJoint) joint = NULL;
  FaintConditions *conditions;

  for (gsize s = 0; s < n; s++)
    if (!faint_fit_check (spectra[s], options, error))
      return NULL;
  conditions = faint_conditions_new (spectra, n, partition_sums, error);
  if (conditions == NULL)
    return NULL;
  joint = faint_joint_new (spectra, n, conditions, options);
  if (start != NULL)
    faint_joint_begin_given (joint, start);
  else if (options->find_rounds > 0 && !find_in_each (joint, progress, error))
    return NULL;
  if (!faint_joint_search (joint, progress, error))
    return NULL;
  return result_of (joint, start, error);
}

FaintJointFit *
faint_joint_fit_with_lines (FaintJointFit *fit, FaintLineList *lines)
{
  FaintJointFit *copy = g_memdup2 (fit, sizeof *fit);

  g_atomic_ref_count_init (&copy->refs);
  copy->parts = g_new (FaintFit *, fit->n);
  for (gsize s = 0; s < fit->n; s++)
    copy->parts[s] = faint_fit_ref (fit->parts[s]);
  copy->lines = lines;
  copy->start = fit->start != NULL ? faint_line_list_ref (fit->start) : NULL;
  copy->warnings = faint_warnings_copy (fit->warnings);
  copy->work = faint_joint_ref (fit->work);
  return copy;
}

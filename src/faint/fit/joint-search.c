/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The lines of a joint fit while it is under way: where they begin, rounds of finding in what is
 * left, and which found lines stay.
 */
#include "faint/fit/joint-search.h"

#include <math.h>

#include "faint/fit/find.h"
#include "faint/fit/widths.h"
#include "faint/shape/voigt.h"
#include "faint/spectrum/rank.h"

/* As in the fit of one spectrum (search.c, judge.c). */
#define ROUGH_TOLERANCE 0.1
#define ROUGH_ITERATIONS 15
#define PASS_TOLERANCE 0.02
#define FINE_TOLERANCE 3e-4
#define FINAL_PASSES 5
#define FURTHER_LOOKS 3
#define STAY 0.75
#define AGAIN 0.7
#define MERGED 0.3
#define TOO_WIDE 6.0
/* Before the lines have told: exponents of the width's temperature dependence (common practice, no
 * source), and the spread of coefficients as a part of their mean. */
#define USUAL_EXPONENT 0.7
#define EXPONENT_SPREAD 0.3
#define COEFFICIENT_SPREAD 0.5

static double
half_width (const FaintLine *line)
{
  return faint_voigt_hwhm (line->doppler.value, line->lorentz.value);
}

/* A parameter as the data alone determine it: what was known taken out again. */
static gboolean
own_value (const FaintJoint *self, gsize i, FaintJointPlace p, double *value, double *u)
{
  gssize at = faint_joint_line (self, i)->place[p];
  double variance, information;

  if (at < 0 || at >= (gssize)self->n_band || self->inverse == NULL)
    return FALSE;
  variance = faint_normal_get (self->inverse, (gsize)at, (gsize)at);
  *value = self->theta[at];
  *u = sqrt (variance);
  if (!isfinite (self->mean[p]))
    return isfinite (*u);
  information = 1.0 / variance - 1.0 / (self->spread[p] * self->spread[p]);
  if (!(information > 1e-4 / variance))
    return FALSE;
  *value = (*value / variance - self->mean[p] / (self->spread[p] * self->spread[p])) / information;
  *u = 1.0 / sqrt (information);
  return TRUE;
}

static gboolean
learn_kind (FaintJoint *self, FaintJointPlace p, double enough, double *mean, double *spread)
{
  g_autofree double *x = g_new (double, MAX (self->lines->len, 1));
  g_autofree double *u = g_new (double, MAX (self->lines->len, 1));
  gsize n = 0;

  for (gsize i = 0; i < self->lines->len; i++)
    if (own_value (self, i, p, &x[n], &u[n]))
      n++;
  return faint_widths_population (x, u, n, enough, mean, spread);
}

/* Coefficients and exponents are drawn from a population, as widths are (widths.h). Before it has
 * shown itself a wide guess keeps faint lines from running away; *changed tells whether what is
 * known has moved. */
static void
learn (FaintJoint *self, gboolean *changed)
{
  static const FaintJointPlace kinds[]
      = { FAINT_JOINT_BROADENING_A, FAINT_JOINT_BROADENING_B, FAINT_JOINT_EXPONENT };

  *changed = FALSE;
  for (gsize k = 0; k < G_N_ELEMENTS (kinds); k++)
    {
      FaintJointPlace p = kinds[k];
      double usual = p == FAINT_JOINT_EXPONENT ? USUAL_EXPONENT : faint_joint_typical (self, p);
      double mean = usual,
             spread = p == FAINT_JOINT_EXPONENT ? EXPONENT_SPREAD : COEFFICIENT_SPREAD * usual;
      double had = self->mean[p], had_spread = self->spread[p];

      self->mean[p] = self->spread[p] = NAN;
      if (!self->options.width_shared)
        continue;
      self->mean[p] = had;
      self->spread[p] = had_spread;
      if (!learn_kind (self, p, 0.2 * usual, &mean, &spread) && isfinite (had))
        continue;
      self->mean[p] = mean;
      self->spread[p] = spread;
      *changed
          |= !(fabs (mean - had) < 0.02 * spread) || !(fabs (spread - had_spread) < 0.05 * spread);
    }
}

/* Of the lines that the model of spectrum @s has: candidates that came since are not among them. */
static double
typical_half_width (const FaintJoint *self, gsize s)
{
  gsize n = self->models[s]->layout->n_lines;
  g_autofree double *widths = g_new (double, MAX (n, 1));

  for (gsize i = 0; i < n; i++)
    widths[i] = half_width (&self->models[s]->lines[i]);
  return n > 0 ? faint_rank_select (widths, n, n / 2) : NAN;
}

/* Does found line @i stay by the last solution? */
static gboolean
stays (const FaintJoint *self, gsize i, gsize narrow, double usual)
{
  const FaintJointLine *line = faint_joint_line (self, i);
  const FaintLine *here = &self->models[narrow]->lines[i];
  gssize at = line->place[FAINT_JOINT_STRENGTH];
  double strength = line->value[FAINT_JOINT_STRENGTH], hwhm = half_width (here);

  if (!line->found || at < 0)
    return TRUE;
  if (!(strength > 0.0) || hwhm > TOO_WIDE * usual
      || fabs (line->value[FAINT_JOINT_POSITION] - line->found_at) > 1.5 * hwhm)
    return FALSE;
  for (gsize j = i > 0 ? i - 1 : 0; j < MIN (i + 2, self->lines->len); j++)
    if (j != i
        && fabs (self->models[narrow]->lines[j].position.value - here->position.value)
               < MERGED * hwhm
        && (!faint_joint_line (self, j)->found
            || faint_joint_line (self, j)->value[FAINT_JOINT_STRENGTH] > strength))
      return FALSE;
  return strength > STAY * self->options.threshold * self->noise_scale
                        * sqrt (faint_normal_get (self->inverse, (gsize)at, (gsize)at));
}

static gsize
narrowest_spectrum (const FaintJoint *self)
{
  gsize narrow = 0;

  for (gsize s = 1; s < self->n; s++)
    if (typical_half_width (self, s) < typical_half_width (self, narrow))
      narrow = s;
  return narrow;
}

/* Takes out found lines that do not stay; returns how many. */
static guint
prune (FaintJoint *self, GArray *refused)
{
  gsize narrow = narrowest_spectrum (self);
  double usual = typical_half_width (self, narrow);
  g_autoptr (GArray) kept = g_array_new (FALSE, FALSE, sizeof (FaintJointLine));
  guint dropped;

  for (gsize i = 0; i < self->lines->len; i++)
    if (stays (self, i, narrow, usual))
      {
        FaintJointLine line = *faint_joint_line (self, i);

        line.found_at = line.value[FAINT_JOINT_POSITION];
        g_array_append_val (kept, line);
      }
    else
      g_array_append_val (refused, faint_joint_line (self, i)->found_at);
  dropped = self->lines->len - kept->len;
  g_array_set_size (self->lines, 0);
  g_array_append_vals (self->lines, kept->data, kept->len);
  return dropped;
}

static gboolean
is_near (const GArray *positions, double position, double reach)
{
  for (guint i = 0; i < positions->len; i++)
    if (fabs (g_array_index (positions, double, i) - position) < reach)
      return TRUE;
  return FALSE;
}

/* Finds in the residuals of every spectrum; returns how many lines were added. */
static guint
look_again (FaintJoint *self, const GArray *refused, const FaintProgress *progress)
{
  g_autoptr (GArray) taken = g_array_new (FALSE, FALSE, sizeof (double));
  gsize before = self->lines->len;
  double most_noise = 1.0;

  for (gsize s = 0; s < self->n && before > 0; s++)
    {
      FaintModel *model = self->models[s];
      double reach = AGAIN * typical_half_width (self, s);
      FaintFindTemplate template = {
        .doppler_per_wavenumber = model->doppler_per_wavenumber,
        .lorentz_over_doppler
        = model->lines[before / 2].lorentz.value / model->lines[before / 2].doppler.value,
        .threshold = self->options.threshold,
        .noise_scale = faint_find_noise_scale (model),
        .progress = progress,
      };
      g_autoptr (GArray) candidates = faint_find_candidates (model, &template);

      most_noise = MAX (most_noise, template.noise_scale);
      for (guint k = 0; k < candidates->len; k++)
        {
          const FaintCandidate *candidate = &g_array_index (candidates, FaintCandidate, k);

          if (is_near (refused, candidate->position, reach)
              || is_near (taken, candidate->position, reach))
            continue;
          g_array_append_val (taken, candidate->position);
          faint_joint_begin_candidate (self, s, candidate);
        }
    }
  self->noise_scale = most_noise;
  return (guint)(self->lines->len - before);
}

/* Fits to the end; lines that do not stay and what is known of coefficients change it a few times.
 */
static gboolean
finish (FaintJoint *self, GArray *refused, const FaintProgress *progress, GError **error)
{
  gboolean changed = TRUE;

  for (int pass = 0; pass < FINAL_PASSES; pass++)
    {
      if (!faint_progress_step (progress, 0.7 + 0.25 * pass / FINAL_PASSES, "Fitting", error)
          || !faint_joint_solve (self, PASS_TOLERANCE, self->options.max_iterations, progress,
                                 error))
        return FALSE;
      if (prune (self, refused) > 0)
        {
          if (!faint_joint_rebuild (self, error))
            return FALSE;
          continue;
        }
      learn (self, &changed);
      if (!changed && self->verdict == FAINT_LEAST_SQUARES_CONVERGED)
        break;
    }
  return faint_joint_solve (self, FINE_TOLERANCE, self->options.max_iterations, progress, error);
}

gboolean
faint_joint_search (FaintJoint *self, const FaintProgress *progress, GError **error)
{
  g_autoptr (GArray) refused = g_array_new (FALSE, FALSE, sizeof (double));
  gboolean changed;

  learn (self, &changed);
  if (!faint_joint_rebuild (self, error)
      || !faint_joint_solve (self, ROUGH_TOLERANCE, ROUGH_ITERATIONS, progress, error))
    return FALSE;
  learn (self, &changed);
  if (!faint_joint_rebuild (self, error) || !finish (self, refused, progress, error))
    return FALSE;
  for (int look = 0; look < FURTHER_LOOKS && self->options.find_rounds > 0; look++)
    {
      if (look_again (self, refused, progress) == 0)
        return faint_progress_step (progress, -1.0, "Finding lines", error);
      if (!faint_joint_rebuild (self, error) || !finish (self, refused, progress, error))
        return FALSE;
    }
  return TRUE;
}

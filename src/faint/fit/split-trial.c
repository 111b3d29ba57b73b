/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/fit/split-trial.h"

#include <math.h>
#include <string.h>

#include "faint/shape/voigt.h"

/* Members of a pair stand this many half widths apart at least and this many from the line they
 * replace at most, and neither is fainter than this part of the other. */
#define RESOLVED 0.35
#define STRAY 1.5
#define FAINTEST 0.02
/* Threads cost more than fewer windows do. */
#define WINDOWS_FOR_THREADS 16
#define TOLERANCE 0.1
#define ITERATIONS 30

/* Shares of the strength with which a pair begins, that of the lower position first. */
static const double shares[] = { 0.5, 0.8, 0.2 };

/* One local problem: the windows of some candidates, everything else held. */
typedef struct
{
  FaintSearch *search;
  GPtrArray *candidates; /* FaintSplitCandidate, rising position, windows apart */
  FaintFitOptions options;
  GArray *windows;    /* FaintFitWindow */
  GArray *parent;     /* gsize, number of each in the search's layout */
  FaintModel *model;  /* of the last fit */
  gsize (*member)[2]; /* of each candidate: its line or lines in the model */
} Batch;

static Batch *
batch_new (FaintSearch *search, GPtrArray *candidates)
{
  Batch *self = g_new0 (Batch, 1);
  const FaintLayout *layout = search->model->layout;

  self->search = search;
  self->candidates = candidates;
  self->options = *search->options;
  self->options.detuning_free = self->options.detuning_slope_free = FALSE;
  self->options.lorentz_common = self->options.doppler_common = FALSE;
  self->windows = g_array_new (FALSE, FALSE, sizeof (FaintFitWindow));
  self->parent = g_array_new (FALSE, FALSE, sizeof (gsize));
  self->member = g_malloc0_n (candidates->len, sizeof *self->member);
  for (guint c = 0; c < candidates->len; c++)
    {
      const FaintSplitCandidate *candidate = candidates->pdata[c];

      for (gsize k = candidate->window; k < candidate->window + candidate->n_windows; k++)
        {
          const FaintLayoutWindow *window = &layout->windows[k];
          FaintFitWindow copy
              = { .first = window->first, .n = window->n, .degree = window->degree };

          g_array_append_val (self->windows, copy);
          g_array_append_val (self->parent, k);
        }
    }
  if (self->windows->len < WINDOWS_FOR_THREADS)
    self->options.threads = 1;
  return self;
}

static void
batch_free (Batch *self)
{
  faint_model_free (self->model);
  g_ptr_array_unref (self->candidates);
  g_array_unref (self->windows);
  g_array_unref (self->parent);
  g_free (self->member);
  g_free (self);
}

/* A line as it takes part: what the search fits in these windows alone is free here. */
static FaintLine
local_line (const Batch *self, gsize i)
{
  const FaintLayout *layout = self->search->model->layout;
  FaintLine line = self->search->model->lines[i];
  gboolean inside = FALSE;

  for (guint k = 0; k < self->parent->len && !inside; k++)
    {
      const FaintLayoutWindow *window = &layout->windows[g_array_index (self->parent, gsize, k)];
      inside = i >= window->line_first && i < window->line_first + window->n_lines;
    }
  for (FaintPlace p = 0; p < FAINT_PLACE_N; p++)
    {
      FaintParameter *parameter = faint_line_parameter (&line, p);

      if (parameter->state != FAINT_STATE_DERIVED
          && (!inside || parameter->state == FAINT_STATE_TIED
              || layout->place[i][p] >= (gssize)layout->n_band))
        parameter->state = FAINT_STATE_FIXED;
    }
  return line;
}

/* Two lines of the usual width that are together as wide as the one was. */
static void
begin_pair (const FaintSearch *self, const FaintLine *line, double share, FaintLine pair[2])
{
  double now = faint_search_half_width (line);
  double usual = faint_voigt_hwhm (line->doppler.value, self->width_mean);
  double square = MAX (now * now - usual * usual, 0.0) / (2.0 * G_LN2);
  double apart = CLAMP (sqrt (square / (share * (1.0 - share))), 0.6 * usual, 1.5 * usual);

  pair[0] = pair[1] = *line;
  pair[0].position.value -= (1.0 - share) * apart;
  pair[1].position.value += share * apart;
  pair[0].strength.value *= share;
  pair[1].strength.value *= 1.0 - share;
  pair[0].lorentz.value = pair[1].lorentz.value = self->width_mean;
}

typedef struct
{
  FaintLine line;
  guint candidate, member; /* candidate: count of them if none */
} Placed;

static int
lower_placed_first (gconstpointer a, gconstpointer b)
{
  double x = ((const Placed *)a)->line.position.value, y = ((const Placed *)b)->line.position.value;

  return x < y ? -1 : x > y ? 1 : 0;
}

/* All lines of the model to fit, rising; @share NAN: one line for each candidate. */
static FaintLine *
place_lines (Batch *self, double share, gsize *n)
{
  const FaintSearch *search = self->search;
  g_autoptr (GArray) placed = g_array_new (FALSE, FALSE, sizeof (Placed));
  FaintLine *lines;
  guint next = 0;

  for (gsize i = 0; i < search->lines->len; i++)
    {
      Placed one = { local_line (self, i), self->candidates->len, 0 };
      FaintLine pair[2] = { one.line, one.line };
      guint count = 1;

      if (next < self->candidates->len
          && ((const FaintSplitCandidate *)self->candidates->pdata[next])->line == i)
        {
          one.candidate = next++;
          if (isfinite (share))
            {
              begin_pair (search, &one.line, share, pair);
              count = 2;
            }
        }
      for (one.member = 0; one.member < count; one.member++)
        {
          one.line = pair[one.member];
          g_array_append_val (placed, one);
        }
    }
  g_array_sort (placed, lower_placed_first);
  *n = placed->len;
  lines = g_new (FaintLine, MAX (*n, 1));
  for (gsize i = 0; i < *n; i++)
    {
      const Placed *one = &g_array_index (placed, Placed, i);

      lines[i] = one->line;
      if (one->candidate < self->candidates->len)
        self->member[one->candidate][one->member] = i;
    }
  return lines;
}

/* A model of the batch's windows with baseline and instrument as the search has them. */
static gboolean
build (Batch *self, double share, GError **error)
{
  const FaintModel *whole = self->search->model;
  gsize n;
  g_autofree FaintLine *lines = place_lines (self, share, &n);
  FaintFitInstrument instrument = faint_model_get_instrument (whole);
  FaintLayout *layout = faint_layout_new_for (
      self->search->spectrum, lines, n, (const FaintFitWindow *)(gconstpointer)self->windows->data,
      self->windows->len, &self->options);

  faint_model_free (self->model);
  self->model
      = faint_model_new (self->search->spectrum, layout, lines, self->options.threads, error);
  if (self->model == NULL)
    return FALSE;
  self->model->fringe_origin = whole->fringe_origin;
  faint_model_set_instrument (self->model, &instrument);
  memcpy (self->model->teeth->phase, whole->teeth->phase,
          whole->spectrum->n * sizeof *whole->teeth->phase);
  self->model->width_mean = self->search->width_mean;
  self->model->width_spread = self->search->width_spread;
  for (guint k = 0; k < self->parent->len; k++)
    {
      const FaintLayoutWindow *from
          = &whole->layout->windows[g_array_index (self->parent, gsize, k)];

      memcpy (self->model->theta + layout->windows[k].coefficient, whole->theta + from->coefficient,
              faint_layout_coefficients (layout, &layout->windows[k]) * sizeof (double));
    }
  return TRUE;
}

/* Chi-square of every window at the optimum, and the model there; NULL when cancelled. */
static double *
fit (Batch *self, GError **error)
{
  const FaintLayout *layout = self->model->layout;
  g_autofree double *lower = faint_model_lower_bounds (self->model);
  g_autofree double *upper = faint_model_upper_bounds (self->model);
  g_autofree double *most = faint_model_step_limits (self->model);
  g_autofree double *theta = g_memdup2 (self->model->theta, layout->n_parameters * sizeof (double));
  g_autoptr (FaintNormal) normal = faint_model_normal_new (self->model);
  g_autofree double *gradient = g_new (double, layout->n_parameters);
  double *chi2 = g_new0 (double, layout->n_groups);
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
    .data = self->model,
  };
  FaintLeastSquaresResult result;

  for (gsize j = layout->n_band; j < layout->n_parameters; j++)
    lower[j] = upper[j] = theta[j];
  if (!faint_least_squares_solve (&problem, theta,
                                  &(FaintLeastSquaresOptions){ ITERATIONS, TOLERANCE }, &result,
                                  self->search->progress, error))
    {
      g_free (chi2);
      return NULL;
    }
  faint_least_squares_result_clear (&result);
  if (!faint_model_evaluate_rows (theta, chi2, gradient, normal, self->model))
    for (gsize k = 0; k < layout->n_groups; k++)
      chi2[k] = INFINITY;
  return chi2;
}

/* Does the pair of the last fit make sense as two lines? */
static gboolean
is_pair (const Batch *self, const FaintSplitCandidate *candidate, const FaintLine pair[2])
{
  const FaintLine *one = &self->search->model->lines[candidate->line];
  double usual = faint_voigt_hwhm (one->doppler.value, self->search->width_mean);
  double least = MIN (pair[0].strength.value, pair[1].strength.value);
  double most = MAX (pair[0].strength.value, pair[1].strength.value);

  return least > FAINTEST * most
         && fabs (pair[1].position.value - pair[0].position.value) > RESOLVED * usual
         && fabs (pair[0].position.value - one->position.value) < STRAY * usual
         && fabs (pair[1].position.value - one->position.value) < STRAY * usual;
}

/* Fits with one line each or with pairs that begin with @share, and keeps what is best. */
static gboolean
try_share (Batch *self, double share, GError **error)
{
  g_autofree double *chi2 = NULL;
  double noise = self->search->noise_scale * self->search->noise_scale;
  gsize window = 0;

  if (!build (self, share, error))
    return FALSE;
  chi2 = fit (self, error);
  if (chi2 == NULL)
    return FALSE;
  for (guint c = 0; c < self->candidates->len; c++)
    {
      FaintSplitCandidate *candidate = self->candidates->pdata[c];
      double sum = 0.0;
      FaintLine pair[2];

      for (gsize end = window + candidate->n_windows; window < end; window++)
        sum += chi2[window];
      for (int m = 0; m < 2; m++)
        pair[m] = self->model->lines[self->member[c][m]];
      if (isnan (share))
        candidate->chi2_one = sum;
      else if (is_pair (self, candidate, pair)
               && (candidate->chi2_one - sum) / noise > candidate->fall)
        {
          candidate->fall = (candidate->chi2_one - sum) / noise;
          memcpy (candidate->pair, pair, sizeof pair);
        }
    }
  return TRUE;
}

gboolean
faint_split_try (FaintSearch *search, GPtrArray *candidates, GError **error)
{
  Batch *self = batch_new (search, candidates);
  gboolean alive = try_share (self, NAN, error);

  for (gsize k = 0; k < G_N_ELEMENTS (shares) && alive; k++)
    alive = try_share (self, shares[k], error);
  batch_free (self);
  return alive;
}

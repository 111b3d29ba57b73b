/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/fit/split.h"

#include <math.h>
#include <string.h>

#include "faint/fit/split-signature.h"
#include "faint/fit/widths.h"
#include "faint/shape/voigt.h"

/* A width is unusual this many standard deviations above the mean: 3 in 100 000 of a normal
 * population are. */
#define UNUSUAL 4.0
/* A line is tried when its residuals promise this part of the criterion: the promise is that of a
 * small split, and it takes no account of the neighbours. */
#define PROMISE 0.4
/* The misfit of one line, as part of the line itself, that an imperfect model may have (find.c). */
#define IMPERFECTION 0.004
/* Members of a pair stand this many half widths apart at least and this many from the line they
 * replace at most, and neither is fainter than this part of the other. */
#define RESOLVED 0.35
#define STRAY 1.5
#define FAINTEST 0.02
/* Windows whose border is nearer to the line than this many half widths take part. */
#define REACH 6.0
/* Several lines are tried at once, each in windows of its own; those that share a window wait. */
#define BATCHES 4
#define WINDOWS_FOR_THREADS 16
#define TOLERANCE 0.1
#define ITERATIONS 30

/* Shares of the strength with which a pair begins, that of the lower position first. */
static const double shares[] = { 0.5, 0.8, 0.2 };

typedef struct
{
  gsize line; /* of the search */
  double promise;
  gsize window, n_windows; /* of the search's layout */
  double chi2_one, fall;
  FaintLine pair[2]; /* of the best fit */
} Candidate;

/* One local problem: the windows of some candidates, everything else held. */
typedef struct
{
  FaintSearch *search;
  GPtrArray *candidates; /* Candidate, rising position, windows apart */
  FaintFitOptions options;
  GArray *windows;    /* FaintFitWindow */
  GArray *parent;     /* gsize, number of each in the search's layout */
  FaintModel *model;  /* of the last fit */
  gsize (*member)[2]; /* of each candidate: its line or lines in the model */
} Batch;

double
faint_split_criterion (double threshold)
{
  /* The tail of chi-square with three degrees of freedom beyond x, sqrt(2 x/pi) exp(-x/2), is to be
   * sqrt(ln2)/(2 pi) exp(-threshold^2/2) = 0.1325 exp(...). */
  double square = threshold * threshold, x = square;

  for (int i = 0; i < 20; i++)
    x = square + log (2.0 * x / G_PI) - 2.0 * log (0.1325);
  return x;
}

gboolean
faint_split_is_unusual (const FaintSearch *self, gsize line)
{
  double own, u;

  return self->width_known && faint_search_own_width (self, line, &own, &u)
         && own - self->width_mean > UNUSUAL * hypot (self->width_spread / FAINT_WIDTHS_CAUTION, u);
}

/* Only what we found ourselves, with a width of its own. */
static gboolean
may_be_split (const FaintSearch *self, gsize i)
{
  const FaintSearchLine *search = &g_array_index (self->lines, FaintSearchLine, i);
  const FaintLayout *layout = self->model->layout;
  gssize width = layout->place[i][FAINT_PLACE_LORENTZ];

  return search->found && width >= 0 && width < (gssize)layout->n_band
         && layout->place[i][FAINT_PLACE_STRENGTH] >= 0
         && layout->place[i][FAINT_PLACE_POSITION] >= 0 && search->line.strength.value > 0.0
         && search->line.profile == FAINT_PROFILE_VOIGT;
}

static double
worth_of (const FaintSearch *self, gsize line)
{
  return self->model->lines[line].strength.value
         / sqrt (faint_fit_work_line_variance (self->work, line, FAINT_PLACE_STRENGTH))
         / self->noise_scale;
}

/* What the fall of chi-square must reach for this line. */
static double
needed_fall (const FaintSearch *self, gsize line)
{
  double imperfect = IMPERFECTION * worth_of (self, line);

  return MAX (faint_split_criterion (self->options->threshold), imperfect * imperfect);
}

/* The windows that the line's profile reaches. */
static gboolean
choose_windows (const FaintSearch *self, Candidate *candidate)
{
  const FaintLayout *layout = self->model->layout;
  const FaintLine *line = &self->model->lines[candidate->line];
  double reach = REACH * faint_search_half_width (line), position = line->position.value;

  for (gsize k = 0; k < layout->n_windows; k++)
    if (position + reach > layout->windows[k].centre - layout->windows[k].half
        && position - reach < layout->windows[k].centre + layout->windows[k].half)
      {
        if (candidate->n_windows == 0)
          candidate->window = k;
        candidate->n_windows++;
      }
  return candidate->n_windows > 0;
}

static int
most_promising_first (gconstpointer a, gconstpointer b)
{
  const Candidate *x = a, *y = b;

  if (x->promise != y->promise)
    return x->promise > y->promise ? -1 : 1;
  return x->line < y->line ? -1 : x->line > y->line ? 1 : 0;
}

/* Lines that may be two, most promising first. */
static GArray *
find_candidates (const FaintSearch *self)
{
  GArray *candidates = g_array_new (FALSE, FALSE, sizeof (Candidate));
  g_autoptr (FaintSplitRows) rows = faint_split_rows_new (self->model);
  double noise = self->noise_scale * self->noise_scale;

  for (gsize i = 0; i < self->lines->len; i++)
    {
      Candidate candidate = { .line = i };

      if (!may_be_split (self, i))
        continue;
      candidate.promise = faint_split_signature (rows, i) / noise;
      if ((candidate.promise >= PROMISE * needed_fall (self, i) || faint_split_is_unusual (self, i))
          && choose_windows (self, &candidate))
        g_array_append_val (candidates, candidate);
    }
  g_array_sort (candidates, most_promising_first);
  return candidates;
}

static gboolean
windows_apart (const Candidate *a, const Candidate *b)
{
  return a->window + a->n_windows <= b->window || b->window + b->n_windows <= a->window;
}

static int
lower_first (gconstpointer a, gconstpointer b)
{
  const Candidate *x = *(const Candidate *const *)a, *y = *(const Candidate *const *)b;

  return x->line < y->line ? -1 : x->line > y->line ? 1 : 0;
}

/* Candidates that do not touch each other, taken off @waiting. */
static GPtrArray *
choose_batch (GPtrArray *waiting)
{
  GPtrArray *chosen = g_ptr_array_new ();

  for (guint i = 0; i < waiting->len;)
    {
      Candidate *candidate = waiting->pdata[i];
      gboolean apart = TRUE;

      for (guint j = 0; j < chosen->len && apart; j++)
        apart = windows_apart (candidate, chosen->pdata[j]);
      if (apart)
        {
          g_ptr_array_add (chosen, candidate);
          g_ptr_array_remove_index (waiting, i);
        }
      else
        i++;
    }
  g_ptr_array_sort (chosen, lower_first);
  return chosen;
}

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
      const Candidate *candidate = candidates->pdata[c];

      for (gsize k = candidate->window; k < candidate->window + candidate->n_windows; k++)
        {
          const FaintLayoutWindow *window = &layout->windows[k];
          FaintFitWindow copy
              = { .first = window->first, .n = window->n, .degree = window->degree };

          g_array_append_val (self->windows, copy);
          g_array_append_val (self->parent, k);
        }
    }
  /* Threads cost more than a few windows do. */
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
          && ((const Candidate *)self->candidates->pdata[next])->line == i)
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
is_pair (const Batch *self, const Candidate *candidate, const FaintLine pair[2])
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
      Candidate *candidate = self->candidates->pdata[c];
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

static gboolean
try_batch (FaintSearch *search, GPtrArray *candidates, GError **error)
{
  Batch *self = batch_new (search, candidates);
  gboolean alive = try_share (self, NAN, error);

  for (gsize k = 0; k < G_N_ELEMENTS (shares) && alive; k++)
    alive = try_share (self, shares[k], error);
  batch_free (self);
  return alive;
}

/* Puts the pair in the place of the line. It has shown that it is needed, so that its members need
 * not show it again one by one. */
static void
take_pair (FaintSearch *self, const Candidate *candidate)
{
  for (int m = 0; m < 2; m++)
    {
      FaintSearchLine *one = &g_array_index (self->lines, FaintSearchLine, candidate->line);
      FaintSearchLine other = *one;

      for (FaintPlace p = 0; p < FAINT_PLACE_N; p++)
        faint_line_parameter (&other.line, p)->value
            = faint_line_peek_parameter (&candidate->pair[m], p)->value;
      other.found_at = other.line.position.value;
      other.needed = TRUE;
      if (m == 0)
        *one = other;
      else
        g_array_append_val (self->lines, other);
    }
}

gboolean
faint_search_split (FaintSearch *self, guint *split, GError **error)
{
  g_autoptr (GArray) candidates = NULL;
  g_autoptr (GPtrArray) waiting = g_ptr_array_new ();

  *split = 0;
  if (!self->width_known || self->options->lorentz_common)
    return TRUE;
  candidates = find_candidates (self);
  for (guint i = 0; i < candidates->len; i++)
    g_ptr_array_add (waiting, &g_array_index (candidates, Candidate, i));
  for (int batch = 0; batch < BATCHES && waiting->len > 0; batch++)
    if (!try_batch (self, choose_batch (waiting), error))
      return FALSE;
  for (guint i = 0; i < candidates->len; i++)
    {
      const Candidate *candidate = &g_array_index (candidates, Candidate, i);

      if (candidate->fall > needed_fall (self, candidate->line))
        {
          take_pair (self, candidate);
          (*split)++;
        }
    }
  return TRUE;
}

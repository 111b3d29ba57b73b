/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Lines that the spectrum does not tell apart, taken as one: the sum of their strengths and its
 * centre, with the covariances that the fit gives. Where the strengths of neighbours are
 * anticorrelated, each alone is uncertain and their sum is not (JCGM 100:2008, 5.2.2).
 */
#include "faint/review/review-private.h"

/* Strengths as anticorrelated as this, one of which stands less than so many times above its noise,
 * are not told apart. */
#define SHARED 0.75
#define TOLD 30.0
#define REACH 3.0    /* half widths between neighbours */
#define LINES_MOST 8 /* of a chain of them; longer ones stay as they are */

/* The sum and its centre, a row of weights for each: those of positions, then of strengths. */
typedef struct
{
  gsize n;
  const FaintLine **lines;
  double sum, centre;
  double *of_centre, *of_sum; /* 2n: d/d position_i, d/d strength_i */
} Blend;

static void
blend_begin (Blend *self, const FaintLineList *list, const guint *ids, gsize n)
{
  *self = (Blend){ .n = n };
  self->lines = g_new (const FaintLine *, n);
  self->of_centre = g_new0 (double, 2 * n);
  self->of_sum = g_new0 (double, 2 * n);
  for (gsize i = 0; i < n; i++)
    {
      self->lines[i] = faint_line_list_find (list, ids[i]);
      self->sum += self->lines[i]->strength.value;
      self->centre += self->lines[i]->strength.value * self->lines[i]->position.value;
    }
  self->centre /= self->sum;
  for (gsize i = 0; i < n; i++)
    {
      self->of_centre[i] = self->lines[i]->strength.value / self->sum;
      self->of_centre[n + i] = (self->lines[i]->position.value - self->centre) / self->sum;
      self->of_sum[n + i] = 1.0;
    }
}

static void
blend_clear (Blend *self)
{
  g_free (self->lines);
  g_free (self->of_centre);
  g_free (self->of_sum);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Blend, blend_clear)

static const FaintParameter *
nth (const Blend *self, gsize i)
{
  return i < self->n ? &self->lines[i]->position : &self->lines[i - self->n]->strength;
}

/* Covariance of what differs from line to line; independent where @fit is NULL. What was not fitted
 * does not vary. */
static double
covariance (const Blend *self, const FaintFit *fit, gsize i, gsize k)
{
  const FaintParameter *it = nth (self, i);
  double own = isnan (it->u_noise) ? it->u : it->u_noise, value;

  if (fit == NULL)
    return i == k && isfinite (own) ? own * own : 0.0;
  value = faint_fit_covariance (
      fit, self->lines[i % self->n]->id, i < self->n ? FAINT_PLACE_POSITION : FAINT_PLACE_STRENGTH,
      self->lines[k % self->n]->id, k < self->n ? FAINT_PLACE_POSITION : FAINT_PLACE_STRENGTH);
  return isnan (value) ? 0.0 : value;
}

static double
own_variance (const Blend *self, const FaintFit *fit, const double *weight)
{
  double sum = 0.0;

  for (gsize i = 0; i < 2 * self->n; i++)
    for (gsize k = 0; k < 2 * self->n; k++)
      if (weight[i] != 0.0 && weight[k] != 0.0)
        sum += weight[i] * weight[k] * covariance (self, fit, i, k);
  return MAX (sum, 0.0);
}

/* What is common to the lines: source by source with its sign where it is told, else all with one.
 */
static double
common_variance (const Blend *self, const double *weight)
{
  double square = 0.0, rest = 0.0;

  for (guint s = FAINT_SOURCE_NOISE + 1; s < FAINT_SOURCE_N; s++)
    {
      double sum = 0.0;

      for (gsize i = 0; i < self->n; i++)
        {
          double of_position = self->lines[i]->position_from[s];
          double of_strength = self->lines[i]->strength_from[s];

          sum += isfinite (of_position) ? weight[i] * of_position : 0.0;
          sum += isfinite (of_strength) ? weight[self->n + i] * of_strength : 0.0;
        }
      square += sum * sum;
    }
  for (gsize i = 0; i < 2 * self->n; i++)
    {
      const FaintLine *line = self->lines[i % self->n];
      const double *from = i < self->n ? line->position_from : line->strength_from;
      const FaintParameter *it = nth (self, i);
      gboolean told = FALSE;

      for (guint s = FAINT_SOURCE_NOISE + 1; s < FAINT_SOURCE_N; s++)
        told |= isfinite (from[s]);
      if (!told && isfinite (it->u) && isfinite (it->u_noise))
        rest += fabs (weight[i]) * sqrt (MAX (it->u * it->u - it->u_noise * it->u_noise, 0.0));
    }
  return square + rest * rest;
}

static FaintParameter
parameter_of (const Blend *self, const FaintFit *fit, const double *weight, double value)
{
  FaintParameter it = FAINT_PARAMETER_UNKNOWN;
  double own = own_variance (self, fit, weight);

  it.value = value;
  it.u_noise = sqrt (own);
  it.u = sqrt (own + common_variance (self, weight));
  return it;
}

static FaintParameterState
most_held (const Blend *self, gsize from)
{
  FaintParameterState state = FAINT_STATE_FREE;

  for (gsize i = from; i < from + self->n; i++)
    state = MAX (state, nth (self, i)->state);
  return state;
}

static gboolean
all_have_u (const Blend *self, gsize from)
{
  for (gsize i = from; i < from + self->n; i++)
    if (isnan (nth (self, i)->u))
      return FALSE;
  return TRUE;
}

FaintLine
faint_review_blend (const FaintLineList *list, const guint *ids, gsize n, const FaintFit *fit)
{
  g_auto (Blend) blend = { 0 };
  FaintLine line = faint_line_unknown ();

  if (n == 1)
    return *faint_line_list_find (list, ids[0]);
  blend_begin (&blend, list, ids, n);
  line.id = ids[0];
  line.position = parameter_of (&blend, fit, blend.of_centre, blend.centre);
  line.strength = parameter_of (&blend, fit, blend.of_sum, blend.sum);
  /* A claim that leaves out an uncertainty leaves out that of the sum. A fit that holds some of the
   * positions, for it cannot tell them all, still finds the centre by how the strengths share. */
  if (fit == NULL && !all_have_u (&blend, 0))
    line.position.u = line.position.u_noise = NAN;
  if (fit == NULL && !all_have_u (&blend, n))
    line.strength.u = line.strength.u_noise = NAN;
  line.strength.state = most_held (&blend, n);
  line.position.state = fit != NULL ? line.strength.state : most_held (&blend, 0);
  line.snr = line.strength.value / line.strength.u_noise;
  for (gsize i = 0; i < n; i++)
    line.flags |= blend.lines[i]->flags;
  return line;
}

static FaintLine
blend_of (const FaintLineList *list, const GArray *ids, const FaintFit *fit)
{
  return faint_review_blend (list, (const guint *)(const void *)ids->data, ids->len, fit);
}

FaintLine
faint_review_line_claimed (const FaintReview *self, const FaintReviewLine *line)
{
  return blend_of (self->compared, line->claimed, NULL);
}

FaintLine
faint_review_line_seen (const FaintReview *self, const FaintReviewLine *line)
{
  return blend_of (faint_analysis_get_lines (self->refit), line->refitted,
                   faint_analysis_get_fit_at (self->refit, 0));
}

/* Do two lines of the refit share their strength so that neither has its own? */
static gboolean
is_shared (const FaintReview *self, const FaintLine *a, const FaintLine *b)
{
  const FaintFit *fit = faint_analysis_get_fit_at (self->refit, 0);
  double va, vb, both;

  if (MIN (a->snr, b->snr) >= TOLD)
    return FALSE;
  va = faint_fit_covariance (fit, a->id, FAINT_PLACE_STRENGTH, a->id, FAINT_PLACE_STRENGTH);
  vb = faint_fit_covariance (fit, b->id, FAINT_PLACE_STRENGTH, b->id, FAINT_PLACE_STRENGTH);
  both = faint_fit_covariance (fit, a->id, FAINT_PLACE_STRENGTH, b->id, FAINT_PLACE_STRENGTH);
  return isfinite (va) && isfinite (vb) && both < -SHARED * sqrt (va * vb);
}

/* Chain that each line of the refit belongs to: the index of its first. */
static gsize *
find_chains (const FaintReview *self, const FaintLineList *refitted)
{
  const FaintSetup *setup = faint_analysis_get_setup (self->refit);
  gsize n = faint_line_list_get_n (refitted), *chain = g_new (gsize, MAX (n, 1));

  for (gsize i = 0; i < n; i++)
    {
      const FaintLine *line = faint_line_list_get (refitted, i);
      double reach = REACH * faint_review_half_width (line, setup);

      chain[i] = i;
      for (gsize k = i; k-- > 0;)
        {
          const FaintLine *other = faint_line_list_get (refitted, k);

          if (line->position.value - other->position.value > reach)
            break;
          if (is_shared (self, other, line))
            {
              gsize from = MAX (chain[i], chain[k]), to = MIN (chain[i], chain[k]);

              for (gsize m = 0; m <= i; m++)
                chain[m] = chain[m] == from ? to : chain[m];
            }
        }
    }
  return chain;
}

static gboolean
holds_any (const GArray *ids, const GArray *others)
{
  for (guint i = 0; i < ids->len; i++)
    for (guint k = 0; k < others->len; k++)
      if (g_array_index (ids, guint, i) == g_array_index (others, guint, k))
        return TRUE;
  return FALSE;
}

static void
add_once (GArray *ids, guint id)
{
  for (guint i = 0; i < ids->len; i++)
    if (g_array_index (ids, guint, i) == id)
      return;
  g_array_append_val (ids, id);
}

/* All lines of the review that have any of @chain become the first of them. Those that nobody
 * claims stay apart. */
static void
join (FaintReview *self, GArray *chain)
{
  FaintReviewLine *first = NULL;

  for (guint i = 0; i < self->lines->len; i++)
    {
      FaintReviewLine *line = g_ptr_array_index (self->lines, i);

      if (line->claimed->len == 0 || !holds_any (line->refitted, chain))
        continue;
      for (guint k = 0; k < line->refitted->len; k++)
        add_once (chain, g_array_index (line->refitted, guint, k));
      if (first == NULL)
        {
          first = line;
          continue;
        }
      g_array_append_vals (first->claimed, line->claimed->data, line->claimed->len);
      g_ptr_array_remove_index (self->lines, i--);
    }
  if (first == NULL)
    return;
  for (guint i = 0; i < self->lines->len; i++)
    {
      const FaintReviewLine *line = g_ptr_array_index (self->lines, i);

      if (line->claimed->len == 0 && holds_any (line->refitted, chain))
        g_ptr_array_remove_index (self->lines, i--);
    }
  g_array_set_size (first->refitted, 0);
  g_array_append_vals (first->refitted, chain->data, chain->len);
}

void
faint_review_join_blends (FaintReview *self)
{
  const FaintLineList *refitted = faint_analysis_get_lines (self->refit);
  gsize n = faint_line_list_get_n (refitted);
  g_autofree gsize *chain = find_chains (self, refitted);

  for (gsize i = 0; i < n; i++)
    {
      g_autoptr (GArray) ids = g_array_new (FALSE, FALSE, sizeof (guint));

      for (gsize k = i; k < n && chain[i] == i; k++)
        if (chain[k] == i)
          g_array_append_val (ids, faint_line_list_get (refitted, k)->id);
      if (ids->len > 1 && ids->len <= LINES_MOST)
        join (self, ids);
    }
}

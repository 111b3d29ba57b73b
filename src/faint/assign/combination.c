/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/assign/combination.h"

#include <math.h>
#include <stdlib.h>

typedef struct
{
  const FaintObserved *observed;
  const FaintLevels *levels;
  const FaintLadder *ladder;
  const FaintAssignOptions *options;
  FaintCandidate place;
  const FaintLevel *lower[FAINT_BRANCH_N];
  double log_model[FAINT_BRANCH_N];         /* ln of relative strength */
  double u[FAINT_BRANCH_N][FAINT_BRANCH_N]; /* of differences of lower levels */
  GArray *out;
} Search;

/* Combined variance of the difference of two lines' terms. */
static double
pair_variance (const Search *self, int a, gsize i, int b, gsize k)
{
  double ui = self->observed->u[i], uk = self->observed->u[k], ul = self->u[a][b];

  return ui * ui + uk * uk + ul * ul;
}

static gboolean
matches (const Search *self, int a, gsize i, int b, gsize k)
{
  double r = self->observed->nu[i] + self->lower[a]->energy - self->observed->nu[k]
             - self->lower[b]->energy;
  double reach = self->options->coverage;

  return r * r <= reach * reach * pair_variance (self, a, i, b, k);
}

/* What a candidate's lines say together. */
static void
judge (const Search *self, FaintCandidate *it)
{
  const FaintObserved *observed = self->observed;
  double weights = 0.0, sum = 0.0;
  int first = -1;

  it->n_lines = 0;
  for (int b = 0; b < FAINT_BRANCH_N; b++)
    if (it->line[b] >= 0)
      {
        double w = 1.0 / (observed->u[it->line[b]] * observed->u[it->line[b]]);

        weights += w;
        sum += w * (observed->nu[it->line[b]] + self->lower[b]->energy);
        it->n_lines++;
      }
  it->term = sum / weights;
  it->u = sqrt (1.0 / weights);
  it->chi2 = it->odds = 0.0;
  it->chance = 1.0;
  for (int b = 0; b < FAINT_BRANCH_N; b++)
    {
      int i = it->line[b];
      double variance, r;

      if (i < 0)
        continue;
      it->odds += faint_evidence_energy (observed, i, self->lower[b]->energy);
      if (first < 0)
        {
          first = b;
          continue;
        }
      variance = pair_variance (self, first, it->line[first], b, i);
      r = observed->nu[i] + self->lower[b]->energy - observed->nu[it->line[first]]
          - self->lower[first]->energy;
      it->chi2 += r * r / variance;
      it->odds += faint_evidence_position (observed, i, r, variance)
                  + faint_evidence_ratio (observed, i, it->line[first],
                                          self->log_model[b] - self->log_model[first]);
      it->chance *= observed->density[i] * 2.0 * self->options->coverage * sqrt (variance);
    }
}

/* A line of branch @c that agrees with both, nearest to their term; -1 where there is none. */
static int
third_line (const Search *self, int a, gsize i, int b, gsize k)
{
  int c = FAINT_BRANCH_P + FAINT_BRANCH_Q + FAINT_BRANCH_R - a - b, best = -1;
  const FaintObserved *observed = self->observed;
  double place, reach, nearest = G_MAXDOUBLE;

  if (self->lower[c] == NULL)
    return -1;
  place = observed->nu[i] + self->lower[a]->energy - self->lower[c]->energy;
  reach = self->options->coverage * (hypot (observed->u[i], observed->u_most) + self->u[a][c]);
  for (gsize n = faint_observed_from (observed, place - reach);
       n < observed->n && observed->nu[n] <= place + reach; n++)
    if (n != i && n != k && fabs (observed->nu[n] - place) < nearest && matches (self, a, i, c, n)
        && matches (self, b, k, c, n))
      {
        best = (int)n;
        nearest = fabs (observed->nu[n] - place);
      }
  return best;
}

static void
take_pair (Search *self, int a, gsize i, int b, gsize k)
{
  FaintCandidate it = self->place;
  int third = third_line (self, a, i, b, k);

  /* A triple is found once, from its P and R lines. */
  if (third >= 0 && !(a == FAINT_BRANCH_P && b == FAINT_BRANCH_R))
    return;
  for (int c = 0; c < FAINT_BRANCH_N; c++)
    it.line[c] = c == a ? (int)i : c == b ? (int)k : third;
  judge (self, &it);
  g_array_append_val (self->out, it);
}

static void
walk_pair (Search *self, int a, int b)
{
  const FaintObserved *observed = self->observed;
  double offset = self->lower[a]->energy - self->lower[b]->energy;
  gsize from = 0;

  for (gsize i = 0; i < observed->n; i++)
    {
      double place = observed->nu[i] + offset;
      double reach
          = self->options->coverage * (hypot (observed->u[i], observed->u_most) + self->u[a][b]);

      /* The reach differs from line to line, so the start may step back. */
      while (from > 0 && observed->nu[from - 1] >= place - reach)
        from--;
      while (from < observed->n && observed->nu[from] < place - reach)
        from++;
      for (gsize k = from; k < observed->n && observed->nu[k] <= place + reach; k++)
        if (k != i && matches (self, a, i, b, k))
          take_pair (self, a, i, b, k);
    }
}

void
faint_candidates_of_level (const FaintObserved *observed, const FaintLevels *levels,
                           const GPtrArray *ladders, const FaintAssignOptions *options,
                           FaintCandidate place, GArray *candidates)
{
  Search self = {
    .observed = observed, .levels = levels, .options = options, .place = place, .out = candidates
  };
  double middle = observed->n > 0 ? observed->nu[observed->n / 2] : 1.0;

  self.ladder = g_ptr_array_index (ladders, place.ladder);
  for (int b = 0; b < FAINT_BRANCH_N; b++)
    {
      double model
          = faint_ladder_strength (self.ladder, levels, b, place.j, middle, options->temperature);

      self.lower[b] = faint_ladder_lower (self.ladder, levels, b, place.j);
      self.log_model[b] = model > 0.0 ? log (model) : NAN;
    }
  for (int a = 0; a < FAINT_BRANCH_N; a++)
    for (int b = a + 1; b < FAINT_BRANCH_N; b++)
      if (self.lower[a] != NULL && self.lower[b] != NULL)
        self.u[a][b] = self.u[b][a]
            = faint_levels_u_difference (levels, self.lower[a], self.lower[b]);
  for (int a = 0; a < FAINT_BRANCH_N; a++)
    for (int b = a + 1; b < FAINT_BRANCH_N; b++)
      if (self.lower[a] != NULL && self.lower[b] != NULL)
        walk_pair (&self, a, b);
}

static int
compare (const void *a, const void *b)
{
  const FaintCandidate *x = a, *y = b;

  if (x->odds != y->odds)
    return x->odds < y->odds ? 1 : -1;
  return x->ladder != y->ladder ? (int)x->ladder - (int)y->ladder
         : x->j != y->j         ? x->j - y->j
                                : x->line[0] + x->line[2] - y->line[0] - y->line[2];
}

GArray *
faint_candidates_find (const FaintObserved *observed, const FaintLevels *levels,
                       const GPtrArray *ladders, const FaintAssignOptions *options,
                       const FaintProgress *progress, GError **error)
{
  g_autoptr (GArray) candidates = g_array_new (FALSE, FALSE, sizeof (FaintCandidate));

  for (guint l = 0; l < ladders->len; l++)
    {
      const FaintLadder *ladder = g_ptr_array_index (ladders, l);

      if (!faint_progress_step (progress, (double)l / ladders->len, "combination differences",
                                error))
        return NULL;
      for (guint j = ladder->j_min; j <= ladder->j_max; j++)
        {
          FaintCandidate place = { .ladder = l, .j = (int)j };

          faint_candidates_of_level (observed, levels, ladders, options, place, candidates);
        }
    }
  g_array_sort (candidates, compare);
  return g_steal_pointer (&candidates);
}

/* Of one level and pair of branches: each line of the first meets some line of the second. */
static double
chance_of_pair (const FaintObserved *observed, double u_levels, double offset, double coverage)
{
  double sum = 0.0;

  for (gsize i = 0; i < observed->n; i++)
    {
      gsize k = faint_observed_from (observed, observed->nu[i] + offset);
      double u = observed->u[i];

      if (k < observed->n && observed->nu[i] + offset >= observed->nu[0])
        sum += observed->density[k] * 2.0 * coverage
               * sqrt (u * u + observed->u[k] * observed->u[k] + u_levels * u_levels);
    }
  return sum;
}

double
faint_candidates_by_chance (const FaintObserved *observed, const FaintLevels *levels,
                            const GPtrArray *ladders, const FaintAssignOptions *options)
{
  double sum = 0.0;

  for (guint l = 0; l < ladders->len; l++)
    {
      const FaintLadder *ladder = g_ptr_array_index (ladders, l);

      for (guint j = ladder->j_min; j <= ladder->j_max; j++)
        for (int a = 0; a < FAINT_BRANCH_N; a++)
          for (int b = a + 1; b < FAINT_BRANCH_N; b++)
            {
              const FaintLevel *one = faint_ladder_lower (ladder, levels, a, (int)j);
              const FaintLevel *other = faint_ladder_lower (ladder, levels, b, (int)j);

              if (one != NULL && other != NULL)
                sum += chance_of_pair (observed, faint_levels_u_difference (levels, one, other),
                                       one->energy - other->energy, options->coverage);
            }
    }
  return sum;
}

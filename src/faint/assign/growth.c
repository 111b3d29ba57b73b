/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A chain from its seed to its end.
 */
#include "faint/assign/chains-private.h"

#include <math.h>
#include <string.h>

#define HOPE 12.0 /* ln of the odds that a second look at a chain may add */

FaintChain *
faint_chain_new (guint ladder)
{
  FaintChain *self = g_new0 (FaintChain, 1);

  self->ladder = ladder;
  self->rungs = g_array_new (FALSE, FALSE, sizeof (FaintRung));
  self->log_scale = self->rival_odds = NAN;
  for (int b = 0; b < FAINT_BRANCH_N; b++)
    self->presence[b] = 0.5;
  return self;
}

void
faint_chain_free (FaintChain *self)
{
  if (self == NULL)
    return;
  g_array_unref (self->rungs);
  g_free (self);
}

int
faint_chain_at (const FaintChain *self, int j)
{
  guint low = 0, high = self->rungs->len;

  while (low < high)
    {
      guint middle = low + (high - low) / 2;

      if (g_array_index (self->rungs, FaintRung, middle).j < j)
        low = middle + 1;
      else
        high = middle;
    }
  return low < self->rungs->len && g_array_index (self->rungs, FaintRung, low).j == j ? (int)low
                                                                                      : -1;
}

void
faint_chain_drop (FaintChain *self, int j)
{
  int at = faint_chain_at (self, j);

  if (at >= 0)
    g_array_remove_index (self->rungs, (guint)at);
}

void
faint_chain_put (FaintChain *self, const FaintRung *rung)
{
  guint at = 0;

  faint_chain_drop (self, rung->j);
  while (at < self->rungs->len && g_array_index (self->rungs, FaintRung, at).j < rung->j)
    at++;
  g_array_insert_vals (self->rungs, at, rung, 1);
}

static const FaintRung *
end_of (const FaintChain *chain, int step)
{
  return &g_array_index (chain->rungs, FaintRung, step < 0 ? 0 : chain->rungs->len - 1);
}

gboolean
faint_growth_exists (const FaintGrowth *self, int j)
{
  for (int b = 0; b < FAINT_BRANCH_N; b++)
    if (faint_ladder_lower (self->ladder, self->levels, b, j) != NULL)
      return TRUE;
  return FALSE;
}

static void
grow_to (FaintGrowth *self, int step)
{
  int j = end_of (self->chain, step)->j + step, most = (int)self->ladder->j_max;
  guint gap = 0;

  for (; j >= (int)self->ladder->j_min && j <= most && gap < self->options->longest_gap; j += step)
    {
      double mean, sd;
      FaintRung rung;

      if (!faint_growth_exists (self, j))
        continue;
      if (!faint_growth_predict (self, j, &mean, &sd) || sd > 0.25 * self->stack->b)
        return;
      rung = faint_growth_choose (self, j, mean, sd);
      gap++;
      if (rung.n_lines == 0)
        continue;
      faint_chain_put (self->chain, &rung);
      gap = 0;
    }
}

/* Every level between the ends again, now that its neighbours on both sides are known. */
static gboolean
review (FaintGrowth *self)
{
  int first = end_of (self->chain, -1)->j, last = end_of (self->chain, 1)->j;
  gboolean changed = FALSE;

  for (int j = first; j <= last && self->chain->rungs->len > 0; j++)
    {
      int at = faint_chain_at (self->chain, j);
      double mean, sd;
      FaintRung rung;

      if (!faint_growth_predict (self, j, &mean, &sd))
        continue;
      rung = faint_growth_choose (self, j, mean, sd);
      changed
          = changed
            || (at < 0 ? rung.n_lines > 0
                       : memcmp (rung.line, g_array_index (self->chain->rungs, FaintRung, at).line,
                                 sizeof rung.line)
                             != 0);
      if (rung.n_lines > 0)
        faint_chain_put (self->chain, &rung);
      else
        faint_chain_drop (self->chain, j);
    }
  return changed;
}

/* Share of the expected lines of each branch that are there. */
static void
count_presence (FaintGrowth *self)
{
  double found[FAINT_BRANCH_N] = { 0.0 }, expected[FAINT_BRANCH_N] = { 0.0 };
  FaintChain *chain = self->chain;

  for (int j = end_of (chain, -1)->j; j <= end_of (chain, 1)->j; j++)
    {
      int at = faint_chain_at (chain, j);
      double scale = faint_growth_scale (self, j);

      for (int b = 0; b < FAINT_BRANCH_N; b++)
        {
          double share = chain->presence[b];

          if (faint_ladder_lower (self->ladder, self->levels, b, j) == NULL)
            continue;
          expected[b] += faint_growth_presence (self, b, j, scale) / fmax (share, 0.01);
          if (at >= 0)
            {
              const FaintRung *rung = &g_array_index (chain->rungs, FaintRung, at);

              found[b] += rung->line[b] >= 0 || rung->other[b] >= 0;
            }
        }
    }
  for (int b = 0; b < FAINT_BRANCH_N; b++)
    chain->presence[b] = CLAMP ((found[b] + 1.0) / (expected[b] + 2.0), 0.05, 0.95);
}

/* What a level without lines costs. */
static double
cost_of_none (const FaintGrowth *self, int j)
{
  double scale = faint_growth_scale (self, j), cost = 0.0;

  for (int b = 0; b < FAINT_BRANCH_N; b++)
    if (faint_ladder_lower (self->ladder, self->levels, b, j) != NULL)
      cost += log (1.0 - faint_growth_presence (self, b, j, scale));
  return cost;
}

/* Keeps the two largest. */
static void
take_most (double *most, double value)
{
  if (value > most[0])
    {
      most[1] = most[0];
      most[0] = value;
    }
  else
    most[1] = fmax (most[1], value);
}

static guint
n_branches (const FaintGrowth *self)
{
  guint n = 0;

  for (int b = 0; b < FAINT_BRANCH_N; b++)
    n += self->ladder->stack[b] >= 0;
  return n;
}

/* What was free is no evidence. Origin and B' are paid for with the places of one line in each of
 * the two strongest rungs; the scale of the strengths, and that it follows its neighbours, with the
 * two strengths that fit best. The presence of each branch and the scatter of the levels were found
 * from n rungs and cost ln(n)/2 each (Schwarz, Ann. Statist. 6, 461 (1978)). */
static double
cost_of_freedom (const FaintGrowth *self)
{
  const FaintObserved *observed = self->observed;
  double place[2] = { 0.0, 0.0 }, strength[2] = { 0.0, 0.0 };

  for (guint i = 0; i < self->chain->rungs->len; i++)
    {
      const FaintRung *rung = &g_array_index (self->chain->rungs, FaintRung, i);
      double here = 0.0, scale = faint_growth_scale (self, rung->j);

      for (int b = 0; b < FAINT_BRANCH_N; b++)
        if (rung->line[b] >= 0)
          {
            here = fmax (here, -log (observed->density[rung->line[b]] * sqrt (2.0 * G_PI)
                                     * hypot (rung->u_expected, observed->u[rung->line[b]])));
            take_most (strength, faint_evidence_strength (observed, rung->line[b],
                                                          scale + self->log_model[b][rung->j]));
          }
      take_most (place, here);
    }
  return place[0] + place[1] + strength[0] + strength[1]
         + 0.5 * (n_branches (self) + 1) * log (self->chain->rungs->len);
}

static void
sum_odds (FaintGrowth *self)
{
  FaintChain *chain = self->chain;
  double sum = 0.0;

  for (int j = end_of (chain, -1)->j; j <= end_of (chain, 1)->j; j++)
    {
      int at = faint_chain_at (chain, j);

      if (at >= 0)
        sum += g_array_index (chain->rungs, FaintRung, at).odds;
      else
        sum += cost_of_none (self, j);
    }
  chain->tried = self->tried;
  chain->odds = sum - cost_of_freedom (self) - self->tried;
  chain->log_scale = faint_growth_scale (self, (end_of (chain, -1)->j + end_of (chain, 1)->j) / 2);
}

/* Is it so far from enough after its first growth that another look at it is a waste? */
static gboolean
is_hopeless (FaintGrowth *self)
{
  if (self->chain->rungs->len < 3)
    return TRUE;
  sum_odds (self);
  if (self->chain->odds > self->options->least_odds - HOPE)
    return FALSE;
  self->chain->odds = -G_MAXDOUBLE;
  return TRUE;
}

void
faint_growth_run (FaintGrowth *self)
{
  const guint rounds = 3;

  self->chain->odds = -G_MAXDOUBLE;
  for (guint i = 0; i < rounds; i++)
    {
      gboolean changed;

      grow_to (self, 1);
      grow_to (self, -1);
      if (i == 0 && is_hopeless (self))
        return;
      changed = review (self);
      if (self->chain->rungs->len < 3)
        return;
      count_presence (self);
      if (!changed && i > 0)
        break;
    }
  review (self);
  if (self->chain->rungs->len >= 3)
    sum_odds (self);
}

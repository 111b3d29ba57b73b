/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Chains of all ladders, and which of those that claim the same lines stay.
 */
#include "faint/assign/chains-private.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define SHARED 0.5        /* of a chain's lines in a rival, for it to be one */
#define LEAST_CHANCE 0.01 /* expected accidental finds below which a perturbed level is taken */

typedef struct
{
  const FaintObserved *observed;
  const FaintLevels *levels;
  const GPtrArray *ladders;
  const FaintAssignOptions *options;
  guint8 *taken;
} Finding;

static void
clear_nodes (gpointer data)
{
  GArray **nodes = data;

  for (guint i = 0; nodes[i] != NULL; i++)
    g_array_unref (nodes[i]);
  g_free (nodes);
}

static int
compare_terms (const void *a, const void *b)
{
  const FaintCandidate *x = a, *y = b;

  return (x->term > y->term) - (x->term < y->term);
}

/* Candidates by J', sorted by term; the array ends with NULL. */
static GArray **
nodes_of (const Finding *self, guint ladder)
{
  const FaintLadder *it = g_ptr_array_index (self->ladders, ladder);
  GArray **nodes = g_new0 (GArray *, it->j_max + 2);

  for (guint j = 0; j <= it->j_max; j++)
    {
      FaintCandidate place = { .ladder = ladder, .j = (int)j };

      nodes[j] = g_array_new (FALSE, FALSE, sizeof (FaintCandidate));
      if (j < it->j_min)
        continue;
      faint_candidates_of_level (self->observed, self->levels, self->ladders, self->options, place,
                                 nodes[j]);
      g_array_sort (nodes[j], compare_terms);
    }
  return nodes;
}

static void
begin (const Finding *self, guint ladder, FaintGrowth *growth)
{
  const FaintLadder *it = g_ptr_array_index (self->ladders, ladder);
  double middle = self->observed->nu[self->observed->n / 2];
  int stack
      = it->stack[FAINT_BRANCH_R] >= 0 ? it->stack[FAINT_BRANCH_R] : it->stack[FAINT_BRANCH_Q];

  *growth = (FaintGrowth){ .observed = self->observed,
                           .levels = self->levels,
                           .ladder = it,
                           .options = self->options,
                           .taken = self->taken,
                           .n_ladders = self->ladders->len,
                           .stack = faint_levels_get_stack (self->levels, (guint)stack) };
  for (int b = 0; b < FAINT_BRANCH_N; b++)
    {
      growth->log_model[b] = g_new (double, it->j_max + 1);
      for (guint j = 0; j <= it->j_max; j++)
        {
          double strength = faint_ladder_strength (it, self->levels, b, (int)j, middle,
                                                   self->options->temperature);

          growth->log_model[b][j] = strength > 0.0 ? log (strength) : NAN;
        }
    }
}

static void
end (FaintGrowth *growth)
{
  for (int b = 0; b < FAINT_BRANCH_N; b++)
    g_free (growth->log_model[b]);
}

/* How many lines of @chain @other gives to another level, or to the same in another branch. */
static guint
count_shared (const FaintChain *chain, const FaintChain *other, gboolean *same, int *shift)
{
  guint shared = 0, alike = 0;

  for (guint i = 0; i < chain->rungs->len; i++)
    for (guint k = 0; k < other->rungs->len; k++)
      {
        const FaintRung *one = &g_array_index (chain->rungs, FaintRung, i);
        const FaintRung *two = &g_array_index (other->rungs, FaintRung, k);

        for (int a = 0; a < FAINT_BRANCH_N; a++)
          for (int b = 0; b < FAINT_BRANCH_N; b++)
            if (one->line[a] >= 0 && one->line[a] == two->line[b])
              {
                shared++;
                alike += chain->ladder == other->ladder && one->j == two->j && a == b;
                *shift = two->j - one->j;
              }
      }
  *same = 2 * alike > shared;
  return shared;
}

static guint
count_lines (const FaintChain *chain)
{
  guint n = 0;

  for (guint i = 0; i < chain->rungs->len; i++)
    n += g_array_index (chain->rungs, FaintRung, i).n_lines;
  return n;
}

/* The best chain that gives most of @chain's lines another meaning. */
static void
find_rival (const Finding *self, FaintChain *chain, const GPtrArray *others)
{
  for (guint i = 0; i < others->len; i++)
    {
      const FaintChain *other = g_ptr_array_index (others, i);
      gboolean same;
      int shift = 0;
      guint shared = count_shared (chain, other, &same, &shift);

      if (same || shared < SHARED * count_lines (chain)
          || (isfinite (chain->rival_odds) && other->odds <= chain->rival_odds))
        continue;
      chain->rival_odds = other->odds;
      chain->rival_ladder = other->ladder;
      chain->rival_shift = shift;
    }
  chain->undecided
      = isfinite (chain->rival_odds) && chain->odds - chain->rival_odds < self->options->margin;
}

static void
take_lines (const Finding *self, const FaintChain *chain)
{
  for (guint i = 0; i < chain->rungs->len; i++)
    for (int b = 0; b < FAINT_BRANCH_N; b++)
      {
        const FaintRung *rung = &g_array_index (chain->rungs, FaintRung, i);

        if (rung->line[b] >= 0)
          self->taken[rung->line[b]] = 1;
      }
}

static gboolean
is_touched (const Finding *self, const FaintChain *chain)
{
  for (guint i = 0; i < chain->rungs->len; i++)
    for (int b = 0; b < FAINT_BRANCH_N; b++)
      {
        const FaintRung *rung = &g_array_index (chain->rungs, FaintRung, i);

        if (rung->line[b] >= 0 && self->taken[rung->line[b]])
          return TRUE;
      }
  return FALSE;
}

/* Grows @chain again from what is left of it. */
static void
grow_again (const Finding *self, FaintChain *chain)
{
  FaintGrowth growth;

  begin (self, chain->ladder, &growth);
  growth.chain = chain;
  growth.tried = chain->tried;
  for (guint i = chain->rungs->len; i-- > 0;)
    {
      FaintRung *rung = &g_array_index (chain->rungs, FaintRung, i);

      for (int b = 0; b < FAINT_BRANCH_N; b++)
        if (rung->line[b] >= 0 && self->taken[rung->line[b]])
          rung->line[b] = -1;
      faint_growth_settle_rung (&growth, rung);
      if (rung->n_lines == 0)
        g_array_remove_index (chain->rungs, i);
    }
  chain->odds = -G_MAXDOUBLE;
  if (chain->rungs->len >= 3)
    faint_growth_run (&growth);
  end (&growth);
}

/* Perturbed levels: lines agree with each other, not with the chain. */
static void
find_displaced (const Finding *self, FaintChain *chain)
{
  GArray **nodes = nodes_of (self, chain->ladder);
  FaintGrowth growth;
  int first = g_array_index (chain->rungs, FaintRung, 0).j;
  int last = g_array_index (chain->rungs, FaintRung, chain->rungs->len - 1).j;

  begin (self, chain->ladder, &growth);
  growth.chain = chain;
  for (int j = MAX (first - 1, (int)growth.ladder->j_min);
       j <= MIN (last + 1, (int)growth.ladder->j_max); j++)
    {
      double reach = self->options->displacement * growth.stack->b, mean, sd, best = 3.0;
      FaintRung rung = { .j = j, .other = { -1, -1, -1 }, .displaced = TRUE };
      int at = faint_chain_at (chain, j);

      if ((at >= 0 && g_array_index (chain->rungs, FaintRung, at).n_lines > 0)
          || !faint_growth_predict (&growth, j, &mean, &sd))
        continue;
      for (guint i = 0; i < nodes[j]->len; i++)
        {
          const FaintCandidate *node = &g_array_index (nodes[j], FaintCandidate, i);
          gboolean free_lines = TRUE;
          double density = 0.0;

          for (int b = 0; b < FAINT_BRANCH_N; b++)
            if (node->line[b] >= 0)
              {
                free_lines = free_lines && !self->taken[node->line[b]];
                density = fmax (density, self->observed->density[node->line[b]]);
              }
          if (!free_lines || fabs (node->term - mean) > reach || node->odds <= best
              || node->chance * density * 2.0 * reach > LEAST_CHANCE)
            continue;
          best = node->odds;
          memcpy (rung.line, node->line, sizeof rung.line);
          rung.expected = mean;
          rung.u_expected = sd;
          rung.odds = rung.margin = node->odds;
        }
      if (best <= 3.0)
        continue;
      faint_growth_settle_rung (&growth, &rung);
      faint_chain_put (chain, &rung);
    }
  end (&growth);
  clear_nodes (nodes);
}

static int
compare_chains (gconstpointer a, gconstpointer b)
{
  const FaintChain *x = *(FaintChain *const *)a, *y = *(FaintChain *const *)b;

  if (x->odds != y->odds)
    return x->odds < y->odds ? 1 : -1;
  if (x->ladder != y->ladder)
    return x->ladder < y->ladder ? -1 : 1;
  return g_array_index (x->rungs, FaintRung, 0).j - g_array_index (y->rungs, FaintRung, 0).j;
}

static gboolean
grow_all (const Finding *self, GPtrArray *pool, const FaintProgress *progress, GError **error)
{
  for (guint l = 0; l < self->ladders->len; l++)
    {
      FaintGrowth growth;
      GArray **nodes;

      if (!faint_progress_step (progress, (double)l / self->ladders->len, "growing chains", error))
        return FALSE;
      nodes = nodes_of (self, l);
      begin (self, l, &growth);
      faint_seeds_grow (&growth, l, nodes, pool);
      end (&growth);
      clear_nodes (nodes);
    }
  return TRUE;
}

/* Takes the most probable chain again and again; those it hurts are grown without its lines. */
static void
choose (const Finding *self, GPtrArray *pool, GPtrArray *chosen)
{
  g_ptr_array_sort (pool, compare_chains);
  while (pool->len > 0)
    {
      FaintChain *chain = g_ptr_array_steal_index (pool, 0);

      if (is_touched (self, chain))
        {
          grow_again (self, chain);
          if (chain->odds > self->options->least_odds)
            {
              g_ptr_array_add (pool, chain);
              g_ptr_array_sort (pool, compare_chains);
            }
          else
            faint_chain_free (chain);
          continue;
        }
      find_rival (self, chain, pool);
      take_lines (self, chain);
      g_ptr_array_add (chosen, chain);
    }
}

/* The best chain of a ladder of one branch that goes with @partner. */
static void
find_lone (const Finding *self, guint ladder, FaintChain *partner, GPtrArray *chosen)
{
  g_autoptr (GPtrArray) pool = g_ptr_array_new_with_free_func ((GDestroyNotify)faint_chain_free);
  FaintGrowth growth, known;

  begin (self, ladder, &growth);
  begin (self, partner->ladder, &known);
  known.chain = partner;
  faint_lone_grow (&growth, ladder, &known, pool);
  end (&known);
  end (&growth);
  if (pool->len == 0)
    return;
  g_ptr_array_sort (pool, compare_chains);
  find_rival (self, g_ptr_array_index (pool, 0), pool);
  take_lines (self, g_ptr_array_index (pool, 0));
  g_ptr_array_add (chosen, g_ptr_array_steal_index (pool, 0));
}

/* Of a linear molecule: the ladders of tops have all branches. */
static void
find_lone_ones (const Finding *self, GPtrArray *chosen)
{
  guint known = chosen->len;

  if (faint_levels_get_constants (self->levels)->molecule != FAINT_MOLECULE_LINEAR)
    return;
  for (guint l = 0; l < self->ladders->len; l++)
    for (guint i = 0; faint_ladder_is_lone (g_ptr_array_index (self->ladders, l)) && i < known; i++)
      {
        FaintChain *partner = g_ptr_array_index (chosen, i);

        if (!partner->undecided && partner->ladder != l)
          find_lone (self, l, partner, chosen);
      }
}

GPtrArray *
faint_chains_find (const FaintObserved *observed, const FaintLevels *levels,
                   const GPtrArray *ladders, const FaintAssignOptions *options,
                   const FaintProgress *progress, GError **error)
{
  g_autofree guint8 *taken = g_new0 (guint8, observed->n + 1);
  Finding self = { observed, levels, ladders, options, taken };
  g_autoptr (GPtrArray) pool = g_ptr_array_new_with_free_func ((GDestroyNotify)faint_chain_free);
  g_autoptr (GPtrArray) chosen = g_ptr_array_new_with_free_func ((GDestroyNotify)faint_chain_free);

  if (observed->n == 0)
    return g_steal_pointer (&chosen);
  if (!grow_all (&self, pool, progress, error))
    return NULL;
  choose (&self, pool, chosen);
  find_lone_ones (&self, chosen);
  for (guint i = 0; i < chosen->len; i++)
    {
      FaintChain *chain = g_ptr_array_index (chosen, i);

      find_displaced (&self, chain);
      take_lines (&self, chain);
    }
  return g_steal_pointer (&chosen);
}

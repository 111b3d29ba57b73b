/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Where chains begin.
 */
#include "faint/assign/chains-private.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define STEP 3 /* most levels from one combination difference of a seed to the next */
#define SEEDS                                                                                      \
  8 /* kept for each that may be tried; most of them belong to a chain that is known               \
     */

typedef struct
{
  const FaintCandidate *node[3];
  double odds;
} Seed;

/* The most probable seeds: those below the least of them are not kept. */
typedef struct
{
  GArray *seeds; /* Seed */
  guint most;
  double least; /* odds */
} Heap;

/* A ladder's nodes by J', and the J' that have transitions: nuclear spin may take every other. */
typedef struct
{
  GArray *const *nodes;
  GArray *levels; /* int */
} Places;

static double
x_of (int j)
{
  return (double)j * (j + 1.0);
}

static const FaintCandidate *
node_at (const GArray *nodes, guint i)
{
  return &g_array_index (nodes, FaintCandidate, i);
}

/* First node at or above @term. */
static guint
node_from (const GArray *nodes, double term)
{
  guint low = 0, high = nodes->len;

  while (low < high)
    {
      guint middle = low + (high - low) / 2;

      if (node_at (nodes, middle)->term < term)
        low = middle + 1;
      else
        high = middle;
    }
  return low;
}

static gboolean
is_free (const FaintGrowth *self, const FaintCandidate *node)
{
  for (int b = 0; b < FAINT_BRANCH_N; b++)
    if (node->line[b] >= 0 && self->taken[node->line[b]])
      return FALSE;
  return TRUE;
}

static int
compare_seeds (const void *a, const void *b)
{
  const Seed *x = a, *y = b;

  if (x->odds != y->odds)
    return x->odds < y->odds ? 1 : -1;
  if (x->node[0]->j != y->node[0]->j)
    return x->node[0]->j - y->node[0]->j;
  return (x->node[0]->term > y->node[0]->term) - (x->node[0]->term < y->node[0]->term);
}

static void
shrink (Heap *heap)
{
  g_array_sort (heap->seeds, compare_seeds);
  if (heap->seeds->len <= heap->most)
    return;
  g_array_set_size (heap->seeds, heap->most);
  heap->least = g_array_index (heap->seeds, Seed, heap->most - 1).odds;
}

static void
keep (Heap *heap, const Seed *seed)
{
  if (seed->odds < heap->least)
    return;
  g_array_append_val (heap->seeds, *seed);
  if (heap->seeds->len >= 2 * heap->most)
    shrink (heap);
}

/* Have they no line in common? A line is one transition. */
static gboolean
are_apart (const FaintCandidate *one, const FaintCandidate *other)
{
  for (int a = 0; a < FAINT_BRANCH_N; a++)
    for (int b = 0; b < FAINT_BRANCH_N; b++)
      if (one->line[a] >= 0 && one->line[a] == other->line[b])
        return FALSE;
  return TRUE;
}

/* Nodes that continue the straight line in x through the first two. */
static void
third_nodes (const FaintGrowth *self, Seed seed, const GArray *nodes, int j, Heap *heap)
{
  const FaintStack *stack = self->stack;
  double x[3] = { x_of (seed.node[0]->j), x_of (seed.node[1]->j), x_of (j) };
  double ratio = (x[2] - x[1]) / (x[1] - x[0]), d = stack->d, reach, variance, place;
  double rough = self->options->roughness * stack->b;
  double t0 = seed.node[0]->term + d * x[0] * x[0], t1 = seed.node[1]->term + d * x[1] * x[1];
  double bend = 2.0 * (fabs (d) + 1e-9 * stack->b) * (x[2] - x[1]) * (x[2] - x[0]);

  place = t1 + (t1 - t0) * ratio - d * x[2] * x[2];
  variance = (1.0 + ratio) * (1.0 + ratio) * (seed.node[1]->u * seed.node[1]->u + rough * rough)
             + ratio * ratio * (seed.node[0]->u * seed.node[0]->u + rough * rough) + bend * bend
             + rough * rough;
  reach = self->options->coverage * (sqrt (variance) + self->observed->u_most);
  for (guint i = node_from (nodes, place - reach);
       i < nodes->len && node_at (nodes, i)->term <= place + reach; i++)
    {
      const FaintCandidate *node = node_at (nodes, i);
      double r = node->term - place, total = variance + node->u * node->u;

      if (!is_free (self, node) || !are_apart (node, seed.node[0])
          || !are_apart (node, seed.node[1])
          || r * r > self->options->coverage * self->options->coverage * total)
        continue;
      seed.node[2] = node;
      seed.odds = seed.node[0]->odds + seed.node[1]->odds + node->odds - 0.5 * r * r / total;
      keep (heap, &seed);
    }
}

static void
second_nodes (const FaintGrowth *self, Seed seed, const Places *places, guint at, Heap *heap)
{
  const FaintStack *stack = self->stack;
  int j = g_array_index (places->levels, int, at);
  const GArray *nodes = places->nodes[j];
  double dx = x_of (j) - x_of (seed.node[0]->j);
  double middle
      = seed.node[0]->term + stack->b * dx
        - stack->d * (x_of (j) * x_of (j) - x_of (seed.node[0]->j) * x_of (seed.node[0]->j));
  double reach = self->options->change_b * stack->b * dx;

  for (guint i = node_from (nodes, middle - reach);
       i < nodes->len && node_at (nodes, i)->term <= middle + reach; i++)
    if (is_free (self, node_at (nodes, i)) && are_apart (seed.node[0], node_at (nodes, i)))
      {
        seed.node[1] = node_at (nodes, i);
        for (guint k = at + 1; k <= at + STEP && k < places->levels->len; k++)
          {
            int third = g_array_index (places->levels, int, k);

            third_nodes (self, seed, places->nodes[third], third, heap);
          }
      }
}

static gboolean
chain_has (const FaintChain *chain, const FaintCandidate *node)
{
  int at = faint_chain_at (chain, node->j);

  if (at < 0)
    return FALSE;
  for (int b = 0; b < FAINT_BRANCH_N; b++)
    if (node->line[b] >= 0 && g_array_index (chain->rungs, FaintRung, at).line[b] != node->line[b])
      return FALSE;
  return TRUE;
}

/* Does a chain already hold two of its nodes? */
static gboolean
is_known (const GPtrArray *chains, guint from, const Seed *seed)
{
  for (guint i = from; i < chains->len; i++)
    {
      guint held = 0;

      for (guint n = 0; n < 3; n++)
        held += chain_has (g_ptr_array_index (chains, i), seed->node[n]);
      if (held >= 2)
        return TRUE;
    }
  return FALSE;
}

static FaintChain *
chain_of_seed (FaintGrowth *model, guint ladder, const Seed *seed)
{
  FaintChain *chain = faint_chain_new (ladder);

  model->chain = chain;
  for (guint n = 0; n < 3; n++)
    {
      FaintRung rung = { .j = seed->node[n]->j, .other = { -1, -1, -1 } };

      memcpy (rung.line, seed->node[n]->line, sizeof rung.line);
      faint_growth_settle_rung (model, &rung);
      rung.u_expected = rung.u;
      rung.odds = seed->node[n]->odds;
      faint_chain_put (chain, &rung);
    }
  faint_growth_run (model);
  return chain;
}

static GArray *
levels_with_transitions (const FaintGrowth *self)
{
  GArray *levels = g_array_new (FALSE, FALSE, sizeof (int));

  for (int j = (int)self->ladder->j_min; j <= (int)self->ladder->j_max; j++)
    if (faint_growth_exists (self, j))
      g_array_append_val (levels, j);
  return levels;
}

static guint
count_pairs (const FaintGrowth *self, int j)
{
  guint n = 0;

  for (int b = 0; b < FAINT_BRANCH_N; b++)
    n += faint_ladder_lower (self->ladder, self->levels, b, j) != NULL;
  return n * (n - 1) / 2;
}

/* ln of how many beginnings a ladder has before any coincidence is looked for: every line as a line
 * of every level, and with it every line that may be one of a second level. */
static double
count_beginnings (const FaintGrowth *self, const GArray *levels)
{
  const FaintObserved *observed = self->observed;
  double span = observed->nu[observed->n - 1] - observed->nu[0], sum = 1.0;
  double density = (double)observed->n / fmax (span, 1e-12);

  for (guint a = 0; a < levels->len; a++)
    for (guint b = a + 1; b <= a + STEP && b < levels->len; b++)
      {
        int j = g_array_index (levels, int, a), k = g_array_index (levels, int, b);
        double reach = self->options->change_b * self->stack->b * (x_of (k) - x_of (j));

        sum += (double)observed->n * count_pairs (self, j)
               * fmax (1.0, density * 2.0 * reach * count_pairs (self, k));
      }
  return log (sum);
}

/* All seeds, the most probable first; counts the beginnings that were tried. */
static GArray *
find_seeds (FaintGrowth *model, GArray *const *nodes)
{
  Heap heap = { g_array_new (FALSE, FALSE, sizeof (Seed)), SEEDS * model->options->attempts,
                -G_MAXDOUBLE };
  g_autoptr (GArray) levels = levels_with_transitions (model);
  Places places = { nodes, levels };

  for (guint a = 0; a < levels->len; a++)
    {
      const GArray *first = nodes[g_array_index (levels, int, a)];

      for (guint i = 0; i < first->len; i++)
        {
          Seed seed = { .node = { node_at (first, i) } };

          if (!is_free (model, seed.node[0]))
            continue;
          for (guint b = a + 1; b <= a + STEP && b < levels->len; b++)
            second_nodes (model, seed, &places, b, &heap);
        }
    }
  model->tried = count_beginnings (model, levels) + log (model->n_ladders);
  shrink (&heap);
  return heap.seeds;
}

void
faint_seeds_grow (FaintGrowth *model, guint ladder, GArray *const *nodes, GPtrArray *chains)
{
  g_autoptr (GArray) seeds = find_seeds (model, nodes);
  guint from = chains->len, attempts = 0;

  for (guint i = 0; i < seeds->len && attempts < model->options->attempts; i++)
    {
      const Seed *seed = &g_array_index (seeds, Seed, i);
      FaintChain *chain;

      if (is_known (chains, from, seed))
        continue;
      attempts++;
      chain = chain_of_seed (model, ladder, seed);
      if (chain->odds > model->options->least_odds)
        g_ptr_array_add (chains, chain);
      else
        faint_chain_free (chain);
    }
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Where chains begin.
 */
#include "faint/assign/chains-private.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define STEP 3 /* most J between the combination differences of a seed */

typedef struct
{
  const FaintCandidate *node[3];
  double odds;
} Seed;

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

/* Nodes that continue the straight line in x through the first two. */
static void
third_nodes (const FaintGrowth *self, Seed seed, const GArray *nodes, int j, GArray *seeds)
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

      if (!is_free (self, node)
          || r * r > self->options->coverage * self->options->coverage * total)
        continue;
      seed.node[2] = node;
      seed.odds = seed.node[0]->odds + seed.node[1]->odds + node->odds - 0.5 * r * r / total;
      g_array_append_val (seeds, seed);
    }
}

static guint64
second_nodes (const FaintGrowth *self, Seed seed, GArray *const *nodes, int j, GArray *seeds)
{
  const FaintStack *stack = self->stack;
  double dx = x_of (j) - x_of (seed.node[0]->j);
  double middle
      = seed.node[0]->term + stack->b * dx
        - stack->d * (x_of (j) * x_of (j) - x_of (seed.node[0]->j) * x_of (seed.node[0]->j));
  double reach = self->options->change_b * stack->b * dx;
  guint64 tried = 0;

  for (guint i = node_from (nodes[j], middle - reach);
       i < nodes[j]->len && node_at (nodes[j], i)->term <= middle + reach; i++)
    if (is_free (self, node_at (nodes[j], i)))
      {
        seed.node[1] = node_at (nodes[j], i);
        tried++;
        for (int k = j + 1; k <= MIN (j + STEP, (int)self->ladder->j_max); k++)
          third_nodes (self, seed, nodes[k], k, seeds);
      }
  return tried;
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
      faint_chain_put (chain, &rung);
    }
  faint_growth_run (model);
  return chain;
}

void
faint_seeds_grow (FaintGrowth *model, guint ladder, GArray *const *nodes, GPtrArray *chains)
{
  g_autoptr (GArray) seeds = g_array_new (FALSE, FALSE, sizeof (Seed));
  int first = (int)model->ladder->j_min, last = (int)model->ladder->j_max;
  guint from = chains->len, attempts = 0;
  guint64 tried = 0;

  for (int j = first; j <= last; j++)
    for (guint i = 0; i < nodes[j]->len; i++)
      if (is_free (model, node_at (nodes[j], i)))
        {
          Seed seed = { .node = { node_at (nodes[j], i) } };

          for (int k = j + 1; k <= MIN (j + STEP, last); k++)
            tried += second_nodes (model, seed, nodes, k, seeds);
        }
  model->tried = log (1.0 + (double)tried);
  g_array_sort (seeds, compare_seeds);
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

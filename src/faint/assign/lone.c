/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Ladders of one branch: no two lines share an upper level, so that there are no combination
 * differences to begin with. The Q lines of a Pi-Sigma band are such, to the f levels. But those
 * levels are the e levels, which are known from P and R lines, moved by l-type doubling: by
 * q J(J+1), with nearly one q for all J (Herzberg, 1945, page 377). One number is free, and every
 * line near every place is tried for it.
 */
#include "faint/assign/chains-private.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define LARGEST_Q 0.02 /* as a share of B */
#define NEAR 6         /* J on either side that must agree with a beginning */
#define KEPT 20        /* beginnings that are grown */
#define PRESENCE 0.5

typedef struct
{
  int j, line;
  double q, score;
} Beginning;

typedef struct
{
  FaintGrowth *growth;        /* of the ladder of one branch */
  const FaintGrowth *partner; /* whose levels are known */
  int branch;
  double rough;
} Lone;

static double
x_of (int j)
{
  return (double)j * (j + 1.0);
}

/* Where the line to @j lies without doubling. */
static gboolean
place_of (const Lone *self, int j, double *place, double *u)
{
  const FaintChain *chain = self->partner->chain;
  const FaintLevel *lower
      = faint_ladder_lower (self->growth->ladder, self->growth->levels, self->branch, j);
  int at = faint_chain_at (chain, j);

  if (lower == NULL || j < g_array_index (chain->rungs, FaintRung, 0).j
      || j > g_array_index (chain->rungs, FaintRung, chain->rungs->len - 1).j)
    return FALSE;
  if (at >= 0 && !g_array_index (chain->rungs, FaintRung, at).displaced)
    {
      *place = g_array_index (chain->rungs, FaintRung, at).term;
      *u = g_array_index (chain->rungs, FaintRung, at).u;
    }
  else if (!faint_growth_predict (self->partner, j, place, u))
    return FALSE;
  *place -= lower->energy;
  *u = hypot (*u, self->rough);
  return TRUE;
}

/* The line that belongs to @j with this q, or -1; its evidence is added to *score. */
static int
line_at (const Lone *self, int j, double q, double *score)
{
  const FaintObserved *observed = self->growth->observed;
  double coverage = self->growth->options->coverage, place, u, reach, best = 0.0;
  int found = -1;

  if (!place_of (self, j, &place, &u))
    return -1;
  place += q * x_of (j);
  reach = coverage * hypot (u, observed->u_most);
  for (gsize i = faint_observed_from (observed, place - reach);
       i < observed->n && observed->nu[i] <= place + reach; i++)
    {
      double gain = log (PRESENCE)
                    + faint_evidence_position (observed, i, observed->nu[i] - place,
                                               u * u + observed->u[i] * observed->u[i]);

      if (!self->growth->taken[i] && gain > best)
        {
          best = gain;
          found = (int)i;
        }
    }
  *score += found >= 0 ? best : log (1.0 - PRESENCE);
  return found;
}

static int
compare (const void *a, const void *b)
{
  const Beginning *x = a, *y = b;

  if (x->score != y->score)
    return x->score < y->score ? 1 : -1;
  return x->j != y->j ? x->j - y->j : x->line - y->line;
}

static GArray *
find_beginnings (const Lone *self)
{
  GArray *found = g_array_new (FALSE, FALSE, sizeof (Beginning));
  const FaintObserved *observed = self->growth->observed;

  for (int j = MAX ((int)self->growth->ladder->j_min, 1); j <= (int)self->growth->ladder->j_max;
       j++)
    {
      double place, u, reach = LARGEST_Q * self->growth->stack->b * x_of (j);

      if (!place_of (self, j, &place, &u))
        continue;
      for (gsize i = faint_observed_from (observed, place - reach);
           i < observed->n && observed->nu[i] <= place + reach; i++)
        {
          Beginning it = { .j = j, .line = (int)i, .q = (observed->nu[i] - place) / x_of (j) };

          if (self->growth->taken[i])
            continue;
          for (int k = j - NEAR; k <= j + NEAR; k++)
            if (k != j)
              line_at (self, k, it.q, &it.score);
          g_array_append_val (found, it);
        }
    }
  self->growth->tried = log (1.0 + found->len) + log (self->growth->n_ladders);
  g_array_sort (found, compare);
  return found;
}

/* ln of how much less probable a chain is for what it says of q: nearly one for all levels. */
static double
cost_of_doubling (const Lone *self, const FaintChain *chain)
{
  double a11 = 0.0, a12 = 0.0, a22 = 0.0, b1 = 0.0, b2 = 0.0, yy = 0.0, least;
  guint n = 0;

  for (guint i = 0; i < chain->rungs->len; i++)
    {
      const FaintRung *rung = &g_array_index (chain->rungs, FaintRung, i);
      double place, u, x = x_of (rung->j), y, w;

      if (rung->line[self->branch] < 0 || !place_of (self, rung->j, &place, &u))
        continue;
      y = self->growth->observed->nu[rung->line[self->branch]] - place;
      w = 1.0 / (u * u + rung->u * rung->u);
      a11 += w * x * x;
      a12 += w * x * x * x;
      a22 += w * x * x * x * x;
      b1 += w * x * y;
      b2 += w * x * x * y;
      yy += w * y * y;
      n++;
    }
  if (n < 3)
    return G_MAXDOUBLE;
  least = yy - (a22 * b1 * b1 - 2.0 * a12 * b1 * b2 + a11 * b2 * b2) / (a11 * a22 - a12 * a12);
  return 0.5 * fmax (0.0, least - n);
}

static FaintChain *
grow (const Lone *self, guint ladder, const Beginning *from)
{
  FaintChain *chain = faint_chain_new (ladder);
  double ignored = 0.0;

  self->growth->chain = chain;
  for (int j = from->j - NEAR; j <= from->j + NEAR; j++)
    {
      FaintRung rung = { .j = j, .line = { -1, -1, -1 }, .other = { -1, -1, -1 } };

      rung.line[self->branch] = j == from->j ? from->line : line_at (self, j, from->q, &ignored);
      if (rung.line[self->branch] < 0)
        continue;
      faint_growth_settle_rung (self->growth, &rung);
      rung.u_expected = rung.u;
      faint_chain_put (chain, &rung);
    }
  if (chain->rungs->len < 3)
    {
      chain->odds = -G_MAXDOUBLE;
      return chain;
    }
  faint_growth_run (self->growth);
  if (chain->odds > self->growth->options->least_odds)
    chain->odds -= cost_of_doubling (self, chain);
  return chain;
}

gboolean
faint_ladder_is_lone (const FaintLadder *ladder)
{
  guint n = 0;

  for (int b = 0; b < FAINT_BRANCH_N; b++)
    n += ladder->stack[b] >= 0;
  return n == 1;
}

void
faint_lone_grow (FaintGrowth *growth, guint ladder, const FaintGrowth *partner, GPtrArray *chains)
{
  Lone self = { growth, partner, 0, growth->options->roughness * growth->stack->b };
  g_autoptr (GArray) beginnings = NULL;

  while (growth->ladder->stack[self.branch] < 0)
    self.branch++;
  beginnings = find_beginnings (&self);
  for (guint i = 0; i < MIN (beginnings->len, KEPT); i++)
    {
      FaintChain *chain = grow (&self, ladder, &g_array_index (beginnings, Beginning, i));

      if (chain->odds > growth->options->least_odds)
        g_ptr_array_add (chains, chain);
      else
        faint_chain_free (chain);
    }
}

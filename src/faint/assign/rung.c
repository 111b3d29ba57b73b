/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * One level of a chain: where it is expected, and which lines belong to it.
 */
#include "faint/assign/chains-private.h"
#include "faint/assign/cubic-private.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define REACH 40  /* J: rungs further away say nothing */
#define CHOICES 5 /* lines looked at in one branch */

static double
reduced_term (const FaintStack *stack, int j, double term)
{
  double x = (double)j * (j + 1.0);

  return term - stack->b * x + stack->d * x * x;
}

/* Rungs nearest to @j, without it and without perturbed ones. */
static guint
nearest_rungs (const FaintChain *chain, int j, const FaintRung **near)
{
  int right = 0, left, n = (int)chain->rungs->len;
  const FaintRung *rungs = (const FaintRung *)chain->rungs->data;
  guint found = 0;

  while (right < n && rungs[right].j < j)
    right++;
  left = right - 1;
  while (found < FAINT_CUBIC_MOST && (left >= 0 || right < n))
    {
      gboolean go_left = right >= n || (left >= 0 && j - rungs[left].j <= rungs[right].j - j);
      const FaintRung *it = go_left ? &rungs[left--] : &rungs[right++];

      if (it->j != j && !it->displaced && it->n_lines > 0 && abs (it->j - j) <= REACH)
        near[found++] = it;
    }
  return found;
}

gboolean
faint_growth_predict (const FaintGrowth *self, int j, double *mean, double *sd)
{
  const FaintRung *rungs[FAINT_CUBIC_MOST];
  const FaintStack *stack = self->stack;
  double x = (double)j * (j + 1.0), scale = 1.0, first, offset;
  double rough = self->options->roughness * stack->b, d = fabs (stack->d) + 1e-9 * stack->b;
  double prior[3];
  FaintCubicPoints near = { .n = nearest_rungs (self->chain, j, rungs) };

  if (near.n < 2)
    return FALSE;
  for (guint n = 0; n < near.n; n++)
    scale = fmax (scale, fabs ((double)rungs[n]->j * (rungs[n]->j + 1.0) - x));
  offset = reduced_term (stack, rungs[0]->j, rungs[0]->term);
  for (guint n = 0; n < near.n; n++)
    {
      near.xi[n] = ((double)rungs[n]->j * (rungs[n]->j + 1.0) - x) / scale;
      near.y[n] = reduced_term (stack, rungs[n]->j, rungs[n]->term) - offset;
      near.variance[n] = rungs[n]->u * rungs[n]->u;
    }
  prior[0] = self->options->change_b * stack->b * scale;
  prior[1] = 2.0 * d * scale * scale;
  prior[2] = 20.0 * d * d / stack->b * scale * scale * scale;
  if (!faint_cubic_predict (&near, prior, rough, &first, sd))
    return FALSE;
  *mean = first + offset + stack->b * x - stack->d * x * x;
  return TRUE;
}

void
faint_growth_settle_rung (const FaintGrowth *self, FaintRung *rung)
{
  const FaintObserved *observed = self->observed;
  double weights = 0.0, sum = 0.0;

  rung->n_lines = 0;
  rung->chi2 = 0.0;
  for (int pass = 0; pass < 2; pass++)
    for (int b = 0; b < FAINT_BRANCH_N; b++)
      {
        const FaintLevel *lower = faint_ladder_lower (self->ladder, self->levels, b, rung->j);
        double w, term;

        if (rung->line[b] < 0 || lower == NULL)
          continue;
        w = 1.0 / (observed->u[rung->line[b]] * observed->u[rung->line[b]]);
        term = observed->nu[rung->line[b]] + lower->energy;
        if (pass == 0)
          {
            weights += w;
            sum += w * term;
            rung->n_lines++;
          }
        else
          rung->chi2 += w * (term - sum / weights) * (term - sum / weights);
      }
  rung->term = weights > 0.0 ? sum / weights : NAN;
  rung->u = weights > 0.0 ? sqrt (1.0 / weights) : NAN;
}

static int
compare (const void *a, const void *b)
{
  double x = *(const double *)a, y = *(const double *)b;

  return (x > y) - (x < y);
}

double
faint_growth_scale (const FaintGrowth *self, int j)
{
  const FaintRung *rungs[FAINT_CUBIC_MOST];
  double known[FAINT_CUBIC_MOST * FAINT_BRANCH_N];
  guint n = nearest_rungs (self->chain, j, rungs), found = 0;

  for (guint i = 0; i < n; i++)
    for (int b = 0; b < FAINT_BRANCH_N; b++)
      if (rungs[i]->line[b] >= 0)
        {
          double measured = self->observed->log_strength[rungs[i]->line[b]];
          double model = self->log_model[b][rungs[i]->j];

          if (isfinite (measured) && isfinite (model))
            known[found++] = measured - model;
        }
  if (found < 2)
    return NAN;
  qsort (known, found, sizeof *known, compare);
  return 0.5 * (known[(found - 1) / 2] + known[found / 2]);
}

double
faint_growth_presence (const FaintGrowth *self, int branch, int j, double scale)
{
  double expected = scale + self->log_model[branch][j], seen = 1.0;

  if (isfinite (expected) && isfinite (self->observed->limit_log))
    seen = 0.5 * erfc (-(expected - self->observed->limit_log) / (0.5 * G_SQRT2));
  return CLAMP (self->chain->presence[branch] * seen, 0.01, 0.98);
}

/* Lines of each branch within reach of the level. */
typedef struct
{
  const FaintLevel *lower[FAINT_BRANCH_N];
  int line[FAINT_BRANCH_N][CHOICES];
  int n[FAINT_BRANCH_N];
  double presence[FAINT_BRANCH_N];
  double variance[FAINT_BRANCH_N]; /* of the lower level against that of the first branch */
  double scale, mean, sd;
  int j;
} Reach;

/* Does another level of the chain have this line? A line is one transition. */
static gboolean
is_used (const FaintChain *chain, int line, int j)
{
  for (guint i = 0; i < chain->rungs->len; i++)
    {
      const FaintRung *rung = &g_array_index (chain->rungs, FaintRung, i);

      for (int b = 0; b < FAINT_BRANCH_N; b++)
        if (rung->line[b] == line && rung->j != j)
          return TRUE;
    }
  return FALSE;
}

static void
look (const FaintGrowth *self, Reach *reach)
{
  const FaintObserved *observed = self->observed;
  const FaintLevel *first = NULL;

  reach->scale = faint_growth_scale (self, reach->j);
  for (int b = 0; b < FAINT_BRANCH_N; b++)
    {
      const FaintLevel *lower = faint_ladder_lower (self->ladder, self->levels, b, reach->j);
      double place, most;

      reach->lower[b] = lower;
      reach->n[b] = 0;
      if (lower == NULL)
        continue;
      first = first != NULL ? first : lower;
      reach->variance[b] = faint_levels_u_difference (self->levels, lower, first);
      reach->variance[b] *= reach->variance[b];
      reach->presence[b] = faint_growth_presence (self, b, reach->j, reach->scale);
      place = reach->mean - lower->energy;
      most = self->options->coverage * hypot (reach->sd, observed->u_most);
      for (gsize i = faint_observed_from (observed, place - most);
           i < observed->n && observed->nu[i] <= place + most && reach->n[b] < CHOICES; i++)
        if (!self->taken[i]
            && fabs (observed->nu[i] - place)
                   <= self->options->coverage
                          * sqrt (reach->sd * reach->sd + observed->u[i] * observed->u[i]
                                  + reach->variance[b])
            && !is_used (self->chain, (int)i, reach->j))
          reach->line[b][reach->n[b]++] = (int)i;
    }
}

/* ln of how probable what is seen is when @line are the level's lines, over all being chance. Lines
 * that do not match each other are no choice. */
static double
weigh (const FaintGrowth *self, const Reach *reach, const int *line)
{
  double odds = 0.0, mean = reach->mean, variance = reach->sd * reach->sd;

  for (int b = 0; b < FAINT_BRANCH_N; b++)
    {
      double r, total, gain;

      if (reach->lower[b] == NULL)
        continue;
      if (line[b] < 0)
        {
          odds += log (1.0 - reach->presence[b]);
          continue;
        }
      r = self->observed->nu[line[b]] + reach->lower[b]->energy - mean;
      total
          = variance + self->observed->u[line[b]] * self->observed->u[line[b]] + reach->variance[b];
      if (r * r > self->options->coverage * self->options->coverage * total)
        return -G_MAXDOUBLE;
      odds += log (reach->presence[b]) + faint_evidence_position (self->observed, line[b], r, total)
              + faint_evidence_strength (self->observed, line[b],
                                         reach->scale + self->log_model[b][reach->j])
              + faint_evidence_energy (self->observed, line[b], reach->lower[b]->energy);
      gain = variance / total;
      mean += gain * r;
      variance *= 1.0 - gain;
    }
  return odds;
}

typedef struct
{
  int line[FAINT_BRANCH_N];
  double odds;
} Choice;

/* Every set of at most one line in each branch, weighed; returns how many. */
static guint
weigh_all (const FaintGrowth *self, const Reach *reach, Choice *choices)
{
  guint n = 0;

  for (int p = -1; p < reach->n[FAINT_BRANCH_P]; p++)
    for (int q = -1; q < reach->n[FAINT_BRANCH_Q]; q++)
      for (int r = -1; r < reach->n[FAINT_BRANCH_R]; r++)
        {
          Choice *it = &choices[n];

          it->line[FAINT_BRANCH_P] = p >= 0 ? reach->line[FAINT_BRANCH_P][p] : -1;
          it->line[FAINT_BRANCH_Q] = q >= 0 ? reach->line[FAINT_BRANCH_Q][q] : -1;
          it->line[FAINT_BRANCH_R] = r >= 0 ? reach->line[FAINT_BRANCH_R][r] : -1;
          if (q >= 0
              && (it->line[FAINT_BRANCH_Q] == it->line[FAINT_BRANCH_P]
                  || it->line[FAINT_BRANCH_Q] == it->line[FAINT_BRANCH_R]))
            continue;
          it->odds = weigh (self, reach, it->line);
          n++;
        }
  return n;
}

/* Branches in which a choice nearly as good has another line are left open. */
static void
leave_open (const FaintGrowth *self, const Choice *choices, guint n, guint best, FaintRung *rung)
{
  rung->margin = G_MAXDOUBLE;
  for (guint i = 0; i < n; i++)
    {
      double behind = choices[best].odds - choices[i].odds;

      if (i == best)
        continue;
      rung->margin = fmin (rung->margin, behind);
      if (behind >= self->options->margin)
        continue;
      for (int b = 0; b < FAINT_BRANCH_N; b++)
        if (choices[best].line[b] >= 0 && choices[i].line[b] != choices[best].line[b])
          {
            rung->line[b] = -1;
            rung->other[b] = choices[i].line[b] >= 0 ? choices[i].line[b] : choices[best].line[b];
          }
    }
}

FaintRung
faint_growth_choose (const FaintGrowth *self, int j, double mean, double sd)
{
  FaintRung rung = { .j = j,
                     .line = { -1, -1, -1 },
                     .other = { -1, -1, -1 },
                     .expected = mean,
                     .u_expected = sd,
                     .margin = G_MAXDOUBLE };
  Choice choices[(CHOICES + 1) * (CHOICES + 1) * (CHOICES + 1)];
  Reach reach = { .j = j, .mean = mean, .sd = sd };
  guint n, best = 0;

  choices[0] = (Choice){ { -1, -1, -1 }, 0.0 };
  look (self, &reach);
  n = weigh_all (self, &reach, choices);
  for (guint i = 1; i < n; i++)
    if (choices[i].odds > choices[best].odds)
      best = i;
  memcpy (rung.line, choices[best].line, sizeof rung.line);
  rung.odds = choices[best].odds; /* over chance; choices[0] is that no line is there */
  leave_open (self, choices, n, best, &rung);
  faint_growth_settle_rung (self, &rung);
  return rung;
}

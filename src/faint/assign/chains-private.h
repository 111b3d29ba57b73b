/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Growing one chain. For this folder alone.
 */
#pragma once

#include "faint/assign/chains.h"

typedef struct
{
  const FaintObserved *observed;
  const FaintLevels *levels;
  const FaintLadder *ladder;
  const FaintAssignOptions *options;
  const FaintStack *stack;           /* a lower stack that the upper one resembles */
  const guint8 *taken;               /* by line: 1 where it belongs to another chain */
  double *log_model[FAINT_BRANCH_N]; /* ln of relative strength by J' */
  guint n_ladders;                   /* that are tried, each of them */
  double tried;                      /* ln of the number of beginnings that were tried in all */
  FaintChain *chain;
} FaintGrowth;

/* Does any transition lead to this level? */
gboolean faint_growth_exists (const FaintGrowth *self, int j);
/* What the rungs but that at @j say of the level @j; FALSE where there are too few. */
gboolean faint_growth_predict (const FaintGrowth *self, int j, double *mean, double *sd);
/* The best choice of lines at @j, expected at @mean with @sd; none of them where that is best. */
FaintRung faint_growth_choose (const FaintGrowth *self, int j, double mean, double sd);
/* The median of measured over relative strength (ln) of up to twelve rungs nearest to @j; NAN where
 * fewer than two lines tell. */
double faint_growth_scale (const FaintGrowth *self, int j);
/* Probability that a line of @branch at @j is in the list if the chain is true. */
double faint_growth_presence (const FaintGrowth *self, int branch, int j, double scale);
/* Fills what follows from a rung's lines: n_lines, term, u, chi2. */
void faint_growth_settle_rung (const FaintGrowth *self, FaintRung *rung);

/* Index of the rung with @j, or -1. */
int faint_chain_at (const FaintChain *self, int j);
void faint_chain_put (FaintChain *self, const FaintRung *rung);
void faint_chain_drop (FaintChain *self, int j);

/* Grows self->chain, which holds its seed, to its end, and gives it its odds. */
void faint_growth_run (FaintGrowth *self);

/* All beginnings in one ladder, grown; appends to @chains those with odds above
 * options->least_odds. */
void faint_seeds_grow (FaintGrowth *model, guint ladder, GArray *const *nodes, GPtrArray *chains);
FaintChain *faint_chain_new (guint ladder);

/* Has it one branch alone? */
gboolean faint_ladder_is_lone (const FaintLadder *ladder);
/* Chains of such a ladder, from those of the other component of the same upper state, @partner,
 * whose chain is grown. */
void
faint_lone_grow (FaintGrowth *growth, guint ladder, const FaintGrowth *partner, GPtrArray *chains);

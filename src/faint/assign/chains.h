/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Chains: upper levels J', J'+1, J'+2, ... of one ladder that follow each other smoothly, grown
 * from seeds without a hand on them.
 *
 * A seed is three combination differences at most three J apart each, whose levels lie on a smooth
 * curve with a B' near B''. From there a chain grows to both sides: the next level is predicted,
 * with its uncertainty, from the twelve nearest ones (a cubic in J(J+1) whose higher terms are held
 * near those of the lower state, and whose scatter is measured as it goes), and of all lines within
 * reach that set is taken which makes what is seen most probable, none being one of the choices. A
 * chain ends where longest_gap levels in a row show no line, where the levels end, or where the
 * prediction is no longer one. Its odds count every line found and every line missed.
 *
 * Chains that claim the same lines compete: the most probable wins its lines, the others are grown
 * again without them. Where a rival that assigns them otherwise comes near, the chain is undecided.
 */
#pragma once

#include "faint/assign/combination.h"

/* An upper level of a chain. */
typedef struct
{
  int j;                     /* J' */
  int line[FAINT_BRANCH_N];  /* index among the observed lines, or -1 */
  int other[FAINT_BRANCH_N]; /* of a branch that the data do not decide: another line that may be
                                it; -1 where there is none */
  guint n_lines;
  double term, u;              /* from its lines, cm-1 */
  double expected, u_expected; /* from the other levels of the chain */
  double chi2;                 /* of the lines about their mean */
  double odds;                 /* ln, of these lines over none */
  double margin;               /* ln, over the best other choice of lines */
  gboolean displaced;          /* lines agree with each other and not with the chain: perturbed */
} FaintRung;

typedef struct
{
  guint ladder;
  GArray *rungs;                   /* FaintRung, J' rising */
  double odds;                     /* ln of the odds over chance, what was tried counted */
  double presence[FAINT_BRANCH_N]; /* share of expected lines that are there */
  double tried;                    /* ln of the number of beginnings that were tried */
  double log_scale;                /* ln of measured over relative strength; NAN */
  double rival_odds;               /* of the best chain that assigns its lines otherwise; NAN */
  guint rival_ladder;
  int rival_shift; /* J' of the rival minus that of this one */
  gboolean undecided;
} FaintChain;
void faint_chain_free (FaintChain *self);

/* All chains that the data support, the most probable first, no line in two of them. Owns its
 * FaintChain; NULL when cancelled. */
GPtrArray *faint_chains_find (const FaintObserved *observed, const FaintLevels *levels,
                              const GPtrArray *ladders, const FaintAssignOptions *options,
                              const FaintProgress *progress, GError **error);

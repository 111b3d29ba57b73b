/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Combination differences: pairs and triples of lines that point at one upper level.
 *
 * Two lines that share an upper level differ by a known difference of lower levels. For each upper
 * level of each ladder the search walks the sorted lines of two branches side by side, so that it
 * costs one pass for each level and pair of branches, whatever the number of lines.
 */
#pragma once

#include "faint/assign/evidence.h"
#include "faint/base/progress.h"

typedef struct
{
  guint ladder;             /* index */
  int j;                    /* J' */
  int line[FAINT_BRANCH_N]; /* index among the observed lines, or -1 */
  guint n_lines;            /* two or three */
  double term, u;           /* upper level from these lines, weighted mean, cm-1 */
  double chi2;              /* of the lines about it; n_lines - 1 degrees of freedom */
  double odds;              /* ln: coincidence, strengths and energies together */
  double chance;            /* coincidences expected by chance for a line of this neighbourhood */
} FaintCandidate;

/* Appends to @candidates (of FaintCandidate) those of the level @j of ladder @ladder. */
void faint_candidates_of_level (const FaintObserved *observed, const FaintLevels *levels,
                                const GPtrArray *ladders, const FaintAssignOptions *options,
                                FaintCandidate place, GArray *candidates);

/* All of them, the best first; free with g_array_unref. NULL when cancelled. */
GArray *faint_candidates_find (const FaintObserved *observed, const FaintLevels *levels,
                               const GPtrArray *ladders, const FaintAssignOptions *options,
                               const FaintProgress *progress, GError **error);

/* Number of pairs that chance alone is expected to give among @candidates' levels: for every level
 * and pair of branches the sum over lines of local density times the width of the tolerance. */
double faint_candidates_by_chance (const FaintObserved *observed, const FaintLevels *levels,
                                   const GPtrArray *ladders, const FaintAssignOptions *options);

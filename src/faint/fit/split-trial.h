/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * One line against two: the windows that a line reaches are fitted again with a pair in its place,
 * all other windows and what all share being held. Several lines in windows apart are one fit.
 */
#pragma once

#include "faint/fit/search.h"

typedef struct
{
  gsize line;              /* of the search */
  double promise;          /* of the residuals: fall of chi-square */
  gsize window, n_windows; /* of the search's layout: those that the line reaches */
  double chi2_one;         /* of these windows at the optimum with one line */
  double fall;             /* with the best pair, over the square of the noise scale; 0: no pair */
  FaintLine pair[2];       /* that pair, as fitted */
} FaintSplitCandidate;

/* Fits @candidates (FaintSplitCandidate, rising lines, no window in common; taken) with one line
 * each and, from several starts, with two. FALSE when cancelled. */
gboolean faint_split_try (FaintSearch *search, GPtrArray *candidates, GError **error);

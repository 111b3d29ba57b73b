/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Combination differences of one line: which others would share its upper level, and under which
 * assignment of both. Unlike the search for all (combination.h) this is a list to choose from.
 */
#pragma once

#include "faint/assign/evidence.h"

typedef struct
{
  guint ladder;
  int j;              /* J' */
  FaintBranch branch; /* of the line itself */
  FaintBranch other;  /* of the partner */
  guint id;           /* of the partner */
  double misfit, u;   /* of the difference from that of the lower levels, cm-1 */
  double ratio;       /* measured ratio of strengths, partner to line, over the expected one; NAN */
  /* Probability that chance alone gives a partner as near as this among all that were tried: lines
   * strewn at random with the density that they have here. */
  double chance;
} FaintPartner;

/* Those within options->coverage combined uncertainties, the least misfit in units of its
 * uncertainty first; FaintPartner. Empty where @id is not among the observed lines. Free with
 * g_array_unref. */
GArray *faint_partners_find (const FaintObserved *observed, const FaintLevels *levels,
                             const GPtrArray *ladders, const FaintAssignOptions *options, guint id);

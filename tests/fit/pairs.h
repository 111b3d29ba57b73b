/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Records with pairs of lines so close that one line may be taken for them, among single lines that
 * tell the widths, and the count of what a fit makes of them. Half the lines are strong; Lorentz
 * widths are drawn from a population of 0.3 Doppler widths that spreads by 15 %.
 */
#pragma once

#include "faint/fit/fit.h"
#include "synthetic.h"

#define PAIR_SLOTS 80  /* lines or pairs of a record */
#define PAIR_PEAK 0.05 /* peak absorption of the stronger member */

/* Every fourth slot holds a pair; at distance 0 none does. */
typedef struct
{
  double ratio, snr, distance; /* of strengths; of the stronger one's strength, were it alone; half
                                  widths */
} Pair;

typedef struct
{
  FaintLine lines[2 * PAIR_SLOTS];
  gsize n;
  double centre[PAIR_SLOTS], hwhm;
} PairTruth;

void pairs_draw (FaintSetup *setup, const Pair *pair, guint32 seed, PairTruth *truth);
FaintSpectrum *pairs_record (FaintSetup *setup, const PairTruth *truth, double snr, guint32 seed);

typedef struct
{
  guint pairs, two, flagged, more; /* of the pairs: fitted as two lines, as one that is flagged as
                                      unusually wide, as more than two */
  guint singles, extra,
      doubtful;   /* of the single lines: those taken for none or several, flagged */
  double squares; /* of errors over uncertainties: position and strength of each
                     member of pairs fitted as two */
  gboolean converged;
} PairCount;

/* Root of the mean of the squares. */
double pairs_pulls (const PairCount *count);
/* One record with the default options. */
PairCount pairs_count (const Pair *pair, guint32 seed);

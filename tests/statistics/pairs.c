/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How near to each other two lines may stand and still be taken for two, over distance, ratio and
 * signal-to-noise ratio: a hundred pairs of each kind among three hundred single lines, none of
 * which may be taken for two.
 */
#include "faint/base/program.h"
#include "faint/base/parallel.h"
#include "pairs.h"


#define THREADS 2
#define RECORDS 5 /* of each kind, 20 pairs and 60 single lines each */

static const double ratios[] = { 1.0, 0.5, 0.2 };
static const double snrs[] = { 30.0, 60.0, 100.0, 200.0, 500.0 };
static const double distances[] = { 0.5, 0.75, 0.9, 1.0, 1.25, 1.5, 2.0 };
#define N_SNRS G_N_ELEMENTS (snrs)
#define N_DISTANCES G_N_ELEMENTS (distances)
#define N_KINDS (G_N_ELEMENTS (ratios) * N_SNRS * N_DISTANCES)

static Pair
kind_of (gsize kind)
{
  return (Pair){ ratios[kind / (N_SNRS * N_DISTANCES)], snrs[kind / N_DISTANCES % N_SNRS],
                 distances[kind % N_DISTANCES] };
}

static void
count_one (gsize piece, guint thread, gpointer data)
{
  PairCount *counts = data;
  Pair pair = kind_of (piece / RECORDS);

  counts[piece] = pairs_count (&pair, 20000 + 2 * (guint32)piece);
}

static void
add (PairCount *sum, const PairCount *more)
{
  sum->pairs += more->pairs;
  sum->two += more->two;
  sum->flagged += more->flagged;
  sum->more += more->more;
  sum->singles += more->singles;
  sum->extra += more->extra;
  sum->doubtful += more->doubtful;
  sum->squares += more->squares;
  sum->converged = sum->converged && more->converged;
}

static void
print_row (const Pair *pair, const PairCount *count)
{
  if (pair->distance == distances[0])
    g_print ("\n# ratio %.1f, S/N %3.0f:", pair->ratio, pair->snr);
  g_print (" %.0f", 100.0 * count->two / count->pairs);
  if (count->flagged > 0)
    g_print (" (%.0f)", 100.0 * count->flagged / count->pairs);
  if (count->more > 0)
    g_print (" [%u more]", count->more);
  g_print (pair->distance == distances[N_DISTANCES - 1] ? "" : ",");
}

int
main (int argc, char **argv)
{
  PairCount *counts = g_new0 (PairCount, N_KINDS * RECORDS), all = { .converged = TRUE };

  faint_program_begin ();
  faint_parallel_for (N_KINDS * RECORDS, THREADS, count_one, counts);
  g_print ("1..2\n# share of pairs fitted as two, in per cent (flagged as unusually wide), at");
  for (gsize d = 0; d < N_DISTANCES; d++)
    g_print (" %.2f", distances[d]);
  g_print (" half widths");
  for (gsize kind = 0; kind < N_KINDS; kind++)
    {
      Pair pair = kind_of (kind);
      PairCount sum = { .converged = TRUE };

      for (gsize i = 0; i < RECORDS; i++)
        add (&sum, &counts[kind * RECORDS + i]);
      print_row (&pair, &sum);
      add (&all, &sum);
    }
  g_print (
      "\n# single lines: %u, not one line: %u, flagged: %u; pairs of more than two: %u; pulls of "
      "pairs %.3f\n",
      all.singles, all.extra, all.doubtful, all.more, pairs_pulls (&all));
  /* One in thirty thousand is what the search itself may add (find.h), with three of Poisson's
   * deviations. */
  g_print ("%s 1 - single lines stay single\n", all.extra <= 4 ? "ok" : "not ok");
  g_print ("%s 2 - all fits converge\n", all.converged ? "ok" : "not ok");
  g_free (counts);
  return 0;
}

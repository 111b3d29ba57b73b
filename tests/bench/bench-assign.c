/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Time to search a list of 5000 lines: overlapping bands of a linear molecule with invented upper
 * states, four fifths of the lines being there by chance. The goal is one second. Median of three
 * runs, and how many of the labels are right, so that a search that gives up does not count as
 * fast.
 */
#include "bench.h"

#include "band-scene.h"

#include <gsl/gsl_errno.h>

#define RUNS 3
#define LINES 5000

/* Lines of @scene with other origins and constants, up to @share of all; the rest is chance. */
static FaintLineList *
crowd (BandScene *scene, const FaintLevels *levels, double share)
{
  g_autoptr (GArray) lines = g_array_new (FALSE, FALSE, sizeof (FaintLine));
  g_autoptr (GRand) random = g_rand_new_with_seed (5000);
  double low = G_MAXDOUBLE, high = 0.0;

  scene->spurious = 0.0;
  for (guint32 seed = 1; lines->len < share * LINES; seed++)
    {
      g_autoptr (FaintLineList) one = NULL;

      scene->seed = seed;
      one = band_scene_lines (scene, levels);
      for (gsize i = 0; i < faint_line_list_get_n (one) && lines->len < share * LINES; i++)
        {
          FaintLine line = *faint_line_list_get (one, i);

          line.id = lines->len + 1;
          line.remark = g_intern_string (line.remark);
          low = MIN (low, line.position.value);
          high = MAX (high, line.position.value);
          g_array_append_val (lines, line);
        }
      scene->origin += 7.3 + 5.0 * g_rand_double (random);
      scene->shift[FAINT_CONSTANT_B] -= 3e-4;
    }
  while (lines->len < LINES)
    {
      FaintLine line = g_array_index (lines, FaintLine, lines->len % 97);

      line.id = lines->len + 1;
      line.position.value = g_rand_double_range (random, low, high);
      line.remark = "";
      g_array_append_val (lines, line);
    }
  return faint_line_list_new ((const FaintLine *)lines->data, lines->len);
}

static void
measure (const char *what, BandScene *scene, FaintConstants *constants, double share)
{
  g_autoptr (FaintLevels) levels = faint_levels_new (constants, NULL);
  g_autoptr (FaintLineList) list = crowd (scene, levels, share);
  g_autofree char *gate = g_strdup_printf ("5000 lines, %s, s", what);
  FaintAssignmentOptions options;
  double times[RUNS];

  faint_assignment_options_init (&options, levels);
  for (guint i = 0; i < RUNS; i++)
    {
      double began = bench_seconds (CLOCK_PROCESS_CPUTIME_ID);
      g_autoptr (FaintAssignment) assignment
          = faint_assignment_run (list, levels, &options, NULL, NULL);
      BandScore score = band_score (list, assignment);

      times[i] = bench_seconds (CLOCK_PROCESS_CPUTIME_ID) - began;
      if (i == 0)
        g_print ("%s: %u bands, %u of %u lines present right, %u wrong\n", what,
                 assignment->bands->len, score.right, score.present, score.wrong);
    }
  bench_gate (gate, bench_median (times, RUNS), BENCH_AT_MOST, 1.0);
  faint_constants_free (constants);
}

int
main (void)
{
  BandScene scene;

  gsl_set_error_handler_off ();
  band_scene_init (&scene);
  scene.shift[FAINT_CONSTANT_B] = -0.003;
  measure ("linear molecule, overlapping bands", &scene, band_nitrous_oxide (), 0.2);
  return bench_status ();
}

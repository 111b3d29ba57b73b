/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What size costs: 4000 lines on 1e6 teeth from file to line list by the batch program (argument 1)
 * on two cores; the cost of a line from 100 lines to 4000, of the joint solution and of the whole
 * fit; two threads against one. Processor time of one thread where nothing else is said.
 */
#include "bench.h"
#include "fit-scene.h"

#include "faint/base/program.h"
#include "faint/simulate/scene.h"
#include "faint/spectrum/comb-table.h"

#include <math.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <glib/gstdio.h>

#define LINES 4000
#define EVALUATIONS 8
#define RUNS 3

typedef struct
{
  double seconds, peak; /* GiB */
} Cost;

/* Runs a program with its output thrown away. */
static Cost
run_child (char **arguments)
{
  double start = bench_seconds (CLOCK_MONOTONIC);
  struct rusage usage;
  int status = 0;
  pid_t child = fork ();

  if (child == 0)
    {
      if (freopen ("/dev/null", "w", stdout) == NULL)
        _exit (127);
      execv (arguments[0], arguments);
      _exit (127);
    }
  if (child < 0 || wait4 (child, &status, 0, &usage) != child || !WIFEXITED (status)
      || WEXITSTATUS (status) > 1)
    g_error ("%s %s did not end as it should", arguments[0], arguments[1]);
  return (Cost){ bench_seconds (CLOCK_MONOTONIC) - start, (double)usage.ru_maxrss / 1048576.0 };
}

static void
bench_file_to_list (char *program, char *comb, char *out)
{
  Cost cost = run_child ((char *[]){ program, "fit", comb, "--out", out, "--threads", "2", NULL });

  g_print ("%d lines on %d teeth, file to list, two threads: %.1f s, %.2f GiB\n", LINES,
           LINES * FIT_SCENE_TEETH_PER_LINE, cost.seconds, cost.peak);
  bench_gate ("seconds by the clock", cost.seconds, BENCH_AT_MOST, 10.0);
  bench_gate ("GiB at the peak", cost.peak, BENCH_AT_MOST, 2.0);
}

/* Milliseconds for each line and evaluation. */
static double
solve_per_line (const FitScenePiece *piece)
{
  double times[RUNS];

  for (int run = 0; run < RUNS; run++)
    {
      double start = bench_seconds (CLOCK_PROCESS_CPUTIME_ID);
      guint evaluations = fit_scene_piece_solve (piece, 1, EVALUATIONS);

      times[run] = 1e3 * (bench_seconds (CLOCK_PROCESS_CPUTIME_ID) - start) / evaluations
                   / (double)piece->n_lines;
    }
  return bench_median (times, RUNS);
}

/* Milliseconds for each line, from nothing to a line list. */
static double
fit_per_line (const FitScenePiece *piece)
{
  double start = bench_seconds (CLOCK_PROCESS_CPUTIME_ID), spent;
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintFit) fit = NULL;
  FaintFitOptions options;

  faint_fit_options_init (&options);
  options.threads = 1;
  fit = faint_fit_run (piece->spectrum, NULL, &options, NULL, &error);
  if (fit == NULL)
    g_error ("%s", error->message);
  spent = 1e3 * (bench_seconds (CLOCK_PROCESS_CPUTIME_ID) - start) / (double)piece->n_lines;
  g_print ("    whole fit: %.3f ms a line, %" G_GSIZE_FORMAT " found, %u evaluations\n", spent,
           faint_line_list_get_n (fit->lines), fit->iterations);
  return spent;
}

/* The cost of a line in the largest piece over that in the cheapest. */
static void
bench_sizes (const FaintSpectrum *whole, const FaintLineList *truth)
{
  static const gsize sizes[] = { 100, 400, 1000, LINES };
  double solve_least = INFINITY, solve = 0.0, fit_least = INFINITY, fit = 0.0;

  for (guint i = 0; i < G_N_ELEMENTS (sizes); i++)
    {
      FitScenePiece piece;

      fit_scene_piece_init (&piece, whole, truth, sizes[i]);
      solve = solve_per_line (&piece);
      g_print ("  %zu lines: joint solution %.2f us a line and evaluation\n", sizes[i],
               1e3 * solve);
      fit = fit_per_line (&piece);
      solve_least = MIN (solve_least, solve);
      fit_least = MIN (fit_least, fit);
      fit_scene_piece_clear (&piece);
    }
  bench_gate ("joint solution, 4000 lines over the least", solve / solve_least, BENCH_AT_MOST, 1.3);
  bench_gate ("whole fit, 4000 lines over the least", fit / fit_least, BENCH_AT_MOST, 1.3);
}

static void
bench_threads (const FaintSpectrum *whole, const FaintLineList *truth, gsize n_lines)
{
  double times[2][RUNS];
  FitScenePiece piece;
  g_autofree char *what
      = g_strdup_printf ("joint solution of %zu lines, two threads over one", n_lines);

  fit_scene_piece_init (&piece, whole, truth, n_lines);
  for (int run = 0; run < RUNS; run++)
    for (guint threads = 1; threads <= 2; threads++)
      {
        double start = bench_seconds (CLOCK_MONOTONIC);

        fit_scene_piece_solve (&piece, threads, EVALUATIONS);
        times[threads - 1][run] = bench_seconds (CLOCK_MONOTONIC) - start;
      }
  fit_scene_piece_clear (&piece);
  bench_gate (what, bench_median (times[0], RUNS) / bench_median (times[1], RUNS), BENCH_AT_LEAST,
              1.8);
}

static void
remove_folder (const char *path)
{
  GDir *folder = g_dir_open (path, 0, NULL);
  const char *name;

  while (folder != NULL && (name = g_dir_read_name (folder)) != NULL)
    {
      g_autofree char *file = g_build_filename (path, name, NULL);

      g_remove (file);
    }
  g_clear_pointer (&folder, g_dir_close);
  g_rmdir (path);
}

int
main (int argc, char **argv)
{
  g_autofree char *folder = g_dir_make_tmp ("faint-bench-XXXXXX", NULL);
  g_autofree char *scene_path = g_build_filename (folder, "long.scene", NULL);
  g_autofree char *comb = g_build_filename (folder, "long.comb", NULL);
  g_autofree char *out = g_build_filename (folder, "out", NULL);
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintScene) scene = NULL;
  g_autoptr (FaintLineList) truth = NULL;
  g_autoptr (FaintSpectrum) whole = NULL;

  faint_program_begin ();
  if (argc < 2)
    g_error ("The batch program is asked for");
  fit_scene_write (scene_path, LINES);
  run_child ((char *[]){ argv[1], "simulate", scene_path, "--out", comb, NULL });
  bench_file_to_list (argv[1], comb, out);
  scene = faint_scene_read (scene_path, &error);
  whole = scene != NULL ? faint_spectrum_read (comb, &(FaintReadOptions){ 0 }, NULL, &error) : NULL;
  if (whole == NULL)
    g_error ("%s", error->message);
  truth = faint_scene_truth (scene);
  bench_threads (whole, truth, 400);
  bench_threads (whole, truth, LINES);
  bench_sizes (whole, truth);
  remove_folder (out);
  remove_folder (folder);
  return bench_status ();
}

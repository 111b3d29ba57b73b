/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Whole fits with all that belongs to one (layout, passes, uncertainties, statistics): of given
 * lines, and of spectra of 36 000 teeth from nothing. Medians; processor time where one thread
 * works, else time by the clock. bench-fit-peers compares the core with other solvers.
 */
#include "bench.h"

#include "faint/base/program.h"
#include "faint/fit/fit.h"
#include "synthetic.h"

#include <math.h>

#define RUNS 5

typedef struct
{
  const char *name;
  gsize n_teeth, n_lines;
  FaintSetup *setup;
  FaintSpectrum *spectrum;
  FaintLine *truth, *start;
} Problem;

static void
make_record (Problem *self, double noise)
{
  self->spectrum = synthetic_record (self->setup, self->truth, self->n_lines,
                                     &(SyntheticRecord){ .n = self->n_teeth,
                                                         .u = noise,
                                                         .noise = noise,
                                                         .seed = 1,
                                                         .baseline = { 1.0, 0.01, -0.005 } });
}

/* Lines evenly over the record, moved at random by up to half of their distance; a start that is
 * off by up to a quarter of the width and 20 % of strength and Lorentz width. */
static void
problem_init (Problem *self, const char *name, gsize n_teeth, gsize n_lines)
{
  GRand *random = g_rand_new_with_seed (7);

  *self = (Problem){ .name = name, .n_teeth = n_teeth, .n_lines = n_lines };
  self->setup = synthetic_setup (NULL);
  self->truth = g_new (FaintLine, n_lines);
  self->start = g_new (FaintLine, n_lines);
  for (gsize i = 0; i < n_lines; i++)
    {
      double at = (double)n_teeth * ((double)i + g_rand_double_range (random, 0.25, 0.75))
                  / (double)n_lines;
      FaintLine *line = &self->truth[i];

      *line = synthetic_line (self->setup, synthetic_wavenumber (at),
                              0.02 * pow (30.0, g_rand_double (random)),
                              g_rand_double_range (random, 0.001, 0.003));
      self->start[i] = *line;
      self->start[i].position.value += 0.0018 * g_rand_double_range (random, -1.0, 1.0);
      self->start[i].strength.value *= g_rand_double_range (random, 0.8, 1.2);
      self->start[i].lorentz.value *= g_rand_double_range (random, 0.8, 1.2);
    }
  g_rand_free (random);
  make_record (self, 1e-3);
}

static void
problem_clear (Problem *self)
{
  faint_spectrum_unref (self->spectrum);
  faint_setup_unref (self->setup);
  g_free (self->truth);
  g_free (self->start);
}

static FaintFitOptions
options_for_given (void)
{
  FaintFitOptions options;

  faint_fit_options_init (&options);
  options.find_rounds = 0;
  options.width_shared = FALSE;
  options.threads = 1;
  return options;
}

static FaintFit *
fit_given (const Problem *self)
{
  g_autoptr (FaintLineList) list = faint_line_list_new (self->start, self->n_lines);
  g_autoptr (GError) error = NULL;
  FaintFitOptions options = options_for_given ();
  FaintFit *fit = faint_fit_run (self->spectrum, list, &options, NULL, &error);

  if (fit == NULL || fit->verdict != FAINT_VERDICT_CONVERGED)
    g_error ("%s: %s", self->name, fit != NULL ? "not converged" : error->message);
  return fit;
}

static void
bench_given (const char *name, gsize n_teeth, gsize n_lines)
{
  Problem problem;
  g_autoptr (FaintFit) fit = NULL;
  double times[RUNS], ours;

  problem_init (&problem, name, n_teeth, n_lines);
  for (int run = 0; run < RUNS; run++)
    {
      double start = bench_seconds (CLOCK_PROCESS_CPUTIME_ID);

      faint_fit_unref (fit);
      fit = fit_given (&problem);
      times[run] = bench_seconds (CLOCK_PROCESS_CPUTIME_ID) - start;
    }
  ours = bench_median (times, RUNS);
  g_print ("%s: %" G_GSIZE_FORMAT " teeth, %" G_GSIZE_FORMAT " windows\n", name, n_teeth,
           fit->n_windows);
  g_print ("  faint_fit_run:           %8.2f ms, %u evaluations, chi-square %.4f\n", 1e3 * ours,
           fit->iterations, fit->chi2);
  problem_clear (&problem);
}

/* Lines at random places, 0.1 % to 70 % of absorption, from nothing to a line list. */
static void
bench_found (gsize n_lines)
{
  Problem problem = { .n_teeth = 36000, .n_lines = n_lines };
  GRand *random = g_rand_new_with_seed (9);
  FaintFitOptions options;

  problem.setup = synthetic_setup (NULL);
  problem.truth = g_new (FaintLine, MAX (n_lines, 1));
  for (gsize i = 0; i < n_lines; i++)
    problem.truth[i] = synthetic_line (
        problem.setup, synthetic_wavenumber (g_rand_double_range (random, 50.0, 35950.0)),
        1e-3 * pow (700.0, g_rand_double (random)), g_rand_double_range (random, 0.001, 0.003));
  g_rand_free (random);
  make_record (&problem, 1e-3);
  faint_fit_options_init (&options);
  for (guint threads = 1; threads <= 2; threads++)
    {
      double times[3], ours;
      gsize found = 0;
      guint evaluations = 0;

      options.threads = threads;
      for (int run = 0; run < 3; run++)
        {
          double start = bench_seconds (CLOCK_MONOTONIC);
          g_autoptr (GError) error = NULL;
          g_autoptr (FaintFit) fit = faint_fit_run (problem.spectrum, NULL, &options, NULL, &error);

          if (fit == NULL)
            g_error ("%s", error->message);
          times[run] = bench_seconds (CLOCK_MONOTONIC) - start;
          found = faint_line_list_get_n (fit->lines);
          evaluations = fit->iterations;
        }
      ours = bench_median (times, 3);
      g_print ("%3" G_GSIZE_FORMAT " lines in 36 000 teeth, %u thread%s: %.2f s, %" G_GSIZE_FORMAT
               " found, %u evaluations, %.2f ms a line\n",
               n_lines, threads, threads > 1 ? "s" : " ", ours, found, evaluations,
               1e3 * ours / (double)MAX (found, 1));
    }
  problem_clear (&problem);
}

int
main (void)
{
  faint_program_begin ();
  bench_given ("one line", 400, 1);
  bench_given ("25 blended lines", 4000, 25);
  bench_found (0);
  bench_found (80);
  bench_found (400);
  return 0;
}

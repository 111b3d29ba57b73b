/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Whether a stated uncertainty is one: thousands of records that differ in their noise alone are
 * fitted, and scatter, bias, stated uncertainties and coverage are held against the Cramer-Rao
 * bound of an independent model and against the normal distribution. With the argument "long" 20
 * 000 records of each case and a table; else 1000.
 */
#include "draws.h"

#include "faint/base/program.h"
#include "faint/base/parallel.h"
#include "faint-test.h"

#include <math.h>
#include <string.h>

#include <gsl/gsl_cdf.h>

#define THREADS 2
#define N_CASES 5
#define N_ALL 21 /* parameters of all cases */

/* A pair is 1.2 half widths apart: MIDDLE and MIDDLE + 1.2 times draw_half_width(), 4.04 teeth. */
#define MIDDLE 198.3
#define APART 4.85

/* A quarter of the mode's full width, FSR/F = c/(2 * 60 cm)/12000 = 20.82 kHz. */
#define QUARTER "5.2046 kHz"

static const DrawCase cases[N_CASES] = {
  { "isolated", { NULL }, 1, { MIDDLE }, { 0.2 }, 5e-4 },
  { "pair-1000-300", { NULL }, 2, { MIDDLE, MIDDLE + APART }, { 0.2, 0.06 }, 2e-4 },
  { "pair-300-300", { NULL }, 2, { MIDDLE, MIDDLE + APART }, { 0.15, 0.15 }, 5e-4 },
  { "saturated", { NULL }, 1, { MIDDLE }, { 0.85 }, 5e-4 },
  { "detuned-field",
    { "observable", "field", "tooth_detuning", QUARTER, NULL },
    1,
    { MIDDLE },
    { 0.2 },
    5e-4 },
};

static gsize n_draws = 1000;

/* Limits of the agreement, before what the number of draws leaves open. */
#define MOST_SCATTER 1.02 /* of the bound */
#define MOST_BIAS 0.05    /* of the bound */
#define MOST_MISSTATED 0.02

/* Three standard errors; and what corresponds to three deviations of a single comparison where the
 * worst of @n comparisons is looked at (Bonferroni). */
#define ALLOWANCE 3.0

static double
deviations_of_worst (double n)
{
  return gsl_cdf_ugaussian_Qinv (gsl_cdf_ugaussian_Q (3.0) / n);
}

typedef struct
{
  const DrawTruth *truth;
  guint32 first;
  Draw *draws;
} Job;

static void
fit_one (gsize piece, guint thread, gpointer data)
{
  Job *job = data;

  job->draws[piece] = draw_fit (job->truth, job->first + (guint32)piece);
}

typedef struct
{
  double scatter; /* over the bound */
  double bias;    /* over the bound */
  double stated;  /* mean stated uncertainty over scatter */
  double
      coverage[2]; /* share of the intervals of one and of two uncertainties that hold the truth */
} Summary;

static Summary
summarize (const DrawTruth *truth, const Draw *draws, gsize p)
{
  Summary summary = { 0 };
  double n = (double)n_draws, sum = 0.0, squares = 0.0, u = 0.0, within[2] = { 0.0, 0.0 };

  for (gsize i = 0; i < n_draws; i++)
    {
      double error = draws[i].value[p] - truth->value[p];

      sum += error / truth->bound[p];
      squares += (error / truth->bound[p]) * (error / truth->bound[p]);
      u += draws[i].u[p] / truth->bound[p];
      for (int k = 0; k < 2; k++)
        within[k] += fabs (error) <= (k + 1) * draws[i].u[p];
    }
  summary.bias = sum / n;
  summary.scatter = sqrt ((squares - n * summary.bias * summary.bias) / (n - 1.0));
  summary.stated = u / n / summary.scatter;
  for (int k = 0; k < 2; k++)
    summary.coverage[k] = within[k] / n;
  return summary;
}

/* Marks the test as failed, and goes on so that the table is whole. */
static void
hold (const char *what, double got, double low, double high)
{
  if (!(got >= low && got <= high))
    g_test_fail_printf ("%s is %.5f, expected from %.5f to %.5f", what, got, low, high);
}

static void
judge (const Summary *summary)
{
  /* Relative standard error of a standard deviation of normal values. */
  double error = 1.0 / sqrt (2.0 * (double)n_draws), n = (double)n_draws;
  double worst = deviations_of_worst (N_ALL);

  /* No unbiased estimate scatters less than the bound: less would be a wrong bound. */
  hold ("scatter over the bound", summary->scatter, 1.0 - worst * error,
        MOST_SCATTER + ALLOWANCE * error);
  hold ("bias over the bound", fabs (summary->bias), 0.0, MOST_BIAS + ALLOWANCE / sqrt (n));
  hold ("stated uncertainty over scatter", summary->stated,
        1.0 - MOST_MISSTATED - ALLOWANCE * error, 1.0 + MOST_MISSTATED + ALLOWANCE * error);
  for (int k = 0; k < 2; k++)
    {
      double want = 1.0 - 2.0 * gsl_cdf_ugaussian_Q (k + 1.0);
      double allowed = deviations_of_worst (2.0 * N_ALL) * sqrt (want * (1.0 - want) / n);

      hold (k == 0 ? "coverage of one uncertainty" : "coverage of two uncertainties",
            summary->coverage[k], want - allowed, want + allowed);
    }
}

static void
test_case (gconstpointer data)
{
  static const char *const names[] = { "position", "strength", "Lorentz width" };
  const DrawCase *what = data;
  g_autoptr (DrawTruth) truth = draw_truth_new (what);
  g_autofree Draw *draws = g_new (Draw, n_draws);
  Job job = { truth, 1 + 1000000 * (guint32)(what - cases), draws };

  faint_parallel_for (n_draws, THREADS, fit_one, &job);
  for (gsize i = 0; i < n_draws; i++)
    if (!draws[i].converged)
      g_test_fail_printf ("draw %" G_GSIZE_FORMAT " did not converge", i);
  for (gsize p = 0; p < truth->n_parameters; p++)
    {
      Summary summary = summarize (truth, draws, p);

      g_test_message (
          "%s | %" G_GSIZE_FORMAT " %s | %.3g | %.4f | %+.4f | %.4f | %.2f %% | %.2f %%",
          what->name, p / 3 + 1, names[p % 3], truth->bound[p], summary.scatter, summary.bias,
          summary.stated, 100.0 * summary.coverage[0], 100.0 * summary.coverage[1]);
      judge (&summary);
    }
}

/* The pair is as far apart as its comment says. */
static void
test_apart (void)
{
  faint_assert_near (APART / draw_half_width (), 1.2, 0.01, "two decimals of the half width");
}

int
main (int argc, char **argv)
{
  gsize n_parameters = 0;

  g_test_init (&argc, &argv, NULL);
  faint_program_begin ();
  if (argc > 1 && strcmp (argv[1], "long") == 0)
    n_draws = 20000;
  g_test_add_func ("/statistics/apart", test_apart);
  for (gsize i = 0; i < N_CASES; i++)
    {
      g_autofree char *path = g_strdup_printf ("/statistics/%s", cases[i].name);

      g_test_add_data_func (path, &cases[i], test_case);
      n_parameters += 3 * cases[i].n_lines;
    }
  g_assert_cmpuint (n_parameters, ==, N_ALL);
  return g_test_run ();
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The core of the fit (layout, model, least squares) against general-purpose solvers on the same
 * data from the same start in the same run: one line over 400 teeth with 7 parameters, 25 blended
 * ones over 4000 teeth with 103. Each solver is stopped by the loosest of its own tolerances 1e-2,
 * 1e-3, ... that ends within 1e-3 standard uncertainty of the optimum, and so is ours. Medians of
 * processor time, the solvers taking turns; no covariance, one thread, one BLAS for all.
 */
#include "bench.h"
#include "peers.h"

#include "faint/base/program.h"
#include "faint/shape/faddeeva.h"

#include <complex.h>
#include <math.h>

#ifdef HAVE_LIBCERF
#include <cerf.h>
#endif

#define TURNS 9
#define WITHIN 1e-3 /* standard uncertainties */

typedef struct
{
  const char *name;
  PeerSolve solve; /* NULL: this library */
  gboolean libcerf;
  gboolean apart; /* w(z) anew for residuals and for the Jacobian */
  double target;  /* times faster that ours is to be; 0: for information */
  WrittenModel *model;
  double tolerance, distance, times[TURNS];
  guint steps;
} Solver;

#ifdef HAVE_LIBCERF
static void
libcerf_faddeeva (const double *x, gsize n, double y, double *re, double *im, double *d_re,
                  double *d_im)
{
  for (gsize i = 0; i < n; i++)
    {
      double complex w = w_of_z (x[i] + I * y);

      re[i] = creal (w);
      im[i] = cimag (w);
      d_re[i] = -2.0 * (x[i] * re[i] - y * im[i]);
      d_im[i] = -2.0 * (x[i] * im[i] + y * re[i]) + 2.0 / sqrt (G_PI);
    }
}
#endif

static WrittenFaddeeva
faddeeva_of (const Solver *solver)
{
#ifdef HAVE_LIBCERF
  if (solver->libcerf)
    return libcerf_faddeeva;
#endif
  return faint_faddeeva_fill_derivative;
}

static guint
run (const Solver *solver, const FitProblem *problem, double tolerance, double *theta)
{
  return solver->solve == NULL ? fit_problem_solve (problem, tolerance, theta)
                               : solver->solve (solver->model, problem, tolerance, theta);
}

/* The loosest tolerance that is good enough; FALSE if none is. */
static gboolean
match_stop (Solver *solver, const FitProblem *problem, const double *optimum)
{
  g_autofree double *theta = g_new (double, problem->n_parameters);

  for (int digits = 2; digits <= 14; digits++)
    {
      solver->tolerance = pow (10.0, -digits);
      solver->steps = run (solver, problem, solver->tolerance, theta);
      solver->distance = written_model_distance (solver->model, theta, optimum);
      if (solver->steps > 0 && solver->distance <= WITHIN)
        return TRUE;
    }
  return FALSE;
}

static void
time_once (Solver *solver, const FitProblem *problem, guint repeat, int turn)
{
  g_autofree double *theta = g_new (double, problem->n_parameters);
  double start = bench_seconds (CLOCK_PROCESS_CPUTIME_ID);

  for (guint i = 0; i < repeat; i++)
    run (solver, problem, solver->tolerance, theta);
  solver->times[turn] = (bench_seconds (CLOCK_PROCESS_CPUTIME_ID) - start) / repeat;
}

static void
report (Solver *solvers, gsize n)
{
  double ours = bench_median (solvers[0].times, TURNS);

  for (gsize i = 0; i < n; i++)
    g_print ("  %-44s %9.4f ms, %2u steps, tolerance %.0e, %.0e u from the optimum\n",
             solvers[i].name, 1e3 * bench_median (solvers[i].times, TURNS), solvers[i].steps,
             solvers[i].tolerance, solvers[i].distance);
  for (gsize i = 1; i < n; i++)
    {
      double ratio = bench_median (solvers[i].times, TURNS) / ours;

      if (solvers[i].target > 0.0)
        bench_gate (solvers[i].name, ratio, BENCH_AT_LEAST, solvers[i].target);
      else
        g_print ("       %-58s %8.2f\n", solvers[i].name, ratio);
    }
}

/* @solvers[0] is ours. */
static void
compete (const FitProblem *problem, Solver *solvers, gsize n, guint repeat)
{
  g_autofree double *optimum = g_new (double, problem->n_parameters);

  g_print ("%s: %" G_GSIZE_FORMAT " teeth, %" G_GSIZE_FORMAT
           " parameters; processor time, and how many times as long as ours\n",
           problem->name, problem->n_teeth, problem->n_parameters);
  for (gsize i = 0; i < n; i++)
    solvers[i].model = written_model_new (problem, faddeeva_of (&solvers[i]), !solvers[i].apart);
  /* The optimum is a peer's: GSL's, at the end of its digits. */
  peer_gsl_multilarge (solvers[0].model, problem, 1e-12, optimum);
  for (gsize i = 0; i < n; i++)
    if (!match_stop (&solvers[i], problem, optimum))
      g_error ("%s does not end within %g standard uncertainties of the optimum", solvers[i].name,
               WITHIN);
  for (int turn = 0; turn < TURNS; turn++)
    for (gsize i = 0; i < n; i++)
      time_once (&solvers[i], problem, repeat, turn);
  report (solvers, n);
  for (gsize i = 0; i < n; i++)
    written_model_free (solvers[i].model);
}

static void
one_line (void)
{
  Solver solvers[] = {
    { .name = "this library" },
    { .name = "GSL multilarge lm, our w(z)", .solve = peer_gsl_multilarge, .target = 1.5 },
    { .name = "GSL multifit lm Cholesky, our w(z)", .solve = peer_gsl_multifit },
#ifdef HAVE_LIBCERF
    { .name = "GSL multifit lm Cholesky, libcerf",
      .solve = peer_gsl_multifit,
      .libcerf = TRUE,
      .apart = TRUE,
      .target = 8.0 },
    { .name = "... w(z) kept from residuals to Jacobian",
      .solve = peer_gsl_multifit,
      .libcerf = TRUE },
#endif
#ifdef HAVE_CERES
    { .name = "Ceres DENSE_NORMAL_CHOLESKY, our w(z)", .solve = peer_ceres },
#endif
  };
  FitProblem problem;

  fit_problem_init (&problem, "one line", 400, 1);
  compete (&problem, solvers, G_N_ELEMENTS (solvers), 20);
  fit_problem_clear (&problem);
}

static void
blended_lines (void)
{
  Solver solvers[] = {
    { .name = "this library" },
    { .name = "GSL multilarge lm, our w(z)", .solve = peer_gsl_multilarge, .target = 1.5 },
#ifdef HAVE_CERES
    { .name = "Ceres DENSE_NORMAL_CHOLESKY, our w(z)", .solve = peer_ceres, .target = 1.5 },
#endif
#ifdef HAVE_LIBCERF
    { .name = "GSL multifit lm Cholesky, libcerf", .solve = peer_gsl_multifit, .libcerf = TRUE },
#endif
  };
  FitProblem problem;

  fit_problem_init (&problem, "25 blended lines", 4000, 25);
  compete (&problem, solvers, G_N_ELEMENTS (solvers), 1);
  fit_problem_clear (&problem);
}

int
main (void)
{
  faint_program_begin ();
#ifndef HAVE_LIBCERF
  g_print ("# libcerf was not found when this was built: no comparison with it\n");
#endif
#ifndef HAVE_CERES
  g_print ("# Ceres was not found when this was built: no comparison with it\n");
#endif
  one_line ();
  blended_lines ();
  return bench_status ();
}

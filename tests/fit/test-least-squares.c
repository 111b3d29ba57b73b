/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The Levenberg-Marquardt loop on problems whose optimum is known in closed form: what it does with
 * bounds, step limits, parameters without data, cancelling, bad starts and groups. The certified
 * problems stand in published/test-regression.
 */
#include "faint/fit/least-squares.h"
#include "faint-test.h"

#include <math.h>
#include <string.h>

#include <gsl/gsl_errno.h>

#define MOST_GROUPS 8
#define MOST 24
#define TEETH 41

/* Every group has data of its own, y = a exp(-(x-c)^2) with parameters a and c, free of noise, so
 * the optimum is the truth and chi2 is 0 there. x from -4 to 4. */
typedef struct
{
  gsize n_groups;
  double a, c;             /* the truth in every group */
  gboolean with_lost;      /* one more parameter that nothing depends on */
  guint calls, invalid_at; /* the call that has no finite value, from 1; 0: none */
  guint worse_until; /* calls 2 to this one make chi2 of the last group worse, whatever theta, and
                        that of the first one by next to nothing */
  double seen[1000][MOST]; /* theta of each call */
} Humps;

static void
add_hump (const double *theta, const Humps *humps, gsize group, double *chi2, double *gradient,
          FaintNormal *normal)
{
  gsize at = 2 * group;

  for (int t = 0; t < TEETH; t++)
    {
      double x = -4.0 + 8.0 * t / (TEETH - 1.0), d = x - theta[at + 1];
      double by_a = exp (-d * d), by_c = 2.0 * d * theta[at] * by_a;
      double r = humps->a * exp (-(x - humps->c) * (x - humps->c)) - theta[at] * by_a;

      *chi2 += r * r;
      gradient[at] += by_a * r;
      gradient[at + 1] += by_c * r;
      *faint_normal_at (normal, at, at) += by_a * by_a;
      *faint_normal_at (normal, at, at + 1) += by_a * by_c;
      *faint_normal_at (normal, at + 1, at + 1) += by_c * by_c;
    }
}

static gboolean
evaluate_humps (const double *theta, double *chi2, double *gradient, FaintNormal *normal,
                gpointer data)
{
  Humps *humps = data;
  gsize n = 2 * humps->n_groups + (humps->with_lost ? 1 : 0);

  g_assert_cmpuint (humps->calls, <, G_N_ELEMENTS (humps->seen));
  memcpy (humps->seen[humps->calls++], theta, n * sizeof *theta);
  memset (gradient, 0, n * sizeof *gradient);
  faint_normal_clear (normal);
  for (gsize k = 0; k < humps->n_groups; k++)
    {
      chi2[k] = 0.0;
      add_hump (theta, humps, k, &chi2[k], gradient, normal);
    }
  if (humps->calls > 1 && humps->calls <= humps->worse_until)
    {
      chi2[0] += 10.0;
      chi2[humps->n_groups - 1] += 1e4;
    }
  return humps->calls != humps->invalid_at;
}

static const guint groups_of_two[MOST] = { 0, 0, 1, 1, 2, 2, 3, 3, 4, 4, 5, 5, 6, 6, 7, 7 };
static const guint one_group[MOST] = { 0 };

static FaintLeastSquares
problem_of (Humps *humps)
{
  return (FaintLeastSquares){
    .n = 2 * humps->n_groups + (humps->with_lost ? 1 : 0),
    .bandwidth = 1,
    .n_groups = humps->n_groups,
    .group = humps->n_groups > 1 ? groups_of_two : one_group,
    .evaluate = evaluate_humps,
    .data = humps,
  };
}

static const FaintLeastSquaresOptions usual = { .max_iterations = 200, .tolerance = 1e-9 };

static FaintLeastSquaresVerdict
solve (const FaintLeastSquares *problem, double *theta, guint max_iterations,
       FaintLeastSquaresResult *result)
{
  g_autoptr (GError) error = NULL;
  FaintLeastSquaresOptions options = usual;

  options.max_iterations = max_iterations;
  g_assert_true (faint_least_squares_solve (problem, theta, &options, result, NULL, &error));
  g_assert_no_error (error);
  return result->verdict;
}

static const char *const at_the_end
    = "the tolerance of 1e-9 standard uncertainties, each below 1 here";

static void
test_optimum (void)
{
  Humps humps = { .n_groups = 1, .a = 1.3, .c = 0.4 };
  FaintLeastSquares problem = problem_of (&humps);
  FaintLeastSquaresResult result;
  double theta[2] = { 1.0, 0.0 };

  g_assert_cmpint (solve (&problem, theta, 200, &result), ==, FAINT_LEAST_SQUARES_CONVERGED);
  faint_assert_near (theta[0], 1.3, 1e-9, at_the_end);
  faint_assert_near (theta[1], 0.4, 1e-9, at_the_end);
  g_assert_cmpfloat (result.chi2, <=, 1e-18);
  g_assert_cmpfloat (result.decrement, <=, usual.tolerance);
  g_assert_cmpuint (result.iterations, ==, humps.calls);
  /* Sum of exp(-2 d^2) over points 0.2 apart: sqrt(pi/2)/0.2, the trapezoidal rule being exact to
   * exp(-pi^2/(2 0.04)) for a Gaussian that ends within the points. */
  faint_assert_close (faint_normal_get (result.normal, 0, 0), sqrt (0.5 * G_PI) / 0.2, 1e-9,
                      "the Gaussian's tail beyond x = 4, exp(-2 3.6^2)");
  faint_least_squares_result_clear (&result);
  g_assert_null (result.normal);
  g_assert_null (result.gradient);
}

/* With c held at its bound 0.6 the best a is sum y g/sum g^2 = 1.3 exp(-(0.6-0.4)^2/2). */
static void
test_bound (void)
{
  Humps humps = { .n_groups = 1, .a = 1.3, .c = 0.4 };
  FaintLeastSquares problem = problem_of (&humps);
  FaintLeastSquaresResult result;
  double theta[2] = { 1.0, 0.9 }, lower[2] = { -INFINITY, 0.6 };

  problem.lower = lower;
  g_assert_cmpint (solve (&problem, theta, 200, &result), ==, FAINT_LEAST_SQUARES_CONVERGED);
  g_assert_cmpfloat (theta[1], ==, 0.6);
  faint_assert_near (theta[0], 1.3 * exp (-0.5 * 0.04), 1e-9, at_the_end);
  for (guint call = 0; call < humps.calls; call++)
    g_assert_cmpfloat (humps.seen[call][1], >=, 0.6);
  g_assert_cmpfloat (result.gradient[1], <, 0.0);
  faint_least_squares_result_clear (&result);
}

/* A bound that is not in the way is left again. */
static void
test_bound_left (void)
{
  Humps humps = { .n_groups = 1, .a = 1.3, .c = 0.4 };
  FaintLeastSquares problem = problem_of (&humps);
  FaintLeastSquaresResult result;
  double theta[2] = { 1.0, 0.1 }, lower[2] = { -INFINITY, 0.1 };

  problem.lower = lower;
  g_assert_cmpint (solve (&problem, theta, 200, &result), ==, FAINT_LEAST_SQUARES_CONVERGED);
  faint_assert_near (theta[1], 0.4, 1e-9, at_the_end);
  faint_least_squares_result_clear (&result);
}

static void
test_step_limit (void)
{
  Humps humps = { .n_groups = 1, .a = 1.3, .c = 0.4 };
  FaintLeastSquares problem = problem_of (&humps);
  FaintLeastSquaresResult result;
  double theta[2] = { 1.3, 0.0 }, most[2] = { INFINITY, 0.03 };

  problem.max_step = most;
  g_assert_cmpint (solve (&problem, theta, 200, &result), ==, FAINT_LEAST_SQUARES_CONVERGED);
  faint_assert_near (theta[1], 0.4, 1e-9, at_the_end);
  /* 0.4 at 0.03 a step: the start and at least 14 steps. */
  g_assert_cmpuint (result.iterations, >=, 15);
  for (guint call = 1; call < humps.calls; call++)
    g_assert_cmpfloat (fabs (humps.seen[call][1] - humps.seen[call - 1][1]), <=, 0.03 + 1e-15);
  faint_least_squares_result_clear (&result);
}

/* Nothing depends on the third parameter: it stays, the others are found. */
static void
test_lost_parameter (void)
{
  Humps humps = { .n_groups = 1, .a = 1.3, .c = 0.4, .with_lost = TRUE };
  FaintLeastSquares problem = problem_of (&humps);
  FaintLeastSquaresResult result;
  double theta[3] = { 1.0, 0.0, 7.0 };

  g_assert_cmpint (solve (&problem, theta, 200, &result), ==, FAINT_LEAST_SQUARES_CONVERGED);
  faint_assert_near (theta[0], 1.3, 1e-9, at_the_end);
  faint_assert_near (theta[1], 0.4, 1e-9, at_the_end);
  g_assert_cmpfloat (theta[2], ==, 7.0);
  faint_least_squares_result_clear (&result);
}

static gboolean
cancelled_at_third (gpointer data)
{
  return ++*(guint *)data >= 3;
}

static void
test_cancelled (void)
{
  Humps humps = { .n_groups = 1, .a = 1.3, .c = 0.4 };
  FaintLeastSquares problem = problem_of (&humps);
  FaintLeastSquaresResult result;
  guint asked = 0;
  FaintProgress progress = { .is_cancelled = cancelled_at_third, .data = &asked };
  double theta[2] = { 1.0, 0.0 };
  GError *error = NULL;

  g_assert_false (faint_least_squares_solve (&problem, theta, &usual, &result, &progress, &error));
  g_assert_error (error, FAINT_PROGRESS_ERROR, FAINT_PROGRESS_ERROR_CANCELLED);
  g_assert_cmpuint (asked, ==, 3);
  /* The start, and one trial after each of the two answers that it may go on. */
  g_assert_cmpuint (humps.calls, ==, 3);
  faint_least_squares_result_clear (&result);
  g_clear_error (&error);
}

static void
test_invalid_start (void)
{
  Humps humps = { .n_groups = 1, .a = 1.3, .c = 0.4, .invalid_at = 1 };
  FaintLeastSquares problem = problem_of (&humps);
  FaintLeastSquaresResult result;
  double theta[2] = { 1.0, 0.1 };

  g_assert_cmpint (solve (&problem, theta, 200, &result), ==, FAINT_LEAST_SQUARES_INVALID);
  g_assert_cmpuint (humps.calls, ==, 1);
  g_assert_cmpfloat (theta[1], ==, 0.1);
  faint_least_squares_result_clear (&result);
}

/* A trial without a finite value is a step too far, not the end. */
static void
test_invalid_trial (void)
{
  Humps humps = { .n_groups = 1, .a = 1.3, .c = 0.4, .invalid_at = 2 };
  FaintLeastSquares problem = problem_of (&humps);
  FaintLeastSquaresResult result;
  double theta[2] = { 1.0, 0.0 };

  g_assert_cmpint (solve (&problem, theta, 200, &result), ==, FAINT_LEAST_SQUARES_CONVERGED);
  faint_assert_near (theta[1], 0.4, 1e-9, at_the_end);
  faint_least_squares_result_clear (&result);
}

static void
test_limit (void)
{
  Humps humps = { .n_groups = 1, .a = 1.3, .c = 0.4 };
  FaintLeastSquares problem = problem_of (&humps);
  FaintLeastSquaresResult result;
  double theta[2] = { 0.2, -0.5 };

  g_assert_cmpint (solve (&problem, theta, 3, &result), ==, FAINT_LEAST_SQUARES_LIMIT);
  g_assert_cmpuint (result.iterations, ==, 3);
  g_assert_cmpuint (humps.calls, ==, 3);
  g_assert_cmpfloat (result.decrement, >, usual.tolerance);
  faint_least_squares_result_clear (&result);
}

/* Two groups, one at its optimum, the other beyond the turn of its flank. */
static void
test_two_groups (void)
{
  Humps humps = { .n_groups = 2, .a = 1.3, .c = 0.4 };
  FaintLeastSquares problem = problem_of (&humps);
  FaintLeastSquaresResult result;
  double theta[4] = { 1.29, 0.41, 0.05, -0.9 };

  g_assert_cmpint (solve (&problem, theta, 200, &result), ==, FAINT_LEAST_SQUARES_CONVERGED);
  for (int k = 0; k < 2; k++)
    {
      faint_assert_near (theta[2 * k], 1.3, 1e-9, at_the_end);
      faint_assert_near (theta[2 * k + 1], 0.4, 1e-9, at_the_end);
    }
  faint_least_squares_result_clear (&result);
}

/* First call with group @k within @distance of its optimum, from 1. */
static guint
arrival (const Humps *humps, gsize k, double distance)
{
  for (guint call = 0; call < humps->calls; call++)
    if (fabs (humps->seen[call][2 * k] - humps->a) < distance
        && fabs (humps->seen[call][2 * k + 1] - humps->c) < distance)
      return call + 1;
  return G_MAXUINT;
}

/* A position may move by this much in one step, as in the model of a spectrum; heights by any. */
static const double position_steps[MOST]
    = { INFINITY, 0.3, INFINITY, 0.3, INFINITY, 0.3, INFINITY, 0.3,
        INFINITY, 0.3, INFINITY, 0.3, INFINITY, 0.3, INFINITY, 0.3 };

static guint
calls_alone (const double *start, double distance)
{
  Humps humps = { .n_groups = 1, .a = 1.3, .c = 0.4 };
  FaintLeastSquares problem = problem_of (&humps);
  FaintLeastSquaresResult result;
  double theta[2] = { start[0], start[1] };

  problem.max_step = position_steps;
  g_assert_cmpint (solve (&problem, theta, 200, &result), ==, FAINT_LEAST_SQUARES_CONVERGED);
  faint_least_squares_result_clear (&result);
  return arrival (&humps, 0, distance);
}

/* Eight groups, the last one badly started: the first ones, out of its reach, arrive before it
 * does, and it arrives no later than if it were alone. */
static void
test_bad_group_far_away (void)
{
  static const double good[2] = { 1.0, 0.2 }, bad[2] = { 0.05, -1.1 };
  Humps humps = { .n_groups = MOST_GROUPS, .a = 1.3, .c = 0.4 };
  FaintLeastSquares problem = problem_of (&humps);
  FaintLeastSquaresResult result;
  double theta[2 * MOST_GROUPS];
  guint alone = calls_alone (bad, 1e-6), last;

  problem.max_step = position_steps;
  for (int k = 0; k < MOST_GROUPS; k++)
    memcpy (&theta[2 * k], k + 1 < MOST_GROUPS ? good : bad, 2 * sizeof *theta);
  g_assert_cmpint (solve (&problem, theta, 200, &result), ==, FAINT_LEAST_SQUARES_CONVERGED);
  last = arrival (&humps, MOST_GROUPS - 1, 1e-6);
  g_assert_cmpuint (last, <=, alone + 2);
  for (gsize k = 0; k < 4; k++)
    g_assert_cmpuint (arrival (&humps, k, 1e-6), <, last);
  faint_least_squares_result_clear (&result);
}

/* Steps that the last group makes fail do not shorten those of groups out of its reach, be it that
 * one of them rises by next to nothing: once a step
 * succeeds these arrive as if nothing had been. */
static void
test_damping_stays_local (void)
{
  static const double start[2] = { 1.0, 0.2 };
  Humps humps = { .n_groups = MOST_GROUPS, .a = 1.3, .c = 0.4, .worse_until = 5 };
  FaintLeastSquares problem = problem_of (&humps);
  FaintLeastSquaresResult result;
  double theta[2 * MOST_GROUPS];
  guint alone = calls_alone (start, 1e-6);

  for (int k = 0; k < MOST_GROUPS; k++)
    memcpy (&theta[2 * k], start, 2 * sizeof *theta);
  g_assert_cmpint (solve (&problem, theta, 200, &result), ==, FAINT_LEAST_SQUARES_CONVERGED);
  for (gsize k = 0; k < 4; k++)
    g_assert_cmpuint (arrival (&humps, k, 1e-6), ==, alone + 4);
  g_assert_cmpuint (arrival (&humps, MOST_GROUPS - 1, 1e-6), >, alone + 4);
  faint_least_squares_result_clear (&result);
}

typedef struct
{
  Humps humps;
  guint asked[MOST_GROUPS];
  guint calls[MOST_GROUPS]; /* before it was first asked */
} Distrusted;

static gboolean
distrust (gpointer data, gsize group)
{
  Distrusted *self = data;

  if (self->asked[group]++ > 0)
    return FALSE;
  self->calls[group] = self->humps.calls;
  return TRUE;
}

/* Where a step fails, and only there, an approximate problem is asked to be exact; the point that
 * the step began from is then looked at again. */
static void
test_distrust (void)
{
  Distrusted self = { .humps = { .n_groups = MOST_GROUPS, .a = 1.3, .c = 0.4, .worse_until = 5 } };
  FaintLeastSquares problem = problem_of (&self.humps);
  FaintLeastSquaresResult result;
  double theta[2 * MOST_GROUPS];
  gsize last = MOST_GROUPS - 1;

  problem.distrust = distrust;
  problem.data = &self;
  for (int k = 0; k < MOST_GROUPS; k++)
    {
      theta[2 * k] = 1.0;
      theta[2 * k + 1] = 0.2;
    }
  g_assert_cmpint (solve (&problem, theta, 200, &result), ==, FAINT_LEAST_SQUARES_CONVERGED);
  g_assert_cmpuint (self.asked[last], >, 0);
  for (gsize k = 0; k < last; k++)
    g_assert_cmpuint (self.asked[k], ==, 0);
  g_assert_cmpuint (self.calls[last], ==, 2);
  g_assert_cmpmem (self.humps.seen[2], sizeof theta, self.humps.seen[0], sizeof theta);
  faint_least_squares_result_clear (&result);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  gsl_set_error_handler_off ();
  g_test_add_func ("/fit/least-squares/optimum", test_optimum);
  g_test_add_func ("/fit/least-squares/bound", test_bound);
  g_test_add_func ("/fit/least-squares/bound-left", test_bound_left);
  g_test_add_func ("/fit/least-squares/step-limit", test_step_limit);
  g_test_add_func ("/fit/least-squares/lost-parameter", test_lost_parameter);
  g_test_add_func ("/fit/least-squares/cancelled", test_cancelled);
  g_test_add_func ("/fit/least-squares/invalid-start", test_invalid_start);
  g_test_add_func ("/fit/least-squares/invalid-trial", test_invalid_trial);
  g_test_add_func ("/fit/least-squares/limit", test_limit);
  g_test_add_func ("/fit/least-squares/two-groups", test_two_groups);
  g_test_add_func ("/fit/least-squares/bad-group-far-away", test_bad_group_far_away);
  g_test_add_func ("/fit/least-squares/damping-stays-local", test_damping_stays_local);
  g_test_add_func ("/fit/least-squares/distrust", test_distrust);
  return g_test_run ();
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The fit of one line and of 25 blended ones, against the same model written out for GSL's
 * general-purpose nonlinear least squares (Levenberg-Marquardt, Cholesky solver) with libcerf's
 * w(z), on the same data from the same lines in the same run; then whole spectra of 36 000 teeth
 * from nothing. Medians; processor time where one thread works, else time by the clock.
 */
#include "faint/fit/fit.h"
#include "synthetic.h"

#include <math.h>
#include <string.h>
#include <time.h>

#include <gsl/gsl_errno.h>

#define RUNS 5

static double
seconds (clockid_t clock)
{
  struct timespec now;

  clock_gettime (clock, &now);
  return (double)now.tv_sec + (double)now.tv_nsec * 1e-9;
}

static int
compare (const void *a, const void *b)
{
  double x = *(const double *)a, y = *(const double *)b;

  return (x > y) - (x < y);
}

static double
median (double *times, gsize n)
{
  qsort (times, n, sizeof *times, compare);
  return times[n / 2];
}

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

#ifdef HAVE_LIBCERF

#include <cerf.h>
#include <gsl/gsl_blas.h>
#include <gsl/gsl_multifit_nlinear.h>

/* The same for GSL: parameters are three Legendre coefficients for each window of @fit, then
 * position (in Doppler widths from its start), strength and Lorentz width (over their starts). */
typedef struct
{
  const Problem *problem;
  const FaintFit *fit;
  gsize n_parameters, first_line;
  double column, survival;
  double complex *w, *z; /* one row of teeth for each line, at the last parameters asked for */
  double complex *kappa;
} Written;

static void
written_init (Written *self, const Problem *problem, const FaintFit *fit)
{
  gsize n = problem->n_teeth;
  double q = G_PI / problem->setup->mirror.value, root = 0.5 * (sqrt (q * q + 4.0) - q);

  self->problem = problem;
  self->fit = fit;
  self->first_line = 3 * fit->n_windows;
  self->n_parameters = self->first_line + 3 * problem->n_lines;
  self->survival = root * root;
  /* N l/2 of a standing wave of 60 cm: P/(k T) in molecules/cm3 times 60 cm. */
  self->column = 130.0 / (1.380649e-23 * 296.0) * 1e-6 * 60.0;
  self->w = g_new (double complex, n * problem->n_lines);
  self->z = g_new (double complex, n * problem->n_lines);
  self->kappa = g_new (double complex, n);
}

static void
written_clear (Written *self)
{
  g_free (self->w);
  g_free (self->z);
  g_free (self->kappa);
}

static double
scale_of (const Written *self, gsize line)
{
  return sqrt (M_LN2) / self->problem->start[line].doppler.value;
}

static void
legendre (const FaintFitWindow *window, double wavenumber, double p[3])
{
  double x = (2.0 * wavenumber - window->lower - window->upper) / (window->upper - window->lower);

  p[0] = 1.0;
  p[1] = x;
  p[2] = 1.5 * x * x - 0.5;
}

static void
fill_profiles (Written *self, const gsl_vector *theta)
{
  const Problem *problem = self->problem;
  gsize n = problem->n_teeth;

  memset (self->kappa, 0, n * sizeof *self->kappa);
  for (gsize i = 0; i < problem->n_lines; i++)
    {
      const FaintLine *start = &problem->start[i];
      const double *x = gsl_vector_const_ptr (theta, self->first_line + 3 * i);
      double scale = scale_of (self, i), height = self->column * x[1] * start->strength.value;
      double centre = start->position.value + x[0] * start->doppler.value;

      for (gsize t = 0; t < n; t++)
        {
          double complex z = scale
                             * (problem->spectrum->wavenumber[t] - centre
                                + I * fabs (x[2] * start->lorentz.value));
          self->z[i * n + t] = z;
          self->w[i * n + t] = w_of_z (z);
          self->kappa[t] += height * scale / sqrt (M_PI) * self->w[i * n + t];
        }
    }
}

static double complex
field (const Written *self, gsize t, double complex *slope)
{
  double complex around = self->survival * cexp (-self->kappa[t]);
  double complex e = cexp (-0.5 * self->kappa[t]) * (1.0 - self->survival) / (1.0 - around);

  *slope = -e * (0.5 + around / (1.0 - around));
  return e;
}

static int
written_residuals (const gsl_vector *theta, void *data, gsl_vector *out)
{
  Written *self = data;
  const FaintSpectrum *s = self->problem->spectrum;

  fill_profiles (self, theta);
  for (gsize k = 0; k < self->fit->n_windows; k++)
    for (gsize t = self->fit->windows[k].first;
         t < self->fit->windows[k].first + self->fit->windows[k].n; t++)
      {
        double p[3], base = 0.0;
        double complex slope, e = field (self, t, &slope);

        legendre (&self->fit->windows[k], s->wavenumber[t], p);
        for (gsize d = 0; d < 3; d++)
          base += p[d] * gsl_vector_get (theta, 3 * k + d);
        gsl_vector_set (out, t,
                        (base * (creal (e) * creal (e) + cimag (e) * cimag (e)) - s->value[t])
                            / s->u[t]);
      }
  return GSL_SUCCESS;
}

/* GSL asks for the derivatives where it has just asked for the residuals: profiles are there. */
static int
written_jacobian (const gsl_vector *theta, void *data, gsl_matrix *out)
{
  Written *self = data;
  const Problem *problem = self->problem;
  const FaintSpectrum *s = problem->spectrum;

  gsl_matrix_set_zero (out);
  for (gsize k = 0; k < self->fit->n_windows; k++)
    for (gsize t = self->fit->windows[k].first;
         t < self->fit->windows[k].first + self->fit->windows[k].n; t++)
      {
        double p[3], base = 0.0, *row = gsl_matrix_ptr (out, t, 0);
        double complex slope, e = field (self, t, &slope), by_kappa;

        legendre (&self->fit->windows[k], s->wavenumber[t], p);
        for (gsize d = 0; d < 3; d++)
          {
            base += p[d] * gsl_vector_get (theta, 3 * k + d);
            row[3 * k + d] = p[d] * (creal (e) * creal (e) + cimag (e) * cimag (e)) / s->u[t];
          }
        by_kappa = 2.0 * base / s->u[t] * conj (e) * slope * self->column / sqrt (M_PI);
        for (gsize i = 0; i < problem->n_lines; i++)
          {
            const FaintLine *start = &problem->start[i];
            const double *x = gsl_vector_const_ptr (theta, self->first_line + 3 * i);
            double complex w = self->w[i * problem->n_teeth + t];
            double complex z = self->z[i * problem->n_teeth + t];
            double scale = scale_of (self, i), height = start->strength.value * scale;
            double complex turned
                = by_kappa * x[1] * height * scale * (-2.0 * z * w + 2.0 * I / sqrt (M_PI));
            double *at = row + self->first_line + 3 * i;

            at[0] = -creal (turned) * start->doppler.value;
            at[1] = creal (by_kappa * height * w);
            at[2] = -cimag (turned) * start->lorentz.value;
          }
      }
  return GSL_SUCCESS;
}

static void
start_written (const Written *self, gsl_vector *theta)
{
  gsl_vector_set_zero (theta);
  for (gsize k = 0; k < self->fit->n_windows; k++)
    gsl_vector_set (theta, 3 * k, 1.0);
  for (gsize i = 0; i < self->problem->n_lines; i++)
    {
      gsl_vector_set (theta, self->first_line + 3 * i + 1, 1.0);
      gsl_vector_set (theta, self->first_line + 3 * i + 2, 1.0);
    }
}

/* Steps until one is shorter than 1e-3 standard uncertainty, |J dx|; then the covariance. Returns
 * the steps; @theta gets the outcome. */
static guint
run_written (Written *self, gsl_vector *theta, double *chi2)
{
  gsl_multifit_nlinear_parameters parameters = gsl_multifit_nlinear_default_parameters ();
  gsl_multifit_nlinear_fdf fdf = { .f = written_residuals,
                                   .df = written_jacobian,
                                   .n = self->problem->n_teeth,
                                   .p = self->n_parameters,
                                   .params = self };
  gsl_multifit_nlinear_workspace *work;
  gsl_vector *moved = gsl_vector_alloc (fdf.n);
  gsl_matrix *covariance = gsl_matrix_alloc (fdf.p, fdf.p);
  guint steps = 0;

  parameters.trs = gsl_multifit_nlinear_trs_lm;
  parameters.solver = gsl_multifit_nlinear_solver_cholesky;
  work = gsl_multifit_nlinear_alloc (gsl_multifit_nlinear_trust, &parameters, fdf.n, fdf.p);
  start_written (self, theta);
  gsl_multifit_nlinear_init (theta, &fdf, work);
  do
    {
      if (gsl_multifit_nlinear_iterate (work) != GSL_SUCCESS)
        break;
      gsl_blas_dgemv (CblasNoTrans, 1.0, work->J, work->dx, 0.0, moved);
    }
  while (++steps < 200 && gsl_blas_dnrm2 (moved) > 1e-3);
  gsl_multifit_nlinear_covar (work->J, 0.0, covariance);
  gsl_vector_memcpy (theta, work->x);
  *chi2 = gsl_blas_dnrm2 (work->f) * gsl_blas_dnrm2 (work->f);
  gsl_multifit_nlinear_free (work);
  gsl_vector_free (moved);
  gsl_matrix_free (covariance);
  return steps;
}

/* Largest distance of the two outcomes in standard uncertainties of the strength. */
static double
disagreement (const Written *self, const gsl_vector *theta)
{
  double most = 0.0;

  for (gsize i = 0; i < self->problem->n_lines; i++)
    {
      const FaintLine *line = faint_line_list_get (self->fit->lines, i);
      double theirs = gsl_vector_get (theta, self->first_line + 3 * i + 1)
                      * self->problem->start[i].strength.value;

      most = MAX (most, fabs (line->strength.value - theirs) / line->strength.u);
    }
  return most;
}

static void
compare_with_written (const Problem *problem, const FaintFit *fit, double ours)
{
  Written written;
  double times[RUNS], chi2 = NAN, theirs;
  gsl_vector *theta;
  guint steps = 0;

  written_init (&written, problem, fit);
  theta = gsl_vector_alloc (written.n_parameters);
  for (int run = 0; run < RUNS; run++)
    {
      double start = seconds (CLOCK_PROCESS_CPUTIME_ID);

      steps = run_written (&written, theta, &chi2);
      times[run] = seconds (CLOCK_PROCESS_CPUTIME_ID) - start;
    }
  theirs = median (times, RUNS);
  g_print ("  GSL's fit with libcerf:  %8.2f ms, %u steps, chi-square %.4f; ratio %.1f\n",
           1e3 * theirs, steps, chi2, theirs / ours);
  g_print ("  strengths differ by at most %.1e standard uncertainties\n",
           disagreement (&written, theta));
  gsl_vector_free (theta);
  written_clear (&written);
}

#else

static void
compare_with_written (const Problem *problem, const FaintFit *fit, double ours)
{
  g_print ("  libcerf was not found when this was built: no comparison\n");
}

#endif

static void
bench_given (const char *name, gsize n_teeth, gsize n_lines)
{
  Problem problem;
  g_autoptr (FaintFit) fit = NULL;
  double times[RUNS], ours;

  problem_init (&problem, name, n_teeth, n_lines);
  for (int run = 0; run < RUNS; run++)
    {
      double start = seconds (CLOCK_PROCESS_CPUTIME_ID);

      faint_fit_unref (fit);
      fit = fit_given (&problem);
      times[run] = seconds (CLOCK_PROCESS_CPUTIME_ID) - start;
    }
  ours = median (times, RUNS);
  g_print ("%s: %" G_GSIZE_FORMAT " teeth, %" G_GSIZE_FORMAT " windows\n", name, n_teeth,
           fit->n_windows);
  g_print ("  faint_fit_run:           %8.2f ms, %u evaluations, chi-square %.4f\n", 1e3 * ours,
           fit->iterations, fit->chi2);
  compare_with_written (&problem, fit, ours);
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
          double start = seconds (CLOCK_MONOTONIC);
          g_autoptr (GError) error = NULL;
          g_autoptr (FaintFit) fit = faint_fit_run (problem.spectrum, NULL, &options, NULL, &error);

          if (fit == NULL)
            g_error ("%s", error->message);
          times[run] = seconds (CLOCK_MONOTONIC) - start;
          found = faint_line_list_get_n (fit->lines);
          evaluations = fit->iterations;
        }
      ours = median (times, 3);
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
  gsl_set_error_handler_off ();
  bench_given ("one line", 400, 1);
  bench_given ("25 blended lines", 4000, 25);
  bench_found (0);
  bench_found (80);
  bench_found (400);
  return 0;
}

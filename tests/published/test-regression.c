/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The least-squares loop against NIST's certified nonlinear regressions (NIST/ITL Statistical
 * Reference Datasets, StRD): both starts of each set, with the parameters in one group and a band
 * as wide as the matrix. Models as printed in the data files; derivatives by hand.
 */
#include "faint/fit/band.h"
#include "faint/fit/least-squares.h"
#include "faint-test.h"

#include <math.h>
#include <string.h>

#include <gsl/gsl_errno.h>

#define MOST 8

/* Value at @x and its derivatives by the parameters @b. */
typedef double (*Curve) (double x, const double *b, double *by);

/* b1 exp(-b2 x) + b3 exp(-((x-b4)/b5)^2) + b6 exp(-((x-b7)/b8)^2) */
static double
two_gaussians (double x, const double *b, double *by)
{
  double value = 0.0;

  by[0] = exp (-b[1] * x);
  by[1] = -x * b[0] * by[0];
  value = b[0] * by[0];
  for (int k = 2; k < 8; k += 3)
    {
      double d = (x - b[k + 1]) / b[k + 2];

      by[k] = exp (-d * d);
      by[k + 1] = 2.0 * d / b[k + 2] * b[k] * by[k];
      by[k + 2] = d * by[k + 1];
      value += b[k] * by[k];
    }
  return value;
}

/* (b1/b2) exp(-((x-b3)/b2)^2/2) */
static double
gaussian_area (double x, const double *b, double *by)
{
  double d = (x - b[2]) / b[1], value;

  by[0] = exp (-0.5 * d * d) / b[1];
  value = b[0] * by[0];
  by[1] = value * (d * d - 1.0) / b[1];
  by[2] = value * d / b[1];
  return value;
}

/* b1 exp(-b2 x) + b3 exp(-b4 x) + b5 exp(-b6 x) */
static double
three_exponentials (double x, const double *b, double *by)
{
  double value = 0.0;

  for (int k = 0; k < 6; k += 2)
    {
      by[k] = exp (-b[k + 1] * x);
      by[k + 1] = -x * b[k] * by[k];
      value += b[k] * by[k];
    }
  return value;
}

/* b1 - b2 x - arctan(b3/(x-b4))/pi */
static double
arctangent (double x, const double *b, double *by)
{
  double d = x - b[3], square = d * d + b[2] * b[2];

  by[0] = 1.0;
  by[1] = -x;
  by[2] = -d / square / G_PI;
  by[3] = -b[2] / square / G_PI;
  return b[0] - b[1] * x - atan (b[2] / d) / G_PI;
}

/* (b1 + b2 x + b3 x^2 + b4 x^3)/(1 + b5 x + b6 x^2 + b7 x^3) */
static double
cubics (double x, const double *b, double *by)
{
  double above = b[0] + x * (b[1] + x * (b[2] + x * b[3]));
  double below = 1.0 + x * (b[4] + x * (b[5] + x * b[6]));

  for (int k = 0; k < 4; k++)
    by[k] = pow (x, k) / below;
  for (int k = 4; k < 7; k++)
    by[k] = -above * pow (x, k - 3) / (below * below);
  return above / below;
}

typedef struct
{
  const char *name;
  Curve curve;
  double tolerance; /* relative, of parameters and their standard deviations */
} Set;

typedef struct
{
  const Set *set;
  gsize n, n_data;
  double *x, *y;
  double start[2][MOST], certified[MOST], certified_sd[MOST], rss, residual_sd;
} Problem;

static void
read_data (Problem *self)
{
  g_autofree char *file = g_strdup_printf ("nist_%s.csv", self->set->name);
  FaintTestTable *table = faint_test_table_read (file);

  self->n_data = table->rows->len;
  self->x = g_new (double, self->n_data);
  self->y = g_new (double, self->n_data);
  for (guint i = 0; i < table->rows->len; i++)
    {
      self->x[i] = faint_test_table_number (table, i, "x");
      self->y[i] = faint_test_table_number (table, i, "y");
    }
  faint_test_table_free (table);
}

static void
read_certified (Problem *self)
{
  FaintTestTable *table = faint_test_table_read ("nist_certified.csv");

  for (guint i = 0; i < table->rows->len; i++)
    if (g_str_equal (faint_test_table_text (table, i, "dataset"), self->set->name))
      {
        g_assert_cmpuint (self->n, <, MOST);
        self->start[0][self->n] = faint_test_table_number (table, i, "start1");
        self->start[1][self->n] = faint_test_table_number (table, i, "start2");
        self->certified[self->n] = faint_test_table_number (table, i, "certified");
        self->certified_sd[self->n++] = faint_test_table_number (table, i, "certified_sd");
      }
  faint_test_table_free (table);
  table = faint_test_table_read ("nist_summary.csv");
  for (guint i = 0; i < table->rows->len; i++)
    if (g_str_equal (faint_test_table_text (table, i, "dataset"), self->set->name))
      {
        g_assert_cmpfloat (faint_test_table_number (table, i, "n_params"), ==, self->n);
        g_assert_cmpfloat (faint_test_table_number (table, i, "n_points"), ==, self->n_data);
        self->rss = faint_test_table_number (table, i, "certified_rss");
        self->residual_sd = faint_test_table_number (table, i, "certified_residual_sd");
      }
  faint_test_table_free (table);
  g_assert_cmpfloat (self->rss, >, 0.0);
}

/* Rows in units of the certified residual standard deviation, so that a unit of theta's
 * uncertainty is one. */
static gboolean
evaluate (const double *theta, double *chi2, double *gradient, FaintNormal *normal, gpointer data)
{
  const Problem *self = data;
  double by[MOST];

  *chi2 = 0.0;
  memset (gradient, 0, self->n * sizeof *gradient);
  faint_normal_clear (normal);
  for (gsize t = 0; t < self->n_data; t++)
    {
      double r = (self->y[t] - self->set->curve (self->x[t], theta, by)) / self->residual_sd;

      *chi2 += r * r;
      for (gsize j = 0; j < self->n; j++)
        {
          by[j] /= self->residual_sd;
          gradient[j] += by[j] * r;
          for (gsize i = 0; i <= j; i++)
            *faint_normal_at (normal, i, j) += by[i] * by[j];
        }
    }
  return isfinite (*chi2);
}

static void
compare (const Problem *self, const double *theta, FaintLeastSquaresResult *result)
{
  double variance = result->chi2 / (double)(self->n_data - self->n);
  g_autoptr (FaintNormalFactor) factor = faint_normal_factor_new (result->normal);
  g_autoptr (FaintNormal) inverse = NULL;

  faint_assert_close (result->chi2 * self->residual_sd * self->residual_sd, self->rss, 1e-9,
                      "certified to 11 digits; at the optimum chi-square is flat");
  g_assert_true (faint_normal_factor (factor, result->normal));
  inverse = faint_normal_inverse (factor);
  for (gsize j = 0; j < self->n; j++)
    {
      faint_assert_close (theta[j], self->certified[j], self->set->tolerance,
                          "what the normal equations lose of 16 digits; certified to 11");
      faint_assert_close (sqrt (faint_normal_get (inverse, j, j) * variance), self->certified_sd[j],
                          self->set->tolerance, "the same");
    }
}

static void
test_set (gconstpointer data)
{
  Problem self = { .set = data };
  guint group[MOST] = { 0 };

  read_data (&self);
  read_certified (&self);
  for (int start = 0; start < 2; start++)
    {
      g_autoptr (GError) error = NULL;
      double theta[MOST];
      FaintLeastSquaresResult result;
      FaintLeastSquares problem = {
        .n = self.n,
        .bandwidth = self.n - 1,
        .n_groups = 1,
        .group = group,
        .evaluate = evaluate,
        .data = &self,
      };

      memcpy (theta, self.start[start], sizeof theta);
      g_assert_true (faint_least_squares_solve (
          &problem, theta, &(FaintLeastSquaresOptions){ 1000, 1e-9 }, &result, NULL, &error));
      g_assert_cmpint (result.verdict, ==, FAINT_LEAST_SQUARES_CONVERGED);
      g_test_message ("start %d: %u evaluations", start + 1, result.iterations);
      compare (&self, theta, &result);
      faint_least_squares_result_clear (&result);
    }
  g_free (self.x);
  g_free (self.y);
}

int
main (int argc, char **argv)
{
  /* The scaled normal matrices have condition numbers of about 1e3 (Gauss, Eckerle4, Roszman1) to
   * 1e9 (Lanczos3, three exponentials): so many digits of 16 go. */
  static const Set sets[] = {
    { "Gauss1", two_gaussians, 1e-9 },
    { "Gauss2", two_gaussians, 1e-9 },
    { "Gauss3", two_gaussians, 1e-9 },
    { "Eckerle4", gaussian_area, 1e-9 },
    { "Lanczos3", three_exponentials, 1e-6 },
    { "Roszman1", arctangent, 1e-9 },
    { "Thurber", cubics, 1e-8 },
  };

  g_test_init (&argc, &argv, NULL);
  gsl_set_error_handler_off ();
  for (gsize i = 0; i < G_N_ELEMENTS (sets); i++)
    {
      g_autofree char *path = g_strdup_printf ("/published/regression/%s", sets[i].name);
      g_test_add_data_func (path, &sets[i], test_set);
    }
  return g_test_run ();
}

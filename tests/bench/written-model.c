/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "written-model.h"

#include <math.h>
#include <string.h>

#define BLOCK 64 /* teeth whose rows of the Jacobian stay in the processor's nearest memory */

struct _WrittenModel
{
  const FitProblem *problem;
  WrittenFaddeeva faddeeva;
  gboolean keep;
  double *theta;                 /* of what is below */
  double *x, *w_re, *w_im;       /* one row of teeth for each line */
  double *d_re, *d_im;           /* w' */
  double *legendre;              /* FIT_PROBLEM_BASELINE rows of teeth */
  double *kappa_re, *kappa_im;   /* of each tooth */
  double *power, *by_re, *by_im; /* and d power/d Re kappa, d Im kappa */
  double *base;
};

static void
fill_legendre (WrittenModel *self)
{
  const FaintSpectrum *s = self->problem->spectrum;
  gsize n = s->n;
  double lower = s->wavenumber[0], upper = s->wavenumber[n - 1];

  for (gsize t = 0; t < n; t++)
    {
      double x = (2.0 * s->wavenumber[t] - lower - upper) / (upper - lower);

      self->legendre[t] = 1.0;
      self->legendre[n + t] = x;
      self->legendre[2 * n + t] = 1.5 * x * x - 0.5;
    }
}

WrittenModel *
written_model_new (const FitProblem *problem, WrittenFaddeeva faddeeva, gboolean keep)
{
  WrittenModel *self = g_new0 (WrittenModel, 1);
  gsize n = problem->n_teeth, rows = n * problem->n_lines;

  self->problem = problem;
  self->faddeeva = faddeeva;
  self->keep = keep;
  self->theta = g_new0 (double, problem->n_parameters);
  self->x = g_new (double, 5 * rows);
  self->w_re = self->x + rows;
  self->w_im = self->w_re + rows;
  self->d_re = self->w_im + rows;
  self->d_im = self->d_re + rows;
  self->legendre = g_new (double, (FIT_PROBLEM_BASELINE + 6) * n);
  self->kappa_re = self->legendre + FIT_PROBLEM_BASELINE * n;
  self->kappa_im = self->kappa_re + n;
  self->power = self->kappa_im + n;
  self->by_re = self->power + n;
  self->by_im = self->by_re + n;
  self->base = self->by_im + n;
  fill_legendre (self);
  return self;
}

void
written_model_free (WrittenModel *self)
{
  g_free (self->theta);
  g_free (self->x);
  g_free (self->legendre);
  g_free (self);
}

void
written_model_start (const WrittenModel *self, double *theta)
{
  memset (theta, 0, self->problem->n_parameters * sizeof (double));
  theta[0] = 1.0;
  for (gsize i = 0; i < self->problem->n_lines; i++)
    for (int p = 1; p < FIT_PROBLEM_PER_LINE; p++)
      theta[FIT_PROBLEM_BASELINE + FIT_PROBLEM_PER_LINE * i + (gsize)p] = 1.0;
}

/* A line at the present parameters. A width may come in negative on the way: its size counts. */
typedef struct
{
  double position, strength, lorentz, doppler; /* cm-1 */
  double scale, height;                        /* of z; kappa over w */
} Line;

static Line
line_at (const WrittenModel *self, const double *theta, gsize i)
{
  const FaintLine *start = &self->problem->start[i];
  const double *at = theta + FIT_PROBLEM_BASELINE + FIT_PROBLEM_PER_LINE * i;
  Line line = { .position = start->position.value + at[0] * start->doppler.value,
                .strength = at[1] * start->strength.value,
                .lorentz = fabs (at[2]) * start->lorentz.value,
                .doppler = fabs (at[3]) * start->doppler.value };

  line.scale = sqrt (M_LN2) / line.doppler;
  line.height = self->problem->column * line.strength * line.scale / sqrt (G_PI);
  return line;
}

static void
fill_profiles (WrittenModel *self, const double *theta)
{
  const FitProblem *problem = self->problem;
  gsize n = problem->n_teeth;

  memset (self->kappa_re, 0, n * sizeof (double));
  memset (self->kappa_im, 0, n * sizeof (double));
  for (gsize i = 0; i < problem->n_lines; i++)
    {
      Line line = line_at (self, theta, i);
      double *x = self->x + i * n, *re = self->w_re + i * n, *im = self->w_im + i * n;

      for (gsize t = 0; t < n; t++)
        x[t] = line.scale * (problem->spectrum->wavenumber[t] - line.position);
      self->faddeeva (x, n, line.scale * line.lorentz, re, im, self->d_re + i * n,
                      self->d_im + i * n);
      for (gsize t = 0; t < n; t++)
        {
          self->kappa_re[t] += line.height * re[t];
          self->kappa_im[t] += line.height * im[t];
        }
    }
}

/* Power |E/E0|^2 of a standing wave, E/E0 = exp(-kappa/2) (1-s)/(1 - s exp(-kappa)), and
 * d power = 2 power Re (d ln E), d ln E/d kappa = -1/2 - s exp(-kappa)/(1 - s exp(-kappa)). */
static void
fill_power (WrittenModel *self)
{
  double s = self->problem->survival;

  for (gsize t = 0; t < self->problem->n_teeth; t++)
    {
      double left = exp (-self->kappa_re[t]);
      double around_re = s * left * cos (self->kappa_im[t]);
      double around_im = -s * left * sin (self->kappa_im[t]);
      double rest_re = 1.0 - around_re, inverse = 1.0 / (rest_re * rest_re + around_im * around_im);
      double power = left * (1.0 - s) * (1.0 - s) * inverse;
      /* around/(1 - around) */
      double re = (around_re * rest_re - around_im * around_im) * inverse;
      double im = (around_im * rest_re + around_re * around_im) * inverse;

      self->power[t] = power;
      self->by_re[t] = -2.0 * power * (0.5 + re);
      self->by_im[t] = 2.0 * power * im;
    }
}

static void
evaluate (WrittenModel *self, const double *theta)
{
  gsize n = self->problem->n_teeth, size = self->problem->n_parameters * sizeof (double);

  if (self->keep && memcmp (self->theta, theta, size) == 0)
    return;
  memcpy (self->theta, theta, size);
  fill_profiles (self, theta);
  fill_power (self);
  for (gsize t = 0; t < n; t++)
    self->base[t]
        = theta[0] + theta[1] * self->legendre[n + t] + theta[2] * self->legendre[2 * n + t];
}

void
written_model_residuals (WrittenModel *self, const double *theta, double *residual)
{
  const FaintSpectrum *s = self->problem->spectrum;

  evaluate (self, theta);
  for (gsize t = 0; t < s->n; t++)
    residual[t] = (self->base[t] * self->power[t] - s->value[t]) / s->u[t];
}

typedef struct
{
  double *at; /* of the first parameter of the line, at tooth 0 */
  gsize by_tooth, by_parameter;
} Columns;

/* dw/dz = w': kappa = K scale w, so d/dposition = -K scale^2 w', d/dLorentz = i K scale^2 w',
 * d/dDoppler = -(K scale/doppler) (w + z w'). */
static void
fill_line (const WrittenModel *self, gsize i, gsize from, gsize to, Columns columns)
{
  const FaintSpectrum *s = self->problem->spectrum;
  const FaintLine *start = &self->problem->start[i];
  const double *theta = self->theta + FIT_PROBLEM_BASELINE + FIT_PROBLEM_PER_LINE * i;
  gsize row = i * s->n, p = columns.by_parameter;
  Line line = line_at (self, self->theta, i);
  double y = line.scale * line.lorentz, turned = line.height * line.scale;
  double by_position = -turned * start->doppler.value, by_strength = line.height / theta[1];
  double by_lorentz = copysign (turned * start->lorentz.value, theta[2]);
  double by_doppler = -line.height / theta[3];

  for (gsize t = from; t < to; t++)
    {
      double a = self->base[t] / s->u[t], re = a * self->by_re[t], im = a * self->by_im[t];
      double w_re = self->w_re[row + t], w_im = self->w_im[row + t], x = self->x[row + t];
      double d_re = self->d_re[row + t], d_im = self->d_im[row + t];
      double *at = columns.at + t * columns.by_tooth;

      at[0] = by_position * (re * d_re + im * d_im);
      at[p] = by_strength * (re * w_re + im * w_im);
      at[2 * p] = by_lorentz * (im * d_re - re * d_im);
      at[3 * p]
          = by_doppler * (re * (w_re + x * d_re - y * d_im) + im * (w_im + x * d_im + y * d_re));
    }
}

void
written_model_jacobian (WrittenModel *self, const double *theta, double *jacobian, gsize by_tooth,
                        gsize by_parameter)
{
  const FaintSpectrum *s = self->problem->spectrum;
  gsize n = s->n;

  evaluate (self, theta);
  for (gsize from = 0; from < n; from += BLOCK)
    {
      gsize to = MIN (from + BLOCK, n);

      for (gsize d = 0; d < FIT_PROBLEM_BASELINE; d++)
        for (gsize t = from; t < to; t++)
          jacobian[t * by_tooth + d * by_parameter]
              = self->legendre[d * n + t] * self->power[t] / s->u[t];
      for (gsize i = 0; i < self->problem->n_lines; i++)
        fill_line (
            self, i, from, to,
            (Columns){ jacobian + (FIT_PROBLEM_BASELINE + FIT_PROBLEM_PER_LINE * i) * by_parameter,
                       by_tooth, by_parameter });
    }
}

double
written_model_distance (WrittenModel *self, const double *theta, const double *optimum)
{
  gsize n = self->problem->n_teeth, p = self->problem->n_parameters;
  g_autofree double *jacobian = g_new (double, n *p);
  double sum = 0.0;

  written_model_jacobian (self, optimum, jacobian, p, 1);
  for (gsize t = 0; t < n; t++)
    {
      double moved = 0.0;

      for (gsize j = 0; j < p; j++)
        moved += jacobian[t * p + j] * (theta[j] - optimum[j]);
      sum += moved * moved;
    }
  return sqrt (sum);
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/assign/intensities.h"

#include <math.h>
#include <string.h>

#define TRUST 0.02 /* of a strength, beside its own uncertainty */
#define LIMIT 4.0  /* of the rule for outliers */

/* J: beyond any that a band shows; the population has long gone. */
#define J_MOST 300

static double
running_number (int j, FaintBranch branch)
{
  return faint_branch_m (branch, faint_branch_lower_j (branch, j));
}

static double
relative (const FaintBand *band, guint ladder, int j, FaintBranch branch, double temperature)
{
  double u, nu = faint_band_position (band, ladder, j, branch, &u);

  if (!(nu > 0.0))
    return 0.0;
  return faint_ladder_strength (g_ptr_array_index (band->ladders, ladder), band->levels, branch, j,
                                nu, temperature);
}

static void
take (FaintIntensities *self, const FaintLinearFit *fit)
{
  double c = fit->value[0];

  self->n_lines = (guint)fit->n_kept;
  self->n_left_out = (guint)(fit->n - fit->n_kept);
  for (gsize i = 0; i < fit->p; i++)
    {
      self->value[i] = fit->value[i];
      for (gsize k = 0; k < fit->p; k++)
        self->covariance[3 * i + k] = fit->covariance[i * fit->p + k];
    }
  self->scale = c * c;
  self->u_scale = 2.0 * fabs (c) * sqrt (self->covariance[0]);
  self->a1 = self->value[1] / c;
  self->a2 = self->value[2] / c;
  self->u_a1 = fit->p > 1 ? sqrt (self->covariance[4]) / fabs (c) : NAN;
  self->u_a2 = fit->p > 2 ? sqrt (self->covariance[8]) / fabs (c) : NAN;
}

/* Rows, values and uncertainties of the lines whose strength is known; returns how many. */
static gsize
collect (const FaintBand *band, const FaintBandLine *lines, gsize n, const double *strength,
         const double *u, double temperature, GArray *rows)
{
  for (gsize i = 0; i < n; i++)
    {
      double model = relative (band, lines[i].ladder, lines[i].j, lines[i].branch, temperature);
      double m = running_number (lines[i].j, lines[i].branch);
      double root, own = isfinite (u[i]) ? u[i] : 0.0;

      if (!(strength[i] > 0.0) || !(model > 0.0))
        continue;
      root = sqrt (strength[i] / model);
      g_array_append_vals (
          rows, ((double[]){ 1.0, m, m * m, root, 0.5 * root * hypot (own / strength[i], TRUST) }),
          5);
    }
  return rows->len / 5;
}

FaintIntensities
faint_intensities_fit (const FaintBand *band, const FaintBandLine *lines, gsize n,
                       const double *strength, const double *u, double temperature)
{
  FaintIntensities self = { .scale = NAN,
                            .u_scale = NAN,
                            .a1 = NAN,
                            .u_a1 = NAN,
                            .a2 = NAN,
                            .u_a2 = NAN,
                            .band_strength = NAN,
                            .u_band_strength = NAN,
                            .scatter = NAN };
  g_autoptr (GArray) rows = g_array_new (FALSE, FALSE, sizeof (double));
  gsize known = collect (band, lines, n, strength, u, temperature, rows);
  gsize p = known >= 12 ? 3 : known >= 6 ? 2 : 1;
  g_autofree double *x = g_new (double, known *p + 1);
  g_autofree double *y = g_new (double, known + 1);
  g_autofree double *own = g_new (double, known + 1);
  g_autoptr (FaintLinearFit) fit = NULL;
  double unit = 1.0, sum = 0.0;

  if (known < 2)
    return self;
  /* Values of order one for the solver. */
  unit = g_array_index (rows, double, 3);
  for (gsize i = 0; i < known; i++)
    {
      const double *row = &g_array_index (rows, double, 5 * i);

      memcpy (x + i * p, row, p * sizeof *x);
      y[i] = row[3] / unit;
      own[i] = row[4] / unit;
    }
  fit = faint_linear_fit (&(FaintLinearProblem){ known, p, x, y, own }, LIMIT, NULL);
  if (fit == NULL)
    return self;
  take (&self, fit);
  for (gsize i = 0; i < known; i++)
    if (fit->kept[i])
      sum += pow (2.0 * log (y[i] / (y[i] - fit->residual[i])), 2.0);
  self.scatter = sqrt (sum / (double)fit->n_kept);
  self.scale *= unit * unit;
  self.u_scale *= unit * unit;
  for (guint i = 0; i < 9; i++)
    self.covariance[i] *= unit * unit;
  for (guint i = 0; i < 3; i++)
    self.value[i] *= unit;
  return self;
}

double
faint_intensities_strength (const FaintIntensities *self, const FaintBand *band, guint ladder,
                            int j, FaintBranch branch, double temperature, double *u)
{
  double m = running_number (j, branch), row[3] = { 1.0, m, m * m };
  double root = 0.0, variance = 0.0, model = relative (band, ladder, j, branch, temperature);

  *u = NAN;
  if (!isfinite (self->scale))
    return NAN;
  for (guint i = 0; i < 3; i++)
    {
      root += row[i] * self->value[i];
      for (guint k = 0; k < 3; k++)
        variance += row[i] * row[k] * self->covariance[3 * i + k];
    }
  *u = model * 2.0 * fabs (root) * sqrt (fmax (variance, 0.0));
  return model * root * root;
}

void
faint_intensities_sum (FaintIntensities *self, const FaintBand *band, const guint8 *uses_ladder,
                       double temperature)
{
  double sum = 0.0;

  if (!isfinite (self->scale))
    return;
  for (guint l = 0; l < band->ladders->len; l++)
    {
      const FaintLadder *ladder = g_ptr_array_index (band->ladders, l);

      for (int j = (int)ladder->j_min; uses_ladder[l] && j <= (int)MIN (ladder->j_max, J_MOST); j++)
        for (int b = 0; b < FAINT_BRANCH_N; b++)
          {
            double u, one = faint_intensities_strength (self, band, l, j, b, temperature, &u);

            sum += isfinite (one) ? one : 0.0;
          }
    }
  self->band_strength = sum;
  self->u_band_strength = sum * self->u_scale / self->scale;
}

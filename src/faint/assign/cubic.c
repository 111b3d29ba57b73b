/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/assign/cubic-private.h"

#include <math.h>

#define ORDER 4   /* coefficients of a cubic */
#define DOUBT 2.0 /* degrees of freedom that the stated roughness counts as */

/* Lower triangle of the Cholesky factor in place; FALSE where the matrix is not positive. */
static gboolean
factor (double a[ORDER][ORDER])
{
  for (int i = 0; i < ORDER; i++)
    for (int k = 0; k <= i; k++)
      {
        double sum = a[i][k];

        for (int m = 0; m < k; m++)
          sum -= a[i][m] * a[k][m];
        if (i == k && !(sum > 0.0))
          return FALSE;
        a[i][k] = i == k ? sqrt (sum) : sum / a[k][k];
      }
  return TRUE;
}

static void
solve (double a[ORDER][ORDER], double *b)
{
  for (int i = 0; i < ORDER; i++)
    {
      for (int m = 0; m < i; m++)
        b[i] -= a[i][m] * b[m];
      b[i] /= a[i][i];
    }
  for (int i = ORDER - 1; i >= 0; i--)
    {
      for (int m = i + 1; m < ORDER; m++)
        b[i] -= a[m][i] * b[m];
      b[i] /= a[i][i];
    }
}

/* Value and variance at xi = 0 of the cubic; *scatter: mean square of the residuals that the
 * rungs' own variances do not explain. */
static gboolean
fit_cubic (const FaintCubicPoints *near, const double *prior, double roughness, double *value,
           double *variance, double *scatter)
{
  double a[ORDER][ORDER] = { { 0.0 } }, b[ORDER] = { 0.0 }, unit[ORDER] = { 1.0 }, sum = 0.0;
  double own = 0.0;

  for (int i = 1; i < ORDER; i++)
    a[i][i] = 1.0 / (prior[i - 1] * prior[i - 1]);
  for (guint n = 0; n < near->n; n++)
    {
      double w = 1.0 / (near->variance[n] + roughness), power[ORDER];

      for (int i = 0; i < ORDER; i++)
        power[i] = i == 0 ? 1.0 : power[i - 1] * near->xi[n];
      for (int i = 0; i < ORDER; i++)
        {
          b[i] += w * power[i] * near->y[n];
          for (int k = 0; k <= i; k++)
            a[i][k] += w * power[i] * power[k];
        }
    }
  if (!factor (a))
    return FALSE;
  solve (a, b);
  solve (a, unit);
  for (guint n = 0; n < near->n; n++)
    {
      double xi = near->xi[n];
      double r = near->y[n] - (b[0] + xi * (b[1] + xi * (b[2] + xi * b[3])));

      sum += r * r;
      own += near->variance[n];
    }
  *value = b[0];
  *variance = unit[0];
  *scatter = near->n > 3 ? fmax (0.0, sum / (near->n - 3.0) - own / near->n) : 0.0;
  return TRUE;
}

gboolean
faint_cubic_predict (const FaintCubicPoints *points, const double *prior, double roughness,
                     double *value, double *sd)
{
  double known = points->n > 3 ? points->n - 3.0 : 0.0, rough = roughness * roughness;
  double variance, scatter;

  if (!fit_cubic (points, prior, rough, value, &variance, &scatter))
    return FALSE;
  rough = (DOUBT * rough + known * scatter) / (DOUBT + known);
  if (!fit_cubic (points, prior, rough, value, &variance, &scatter))
    return FALSE;
  *sd = sqrt (variance + rough);
  return TRUE;
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Fits of band constants, and what their outliers are.
 */
#include "faint/assign/band-private.h"

#include "faint/base/warnings.h"
#include "faint/base/words.h"

#include <math.h>
#include <stdlib.h>

#define DEPENDENT 1e-7 /* share of a column that is its own, below which it tells nothing */

/* From what every band tells to what few do. */
static const FaintConstant order[]
    = { FAINT_CONSTANT_ORIGIN, FAINT_CONSTANT_B,         FAINT_CONSTANT_AXIS, FAINT_CONSTANT_Q,
        FAINT_CONSTANT_D,      FAINT_CONSTANT_AXIS_ZETA, FAINT_CONSTANT_D_JK, FAINT_CONSTANT_D_K,
        FAINT_CONSTANT_Q_D,    FAINT_CONSTANT_H };

typedef struct
{
  const FaintBandLine *lines;
  gsize n;
  double limit;
} Data;

/* Does some line's ladder lead to this component? */
static gboolean
has_set (const FaintBand *self, const Data *data, int set)
{
  for (gsize i = 0; i < data->n; i++)
    {
      const FaintLadder *ladder = g_ptr_array_index (self->ladders, data->lines[i].ladder);

      if (set == (ladder->upper.component == FAINT_COMPONENT_A))
        return TRUE;
    }
  return FALSE;
}

static gboolean
has_ladder (const Data *data, guint ladder)
{
  for (gsize i = 0; i < data->n; i++)
    if (data->lines[i].ladder == ladder)
      return TRUE;
  return FALSE;
}

static void
add_upper (FaintBand *self, const Data *data, FaintConstant constant)
{
  if (faint_levels_get_constants (self->levels)->molecule == FAINT_MOLECULE_TABLE)
    {
      for (guint i = 0; i < self->ladders->len; i++)
        if (has_ladder (data, i))
          faint_band_add_constant (self, constant, FALSE, 0, (int)i);
      return;
    }
  for (int set = 0; set < 2; set++)
    if (has_set (self, data, set))
      faint_band_add_constant (self, constant, FALSE, set, -1);
}

static void
add_constants (FaintBand *self, const Data *data, const FaintBandOptions *options)
{
  const FaintConstants *constants = faint_levels_get_constants (self->levels);

  for (guint i = 0; i < G_N_ELEMENTS (order); i++)
    {
      FaintConstant constant = order[i];

      if (options->upper[constant])
        add_upper (self, data, constant);
      if (options->lower[constant] && constants->molecule != FAINT_MOLECULE_TABLE)
        for (int set = 0; set <= (constants->inverting ? 1 : 0); set++)
          faint_band_add_constant (self, constant, TRUE, set, -1);
    }
}

/* Gives up the first constant whose column of @x follows from those before it; TRUE if there was
 * one. Gram-Schmidt, in the order of the constants. */
static gboolean
give_up_dependent (FaintBand *self, const double *x, const double *u, gsize n)
{
  gsize p = self->constants->len;
  g_autofree double *q = g_new (double, n *p + 1);

  for (gsize k = 0; k < p; k++)
    {
      double before = 0.0, after = 0.0;

      for (gsize i = 0; i < n; i++)
        {
          q[k * n + i] = x[i * p + k] / u[i];
          before += q[k * n + i] * q[k * n + i];
        }
      /* Twice is enough. */
      for (gsize m = 0; m < 2 * k; m++)
        {
          const double *other = q + (m % k) * n;
          double dot = 0.0;

          for (gsize i = 0; i < n; i++)
            dot += other[i] * q[k * n + i];
          for (gsize i = 0; i < n; i++)
            q[k * n + i] -= dot * other[i];
        }
      for (gsize i = 0; i < n; i++)
        after += q[k * n + i] * q[k * n + i];
      if (!(after > DEPENDENT * DEPENDENT * before))
        {
          faint_band_give_up (self, (guint)k);
          return TRUE;
        }
      for (gsize i = 0; i < n; i++)
        q[k * n + i] /= sqrt (after);
    }
  return FALSE;
}

/* Fits; gives up what the lines do not tell and tries again. */
static gboolean
solve (FaintBand *self, const Data *data, GError **error)
{
  gsize p = self->constants->len;
  g_autofree double *x = g_new (double, data->n *p + 1);
  g_autofree double *y = g_new (double, data->n + 1);
  g_autofree double *u = g_new (double, data->n + 1);
  g_autoptr (GError) why = NULL;
  FaintLinearProblem problem = { data->n, p, x, y, u };

  for (gsize i = 0; i < data->n; i++)
    {
      const FaintBandLine *line = &data->lines[i];

      faint_band_row (self, line->ladder, line->j, line->branch, x + i * p);
      y[i] = line->nu - faint_band_fixed_part (self, line->ladder, line->j, line->branch);
      u[i] = line->u;
    }
  if (p > 1 && data->n > 0 && give_up_dependent (self, x, u, data->n))
    return solve (self, data, error);
  self->fit = faint_linear_fit (&problem, data->limit, &why);
  if (self->fit != NULL)
    return TRUE;
  if (p <= 1)
    {
      g_propagate_error (error, g_steal_pointer (&why));
      return FALSE;
    }
  faint_band_give_up (self, self->constants->len - 1);
  return solve (self, data, error);
}

/* What one unit of a lower constant (of component a where @set is 1) adds to the lower energies of
 * the fitted lines, weighted and projected on the fit's unknowns: X^T W dF. */
static void
project_lower (const FaintBand *self, const Data *data, FaintConstant constant, int set,
               double *projected)
{
  const FaintConstants *constants = faint_levels_get_constants (self->levels);
  gsize p = self->constants->len;
  g_autofree double *row = g_new (double, p + 1);

  for (gsize k = 0; k < p; k++)
    projected[k] = 0.0;
  for (gsize i = 0; i < data->n; i++)
    {
      const FaintBandLine *line = &data->lines[i];
      const FaintLevel *level = faint_ladder_lower (g_ptr_array_index (self->ladders, line->ladder),
                                                    self->levels, line->branch, line->j);
      double weight = self->fit->kept[i] ? 1.0 / (line->u * line->u) : 0.0;

      if (set != (constants->inverting && level->numbers.component == FAINT_COMPONENT_A))
        continue;
      faint_band_row (self, line->ladder, line->j, line->branch, row);
      for (gsize k = 0; k < p; k++)
        projected[k]
            += weight * row[k]
               * faint_constants_coefficient (constants, constant, &level->numbers, constants->l);
    }
}

/* Lower constants that were taken as stated move the upper ones by what they are uncertain: common
 * to all lines, each independent of the others (JCGM 100:2008, 5.1). */
static void
add_lower_uncertainties (FaintBand *self, const Data *data, const FaintBandOptions *options)
{
  const FaintConstants *constants = faint_levels_get_constants (self->levels);
  gsize p = self->constants->len;
  double scale = self->fit->scale * self->fit->scale;
  g_autofree double *projected = g_new (double, p + 1);

  if (constants->molecule == FAINT_MOLECULE_TABLE)
    return;
  for (FaintConstant c = 0; c < FAINT_CONSTANT_N; c++)
    for (int set = 0; set <= (constants->inverting ? 1 : 0); set++)
      {
        double u = constants->u[set][c];

        if (options->lower[c] || !(u > 0.0))
          continue;
        project_lower (self, data, c, set, projected);
        for (gsize k = 0; k < p; k++)
          {
            FaintBandConstant *constant = &g_array_index (self->constants, FaintBandConstant, k);
            double shift = 0.0;

            for (gsize m = 0; m < p; m++)
              shift += self->fit->covariance[k * p + m] / scale * projected[m] * u;
            constant->u_lower = hypot (constant->u_lower, shift);
          }
      }
  for (gsize k = 0; k < p; k++)
    {
      FaintBandConstant *constant = &g_array_index (self->constants, FaintBandConstant, k);
      constant->u = hypot (constant->u, constant->u_lower);
    }
}

/* Do two lines of one upper level agree on it? What the level itself does has no part in this. */
static double
disagreement (const Data *data, const FaintBand *self, gsize i, gsize k)
{
  const FaintBandLine *one = &data->lines[i], *other = &data->lines[k];
  const FaintLadder *ladder = g_ptr_array_index (self->ladders, one->ladder);
  double u = faint_levels_u_difference (
      self->levels, faint_ladder_lower (ladder, self->levels, one->branch, one->j),
      faint_ladder_lower (ladder, self->levels, other->branch, other->j));

  return fabs (self->fit->residual[i] - self->fit->residual[k])
         / hypot (u, hypot (one->u, other->u));
}

static gboolean
share_level (const Data *data, gsize i, gsize k)
{
  return i != k && data->lines[i].ladder == data->lines[k].ladder
         && data->lines[i].j == data->lines[k].j;
}

static int
compare (const void *a, const void *b)
{
  double x = *(const double *)a, y = *(const double *)b;

  return (x > y) - (x < y);
}

/* By how much lines of one level scatter more than their uncertainties say, 1 at least; from the
 * median, so that a wrong line cannot move it. */
static double
scatter_within (const FaintBand *self, const Data *data)
{
  g_autoptr (GArray) seen = g_array_new (FALSE, FALSE, sizeof (double));

  for (gsize i = 0; i < data->n; i++)
    for (gsize k = 0; k < i; k++)
      if (share_level (data, i, k))
        {
          double it = disagreement (data, self, i, k);

          g_array_append_val (seen, it);
        }
  if (seen->len < 4)
    return self->fit->scale;
  g_array_sort (seen, compare);
  return fmax (1.0, 1.4826 * g_array_index (seen, double, seen->len / 2));
}

/* A level is perturbed when its lines agree with each other and not with the constants; a line is
 * contradicted when it is the worse of two that disagree. */
static void
judge (FaintBand *self, const Data *data, gsize i, double scatter)
{
  const double *r = self->fit->residual;
  double w = 1.0 / (data->lines[i].u * data->lines[i].u), sum = w * r[i], mean, model;
  guint with = 0, against = 0, worse = 0;

  for (gsize k = 0; k < data->n; k++)
    if (share_level (data, i, k))
      {
        gboolean good = disagreement (data, self, i, k) <= data->limit * scatter;
        double wk = good ? 1.0 / (data->lines[k].u * data->lines[k].u) : 0.0;

        with += good;
        against += !good;
        worse += !good && fabs (r[k]) > fabs (r[i]);
        w += wk;
        sum += wk * r[k];
      }
  mean = sum / w;
  model = self->fit->u_model[i] / self->fit->scale;
  self->verdict[i] = self->fit->kept[i] ? FAINT_BAND_FITTED : FAINT_BAND_ALONE;
  if (against > 0 && with == 0 && worse == 0)
    self->verdict[i] = FAINT_BAND_CONTRADICTED;
  else if (with > 0 && fabs (mean) > data->limit * scatter * sqrt (1.0 / w + model * model))
    {
      self->verdict[i] = FAINT_BAND_PERTURBED;
      self->shift[i] = mean;
    }
}

static void
warn (FaintBand *self, const Data *data)
{
  guint count[FAINT_BAND_ALONE + 1] = { 0 };

  for (gsize i = 0; i < data->n; i++)
    count[self->verdict[i]]++;
  if (count[FAINT_BAND_PERTURBED] > 0)
    faint_warnings_add (
        self->warnings, "perturbed",
        N_ ("%u lines lead to upper levels that are not where the constants put them, "
            "though lines of one level agree with each other: the upper state is "
            "perturbed there, or a higher constant is missing."),
        count[FAINT_BAND_PERTURBED]);
  if (count[FAINT_BAND_CONTRADICTED] > 0)
    faint_warnings_add (
        self->warnings, "contradicted",
        N_ ("%u lines are contradicted by another line of the same upper level: their "
            "position or assignment is wrong."),
        count[FAINT_BAND_CONTRADICTED]);
  if (count[FAINT_BAND_ALONE] > 0)
    faint_warnings_add (self->warnings, "outlier",
                        N_ ("%u lines were left out of the fit as outliers; no other line of their "
                            "upper level tells whether the level or the line is at fault."),
                        count[FAINT_BAND_ALONE]);
  if (self->fit->chi2_reduced > 4.0)
    faint_warnings_add (
        self->warnings, "scatter",
        N_ ("The lines scatter %.1f times as much as their uncertainties say; those of "
            "the constants were scaled up. Perhaps a higher constant is missing."),
        self->fit->scale);
}

static gboolean
is_line (const FaintLevels *levels, const GPtrArray *ladders, const FaintBandLine *line)
{
  return line->ladder < ladders->len && line->u > 0.0 && isfinite (line->nu)
         && faint_ladder_lower (g_ptr_array_index (ladders, line->ladder), levels, line->branch,
                                line->j)
                != NULL;
}

FaintBand *
faint_band_fit (const FaintLevels *levels, const GPtrArray *ladders, const FaintBandLine *lines,
                gsize n, const FaintBandOptions *options, GError **error)
{
  g_autoptr (FaintBand) self = faint_band_new (levels, ladders, n);
  Data data = { lines, n, options->limit };
  double scatter;

  for (gsize i = 0; i < n; i++)
    g_return_val_if_fail (is_line (levels, ladders, &lines[i]), NULL);
  add_constants (self, &data, options);
  if (!solve (self, &data, error))
    return NULL;
  faint_band_take_values (self);
  add_lower_uncertainties (self, &data, options);
  scatter = scatter_within (self, &data);
  for (gsize i = 0; i < n; i++)
    judge (self, &data, i, scatter);
  warn (self, &data);
  return g_steal_pointer (&self);
}

/* The lines of one upper level, by branch; -1: none. */
static void
find_partners (const Data *data, gsize i, int *at)
{
  for (int b = 0; b < FAINT_BRANCH_N; b++)
    at[b] = -1;
  for (gsize k = 0; k < data->n; k++)
    if (data->lines[k].ladder == data->lines[i].ladder && data->lines[k].j == data->lines[i].j)
      at[data->lines[k].branch] = (int)k;
}

typedef struct
{
  FaintBand *band;
  const Data *data;
  GArray *x, *y, *u;
} Differences;

/* Row of the position of line @i over what is fixed. */
static void
line_row (const Differences *self, int i, double *row, double *y)
{
  const FaintBandLine *line = &self->data->lines[i];

  faint_band_row (self->band, line->ladder, line->j, line->branch, row);
  *y = line->nu - faint_band_fixed_part (self->band, line->ladder, line->j, line->branch);
}

/* Line @a minus the weighted mean of @b and, if it is there, @c. */
static void
add_difference (Differences *self, int a, int b, int c)
{
  const FaintBandLine *lines = self->data->lines;
  gsize p = self->band->constants->len;
  g_autofree double *row = g_new (double, 3 * p + 1);
  double wb = 1.0 / (lines[b].u * lines[b].u), wc = 0.0, y[3] = { 0.0 }, difference, u;

  line_row (self, a, row, &y[0]);
  line_row (self, b, row + p, &y[1]);
  if (c >= 0)
    {
      wc = 1.0 / (lines[c].u * lines[c].u);
      line_row (self, c, row + 2 * p, &y[2]);
    }
  for (gsize i = 0; i < p; i++)
    row[i] -= (wb * row[p + i] + (c >= 0 ? wc * row[2 * p + i] : 0.0)) / (wb + wc);
  difference = y[0] - (wb * y[1] + wc * y[2]) / (wb + wc);
  u = sqrt (lines[a].u * lines[a].u + 1.0 / (wb + wc));
  g_array_append_vals (self->x, row, (guint)p);
  g_array_append_val (self->y, difference);
  g_array_append_val (self->u, u);
}

static void
collect_differences (Differences *self)
{
  for (gsize i = 0; i < self->data->n; i++)
    {
      int at[FAINT_BRANCH_N], p, q, r;

      find_partners (self->data, i, at);
      p = at[FAINT_BRANCH_P];
      q = at[FAINT_BRANCH_Q];
      r = at[FAINT_BRANCH_R];
      /* Each level once, at its first line. */
      if ((p >= 0 && p < (int)i) || (q >= 0 && q < (int)i) || (r >= 0 && r < (int)i))
        continue;
      if (p >= 0 && r >= 0)
        add_difference (self, r, p, -1);
      if (q >= 0 && (p >= 0 || r >= 0))
        add_difference (self, q, p >= 0 ? p : r, p >= 0 ? r : -1);
    }
}

static FaintLinearFit *
solve_differences (FaintBand *band, const Data *data, GError **error)
{
  FaintLinearFit *fit;
  g_autoptr (GArray) x = g_array_new (FALSE, FALSE, sizeof (double));
  g_autoptr (GArray) y = g_array_new (FALSE, FALSE, sizeof (double));
  g_autoptr (GArray) u = g_array_new (FALSE, FALSE, sizeof (double));
  Differences differences = { band, data, x, y, u };
  FaintLinearProblem problem;

  collect_differences (&differences);
  problem = (FaintLinearProblem){ .n = y->len,
                                  .p = band->constants->len,
                                  .x = (const double *)x->data,
                                  .y = (const double *)y->data,
                                  .u = (const double *)u->data };
  if (problem.p > 1 && problem.n > 0 && give_up_dependent (band, problem.x, problem.u, problem.n))
    return solve_differences (band, data, error);
  fit = faint_linear_fit (&problem, data->limit, error);
  if (fit != NULL || problem.p <= 1)
    return fit;
  g_clear_error (error);
  faint_band_give_up (band, band->constants->len - 1);
  return solve_differences (band, data, error);
}

FaintBand *
faint_band_fit_differences (const FaintLevels *levels, const GPtrArray *ladders,
                            const FaintBandLine *lines, gsize n, const FaintBandOptions *options,
                            GError **error)
{
  g_autoptr (FaintBand) self = faint_band_new (levels, ladders, n);
  Data data = { lines, n, options->limit };
  const FaintConstants *constants = faint_levels_get_constants (levels);

  if (constants->molecule == FAINT_MOLECULE_TABLE)
    {
      g_set_error (error, FAINT_FIT_CONSTANTS_ERROR, FAINT_FIT_CONSTANTS_ERROR_NOT_DETERMINED,
                   _ ("The lower levels come from a table and have no constants to fit."));
      return NULL;
    }
  for (guint i = 0; i < G_N_ELEMENTS (order); i++)
    if (order[i] == FAINT_CONSTANT_B || order[i] == FAINT_CONSTANT_D || options->lower[order[i]])
      for (int set = 0; set <= (constants->inverting ? 1 : 0); set++)
        faint_band_add_constant (self, order[i], TRUE, set, -1);
  self->fit = solve_differences (self, &data, error);
  if (self->fit == NULL)
    return NULL;
  faint_band_take_values (self);
  return g_steal_pointer (&self);
}

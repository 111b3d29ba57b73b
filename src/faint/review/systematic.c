/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/review/systematic.h"

#include <math.h>
#include <string.h>

#include "faint/spectrum/rank.h"

#define LEAST_LINES 5
#define LEAST_LINES_SLOPE 8
#define OUTLIER 4.0
#define ROUNDS_MOST 20
#define MAD_TO_SIGMA 1.4826 /* of a normal distribution: 1/0.67449 */

const char *
faint_systematic_form_name (FaintSystematicForm form)
{
  static const char *const names[] = { "constant", "position", "depth", "lower-energy" };

  return names[form];
}

static void
cause_free (gpointer data)
{
  FaintSystematicCause *cause = data;

  g_free (cause->key);
  g_free (cause->words);
  g_free (cause);
}

FaintSystematic *
faint_systematic_new (void)
{
  FaintSystematic *self = g_new0 (FaintSystematic, 1);

  self->causes = g_ptr_array_new_with_free_func (cause_free);
  return self;
}

void
faint_systematic_free (FaintSystematic *self)
{
  if (self == NULL)
    return;
  g_ptr_array_unref (self->causes);
  g_free (self->effects);
  g_free (self->words);
  g_free (self);
}

double
faint_systematic_at (const FaintSystematic *self, double x, double *u)
{
  double away = self->form == FAINT_SYSTEMATIC_CONSTANT || !isfinite (x) ? 0.0 : x - self->x_mean;

  if (u != NULL)
    *u = hypot (self->u_constant, self->u_slope * away);
  return self->constant + self->slope * away;
}

typedef struct
{
  gsize n; /* lines that have x */
  gsize *index;
  double *d, *w, *x; /* w = 1/u^2 */
  gboolean *kept;
  gboolean sloped;
  double constant, slope, x_mean, sum_w, sum_wxx; /* over those kept */
  double chi2;
  gsize n_kept;
} Regression;

static void
regression_clear (Regression *self)
{
  g_free (self->index);
  g_free (self->d);
  g_free (self->w);
  g_free (self->x);
  g_free (self->kept);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Regression, regression_clear)

static void
regression_take (Regression *self, const FaintSystematicInput *input, const double *x)
{
  gsize room = MAX (input->n, 1);

  self->index = g_new (gsize, room);
  self->d = g_new (double, room);
  self->w = g_new (double, room);
  self->x = g_new (double, room);
  self->kept = g_new (gboolean, room);
  self->sloped = x != NULL;
  for (gsize i = 0; i < input->n; i++)
    {
      if (x != NULL && !isfinite (x[i]))
        continue;
      self->index[self->n] = i;
      self->d[self->n] = input->d[i];
      self->w[self->n] = 1.0 / (input->u[i] * input->u[i]);
      self->x[self->n] = x != NULL ? x[i] : 0.0;
      self->kept[self->n] = TRUE;
      self->n++;
    }
}

static double
median_of (double *x, gsize n)
{
  double high = faint_rank_select (x, n, n / 2);

  return n % 2 == 1 ? high : 0.5 * (high + faint_rank_select (x, n, n / 2 - 1));
}

typedef struct
{
  double x, d;
} Point;

static int
by_x (gconstpointer a, gconstpointer b)
{
  double x = ((const Point *)a)->x, y = ((const Point *)b)->x;

  return x < y ? -1 : x > y ? 1 : 0;
}

/* Median slope of pairs half the list apart; then the median of what it leaves. */
static void
regression_start (Regression *self)
{
  g_autofree Point *points = g_new (Point, self->n);
  g_autofree double *room = g_new (double, self->n);
  gsize half = self->n / 2, n = 0;

  self->slope = 0.0;
  for (gsize i = 0; i < self->n; i++)
    points[i] = (Point){ self->x[i], self->d[i] };
  if (self->sloped)
    {
      qsort (points, self->n, sizeof (Point), by_x);
      for (gsize i = 0; i + half < self->n; i++)
        if (points[i + half].x > points[i].x)
          room[n++] = (points[i + half].d - points[i].d) / (points[i + half].x - points[i].x);
      if (n > 0)
        self->slope = median_of (room, n);
    }
  self->x_mean = 0.0;
  for (gsize i = 0; i < self->n; i++)
    room[i] = self->d[i] - self->slope * self->x[i];
  self->constant = median_of (room, self->n);
}

static double
residual_at (const Regression *self, gsize i)
{
  return self->d[i] - self->constant - self->slope * (self->x[i] - self->x_mean);
}

/* Keeps what lies within four uncertainties, or four times the actual scatter where that is
 * larger. TRUE if anything changed. */
static gboolean
regression_choose (Regression *self)
{
  g_autofree double *room = g_new (double, self->n);
  gboolean changed = FALSE;
  double scatter;

  for (gsize i = 0; i < self->n; i++)
    room[i] = fabs (residual_at (self, i)) * sqrt (self->w[i]);
  scatter = MAX (1.0, MAD_TO_SIGMA * median_of (room, self->n));
  self->n_kept = 0;
  for (gsize i = 0; i < self->n; i++)
    {
      gboolean keep = fabs (residual_at (self, i)) * sqrt (self->w[i]) <= OUTLIER * scatter;

      changed |= keep != self->kept[i];
      self->kept[i] = keep;
      self->n_kept += keep;
    }
  return changed;
}

/* Least squares over what is kept; FALSE when x does not vary. */
static gboolean
regression_solve (Regression *self)
{
  double sum_d = 0.0, sum_x = 0.0, sum_xd = 0.0;

  self->sum_w = self->sum_wxx = self->chi2 = 0.0;
  for (gsize i = 0; i < self->n; i++)
    if (self->kept[i])
      {
        self->sum_w += self->w[i];
        sum_x += self->w[i] * self->x[i];
        sum_d += self->w[i] * self->d[i];
      }
  if (!(self->sum_w > 0.0))
    return FALSE;
  self->x_mean = sum_x / self->sum_w;
  self->constant = sum_d / self->sum_w;
  self->slope = 0.0;
  for (gsize i = 0; i < self->n && self->sloped; i++)
    if (self->kept[i])
      {
        double away = self->x[i] - self->x_mean;

        self->sum_wxx += self->w[i] * away * away;
        sum_xd += self->w[i] * away * self->d[i];
      }
  if (self->sloped && !(self->sum_wxx > 1e-20 * self->sum_w * self->x_mean * self->x_mean))
    return FALSE;
  if (self->sloped)
    self->slope = sum_xd / self->sum_wxx;
  for (gsize i = 0; i < self->n; i++)
    if (self->kept[i])
      self->chi2 += self->w[i] * residual_at (self, i) * residual_at (self, i);
  return TRUE;
}

/* What line @i kept adds to the constant or the slope, for a unit of its difference. */
static double
share_of (const Regression *self, gsize i, gboolean slope)
{
  return slope ? self->w[i] * (self->x[i] - self->x_mean) / self->sum_wxx
               : self->w[i] / self->sum_w;
}

static double
effect_of (const Regression *self, const double *common, gboolean slope)
{
  double sum = 0.0;

  for (gsize i = 0; i < self->n; i++)
    if (self->kept[i])
      sum += share_of (self, i, slope) * common[self->index[i]];
  return sum;
}

static double
common_uncertainty (const Regression *self, const FaintSystematicInput *input, gboolean slope)
{
  double square = 0.0, worst = 0.0;

  for (gsize s = 0; s < input->n_common; s++)
    square += pow (effect_of (self, input->common[s], slope), 2.0);
  for (gsize i = 0; i < self->n && input->bound != NULL; i++)
    if (self->kept[i])
      worst += fabs (share_of (self, i, slope)) * input->bound[self->index[i]];
  return sqrt (square + worst * worst);
}

static double
two_sided (double z)
{
  return erfc (fabs (z) / G_SQRT2);
}

static void
judge (const Regression *self, const FaintSystematicInput *input, FaintSystematic *result)
{
  double dof = (double)self->n_kept - (self->sloped ? 2.0 : 1.0);

  result->n = self->n_kept;
  result->n_left_out = self->n - self->n_kept;
  result->birge = dof > 0.0 ? MAX (1.0, sqrt (self->chi2 / dof)) : 1.0;
  result->constant = self->constant;
  result->slope = self->slope;
  result->x_mean = self->x_mean;
  result->u_constant = result->birge / sqrt (self->sum_w);
  result->u_common_constant = common_uncertainty (self, input, FALSE);
  g_free (result->effects);
  result->effects = g_new (double, MAX (input->n_common, 1));
  for (gsize s = 0; s < input->n_common; s++)
    result->effects[s] = effect_of (self, input->common[s], FALSE);
  result->z = result->constant / result->u_constant;
  result->probability_stated
      = two_sided (result->constant / hypot (result->u_constant, result->u_common_constant));
  result->u_slope = result->u_common_slope = 0.0;
  if (self->sloped)
    {
      double of_slope;

      result->u_slope = result->birge / sqrt (self->sum_wxx);
      result->u_common_slope = common_uncertainty (self, input, TRUE);
      of_slope = two_sided (result->slope / hypot (result->u_slope, result->u_common_slope));
      result->z = result->slope / result->u_slope;
      result->probability_stated = MIN (1.0, 2.0 * MIN (of_slope, result->probability_stated));
    }
  result->probability = two_sided (result->z);
}

gboolean
faint_systematic_fit (const FaintSystematicInput *input, FaintSystematicForm form,
                      FaintSystematic *result)
{
  g_auto (Regression) self = { 0 };
  gboolean sloped = form != FAINT_SYSTEMATIC_CONSTANT;
  gsize least = sloped ? LEAST_LINES_SLOPE : LEAST_LINES;

  if (sloped && input->x[form] == NULL)
    return FALSE;
  regression_take (&self, input, sloped ? input->x[form] : NULL);
  if (self.n < least)
    return FALSE;
  regression_start (&self);
  for (guint round = 0; round < ROUNDS_MOST; round++)
    {
      gboolean changed = regression_choose (&self);

      if (self.n_kept < least || !regression_solve (&self))
        return FALSE;
      if (!changed && round > 0)
        break;
    }
  result->form = form;
  judge (&self, input, result);
  return TRUE;
}

FaintSystematic *
faint_systematic_find (const FaintSystematicInput *input, double level, gsize *n_tests)
{
  g_autoptr (FaintSystematic) constant = faint_systematic_new ();
  g_autoptr (FaintSystematic) best = NULL;
  gboolean has_constant = faint_systematic_fit (input, FAINT_SYSTEMATIC_CONSTANT, constant);
  gsize tests = has_constant ? 1 : 0;

  for (guint form = FAINT_SYSTEMATIC_POSITION; form < FAINT_SYSTEMATIC_N; form++)
    {
      g_autoptr (FaintSystematic) it = faint_systematic_new ();

      if (!faint_systematic_fit (input, (FaintSystematicForm)form, it))
        continue;
      tests++;
      if (best == NULL || fabs (it->z) > fabs (best->z))
        {
          faint_systematic_free (best);
          best = g_steal_pointer (&it);
        }
    }
  *n_tests += tests;
  if (tests > 0 && best != NULL && best->probability < level / (double)tests)
    return g_steal_pointer (&best);
  if (has_constant && constant->probability < level / (double)tests)
    return g_steal_pointer (&constant);
  return NULL;
}

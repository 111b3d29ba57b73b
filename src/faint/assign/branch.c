/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/assign/branch.h"

#include "faint/assign/cubic-private.h"
#include "faint/base/words.h"

#include <math.h>
#include <stdlib.h>

#define PROBABLE 10.0    /* how much more one line must be than another */
#define CUBIC_SHARE 1e-4 /* prior of the third coefficient as a share of the spacing */

typedef struct
{
  const FaintObserved *observed;
  const FaintBranchOptions *options;
  GArray *places;
} Following;

void
faint_branch_options_init (FaintBranchOptions *options)
{
  *options = (FaintBranchOptions){ .degree = 4,
                                   .coverage = 4.0,
                                   .longest_gap = 6,
                                   .curvature = 0.05,
                                   .roughness = 5e-4,
                                   .limit = 4.0,
                                   .m_first = -200,
                                   .m_last = 200 };
}

static FaintBranchPlace *
place_at (const Following *self, guint i)
{
  return &g_array_index (self->places, FaintBranchPlace, i);
}

static int
by_distance (gconstpointer a, gconstpointer b, gpointer data)
{
  const FaintBranchPlace *x = a, *y = b;
  int m = *(const int *)data, dx = abs (x->m - m), dy = abs (y->m - m);

  return dx != dy ? dx - dy : x->m - y->m;
}

/* Where line @m is expected from the others; FALSE with fewer than two of them. */
static gboolean
predict (const Following *self, int m, double *expected, double *u)
{
  g_autoptr (GArray) near = g_array_new (FALSE, FALSE, sizeof (FaintBranchPlace));
  FaintCubicPoints points = { .n = 0 };
  double scale = 1.0, spacing, prior[3], value, offset;
  const FaintBranchPlace *first;

  for (guint i = 0; i < self->places->len; i++)
    if (place_at (self, i)->line != G_MAXSIZE && place_at (self, i)->m != m)
      g_array_append_val (near, *place_at (self, i));
  if (near->len < 2)
    return FALSE;
  g_array_sort_with_data (near, by_distance, &m);
  g_array_set_size (near, MIN (near->len, FAINT_CUBIC_MOST));
  first = &g_array_index (near, FaintBranchPlace, 0);
  offset = self->observed->nu[first->line];
  spacing = fabs ((self->observed->nu[first[1].line] - offset) / (first[1].m - first->m));
  for (guint i = 0; i < near->len; i++)
    scale = fmax (scale, abs (first[i].m - m));
  for (guint i = 0; i < near->len; i++)
    {
      points.xi[i] = (first[i].m - m) / scale;
      points.y[i] = self->observed->nu[first[i].line] - offset;
      points.variance[i] = self->observed->u[first[i].line] * self->observed->u[first[i].line];
    }
  points.n = near->len;
  prior[0] = 1e3 * spacing * scale;
  prior[1] = self->options->curvature * spacing * scale * scale;
  prior[2] = CUBIC_SHARE * spacing * scale * scale * scale;
  if (!faint_cubic_predict (&points, prior, self->options->roughness * spacing, &value, u))
    return FALSE;
  *expected = offset + value;
  return TRUE;
}

static gboolean
is_used (const Following *self, gsize line)
{
  for (guint i = 0; i < self->places->len; i++)
    if (place_at (self, i)->line == line)
      return TRUE;
  return FALSE;
}

/* The one line that lies in the interval, or that is much nearer than the others. */
static FaintBranchPlace
look (const Following *self, int m, double expected, double u)
{
  const FaintObserved *observed = self->observed;
  FaintBranchPlace place
      = { .m = m, .line = G_MAXSIZE, .expected = expected, .u_expected = u, .residual = NAN };
  double reach = self->options->coverage * hypot (u, observed->u_most), best = 0.0, second = 0.0;
  gsize nearest = G_MAXSIZE;

  for (gsize i = faint_observed_from (observed, expected - reach);
       i < observed->n && observed->nu[i] <= expected + reach; i++)
    {
      double variance = u * u + observed->u[i] * observed->u[i], r = observed->nu[i] - expected;
      double weight = exp (-0.5 * r * r / variance) / sqrt (variance);

      if (r * r > self->options->coverage * self->options->coverage * variance || is_used (self, i))
        continue;
      second = fmax (second, fmin (weight, best));
      if (weight > best)
        {
          best = weight;
          nearest = i;
        }
    }
  place.open = second > 0.0 && best < PROBABLE * second;
  if (!place.open)
    place.line = nearest;
  return place;
}

/* Would chance put a line into the interval more often than not? */
static gboolean
is_blind (const Following *self, double expected, double u)
{
  const FaintObserved *observed = self->observed;
  gsize i = MIN (faint_observed_from (observed, expected), observed->n - 1);

  return observed->density[i] * 2.0 * self->options->coverage * u > 1.0;
}

static void
put (Following *self, const FaintBranchPlace *place)
{
  guint at = 0;

  while (at < self->places->len && place_at (self, at)->m < place->m)
    at++;
  if (at < self->places->len && place_at (self, at)->m == place->m)
    *place_at (self, at) = *place;
  else
    g_array_insert_vals (self->places, at, place, 1);
}

static void
follow_to (Following *self, int from, int step, int last)
{
  guint gap = 0;

  for (int m = from + step; step * (last - m) >= 0 && gap < self->options->longest_gap; m += step)
    {
      double expected, u;
      FaintBranchPlace place;

      if (!predict (self, m, &expected, &u) || is_blind (self, expected, u))
        return;
      place = look (self, m, expected, u);
      gap++;
      if (place.line == G_MAXSIZE && !place.open)
        continue;
      put (self, &place);
      gap = place.open ? gap : 0;
    }
}

/* Places between lines that none was found for yet. */
static void
fill (Following *self)
{
  int first = place_at (self, 0)->m, last = place_at (self, self->places->len - 1)->m;

  for (int m = first; m <= last; m++)
    {
      guint i = 0;
      double expected, u;
      FaintBranchPlace place;

      while (place_at (self, i)->m < m)
        i++;
      if (!predict (self, m, &expected, &u))
        continue;
      if (place_at (self, i)->m == m && place_at (self, i)->line != G_MAXSIZE)
        {
          place_at (self, i)->expected = expected;
          place_at (self, i)->u_expected = u;
          continue;
        }
      place = look (self, m, expected, u);
      put (self, &place);
    }
}

static FaintLinearFit *
fit_all (const Following *self, FaintBranchTrace *trace, GError **error)
{
  gsize n = 0, p;
  g_autofree double *x = NULL;
  g_autofree double *y = g_new (double, self->places->len);
  g_autofree double *u = g_new (double, self->places->len);

  for (guint i = 0; i < self->places->len; i++)
    n += place_at (self, i)->line != G_MAXSIZE;
  trace->degree = (guint)MIN (self->options->degree, n > 2 ? n - 2 : 1);
  trace->middle = 0.5 * (place_at (self, 0)->m + place_at (self, self->places->len - 1)->m);
  p = trace->degree + 1;
  x = g_new (double, n *p);
  n = 0;
  for (guint i = 0; i < self->places->len; i++)
    {
      const FaintBranchPlace *place = place_at (self, i);
      double power = 1.0;

      if (place->line == G_MAXSIZE)
        continue;
      for (gsize k = 0; k < p; k++, power *= place->m - trace->middle)
        x[n * p + k] = power;
      y[n] = self->observed->nu[place->line];
      u[n++] = self->observed->u[place->line];
    }
  return faint_linear_fit (&(FaintLinearProblem){ n, p, x, y, u }, self->options->limit, error);
}

static void
mark_perturbed (const Following *self, const FaintLinearFit *fit)
{
  gsize n = 0;

  for (guint i = 0; i < self->places->len; i++)
    if (place_at (self, i)->line != G_MAXSIZE)
      {
        place_at (self, i)->residual = fit->residual[n];
        place_at (self, i)->perturbed = !fit->kept[n++];
      }
}

static gboolean
take_points (Following *self, const FaintBranchPoint *points, gsize n, GError **error)
{
  for (gsize k = 0; k < n; k++)
    {
      FaintBranchPlace place = {
        .m = points[k].m, .line = G_MAXSIZE, .expected = NAN, .u_expected = NAN, .residual = NAN
      };

      for (gsize i = 0; i < self->observed->n; i++)
        if (self->observed->id[i] == points[k].id && !is_used (self, i))
          place.line = i;
      if (place.line == G_MAXSIZE)
        {
          g_set_error (error, FAINT_FIT_CONSTANTS_ERROR, FAINT_FIT_CONSTANTS_ERROR_TOO_FEW,
                       _ ("Line %u is not among the lines to follow, or was chosen twice."),
                       points[k].id);
          return FALSE;
        }
      put (self, &place);
    }
  if (self->places->len >= 2)
    return TRUE;
  g_set_error (error, FAINT_FIT_CONSTANTS_ERROR, FAINT_FIT_CONSTANTS_ERROR_TOO_FEW,
               _ ("A branch is followed from two or more lines with different m; found %u."),
               self->places->len);
  return FALSE;
}

FaintBranchTrace *
faint_branch_follow (const FaintObserved *observed, const FaintBranchPoint *points, gsize n,
                     const FaintBranchOptions *options, GError **error)
{
  g_autoptr (FaintBranchTrace) trace = g_new0 (FaintBranchTrace, 1);
  Following self = { observed, options, NULL };

  trace->places = self.places = g_array_new (FALSE, FALSE, sizeof (FaintBranchPlace));
  if (!take_points (&self, points, n, error))
    return NULL;
  follow_to (&self, place_at (&self, self.places->len - 1)->m, 1, options->m_last);
  follow_to (&self, place_at (&self, 0)->m, -1, options->m_first);
  fill (&self);
  trace->fit = fit_all (&self, trace, error);
  if (trace->fit == NULL)
    return NULL;
  mark_perturbed (&self, trace->fit);
  return g_steal_pointer (&trace);
}

void
faint_branch_trace_free (FaintBranchTrace *self)
{
  if (self == NULL)
    return;
  g_array_unref (self->places);
  faint_linear_fit_free (self->fit);
  g_free (self);
}

double
faint_branch_trace_at (const FaintBranchTrace *self, double m, double *u)
{
  double row[8], power = 1.0, sum = 0.0;

  for (guint i = 0; i <= self->degree; i++, power *= m - self->middle)
    {
      row[i] = power;
      sum += power * self->fit->value[i];
    }
  *u = faint_linear_fit_u (self->fit, row);
  return sum;
}

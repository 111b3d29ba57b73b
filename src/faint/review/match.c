/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/review/match.h"

#include <math.h>
#include <string.h>

#include "faint/spectrum/rank.h"

/* A line that stays alone costs this; a pair at the end of the reach costs 1, so does a strength
 * that is off by the scale (common practice, no source). */
#define ALONE 0.6
#define STRENGTH_MOST 1.1
/* Two for one: a little less than a line alone. Both stand within these half widths of the one, and
 * the fainter has this share of their strength. */
#define BLEND 0.35
#define BLEND_REACH 1.5
#define BLEND_SHARE 0.1
/* A shift by chance: expected number of places as crowded. */
#define CHANCE 1e-3

typedef enum
{
  STEP_NONE,
  STEP_SKIP_0,
  STEP_SKIP_1,
  STEP_PAIR,
  STEP_ONE_TWO,
  STEP_TWO_ONE,
} Step;

typedef struct
{
  const FaintMatchLine *list[2];
  gsize n[2];
  const FaintMatchOptions *options;
} Problem;

static double
pair_cost (const Problem *self, const FaintMatchLine *a, const FaintMatchLine *b)
{
  double reach = self->options->reach * MAX (a->half_width, b->half_width);
  double apart = (a->position - b->position) / reach, odd = 0.0;

  if (!(fabs (apart) <= 1.0))
    return INFINITY;
  if (a->strength > 0.0 && b->strength > 0.0 && self->options->scale > 0.0)
    odd = log (a->strength / b->strength) / self->options->scale;
  return apart * apart + MIN (odd * odd, STRENGTH_MOST);
}

/* Two neighbours as the one that a coarser list would have. */
static FaintMatchLine
sum_of (const FaintMatchLine *two)
{
  double sum = two[0].strength + two[1].strength;

  return (FaintMatchLine){
    .position = (two[0].position * two[0].strength + two[1].position * two[1].strength) / sum,
    .strength = sum,
    .half_width = MAX (two[0].half_width, two[1].half_width),
  };
}

static double
blend_cost (const Problem *self, const FaintMatchLine *one, const FaintMatchLine *two)
{
  double width = MAX (one->half_width, MAX (two[0].half_width, two[1].half_width));
  double strong = MAX (two[0].strength, two[1].strength);
  double faint = MIN (two[0].strength, two[1].strength);
  FaintMatchLine sum;

  if (!(one->strength > 0.0 && faint > 0.0)
      || fabs (two[0].position - one->position) > BLEND_REACH * width
      || fabs (two[1].position - one->position) > BLEND_REACH * width)
    return INFINITY;
  sum = sum_of (two);
  if (faint < BLEND_SHARE * sum.strength
      || fabs (log (one->strength / sum.strength)) >= fabs (log (one->strength / strong)))
    return INFINITY;
  return BLEND + pair_cost (self, one, &sum);
}

/* Best way to come to (i, j) of a group that begins at @from, given the costs of the two rows
 * before and of this one so far. */
static Step
best_step (const Problem *self, const gsize *from, gsize i, gsize j, double *const *rows,
           double *cost)
{
  const FaintMatchLine *a = self->list[0] + from[0] + i, *b = self->list[1] + from[1] + j;
  Step step = STEP_NONE;
  const double costs[] = {
    INFINITY,
    i >= 1 ? rows[1][j] + ALONE : INFINITY,
    j >= 1 ? rows[2][j - 1] + ALONE : INFINITY,
    i >= 1 && j >= 1 ? rows[1][j - 1] + pair_cost (self, a - 1, b - 1) : INFINITY,
    i >= 1 && j >= 2 ? rows[1][j - 2] + blend_cost (self, a - 1, b - 2) : INFINITY,
    i >= 2 && j >= 1 ? rows[0][j - 1] + blend_cost (self, b - 1, a - 2) : INFINITY,
  };

  *cost = INFINITY;
  for (guint s = STEP_SKIP_0; s <= STEP_TWO_ONE; s++)
    if (costs[s] < *cost)
      {
        *cost = costs[s];
        step = (Step)s;
      }
  return step;
}

static int
earlier (gconstpointer x, gconstpointer y)
{
  const FaintMatch *a = x, *b = y;

  return a->first[0] + a->first[1] < b->first[0] + b->first[1] ? -1 : 1;
}

static void
walk_back (const guint8 *steps, gsize *i, gsize *j, const gsize *from, gsize width, GArray *out)
{
  static const guint taken[][2] = { { 0, 0 }, { 1, 0 }, { 0, 1 }, { 1, 1 }, { 1, 2 }, { 2, 1 } };
  Step step = (Step)steps[*i * width + *j];
  FaintMatch match = { .n = { taken[step][0], taken[step][1] } };

  *i -= match.n[0];
  *j -= match.n[1];
  match.first[0] = from[0] + *i;
  match.first[1] = from[1] + *j;
  g_array_append_val (out, match);
}

/* Lines from[l] to from[l] + n[l] of each list, which no other line is near. */
static void
match_group (const Problem *self, const gsize *from, const gsize *n, GArray *out)
{
  gsize width = n[1] + 1, i = n[0], j = n[1];
  g_autofree guint8 *steps = g_new0 (guint8, (n[0] + 1) * width);
  g_autofree double *memory = g_new (double, 3 * width);
  double *rows[3] = { memory, memory + width, memory + 2 * width };
  guint first = out->len;

  for (gsize a = 0; a <= n[0]; a++)
    {
      double *oldest = rows[0];

      rows[0] = rows[1];
      rows[1] = rows[2];
      rows[2] = oldest;
      for (gsize b = 0; b <= n[1]; b++)
        if (a == 0 && b == 0)
          rows[2][0] = 0.0;
        else
          steps[a * width + b] = (guint8)best_step (self, from, a, b, rows, &rows[2][b]);
    }
  while (i > 0 || j > 0)
    walk_back (steps, &i, &j, from, width, out);
  for (guint k = 0; k < (out->len - first) / 2; k++) /* rising again */
    {
      FaintMatch *a = &g_array_index (out, FaintMatch, first + k);
      FaintMatch *b = &g_array_index (out, FaintMatch, out->len - 1 - k), swap = *a;

      *a = *b;
      *b = swap;
    }
}

static double
widest (const Problem *self)
{
  double most = 0.0;

  for (guint l = 0; l < 2; l++)
    for (gsize i = 0; i < self->n[l]; i++)
      most = MAX (most, self->list[l][i].half_width);
  return most;
}

GArray *
faint_match_lines (const FaintMatchLine *list0, gsize n0, const FaintMatchLine *list1, gsize n1,
                   const FaintMatchOptions *options)
{
  Problem self = { .list = { list0, list1 }, .n = { n0, n1 }, .options = options };
  GArray *out = g_array_new (FALSE, FALSE, sizeof (FaintMatch));
  double reach = MAX (options->reach, 2.0 * BLEND_REACH) * widest (&self);
  gsize from[2] = { 0, 0 };

  while (from[0] < n0 || from[1] < n1)
    {
      gsize to[2] = { from[0], from[1] };
      double last = -INFINITY;

      for (;;)
        {
          double next0 = to[0] < n0 ? list0[to[0]].position : INFINITY;
          double next1 = to[1] < n1 ? list1[to[1]].position : INFINITY;
          double next = MIN (next0, next1);

          if (!isfinite (next) || (isfinite (last) && next - last > reach))
            break;
          to[next0 <= next1 ? 0 : 1]++;
          last = next;
        }
      match_group (&self, from, (const gsize[]){ to[0] - from[0], to[1] - from[1] }, out);
      from[0] = to[0];
      from[1] = to[1];
    }
  g_array_sort (out, earlier);
  return out;
}

static int
rising (gconstpointer a, gconstpointer b)
{
  double x = *(const double *)a, y = *(const double *)b;

  return x < y ? -1 : x > y ? 1 : 0;
}

/* All differences up to @reach, rising. */
static GArray *
differences_of (const FaintMatchLine *list0, gsize n0, const FaintMatchLine *list1, gsize n1,
                double reach)
{
  GArray *all = g_array_new (FALSE, FALSE, sizeof (double));
  gsize low = 0;

  for (gsize i = 0; i < n0; i++)
    {
      while (low < n1 && list1[low].position < list0[i].position - reach)
        low++;
      for (gsize j = low; j < n1 && list1[j].position <= list0[i].position + reach; j++)
        {
          double difference = list0[i].position - list1[j].position;
          g_array_append_val (all, difference);
        }
    }
  g_array_sort (all, rising);
  return all;
}

/* Are @most of @all within one of the places by chance? Upper bound of the Poisson tail by
 * Chernoff, exp(-m) (e m/k)^k. */
static gboolean
is_crowded (guint most, guint all, double places)
{
  double mean = (double)all / places, k = most;

  return k > mean && places * exp (-mean) * pow (G_E * mean / k, k) < CHANCE;
}

double
faint_match_shift (const FaintMatchLine *list0, gsize n0, const FaintMatchLine *list1, gsize n1,
                   double reach, double width)
{
  g_autoptr (GArray) all = differences_of (list0, n0, list1, n1, reach);
  const double *d = (const double *)(void *)all->data;
  guint most = 0, first = 0, high = 0;

  if (!(reach > 0.0 && width > 0.0))
    return 0.0;
  for (guint i = 0; i < all->len; i++)
    {
      while (high < all->len && d[high] - d[i] <= width)
        high++;
      if (high - i > most)
        {
          most = high - i;
          first = i;
        }
    }
  if (most < 3 || !is_crowded (most, all->len, 2.0 * reach / width))
    return 0.0;
  return 0.5 * (d[first + (most - 1) / 2] + d[first + most / 2]);
}

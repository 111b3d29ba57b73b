/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/assign/partners.h"

#include <math.h>

typedef struct
{
  const FaintObserved *observed;
  const FaintLevels *levels;
  const FaintAssignOptions *options;
  gsize line;
  double tried; /* density of lines, summed over the places tried, per cm-1 */
  GArray *out;
} Search;

/* Of the lines about @nu, per cm-1; 0 outside of them all. */
static double
density_at (const FaintObserved *observed, double nu)
{
  gsize i = faint_observed_from (observed, nu);

  if (i == observed->n || (i == 0 && nu < observed->nu[0]))
    return 0.0;
  return observed->density[i];
}

static double
ratio_of (const Search *self, const FaintLadder *ladder, const FaintPartner *it, gsize k)
{
  const FaintObserved *observed = self->observed;
  double temperature = self->options->temperature;
  double here = faint_ladder_strength (ladder, self->levels, it->branch, it->j,
                                       observed->nu[self->line], temperature);
  double there = faint_ladder_strength (ladder, self->levels, it->other, it->j, observed->nu[k],
                                        temperature);
  double measured = observed->log_strength[k] - observed->log_strength[self->line];

  return here > 0.0 && there > 0.0 ? exp (measured) * here / there : NAN;
}

/* Lines where the partner of branch it->other should be. */
static void
try_place (Search *self, const FaintLadder *ladder, FaintPartner it)
{
  const FaintObserved *observed = self->observed;
  const FaintLevel *lower = faint_ladder_lower (ladder, self->levels, it.branch, it.j);
  const FaintLevel *other = faint_ladder_lower (ladder, self->levels, it.other, it.j);
  double place, u_levels, reach;

  if (lower == NULL || other == NULL)
    return;
  place = observed->nu[self->line] + lower->energy - other->energy;
  u_levels = faint_levels_u_difference (self->levels, lower, other);
  reach = self->options->coverage
          * hypot (hypot (observed->u[self->line], observed->u_most), u_levels);
  self->tried += density_at (observed, place);
  for (gsize k = faint_observed_from (observed, place - reach);
       k < observed->n && observed->nu[k] <= place + reach; k++)
    {
      if (k == self->line)
        continue;
      it.id = observed->id[k];
      it.misfit = observed->nu[k] - place;
      it.u = hypot (hypot (observed->u[self->line], observed->u[k]), u_levels);
      it.ratio = ratio_of (self, ladder, &it, k);
      if (fabs (it.misfit) <= self->options->coverage * it.u)
        g_array_append_val (self->out, it);
    }
}

static int
compare (gconstpointer a, gconstpointer b)
{
  const FaintPartner *x = a, *y = b;
  double p = fabs (x->misfit) / x->u, q = fabs (y->misfit) / y->u;

  if (p != q)
    return p < q ? -1 : 1;
  if (x->id != y->id)
    return x->id < y->id ? -1 : 1;
  return x->j - y->j;
}

GArray *
faint_partners_find (const FaintObserved *observed, const FaintLevels *levels,
                     const GPtrArray *ladders, const FaintAssignOptions *options, guint id)
{
  Search search
      = { observed, levels, options, 0, 0.0, g_array_new (FALSE, FALSE, sizeof (FaintPartner)) };

  while (search.line < observed->n && observed->id[search.line] != id)
    search.line++;
  if (search.line == observed->n)
    return search.out;
  for (guint l = 0; l < ladders->len; l++)
    {
      const FaintLadder *ladder = g_ptr_array_index (ladders, l);

      for (int j = (int)ladder->j_min; j <= (int)ladder->j_max; j++)
        for (FaintBranch a = 0; a < FAINT_BRANCH_N; a++)
          for (FaintBranch b = 0; b < FAINT_BRANCH_N; b++)
            if (a != b)
              try_place (&search, ladder,
                         (FaintPartner){ .ladder = l, .j = j, .branch = a, .other = b });
    }
  for (guint i = 0; i < search.out->len; i++)
    {
      FaintPartner *it = &g_array_index (search.out, FaintPartner, i);

      it->chance = -expm1 (-2.0 * fabs (it->misfit) * search.tried);
    }
  g_array_sort (search.out, compare);
  return search.out;
}

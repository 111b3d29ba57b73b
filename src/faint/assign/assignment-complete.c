/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the constants of a band foretell: lines that no chain took, and lines that are not there.
 */
#include "faint/assign/assignment-private.h"

#include <math.h>

#define BEYOND 10     /* J beyond the assigned ones that are predicted */
#define PRESENCE 0.5  /* that a foretold line is in the list */
#define FAINTEST 0.1  /* of the weakest strengths: fainter lines are not predicted */
#define UNCERTAIN 0.1 /* of B: positions less certain are not predicted */

/* A transition of a band that no line has. */
typedef struct
{
  guint band, ladder;
  int j;
  FaintBranch branch;
  double position, u, strength, u_strength;
} Vacant;

static guint64
key_of (guint band, guint ladder, int j, int branch)
{
  return (((guint64)band * 4096 + ladder) * 1024 + (guint64)j) * 4 + (guint64)branch;
}

static GHashTable *
assigned_keys (const FaintAssignment *self)
{
  GHashTable *keys = g_hash_table_new_full (g_int64_hash, g_int64_equal, g_free, NULL);

  for (guint i = 0; i < self->lines->len; i++)
    {
      const FaintAssigned *it = &g_array_index (self->lines, FaintAssigned, i);
      guint64 *key = g_new (guint64, 1);

      *key = key_of (it->band, it->line.ladder, it->line.j, it->line.branch);
      g_hash_table_add (keys, key);
    }
  return keys;
}

/* Least and largest assigned J' of a ladder; FALSE where it has none. */
static gboolean
assigned_range (const FaintAssignment *self, guint band, guint ladder, int *first, int *last)
{
  *first = G_MAXINT;
  *last = -1;
  for (guint i = 0; i < self->lines->len; i++)
    {
      const FaintAssigned *it = &g_array_index (self->lines, FaintAssigned, i);

      if (it->band == band && it->line.ladder == ladder)
        {
          *first = MIN (*first, it->line.j);
          *last = MAX (*last, it->line.j);
        }
    }
  return *last >= 0;
}

/* May the constants speak of a ladder without a line? Those of a top whose K-dependence is known.
 */
static gboolean
foretells (const FaintAssignment *self, const FaintAssignedBand *band, guint ladder)
{
  return band->uses_ladder[ladder]
         || (faint_levels_get_constants (self->levels)->molecule == FAINT_MOLECULE_SYMMETRIC_TOP
             && !faint_warnings_has (band->band->warnings, "constant-not-determined"));
}

static void
add_vacant (const FaintAssignment *self, guint band, guint ladder, int j, GHashTable *taken,
            GArray *vacant)
{
  const FaintAssignedBand *it = &g_array_index (self->bands, FaintAssignedBand, band);
  double most = UNCERTAIN * faint_levels_get_stack (self->levels, 0)->b;

  for (int b = 0; b < FAINT_BRANCH_N; b++)
    {
      guint64 key = key_of (band, ladder, j, b);
      Vacant here = { .band = band, .ladder = ladder, .j = j, .branch = b };

      if (g_hash_table_contains (taken, &key))
        continue;
      here.position = faint_band_position (it->band, ladder, j, b, &here.u);
      here.strength
          = faint_intensities_strength (&it->intensities, it->band, ladder, j, b,
                                        self->options.search.temperature, &here.u_strength);
      if (isfinite (here.position) && here.u < most && !(here.strength < FAINTEST * self->limit)
          && here.strength != 0.0)
        g_array_append_val (vacant, here);
    }
}

/* In levels that the band's own lines surround or nearly so. */
static GArray *
find_vacant (const FaintAssignment *self)
{
  GArray *vacant = g_array_new (FALSE, FALSE, sizeof (Vacant));
  g_autoptr (GHashTable) taken = assigned_keys (self);

  for (guint band = 0; band < self->bands->len; band++)
    for (guint l = 0; l < self->ladders->len; l++)
      {
        const FaintLadder *ladder = g_ptr_array_index (self->ladders, l);
        int first, last;

        if (!foretells (self, &g_array_index (self->bands, FaintAssignedBand, band), l))
          continue;
        if (!assigned_range (self, band, l, &first, &last))
          {
            first = (int)ladder->j_min;
            last = first + BEYOND;
          }
        for (int j = MAX (first - BEYOND, (int)ladder->j_min);
             j <= MIN (last + BEYOND, (int)ladder->j_max); j++)
          add_vacant (self, band, l, j, taken, vacant);
      }
  return vacant;
}

typedef struct
{
  guint vacant;
  gsize line;
  double odds, variance;
} Proposal;

/* Free lines that a vacant transition may be. */
static void
propose (const FaintAssigning *self, const Vacant *it, guint index, const guint8 *taken,
         GArray *proposals)
{
  const FaintObserved *observed = self->observed;
  const FaintAssignedBand *band = &g_array_index (self->result->bands, FaintAssignedBand, it->band);
  double coverage = self->result->options.search.coverage, scale = band->band->fit->scale;
  double reach = coverage * hypot (it->u, scale * observed->u_most);

  for (gsize i = faint_observed_from (observed, it->position - reach);
       i < observed->n && observed->nu[i] <= it->position + reach; i++)
    {
      double u = scale * observed->u[i], r = observed->nu[i] - it->position;
      Proposal here = { .vacant = index, .line = i, .variance = it->u * it->u + u * u };

      if (taken[i] || r * r > coverage * coverage * here.variance)
        continue;
      here.odds = log (PRESENCE) + faint_evidence_position (observed, i, r, here.variance)
                  + faint_evidence_strength (observed, i, log (it->strength));
      g_array_append_val (proposals, here);
    }
}

/* Is there no other way to use its line or its transition that is nearly as good? */
static gboolean
stands_alone (const GArray *proposals, guint index, double margin, double *lead)
{
  const Proposal *it = &g_array_index (proposals, Proposal, index);

  *lead = it->odds;
  for (guint i = 0; i < proposals->len; i++)
    {
      const Proposal *other = &g_array_index (proposals, Proposal, i);

      if (i != index && (other->line == it->line || other->vacant == it->vacant))
        *lead = fmin (*lead, it->odds - other->odds);
    }
  return *lead >= margin;
}

static guint8 *
taken_lines (const FaintAssigning *self)
{
  guint8 *taken = g_new0 (guint8, self->observed->n + 1);

  for (gsize i = 0; i < self->observed->n; i++)
    taken[i] = faint_assignment_find (self->result, self->observed->id[i]) != NULL;
  return taken;
}

guint
faint_assigning_complete (FaintAssigning *self)
{
  g_autoptr (GArray) vacant = find_vacant (self->result);
  g_autoptr (GArray) proposals = g_array_new (FALSE, FALSE, sizeof (Proposal));
  g_autofree guint8 *taken = taken_lines (self);
  guint added = 0;

  for (guint i = 0; i < vacant->len; i++)
    propose (self, &g_array_index (vacant, Vacant, i), i, taken, proposals);
  for (guint i = 0; i < proposals->len; i++)
    {
      const Proposal *it = &g_array_index (proposals, Proposal, i);
      const Vacant *place = &g_array_index (vacant, Vacant, it->vacant);
      FaintAssigned *line;
      double lead;

      if (!stands_alone (proposals, i, self->result->options.search.margin, &lead))
        continue;
      line = faint_assigning_add (self, it->line, place->band, place->ladder, place->j,
                                  place->branch);
      line->by = FAINT_ASSIGNED_BY_CONSTANTS;
      line->odds = it->odds;
      line->margin = lead;
      line->expected = place->position;
      line->u_expected = place->u;
      added++;
    }
  return added;
}

static int
compare_lines (const void *a, const void *b)
{
  const FaintAssigned *x = a, *y = b;

  if (x->line.nu != y->line.nu)
    return x->line.nu > y->line.nu ? 1 : -1;
  return x->id < y->id ? -1 : 1;
}

static int
compare_predicted (const void *a, const void *b)
{
  const FaintPredicted *x = a, *y = b;

  if (x->position != y->position)
    return x->position > y->position ? 1 : -1;
  return (int)x->branch - (int)y->branch;
}

void
faint_assigning_finish (FaintAssigning *self)
{
  FaintAssignment *result = self->result;
  g_autoptr (GArray) vacant = find_vacant (result);

  for (guint i = 0; i < result->lines->len; i++)
    {
      FaintAssigned *it = &g_array_index (result->lines, FaintAssigned, i);
      const FaintAssignedBand *band = &g_array_index (result->bands, FaintAssignedBand, it->band);
      double u,
          calculated
          = faint_intensities_strength (&band->intensities, band->band, it->line.ladder, it->line.j,
                                        it->line.branch, result->options.search.temperature, &u);

      it->strength_ratio = faint_line_list_find (self->list, it->id)->strength.value / calculated;
    }
  for (guint i = 0; i < vacant->len; i++)
    {
      const Vacant *from = &g_array_index (vacant, Vacant, i);
      const FaintObserved *observed = self->observed;
      FaintPredicted it = { .band = from->band,
                            .ladder = from->ladder,
                            .j = from->j,
                            .branch = from->branch,
                            .position = from->position,
                            .u = from->u,
                            .strength = from->strength,
                            .u_strength = from->u_strength,
                            .over_limit = from->strength / result->limit };

      it.inside = it.position >= observed->nu[0] && it.position <= observed->nu[observed->n - 1];
      g_array_append_val (result->predicted, it);
    }
  g_array_sort (result->lines, compare_lines);
  g_array_sort (result->predicted, compare_predicted);
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Bands: which chains belong together, and their fits.
 */
#include "faint/assign/assignment-private.h"
#include "faint/base/words.h"

#include <math.h>
#include <stdlib.h>

#define TORN 0.1 /* of B: origins of two parts of one chain are as near as that */

/* Origin of a chain: of the straight line in J(J+1) through its levels, the centrifugal part of the
 * lower state taken off. */
static double
chain_origin (const FaintAssignment *self, const FaintChain *chain)
{
  const FaintLadder *ladder = g_ptr_array_index (self->ladders, chain->ladder);
  int stack = ladder->stack[FAINT_BRANCH_R] >= 0 ? ladder->stack[FAINT_BRANCH_R]
                                                 : ladder->stack[FAINT_BRANCH_Q];
  const FaintStack *it = faint_levels_get_stack (self->levels, (guint)stack);
  double n = 0.0, sx = 0.0, sy = 0.0, sxx = 0.0, sxy = 0.0;

  for (guint i = 0; i < chain->rungs->len; i++)
    {
      const FaintRung *rung = &g_array_index (chain->rungs, FaintRung, i);
      double x = (double)rung->j * (rung->j + 1.0);
      double y = rung->term - it->origin - it->b * x + it->d * x * x;

      if (rung->displaced || rung->n_lines == 0)
        continue;
      n += 1.0;
      sx += x;
      sy += y;
      sxx += x * x;
      sxy += x * y;
    }
  return (sxx * sy - sx * sxy) / (n * sxx - sx * sx);
}

/* Has the band one of the chain's transitions already, as another line? */
static gboolean
overlaps (const FaintAssignment *self, const FaintChain *chain, guint band)
{
  for (guint i = 0; i < self->lines->len; i++)
    {
      const FaintAssigned *it = &g_array_index (self->lines, FaintAssigned, i);

      if (it->band != band || it->line.ladder != chain->ladder)
        continue;
      for (guint k = 0; k < chain->rungs->len; k++)
        {
          const FaintRung *rung = &g_array_index (chain->rungs, FaintRung, k);

          if (rung->j == it->line.j && rung->line[it->line.branch] >= 0)
            return TRUE;
        }
    }
  return FALSE;
}

/* Common practice, no source: sub-bands of one band lie within a few B of each other, those of a
 * top move with K^2. */
static gboolean
belongs (const FaintAssignment *self, const FaintChain *chain, guint band, double origin)
{
  const FaintConstants *constants = faint_levels_get_constants (self->levels);
  const FaintAssignedBand *it = &g_array_index (self->bands, FaintAssignedBand, band);
  const FaintLadder *ladder = g_ptr_array_index (self->ladders, chain->ladder);
  double b = faint_levels_get_stack (self->levels, 0)->b, reach = b;

  /* A chain that was torn goes on in the same ladder, or its P and R lines do not quite agree. */
  if (it->uses_ladder[chain->ladder])
    return !overlaps (self, chain, band)
           && fabs (origin - chain_origin (self, chain)) < TORN * reach;
  if (constants->perpendicular && constants->molecule == FAINT_MOLECULE_SYMMETRIC_TOP)
    return TRUE;
  if (constants->molecule == FAINT_MOLECULE_TABLE)
    reach = 5.0 * b;
  if (constants->molecule == FAINT_MOLECULE_SYMMETRIC_TOP)
    reach = 2.0 * b
            + 0.02 * constants->value[0][FAINT_CONSTANT_AXIS] * ladder->upper.k * ladder->upper.k
            + fabs (constants->value[1][FAINT_CONSTANT_ORIGIN]
                    - constants->value[0][FAINT_CONSTANT_ORIGIN])
                  * 2.0;
  return fabs (origin - chain_origin (self, chain)) < reach;
}

static void
take_rung (FaintAssigning *self, const FaintChain *chain, const FaintRung *rung, guint band)
{
  const FaintLadder *ladder = g_ptr_array_index (self->result->ladders, chain->ladder);

  for (int b = 0; b < FAINT_BRANCH_N; b++)
    if (rung->line[b] >= 0)
      {
        FaintAssigned *it
            = faint_assigning_add (self, (gsize)rung->line[b], band, chain->ladder, rung->j, b);

        it->by = rung->n_lines > 1 ? FAINT_ASSIGNED_BY_DIFFERENCE : FAINT_ASSIGNED_BY_CHAIN;
        it->odds = rung->odds;
        it->margin = rung->margin < G_MAXDOUBLE ? rung->margin : NAN;
        it->expected = rung->expected
                       - faint_ladder_lower (ladder, self->result->levels, b, rung->j)->energy;
        it->u_expected = rung->u_expected;
      }
}

static guint
count_lines (const FaintChain *chain)
{
  guint n = 0;

  for (guint i = 0; i < chain->rungs->len; i++)
    n += g_array_index (chain->rungs, FaintRung, i).n_lines;
  return n;
}

static void
take_undecided (FaintAssigning *self, const FaintChain *chain)
{
  const FaintLadder *mine = g_ptr_array_index (self->result->ladders, chain->ladder);
  const FaintLadder *other = g_ptr_array_index (self->result->ladders, chain->rival_ladder);
  int first = g_array_index (chain->rungs, FaintRung, 0).j;
  int last = g_array_index (chain->rungs, FaintRung, chain->rungs->len - 1).j;
  FaintUndecided it = { .n_lines = count_lines (chain) };
  g_autofree char *one = *mine->name
                             ? g_strdup_printf (N_ ("J' %d to %d of %s"), first, last, mine->name)
                             : g_strdup_printf (N_ ("J' %d to %d"), first, last);
  g_autofree char *two
      = *other->name ? g_strdup_printf (N_ ("J' %+d of %s"), chain->rival_shift, other->name)
                     : g_strdup_printf (N_ ("J' %+d"), chain->rival_shift);

  it.text = g_strdup_printf (
      N_ ("The data do not decide between two assignments of %u lines: %s, or %s; the odds are "
          "e^%.1f to one. They stay without labels."),
      it.n_lines, one, two, chain->odds - chain->rival_odds);
  g_array_append_val (self->result->undecided, it);
}

void
faint_assigning_take_chains (FaintAssigning *self, const GPtrArray *chains)
{
  FaintAssignment *result = self->result;
  const char *state = faint_levels_get_constants (result->levels)->upper_state;
  g_autoptr (GArray) origins = g_array_new (FALSE, FALSE, sizeof (double));

  for (guint i = 0; i < chains->len; i++)
    {
      const FaintChain *chain = g_ptr_array_index (chains, i);
      guint band = 0;

      if (chain->undecided)
        {
          take_undecided (self, chain);
          continue;
        }
      while (band < result->bands->len
             && !belongs (result, chain, band, g_array_index (origins, double, band)))
        band++;
      if (band == result->bands->len)
        {
          g_autofree char *name = band == 0
                                      ? g_strdup (state)
                                      : g_strdup_printf ("%s%u", *state ? state : "band", band + 1);
          double origin = chain_origin (result, chain);

          faint_assigning_add_band (self, name);
          g_array_index (result->bands, FaintAssignedBand, band).odds = chain->odds;
          g_array_append_val (origins, origin);
        }
      for (guint k = 0; k < chain->rungs->len; k++)
        take_rung (self, chain, &g_array_index (chain->rungs, FaintRung, k), band);
    }
}

typedef struct
{
  GArray *lines, *strength, *u, *index; /* FaintBandLine, double, double, guint */
} BandData;

static void
band_data_clear (BandData *data)
{
  g_array_unref (data->lines);
  g_array_unref (data->strength);
  g_array_unref (data->u);
  g_array_unref (data->index);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (BandData, band_data_clear)

static void
collect (const FaintAssigning *self, guint band, BandData *data)
{
  data->lines = g_array_new (FALSE, FALSE, sizeof (FaintBandLine));
  data->strength = g_array_new (FALSE, FALSE, sizeof (double));
  data->u = g_array_new (FALSE, FALSE, sizeof (double));
  data->index = g_array_new (FALSE, FALSE, sizeof (guint));
  for (guint i = 0; i < self->result->lines->len; i++)
    {
      const FaintAssigned *it = &g_array_index (self->result->lines, FaintAssigned, i);
      const FaintLine *line = faint_line_list_find (self->list, it->id);

      if (it->band != band)
        continue;
      g_array_append_val (data->lines, it->line);
      g_array_append_val (data->strength, line->strength.value);
      g_array_append_val (data->u, line->strength.u);
      g_array_append_val (data->index, i);
    }
}

static int
compare_numbers (const void *a, const void *b)
{
  double x = *(const double *)a, y = *(const double *)b;

  return (x > y) - (x < y);
}

/* What the positions have in common, a scale that is off, is not in their noise: the median. */
static double
common_u (const FaintAssigning *self, const BandData *data)
{
  g_autoptr (GArray) known = g_array_new (FALSE, FALSE, sizeof (double));

  for (guint i = 0; i < data->lines->len; i++)
    {
      const FaintLine *line
          = faint_line_list_find (self->list, g_array_index (data->lines, FaintBandLine, i).id);
      double u = line->position.u, noise = line->position.u_noise, common;

      if (!(u > noise))
        continue;
      common = sqrt (u * u - noise * noise);
      g_array_append_val (known, common);
    }
  if (known->len == 0)
    return 0.0;
  g_array_sort (known, compare_numbers);
  return g_array_index (known, double, known->len / 2);
}

static void
add_common (FaintAssignedBand *it)
{
  for (guint i = 0; i < it->band->constants->len; i++)
    {
      FaintBandConstant *constant = &g_array_index (it->band->constants, FaintBandConstant, i);

      if (constant->constant == FAINT_CONSTANT_ORIGIN)
        constant->u = hypot (constant->u, it->u_common);
    }
}

static gboolean
fit_band (FaintAssigning *self, guint band, GError **error)
{
  FaintAssignment *result = self->result;
  FaintAssignedBand *it = &g_array_index (result->bands, FaintAssignedBand, band);
  const FaintAssignmentOptions *options = &result->options;
  g_auto (BandData) data = { 0 };
  const FaintBandLine *lines;

  collect (self, band, &data);
  lines = (const FaintBandLine *)data.lines->data;
  faint_band_free (it->band);
  faint_band_free (it->lower);
  it->lower = NULL;
  it->n_lines = data.lines->len;
  it->band = faint_band_fit (result->levels, result->ladders, lines, data.lines->len,
                             &options->band, error);
  if (it->band == NULL)
    return FALSE;
  if (options->lower_constants)
    it->lower = faint_band_fit_differences (result->levels, result->ladders, lines, data.lines->len,
                                            &options->band, NULL);
  it->u_common = common_u (self, &data);
  add_common (it);
  it->intensities = faint_intensities_fit (
      it->band, lines, data.lines->len, (const double *)data.strength->data,
      (const double *)data.u->data, options->search.temperature);
  faint_intensities_sum (&it->intensities, it->band, it->uses_ladder, options->search.temperature);
  for (guint i = 0; i < data.index->len; i++)
    {
      FaintAssigned *line
          = &g_array_index (result->lines, FaintAssigned, g_array_index (data.index, guint, i));

      line->fitted = it->band->fit->kept[i];
      line->verdict = it->band->verdict[i];
      line->shift = it->band->shift[i];
      line->calculated = line->line.nu - it->band->fit->residual[i];
    }
  return TRUE;
}

gboolean
faint_assigning_fit (FaintAssigning *self, GError **error)
{
  for (guint i = 0; i < self->result->bands->len; i++)
    if (!fit_band (self, i, error))
      return FALSE;
  return TRUE;
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Labels and lower-state energies: known of the lines, whatever a fit began with.
 */
#include "faint/analysis/analysis-private.h"
#include "faint/shape/voigt.h"
#include "faint/strength/budget.h"

#include <math.h>
#include <stdlib.h>

/* A line that is found again this near, in half widths, is the same line. */
#define SAME 0.1

typedef struct
{
  const FaintLine **by_position;
  gsize n;
} Sorted;

static int
lower_first (gconstpointer a, gconstpointer b)
{
  double x = (*(const FaintLine *const *)a)->position.value;
  double y = (*(const FaintLine *const *)b)->position.value;

  return x < y ? -1 : x > y ? 1 : 0;
}

static void
sorted_clear (Sorted *self)
{
  g_clear_pointer (&self->by_position, g_free);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Sorted, sorted_clear)

static Sorted
sort (const FaintLineList *lines)
{
  gsize n = faint_line_list_get_n (lines);
  Sorted sorted = { g_new (const FaintLine *, MAX (n, 1)), n };

  for (gsize i = 0; i < n; i++)
    sorted.by_position[i] = faint_line_list_get (lines, i);
  qsort (sorted.by_position, n, sizeof *sorted.by_position, lower_first);
  return sorted;
}

static const FaintLine *
nearest (const Sorted *sorted, double position)
{
  gsize low = 0, high = sorted->n;

  while (low < high)
    {
      gsize middle = low + (high - low) / 2;

      if (sorted->by_position[middle]->position.value < position)
        low = middle + 1;
      else
        high = middle;
    }
  if (sorted->n == 0)
    return NULL;
  if (low == sorted->n
      || (low > 0
          && position - sorted->by_position[low - 1]->position.value
                 < sorted->by_position[low]->position.value - position))
    low--;
  return sorted->by_position[low];
}

/* The line of @before that @line of @after is: each the nearest of the other. */
static const FaintLine *
met_again (const Sorted *before, const Sorted *after, const FaintLine *line)
{
  const FaintLine *other = nearest (before, line->position.value);

  if (other == NULL
      || !(fabs (other->position.value - line->position.value)
           <= SAME * faint_voigt_hwhm (line->doppler.value, line->lorentz.value)))
    return NULL;
  return nearest (after, other->position.value) == line ? other : NULL;
}

FaintLineList *
faint_analysis_carry_labels (const FaintAnalysis *self, const FaintLineList *start,
                             const FaintLineList *lines)
{
  gsize n = faint_line_list_get_n (lines);
  g_autofree FaintLine *carried = g_new (FaintLine, MAX (n, 1));
  g_auto (Sorted) before = sort (self->lines);
  g_auto (Sorted) after = sort (lines);

  for (gsize i = 0; i < n; i++)
    {
      const FaintLine *line = faint_line_list_get (lines, i), *known;

      carried[i] = *line;
      if (start != NULL && faint_line_list_find (start, line->id) != NULL)
        known = faint_line_list_find (self->lines, line->id);
      else
        known = met_again (&before, &after, line);
      if (known == NULL)
        continue;
      carried[i].upper = known->upper;
      carried[i].lower = known->lower;
      if (line->flags & FAINT_LINE_ENERGY_FITTED)
        continue;
      carried[i].lower_energy = known->lower_energy;
      carried[i].u_lower_energy = known->u_lower_energy;
    }
  return faint_line_list_new (carried, n);
}

static FaintLineList *
without_strengths_296 (const FaintLineList *lines)
{
  gsize n = faint_line_list_get_n (lines);
  g_autofree FaintLine *copy = g_new (FaintLine, MAX (n, 1));

  for (gsize i = 0; i < n; i++)
    {
      copy[i] = *faint_line_list_get (lines, i);
      copy[i].strength_296 = copy[i].u_strength_296 = NAN;
    }
  return faint_line_list_new (copy, n);
}

/* Strengths at 296 K, where those of a single temperature were fitted and are still there. */
static FaintLineList *
convert (const FaintAnalysis *self, FaintLineList *lines, GError **missing)
{
  FaintLineList *converted = NULL;
  const FaintFit *fit = self->parts[0].fit;
  const FaintSetup *setup = fit != NULL ? fit->spectrum->setup : NULL;
  g_autoptr (FaintPartition) partition = NULL;

  if (setup == NULL || setup->partition_sums == NULL || self->fitted != self->lines
      || (self->n_parts > 1 && self->whole.numbers.energies))
    return faint_line_list_ref (lines);
  partition = faint_partition_read (setup->partition_sums, missing);
  if (partition != NULL)
    converted = faint_budget_convert_list (setup, partition, lines, missing);
  return converted != NULL ? converted : without_strengths_296 (lines);
}

FaintAnalysis *
faint_analysis_with_labels (const FaintAnalysis *self, FaintLineList *lines, GError **missing)
{
  FaintLineList *converted = convert (self, lines, missing);
  FaintAnalysis *copy = faint_analysis_copy (self);

  if (self->fitted != NULL && self->fitted == self->lines)
    faint_analysis_set_lines (&copy->fitted, faint_line_list_ref (converted));
  faint_analysis_set_lines (&copy->lines, converted);
  return copy;
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/assign/assignment-private.h"

#include <math.h>

typedef struct
{
  guint at; /* index of a line */
  guint band, ladder;
  int j;
} Upper;

static int
compare_upper (gconstpointer a, gconstpointer b)
{
  const Upper *one = a, *other = b;

  if (one->band != other->band)
    return one->band < other->band ? -1 : 1;
  if (one->ladder != other->ladder)
    return one->ladder < other->ladder ? -1 : 1;
  return (one->j > other->j) - (one->j < other->j);
}

/* The lines of each upper level stand together. */
static GArray *
sort_by_upper (const FaintAssignment *result)
{
  GArray *sorted = g_array_sized_new (FALSE, FALSE, sizeof (Upper), result->lines->len);

  for (guint i = 0; i < result->lines->len; i++)
    {
      const FaintAssigned *it = &g_array_index (result->lines, FaintAssigned, i);
      Upper upper = { i, it->band, it->line.ladder, it->line.j };

      g_array_append_val (sorted, upper);
    }
  g_array_sort (sorted, compare_upper);
  return sorted;
}

/* The upper term as a line has it, cm-1. */
static double
term_of (const FaintAssignment *result, const FaintAssigned *it)
{
  const FaintLadder *ladder = g_ptr_array_index (result->ladders, it->line.ladder);

  return it->line.nu
         + faint_ladder_lower (ladder, result->levels, it->line.branch, it->line.j)->energy;
}

/* Holds line @own of the @n of one upper level against the weighted mean of the others. */
static void
weigh_line (FaintAssignment *result, const Upper *upper, guint n, guint own)
{
  FaintAssigned *it = &g_array_index (result->lines, FaintAssigned, upper[own].at);
  double term = term_of (result, it), weights = 0.0, sum = 0.0;

  for (guint i = 0; i < n; i++)
    if (i != own)
      {
        const FaintAssigned *other = &g_array_index (result->lines, FaintAssigned, upper[i].at);
        double weight = 1.0 / (other->line.u * other->line.u);

        weights += weight;
        sum += weight * (term - term_of (result, other));
      }
  it->partners = n - 1;
  it->misfit = n > 1 ? sum / weights / sqrt (it->line.u * it->line.u + 1.0 / weights) : NAN;
}

void
faint_assigning_weigh_partners (FaintAssigning *self)
{
  g_autoptr (GArray) sorted = sort_by_upper (self->result);
  guint n;

  for (guint i = 0; i < sorted->len; i += n)
    {
      const Upper *first = &g_array_index (sorted, Upper, i);

      for (n = 1; i + n < sorted->len && compare_upper (first, first + n) == 0; n++)
        ;
      for (guint own = 0; own < n; own++)
        weigh_line (self->result, first, n, own);
    }
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/assignment/assigner-private.h"

#include <math.h>

/* A line is still the one that was found while it has not moved by more of its uncertainties. */
#define SAME_LINE 5.0

typedef struct
{
  char *upper, *lower;
  double nu, u;
  FaintAssignedBy by;
  double odds, margin, expected, u_expected;
} Evidence;

static void
evidence_free (gpointer data)
{
  Evidence *evidence = data;

  g_free (evidence->upper);
  g_free (evidence->lower);
  g_free (evidence);
}

GHashTable *
_faint_assigner_evidence_new (void)
{
  return g_hash_table_new_full (NULL, NULL, NULL, evidence_free);
}

void
_faint_assigner_keep (FaintAssigner *self, const FaintAssignment *found)
{
  g_hash_table_remove_all (self->evidence);
  for (guint i = 0; i < found->lines->len; i++)
    {
      const FaintAssigned *it = &g_array_index (found->lines, FaintAssigned, i);
      Evidence *evidence = g_new (Evidence, 1);

      *evidence = (Evidence){ .upper = g_strdup (it->upper),
                              .lower = g_strdup (it->lower),
                              .nu = it->line.nu,
                              .u = it->line.u,
                              .by = it->by,
                              .odds = it->odds,
                              .margin = it->margin,
                              .expected = it->expected,
                              .u_expected = it->u_expected };
      g_hash_table_insert (self->evidence, GUINT_TO_POINTER (it->id), evidence);
    }
}

void
_faint_assigner_recall (FaintAssigner *self, FaintAssignment *judged)
{
  for (guint i = 0; i < judged->lines->len; i++)
    {
      FaintAssigned *it = &g_array_index (judged->lines, FaintAssigned, i);
      const Evidence *found = g_hash_table_lookup (self->evidence, GUINT_TO_POINTER (it->id));

      if (found == NULL || g_strcmp0 (found->upper, it->upper) != 0
          || g_strcmp0 (found->lower, it->lower) != 0
          || !(fabs (found->nu - it->line.nu) <= SAME_LINE * fmax (found->u, it->line.u)))
        continue;
      it->by = found->by;
      it->odds = found->odds;
      it->margin = found->margin;
      it->expected = found->expected;
      it->u_expected = found->u_expected;
    }
}

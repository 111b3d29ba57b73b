/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The labels that a list already has.
 */
#include "faint/assign/assignment-private.h"
#include "faint/base/words.h"

#include <string.h>

typedef struct
{
  guint ladder;
  int j;
  FaintBranch branch;
} Transition;

/* Behind the name of the state. */
static const char *
bare_label (const char *label)
{
  const char *colon = strrchr (label, ':');

  return colon != NULL ? colon + 1 : label;
}

/* All transitions by "upper label without its state|lower label". */
static GHashTable *
all_transitions (const FaintAssignment *self)
{
  GHashTable *table = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, g_free);

  for (guint l = 0; l < self->ladders->len; l++)
    {
      const FaintLadder *ladder = g_ptr_array_index (self->ladders, l);

      for (int j = (int)ladder->j_min; j <= (int)ladder->j_max; j++)
        for (int b = 0; b < FAINT_BRANCH_N; b++)
          {
            const FaintLevel *lower = faint_ladder_lower (ladder, self->levels, b, j);
            g_autofree char *upper = NULL;
            Transition *it;

            if (lower == NULL)
              continue;
            it = g_new (Transition, 1);
            *it = (Transition){ l, j, b };
            upper = faint_ladder_label (ladder, self->levels, j);
            g_hash_table_insert (table, g_strdup_printf ("%s|%s", bare_label (upper), lower->label),
                                 it);
          }
    }
  return table;
}

static guint
band_of (FaintAssigning *self, const char *upper)
{
  const char *bare = bare_label (upper);
  g_autofree char *state = g_strndup (upper, bare > upper ? (gsize)(bare - upper - 1) : 0);

  for (guint i = 0; i < self->result->bands->len; i++)
    if (g_str_equal (g_array_index (self->result->bands, FaintAssignedBand, i).name, state))
      return i;
  return faint_assigning_add_band (self, state);
}

void
faint_assigning_take_given (FaintAssigning *self)
{
  g_autoptr (GHashTable) transitions = all_transitions (self->result);
  guint strangers = 0;

  for (gsize i = 0; i < self->observed->n; i++)
    {
      const FaintLine *line = faint_line_list_find (self->list, self->observed->id[i]);
      g_autofree char *key = NULL;
      const Transition *it;

      if (*line->upper == '\0' && *line->lower == '\0')
        continue;
      key = g_strdup_printf ("%s|%s", bare_label (line->upper), line->lower);
      it = g_hash_table_lookup (transitions, key);
      if (it == NULL)
        {
          strangers++;
          continue;
        }
      faint_assigning_add (self, i, band_of (self, line->upper), it->ladder, it->j, it->branch)->by
          = FAINT_ASSIGNED_AS_GIVEN;
    }
  if (strangers > 0)
    faint_warnings_add (
        self->result->warnings, "label-unknown",
        N_ ("%u lines have labels that are no transition of these levels; they were "
            "left out."),
        strangers);
}

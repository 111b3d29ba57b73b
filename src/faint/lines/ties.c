/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/lines/ties.h"

#include "faint/lines/parameters.h"

#define NOWHERE G_MAXSIZE

typedef enum
{
  UNSEEN,
  ON_THE_WAY, /* of the chain that is followed now */
  SETTLED,
} Progress;

typedef struct
{
  FaintLine *lines;
  gsize n;
  GHashTable *index; /* id to index + 1 */
  guint parameter;   /* being settled */
  guint8 *progress;  /* of each line */
  GArray *way;       /* gsize: indices from where the chain began */
} Ties;

static FaintParameter *
at (const Ties *self, gsize i)
{
  return faint_line_nth_parameter (&self->lines[i], self->parameter);
}

static void
set_free (FaintParameter *parameter)
{
  parameter->state = FAINT_STATE_FREE;
}

static GHashTable *
index_of_ids (const FaintLine *lines, gsize n)
{
  GHashTable *index = g_hash_table_new (NULL, NULL);

  for (gsize i = 0; i < n; i++)
    g_hash_table_insert (index, GUINT_TO_POINTER (lines[i].id), GSIZE_TO_POINTER (i + 1));
  return index;
}

static gsize
target_of (const Ties *self, const FaintParameter *parameter)
{
  gpointer found = g_hash_table_lookup (self->index, GUINT_TO_POINTER (parameter->tied_to));
  return found != NULL ? GPOINTER_TO_SIZE (found) - 1 : NOWHERE;
}

static gboolean
can_hold (double factor, double offset)
{
  return isfinite (factor) && factor != 0.0 && isfinite (offset);
}

/* Ties @parameter to the root of @target, itself settled. */
static void
tie_to_root (const Ties *self, FaintParameter *parameter, gsize target)
{
  const FaintParameter *next = at (self, target);
  double factor = parameter->tie_factor, offset = parameter->tie_offset;
  guint root = self->lines[target].id;

  if (next->state == FAINT_STATE_TIED)
    {
      offset = factor * next->tie_offset + offset;
      factor *= next->tie_factor;
      root = next->tied_to;
      if (!can_hold (factor, offset))
        {
          set_free (parameter);
          return;
        }
      next = at (self, target_of (self, next));
    }
  parameter->tied_to = root;
  parameter->tie_factor = factor;
  parameter->tie_offset = offset;
  if (isfinite (next->value))
    parameter->value = factor * next->value + offset;
}

/* All on the way from @first on stand in a circle. */
static void
break_circle (Ties *self, gsize first)
{
  guint k = self->way->len;
  gsize i;

  do
    {
      i = g_array_index (self->way, gsize, --k);
      set_free (at (self, i));
    }
  while (i != first);
}

/* Follows the chain from line @i to its end, then settles it from there back. */
static void
follow (Ties *self, gsize i)
{
  g_array_set_size (self->way, 0);
  while (self->progress[i] == UNSEEN)
    {
      FaintParameter *parameter = at (self, i);
      gsize target = NOWHERE;

      self->progress[i] = ON_THE_WAY;
      g_array_append_val (self->way, i);
      if (parameter->state != FAINT_STATE_TIED)
        break;
      if (can_hold (parameter->tie_factor, parameter->tie_offset))
        target = target_of (self, parameter);
      if (target == NOWHERE)
        {
          set_free (parameter);
          break;
        }
      if (self->progress[target] == ON_THE_WAY)
        {
          break_circle (self, target);
          break;
        }
      i = target;
    }
  for (guint k = self->way->len; k-- > 0;)
    {
      gsize member = g_array_index (self->way, gsize, k);
      FaintParameter *parameter = at (self, member);

      self->progress[member] = SETTLED;
      if (parameter->state == FAINT_STATE_TIED)
        tie_to_root (self, parameter, target_of (self, parameter));
    }
}

static gboolean
is_tied (const FaintLine *lines, gsize n, guint parameter)
{
  for (gsize i = 0; i < n; i++)
    if (faint_line_peek_nth_parameter (&lines[i], parameter)->state == FAINT_STATE_TIED)
      return TRUE;
  return FALSE;
}

/* Only a tied parameter has anything in its fields of a tie. */
static void
clear_others (const Ties *self)
{
  for (gsize i = 0; i < self->n; i++)
    {
      FaintParameter *parameter = at (self, i);
      if (parameter->state == FAINT_STATE_TIED)
        continue;
      parameter->tied_to = 0;
      parameter->tie_factor = 1.0;
      parameter->tie_offset = 0.0;
    }
}

void
faint_ties_settle (FaintLine *lines, gsize n)
{
  Ties self = { .lines = lines, .n = n };

  for (self.parameter = 0; self.parameter < FAINT_PARAMETER_N; self.parameter++)
    {
      if (is_tied (lines, n, self.parameter))
        {
          if (self.index == NULL)
            self.index = index_of_ids (lines, n);
          if (self.way == NULL)
            self.way = g_array_new (FALSE, FALSE, sizeof (gsize));
          self.progress = g_new0 (guint8, n);
          for (gsize i = 0; i < n; i++)
            follow (&self, i);
          g_clear_pointer (&self.progress, g_free);
        }
      clear_others (&self);
    }
  g_clear_pointer (&self.index, g_hash_table_unref);
  g_clear_pointer (&self.way, g_array_unref);
}

/* @orphan and @heir followed the same x; from now on @orphan follows @heir, whose fields still hold
 * how. */
static void
tie_to_heir (FaintParameter *orphan, const FaintParameter *heir, guint heir_id)
{
  double factor = orphan->tie_factor / heir->tie_factor;

  orphan->tie_offset -= factor * heir->tie_offset;
  orphan->tie_factor = factor;
  orphan->tied_to = heir_id;
  if (!can_hold (orphan->tie_factor, orphan->tie_offset))
    set_free (orphan);
  else if (isfinite (heir->value))
    orphan->value = factor * heir->value + orphan->tie_offset;
}

static void
release_parameter (const Ties *self, const gboolean *gone)
{
  g_autoptr (GHashTable) heirs = g_hash_table_new (NULL, NULL); /* id of the root to index + 1 */

  for (gsize i = 0; i < self->n; i++)
    {
      FaintParameter *parameter = at (self, i);
      gpointer key = GUINT_TO_POINTER (parameter->tied_to), heir;
      gsize root;

      if (gone[i] || parameter->state != FAINT_STATE_TIED)
        continue;
      root = target_of (self, parameter);
      if (root == NOWHERE || !gone[root])
        continue;
      heir = g_hash_table_lookup (heirs, key);
      if (heir != NULL)
        {
          gsize k = GPOINTER_TO_SIZE (heir) - 1;
          tie_to_heir (parameter, at (self, k), self->lines[k].id);
          continue;
        }
      set_free (parameter);
      g_hash_table_insert (heirs, key, GSIZE_TO_POINTER (i + 1));
    }
}

void
faint_ties_release (FaintLine *lines, const gboolean *gone, gsize n)
{
  Ties self = { .lines = lines, .n = n };

  for (self.parameter = 0; self.parameter < FAINT_PARAMETER_N; self.parameter++)
    {
      if (!is_tied (lines, n, self.parameter))
        continue;
      if (self.index == NULL)
        self.index = index_of_ids (lines, n);
      release_parameter (&self, gone);
    }
  g_clear_pointer (&self.index, g_hash_table_unref);
}

gsize
faint_ties_count (const FaintLine *lines, gsize n)
{
  gsize count = 0;

  for (gsize i = 0; i < n; i++)
    for (guint k = 0; k < FAINT_PARAMETER_N; k++)
      count += faint_line_peek_nth_parameter (&lines[i], k)->state == FAINT_STATE_TIED;
  return count;
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/lines/line-list.h"

#include <stdlib.h>
#include <string.h>

#include "faint/lines/parameters.h"
#include "faint/lines/ties.h"

typedef struct
{
  guint id;
  gsize index;
} IdEntry;

struct _FaintLineList
{
  FaintLine *lines; /* by rising position */
  gsize n;
  IdEntry *by_id; /* by rising id */
  GStringChunk *texts;
  gatomicrefcount refs;
};

G_DEFINE_QUARK (faint_lines_error_quark, faint_lines_error)

/* Lines without a position come last. */
static int
compare_positions (gconstpointer a, gconstpointer b, gpointer data)
{
  double x = ((const FaintLine *)a)->position.value;
  double y = ((const FaintLine *)b)->position.value;

  if (isnan (x) || isnan (y))
    return (isnan (x) ? 1 : 0) - (isnan (y) ? 1 : 0);
  return (x > y) - (x < y);
}

static int
compare_ids (gconstpointer a, gconstpointer b)
{
  guint x = ((const IdEntry *)a)->id, y = ((const IdEntry *)b)->id;
  return (x > y) - (x < y);
}

static const char *
intern (FaintLineList *self, const char *text)
{
  g_autofree char *valid = NULL;

  if (text == NULL || text[0] == '\0')
    return "";
  if (!g_utf8_validate (text, -1, NULL))
    text = valid = g_utf8_make_valid (text, -1);
  return g_string_chunk_insert_const (self->texts, text);
}

/* The flags of the parameters that have some. */
static const struct
{
  FaintPlace place;
  guint fixed, tied;
} state_flags[] = {
  { FAINT_PLACE_POSITION, FAINT_LINE_POSITION_FIXED, FAINT_LINE_POSITION_TIED },
  { FAINT_PLACE_STRENGTH, FAINT_LINE_STRENGTH_FIXED, FAINT_LINE_STRENGTH_TIED },
  { FAINT_PLACE_LORENTZ, FAINT_LINE_LORENTZ_FIXED, FAINT_LINE_LORENTZ_TIED },
  { FAINT_PLACE_DOPPLER, FAINT_LINE_DOPPLER_FIXED, FAINT_LINE_DOPPLER_TIED },
};

/* The states say what is fixed or tied; flags and uncertainties follow them. */
static void
settle_states (FaintLine *line)
{
  for (gsize i = 0; i < G_N_ELEMENTS (state_flags); i++)
    {
      FaintParameterState state = faint_line_parameter (line, state_flags[i].place)->state;

      line->flags &= ~(state_flags[i].fixed | state_flags[i].tied);
      line->flags |= state == FAINT_STATE_FIXED ? state_flags[i].fixed : 0;
      line->flags |= state == FAINT_STATE_TIED ? state_flags[i].tied : 0;
    }
  for (guint k = 0; k < FAINT_PARAMETER_N; k++)
    {
      FaintParameter *parameter = faint_line_nth_parameter (line, k);
      if (parameter->state == FAINT_STATE_FIXED)
        parameter->u = parameter->u_noise = NAN;
    }
}

static gboolean
is_sorted (const FaintLine *lines, gsize n)
{
  for (gsize i = 1; i < n; i++)
    if (compare_positions (&lines[i - 1], &lines[i], NULL) > 0)
      return FALSE;
  return TRUE;
}

/* An id that is 0, or was seen before, becomes the next above all others. */
static void
give_ids (FaintLineList *self)
{
  g_autoptr (GHashTable) seen = g_hash_table_new (NULL, NULL);
  guint largest = 0;

  for (gsize i = 0; i < self->n; i++)
    largest = MAX (largest, self->lines[i].id);
  for (gsize i = 0; i < self->n; i++)
    {
      FaintLine *line = &self->lines[i];
      if (line->id == 0 || g_hash_table_contains (seen, GUINT_TO_POINTER (line->id)))
        line->id = ++largest;
      g_hash_table_add (seen, GUINT_TO_POINTER (line->id));
    }
}

static void
index_ids (FaintLineList *self)
{
  gboolean rising = TRUE;

  self->by_id = g_new (IdEntry, self->n);
  for (gsize i = 0; i < self->n; i++)
    {
      self->by_id[i] = (IdEntry){ self->lines[i].id, i };
      rising = rising && (i == 0 || self->by_id[i - 1].id < self->by_id[i].id);
    }
  if (!rising)
    qsort (self->by_id, self->n, sizeof (IdEntry), compare_ids);
}

FaintLineList *
faint_line_list_new (const FaintLine *lines, gsize n)
{
  FaintLineList *self = g_new0 (FaintLineList, 1);

  g_atomic_ref_count_init (&self->refs);
  self->n = n;
  self->texts = g_string_chunk_new (256);
  self->lines = g_new (FaintLine, n);
  for (gsize i = 0; i < n; i++)
    {
      FaintLine *line = &self->lines[i];
      *line = lines[i];
      line->upper = intern (self, line->upper);
      line->lower = intern (self, line->lower);
      line->remark = intern (self, line->remark);
    }
  give_ids (self); /* before sorting: new lines are numbered in the order given */
  faint_ties_settle (self->lines, n); /* before sorting: tied positions follow */
  for (gsize i = 0; i < n; i++)
    settle_states (&self->lines[i]);
  if (!is_sorted (self->lines, n))
    g_qsort_with_data (self->lines, (int)n, sizeof (FaintLine), compare_positions, NULL);
  index_ids (self);
  return self;
}

FaintLineList *
faint_line_list_ref (FaintLineList *self)
{
  g_atomic_ref_count_inc (&self->refs);
  return self;
}

void
faint_line_list_unref (FaintLineList *self)
{
  if (self == NULL || !g_atomic_ref_count_dec (&self->refs))
    return;
  g_string_chunk_free (self->texts);
  g_free (self->by_id);
  g_free (self->lines);
  g_free (self);
}

gsize
faint_line_list_get_n (const FaintLineList *self)
{
  return self->n;
}

const FaintLine *
faint_line_list_get (const FaintLineList *self, gsize index)
{
  g_return_val_if_fail (index < self->n, NULL);
  return &self->lines[index];
}

gsize
faint_line_list_index_of (const FaintLineList *self, guint id)
{
  const IdEntry key = { id, 0 };
  const IdEntry *found;

  if (self->n == 0)
    return G_MAXSIZE;
  found = bsearch (&key, self->by_id, self->n, sizeof (IdEntry), compare_ids);
  return found != NULL ? found->index : G_MAXSIZE;
}

const FaintLine *
faint_line_list_find (const FaintLineList *self, guint id)
{
  gsize index = faint_line_list_index_of (self, id);
  return index != G_MAXSIZE ? &self->lines[index] : NULL;
}

/* Index of the first line whose position is not below @wavenumber (behind it if @after). */
static gsize
place_of (const FaintLineList *self, double wavenumber, gboolean after)
{
  gsize low = 0, high = self->n;

  while (low < high)
    {
      gsize middle = low + (high - low) / 2;
      double position = self->lines[middle].position.value;
      if (position < wavenumber || (after && position == wavenumber))
        low = middle + 1;
      else
        high = middle;
    }
  return low;
}

gsize
faint_line_list_nearest (const FaintLineList *self, double wavenumber)
{
  gsize above = place_of (self, wavenumber, FALSE);
  gboolean has_above = above < self->n && !isnan (self->lines[above].position.value);

  if (above == 0)
    return has_above ? 0 : G_MAXSIZE;
  if (has_above
      && self->lines[above].position.value - wavenumber
             < wavenumber - self->lines[above - 1].position.value)
    return above;
  return above - 1;
}

FaintLineList *
faint_line_list_with_added (const FaintLineList *self, const FaintLine *line, guint *id)
{
  g_autofree FaintLine *lines = g_new (FaintLine, self->n + 1);
  gsize place
      = isnan (line->position.value) ? self->n : place_of (self, line->position.value, TRUE);
  FaintLine added = *line;

  added.id = self->n > 0 ? self->by_id[self->n - 1].id + 1 : 1;
  /* one by one: an empty list has no array, which memcpy() must not be given */
  for (gsize i = 0; i < place; i++)
    lines[i] = self->lines[i];
  lines[place] = added;
  for (gsize i = place; i < self->n; i++)
    lines[i + 1] = self->lines[i];
  if (id != NULL)
    *id = added.id;
  return faint_line_list_new (lines, self->n + 1);
}

FaintLineList *
faint_line_list_with_replaced (const FaintLineList *self, const FaintLine *line)
{
  gsize index = faint_line_list_index_of (self, line->id);
  g_autofree FaintLine *lines = g_memdup2 (self->lines, self->n * sizeof (FaintLine));

  g_return_val_if_fail (index != G_MAXSIZE, faint_line_list_new (self->lines, self->n));
  lines[index] = *line;
  return faint_line_list_new (lines, self->n);
}

FaintLineList *
faint_line_list_with_removed (const FaintLineList *self, const guint *ids, gsize n)
{
  g_autofree FaintLine *lines = g_memdup2 (self->lines, self->n * sizeof (FaintLine));
  g_autofree gboolean *gone = g_new0 (gboolean, self->n);
  gsize kept = 0;

  for (gsize i = 0; i < n; i++)
    {
      gsize index = faint_line_list_index_of (self, ids[i]);
      if (index != G_MAXSIZE)
        gone[index] = TRUE;
    }
  faint_ties_release (lines, gone, self->n);
  for (gsize i = 0; i < self->n; i++)
    if (!gone[i])
      lines[kept++] = lines[i];
  return faint_line_list_new (lines, kept);
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * An array of states and a place in it.
 */
#include "app/document/history.h"

/* A state may hold a fit of a million teeth: some ten arrays of eight megabytes. */
#define MAX_STATES 60

typedef struct
{
  char *label; /* of the step that led here; NULL in the first */
  char *merge_key;
  FaintAnalysis *analysis;
} State;

struct _FaintHistory
{
  GPtrArray *states; /* State */
  guint place;       /* of the current one */
};

static void
state_free (gpointer data)
{
  State *state = data;

  g_free (state->label);
  g_free (state->merge_key);
  faint_analysis_unref (state->analysis);
  g_free (state);
}

static State *
current (const FaintHistory *self)
{
  return self->states->len > 0 ? g_ptr_array_index (self->states, self->place) : NULL;
}

static void
replace (State *state, FaintAnalysis *analysis)
{
  faint_analysis_ref (analysis);
  faint_analysis_unref (state->analysis);
  state->analysis = analysis;
}

static void
append (FaintHistory *self, const char *label, const char *merge_key, FaintAnalysis *analysis)
{
  State *state = g_new0 (State, 1);

  state->label = g_strdup (label);
  state->merge_key = g_strdup (merge_key);
  state->analysis = faint_analysis_ref (analysis);
  g_ptr_array_add (self->states, state);
}

FaintHistory *
faint_history_new (void)
{
  FaintHistory *self = g_new0 (FaintHistory, 1);

  self->states = g_ptr_array_new_with_free_func (state_free);
  return self;
}

void
faint_history_free (FaintHistory *self)
{
  if (self == NULL)
    return;
  g_ptr_array_unref (self->states);
  g_free (self);
}

void
faint_history_begin (FaintHistory *self, FaintAnalysis *state)
{
  g_ptr_array_set_size (self->states, 0);
  append (self, NULL, NULL, state);
  self->place = 0;
}

void
faint_history_push (FaintHistory *self, const char *label, const char *merge_key,
                    FaintAnalysis *state)
{
  State *last = current (self);

  g_return_if_fail (last != NULL);

  g_ptr_array_set_size (self->states, (gint)self->place + 1);
  if (merge_key && g_strcmp0 (last->merge_key, merge_key) == 0)
    {
      replace (last, state);
      g_free (last->label);
      last->label = g_strdup (label);
      return;
    }
  append (self, label, merge_key, state);
  if (self->states->len > MAX_STATES)
    g_ptr_array_remove_index (self->states, 0);
  self->place = self->states->len - 1;
}

FaintAnalysis *
faint_history_origin (const FaintHistory *self, const char *merge_key)
{
  const State *last = current (self);

  g_return_val_if_fail (last != NULL, NULL);
  if (merge_key && self->place > 0 && g_strcmp0 (last->merge_key, merge_key) == 0)
    last = g_ptr_array_index (self->states, self->place - 1);
  return last->analysis;
}

void
faint_history_seal (FaintHistory *self)
{
  State *state = current (self);

  if (state)
    g_clear_pointer (&state->merge_key, g_free);
}

gboolean
faint_history_amend (FaintHistory *self, FaintAnalysis *state, FaintAnalysis *instead)
{
  State *here = current (self);

  if (here == NULL || here->analysis != state)
    return FALSE;
  replace (here, instead);
  return TRUE;
}

FaintAnalysis *
faint_history_undo (FaintHistory *self)
{
  if (self->place == 0)
    return NULL;
  faint_history_seal (self);
  self->place--;
  faint_history_seal (self);
  return current (self)->analysis;
}

FaintAnalysis *
faint_history_redo (FaintHistory *self)
{
  if (self->place + 1 >= self->states->len)
    return NULL;
  self->place++;
  faint_history_seal (self);
  return current (self)->analysis;
}

const char *
faint_history_undo_label (const FaintHistory *self)
{
  return self->place > 0 ? current (self)->label : NULL;
}

const char *
faint_history_redo_label (const FaintHistory *self)
{
  if (self->place + 1 >= self->states->len)
    return NULL;
  return ((State *)g_ptr_array_index (self->states, self->place + 1))->label;
}

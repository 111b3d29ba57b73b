/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/plot/view-history.h"

#include <math.h>

struct _FaintViewHistory
{
  GArray *views;   /* FaintRange, the latest last */
  GArray *forward; /* left by steps back, the latest last */
  FaintRange now;
  gint64 since;
  gboolean jump;
};

FaintViewHistory *
faint_view_history_new (void)
{
  FaintViewHistory *self = g_new0 (FaintViewHistory, 1);

  self->views = g_array_new (FALSE, FALSE, sizeof (FaintRange));
  self->forward = g_array_new (FALSE, FALSE, sizeof (FaintRange));
  faint_view_history_clear (self);
  return self;
}

void
faint_view_history_free (FaintViewHistory *self)
{
  if (self == NULL)
    return;
  g_array_unref (self->views);
  g_array_unref (self->forward);
  g_free (self);
}

static void
remember (FaintViewHistory *self, FaintRange view)
{
  if (self->views->len == FAINT_VIEW_HISTORY_MAX)
    g_array_remove_index (self->views, 0);
  g_array_append_val (self->views, view);
}

void
faint_view_history_note (FaintViewHistory *self, FaintRange view, gint64 now)
{
  if (!faint_range_is_valid (view))
    return;
  if (view.lower == self->now.lower && view.upper == self->now.upper)
    return;

  if (faint_range_is_valid (self->now)
      && (self->jump || now - self->since >= FAINT_VIEW_HISTORY_REST_US))
    remember (self, self->now);
  g_array_set_size (self->forward, 0);
  self->now = view;
  self->since = now;
  self->jump = FALSE;
}

void
faint_view_history_jump (FaintViewHistory *self)
{
  self->jump = TRUE;
}

/* Takes the last view of @from that is not the present one, which goes to @to. */
static gboolean
go (FaintViewHistory *self, GArray *from, GArray *to, FaintRange *view)
{
  while (from->len > 0)
    {
      FaintRange last = g_array_index (from, FaintRange, from->len - 1);

      g_array_set_size (from, from->len - 1);
      if (last.lower == self->now.lower && last.upper == self->now.upper)
        continue;
      if (faint_range_is_valid (self->now))
        g_array_append_val (to, self->now);
      self->now = last;
      self->jump = FALSE;
      *view = last;
      return TRUE;
    }
  return FALSE;
}

gboolean
faint_view_history_back (FaintViewHistory *self, FaintRange *view)
{
  return go (self, self->views, self->forward, view);
}

gboolean
faint_view_history_forward (FaintViewHistory *self, FaintRange *view)
{
  return go (self, self->forward, self->views, view);
}

void
faint_view_history_clear (FaintViewHistory *self)
{
  g_array_set_size (self->views, 0);
  g_array_set_size (self->forward, 0);
  self->now = (FaintRange){ NAN, NAN };
  self->since = 0;
  self->jump = FALSE;
}

guint
faint_view_history_get_n (const FaintViewHistory *self)
{
  return self->views->len;
}

guint
faint_view_history_get_n_forward (const FaintViewHistory *self)
{
  return self->forward->len;
}

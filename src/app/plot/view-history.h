/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The views that were looked at, so that one step leads back. A view counts once it stood still
 * for a moment: a pan or a run of zoom steps is one step back, not fifty. Pure; the caller gives
 * the time.
 */
#pragma once

#include "figure/view.h"

#define FAINT_VIEW_HISTORY_REST_US (700 * 1000) /* a view that stood this long is remembered */
#define FAINT_VIEW_HISTORY_MAX 64

typedef struct _FaintViewHistory FaintViewHistory;

FaintViewHistory *faint_view_history_new (void);
void faint_view_history_free (FaintViewHistory *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (FaintViewHistory, faint_view_history_free)

/* The view became @view at time @now, microseconds. The same view again is no change. */
void faint_view_history_note (FaintViewHistory *self, FaintRange view, gint64 now);
/* The next change is a jump: the view before it is remembered however short it stood. */
void faint_view_history_jump (FaintViewHistory *self);
/* Takes the last remembered view, which becomes the present one; FALSE if there is none. */
gboolean faint_view_history_back (FaintViewHistory *self, FaintRange *view);
/* The view that the last step back left; another view that is noted in between forgets it. */
gboolean faint_view_history_forward (FaintViewHistory *self, FaintRange *view);
void faint_view_history_clear (FaintViewHistory *self);
/* How many steps there are back, and forward. */
guint faint_view_history_get_n (const FaintViewHistory *self);
guint faint_view_history_get_n_forward (const FaintViewHistory *self);

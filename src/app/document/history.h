/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Undo and redo: the states a document went through. Analyses never change in place, so a state is
 * a reference, and an edit is the label of the step that led to it.
 */
#pragma once

#include "faint/analysis/analysis.h"

G_BEGIN_DECLS

typedef struct _FaintHistory FaintHistory;

FaintHistory *faint_history_new (void);
void faint_history_free (FaintHistory *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (FaintHistory, faint_history_free)

/* Forgets all and begins with @state. */
void faint_history_begin (FaintHistory *self, FaintAnalysis *state);

/* The step @label led to @state; what could have been redone is dropped. With a @merge_key that is
 * not NULL and equals that of the step before, both become one: the hundred small steps of a drag.
 * The oldest states are dropped beyond sixty. */
void faint_history_push (FaintHistory *self, const char *label, const char *merge_key,
                         FaintAnalysis *state);
/* The state that a step with @merge_key begins from: the one before the step it will be merged
 * with, or else the current one. Borrowed. */
FaintAnalysis *faint_history_origin (const FaintHistory *self, const char *merge_key);
/* A merge ends here: the next step is one of its own whatever its key. */
void faint_history_seal (FaintHistory *self);
/* The fit that follows an edit by itself belongs to the edit: if the current state is @state, it
 * becomes @instead, without a step, and TRUE is returned. */
gboolean faint_history_amend (FaintHistory *self, FaintAnalysis *state, FaintAnalysis *instead);

/* Goes one step back or forward; the state there, borrowed, or NULL: no such step. */
FaintAnalysis *faint_history_undo (FaintHistory *self);
FaintAnalysis *faint_history_redo (FaintHistory *self);
/* What that would undo or redo, "Move Line 7790.220"; NULL: nothing. */
const char *faint_history_undo_label (const FaintHistory *self);
const char *faint_history_redo_label (const FaintHistory *self);

G_END_DECLS

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The assignment of the lines of a document: levels of the lower state, what the labels of the
 * lines say with them, and the search for labels. It is made anew, in a thread, whenever lines or
 * levels change. Levels, free constants and labels belong to the document: they are saved with it,
 * and each change of them is a step of its history.
 */
#pragma once

#include "app/document/document.h"
#include "faint/assign/assignment.h"
#include "faint/assign/partners.h"

G_BEGIN_DECLS

#define FAINT_TYPE_ASSIGNER (faint_assigner_get_type ())
G_DECLARE_FINAL_TYPE (FaintAssigner, faint_assigner, FAINT, ASSIGNER, GObject)

/* Signals: "changed": levels or result; "levels-changed": other levels; "free-changed": that, or
 * another choice of free constants; "trace-changed"; and
 * "assign-trace": the user wants its lines assigned. */

/* The one of @document, which it lives as long as. Borrowed. */
FaintAssigner *faint_assigner_of (FaintDocument *document);

/* Reads constants or a table, as one step of the history. What there was stays when it cannot be
 * read. */
gboolean faint_assigner_read_levels (FaintAssigner *self, const char *path, GError **error);
FaintLevels *faint_assigner_get_levels (FaintAssigner *self); /* borrowed, NULL: none read */
const char *faint_assigner_get_path (FaintAssigner *self);    /* of the levels, or NULL */
/* Which constants of a band are free; FALSE without levels. A choice is one step of the history. */
gboolean faint_assigner_get_free (FaintAssigner *self, FaintBandOptions *options);
void faint_assigner_set_free (FaintAssigner *self, const FaintBandOptions *options);
/* What was read, in words; free with g_free. */
char *faint_assigner_levels_in_words (FaintAssigner *self);
/* FaintLadder; NULL without levels. Borrowed. */
const GPtrArray *faint_assigner_get_ladders (FaintAssigner *self);

/* What the labels of the present lines say; NULL while there is none. Borrowed. */
const FaintAssignment *faint_assigner_get_result (FaintAssigner *self);
/* TRUE while that is being made anew. */
gboolean faint_assigner_is_busy (FaintAssigner *self);

/* Looks for labels of all lines, as the document's job; one step of the history. */
void faint_assigner_search_async (FaintAssigner *self, GAsyncReadyCallback done, gpointer data);
gboolean faint_assigner_search_finish (FaintAssigner *self, GAsyncResult *result, GError **error);

/* A transition, from the level of @ladder that @branch leads to J' = @j from. */
typedef struct
{
  guint id; /* of the line */
  guint ladder;
  FaintBranch branch;
  int j;
  const char *state; /* name before the upper label; NULL: as the levels name it */
} FaintTransition;
/* Gives lines the labels of transitions, as one step of the history that says which: "Assign
 * P(12)", "Assign R(3) to R(9)". Another line that had such labels loses them. FALSE, in words,
 * where a transition does not exist. */
gboolean faint_assigner_label (FaintAssigner *self, const FaintTransition *transitions, gsize n,
                               GError **error);
/* The transition that the labels of a line name; FALSE where they name none of these levels. Its
 * state is borrowed from the line, not ended where the label goes on behind a colon. */
gboolean
faint_assigner_transition_of (FaintAssigner *self, const FaintLine *line, FaintTransition *it);
/* The line that has the labels of a transition, or NULL. */
const FaintLine *faint_assigner_line_of (FaintAssigner *self, const FaintTransition *it);
/* Lines that the user chose in the plot of Loomis and Wood, in their order. */
typedef struct
{
  guint id;
  int row;
} FaintTraceLine;
typedef struct
{
  gboolean known; /* rows are those of a branch: the number of a row is m, or J of a Q branch */
  gboolean q;
  guint ladder;
  const char *state; /* name of the band that the rows belong to, interned */
} FaintTraceRows;
void faint_assigner_set_trace (FaintAssigner *self, const FaintTraceLine *lines, gsize n,
                               FaintTraceRows rows);
/* FaintTraceLine; borrowed. */
const GArray *faint_assigner_get_trace (FaintAssigner *self, FaintTraceRows *rows);
void faint_assigner_want_trace (FaintAssigner *self);

/* Partners of a line with the present levels; FaintPartner, or NULL without levels. Free with
 * g_array_unref. */
GArray *faint_assigner_partners (FaintAssigner *self, guint id);

/* Sets or, with "", removes the labels of a line. The step is named by the transition where they
 * are one. */
void
faint_assigner_set_labels (FaintAssigner *self, guint id, const char *upper, const char *lower);
/* Removes the labels of these lines, as one step. */
void faint_assigner_remove (FaintAssigner *self, const guint *ids, gsize n);
/* Removes those of all lines. */
void faint_assigner_remove_all (FaintAssigner *self);

G_END_DECLS

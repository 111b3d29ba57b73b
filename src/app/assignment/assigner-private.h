/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Between assigner.c (state, threads), assigner-labels.c (edits) and assigner-evidence.c.
 */
#pragma once

#include "app/assignment/assigner.h"

struct _FaintAssigner
{
  GObject parent;

  FaintDocument *document;    /* weak: it owns this, but threads keep this longer */
  FaintAnalysisLevels chosen; /* copy of the document's */
  GPtrArray *ladders;
  FaintAssignment *result;  /* NULL: none */
  FaintLineList *result_of; /* the lines it belongs to */
  GHashTable *evidence;     /* of the last search, by id of the line */
  GCancellable *work;       /* of the one being made */
  GArray *trace;            /* FaintTraceLine */
  FaintTraceRows trace_rows;
};

/* A search says more of a line than its labels do: how it was found, and how sure that is. It is
 * kept, and recalled for lines that still have the labels which the search gave them. */
GHashTable *_faint_assigner_evidence_new (void);
void _faint_assigner_keep (FaintAssigner *self, const FaintAssignment *found);
void _faint_assigner_recall (FaintAssigner *self, FaintAssignment *judged);

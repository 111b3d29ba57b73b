/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The steps of an assignment. For this folder alone.
 */
#pragma once

#include "faint/assign/assignment.h"

typedef struct
{
  FaintAssignment *result;
  const FaintLineList *list;
  const FaintObserved *observed;
} FaintAssigning;

/* Index of a band named @name that uses @ladders as many ladders as there are; adds it. */
guint faint_assigning_add_band (FaintAssigning *self, const char *name);
/* Takes line @i of the observed ones for @line; what speaks for it is filled in by the caller. */
FaintAssigned *faint_assigning_add (FaintAssigning *self, gsize i, guint band, guint ladder, int j,
                                    FaintBranch branch);
/* Chains into bands. */
void faint_assigning_take_chains (FaintAssigning *self, const GPtrArray *chains);
/* Labels of the list. */
void faint_assigning_take_given (FaintAssigning *self);
/* Constants and strengths of every band. */
gboolean faint_assigning_fit (FaintAssigning *self, GError **error);
/* Gives sub-bands of a top that are in the wrong place the right one, and fits again. */
gboolean faint_assigning_settle_ladders (FaintAssigning *self, GError **error);
/* Lines that the constants foretell; returns how many. */
guint faint_assigning_complete (FaintAssigning *self);
/* Counts the other lines of each line's upper level and holds it against their weighted mean. */
void faint_assigning_weigh_partners (FaintAssigning *self);
/* What follows from the fits: calculated positions, ratios, predictions. */
void faint_assigning_finish (FaintAssigning *self);

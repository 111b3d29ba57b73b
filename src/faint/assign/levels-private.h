/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How levels are put together. For this folder alone.
 */
#pragma once

#include "faint/assign/levels.h"

struct _FaintLevels
{
  FaintConstants *constants;
  GArray *levels; /* FaintLevel */
  GArray *stacks; /* FaintStack */
  GHashTable *by_label;
};

FaintLevels *faint_levels_new_empty (const FaintConstants *constants);
/* Takes over @level's label; its stack must be set. */
void faint_levels_add (FaintLevels *self, FaintLevel level);
/* Index of the stack @name, which is added if it is not there. */
guint faint_levels_stack (FaintLevels *self, const char *name, guint k, FaintComponent component);
/* Fills what follows from the levels; to be called once, after the last was added. */
void faint_levels_settle (FaintLevels *self);

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Sets of tests/reference/metrology_lines.csv as assigned lines and as line lists.
 */
#pragma once

#include "faint/assign/band-constants.h"
#include "faint/lines/line-list.h"

#define PUBLISHED_MOST 100

typedef struct
{
  FaintBandLine line[PUBLISHED_MOST];
  gsize n;
} PublishedLines;

/* The lines of @set, J of the lower level up to @j_most; u_MHz where the set states none. */
PublishedLines published_lines (const char *set, guint j_most, double u_cm);
/* Index of a line; fails where it is not there. */
gsize published_find (const PublishedLines *self, FaintBranch branch, int j_lower);
/* Remark of each: "P 12". */
FaintLineList *published_list (const PublishedLines *self);

/* Lower states, cm-1. */
FaintConstants *published_acetylene_12 (void);
FaintConstants *published_acetylene_13 (void);

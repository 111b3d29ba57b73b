/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Which line is meant by a place in a plot. Pure, no display.
 */
#pragma once

#include "faint/lines/line-list.h"
#include "figure/view.h"

#define FAINT_HIT_REACH 8.0 /* units of the screen; common practice, no source */

/* The line within @reach units of @x; of several at about the same place the strongest. NULL: none.
 */
const FaintLine *
faint_hit_line (const FaintLineList *lines, const FaintView *view, double x, double reach);

/* Half width, cm-1, of what a line looks like; @otherwise where its widths are not known. */
double faint_hit_half_width (const FaintLine *line, double otherwise);

/* The Lorentz half width that gives @line the half width @half; 0 where its Doppler width alone is
 * wider. */
double faint_hit_lorentz (const FaintLine *line, double half);

/* The range that shows a line by itself: 15 half widths on both sides. */
#define FAINT_HIT_WIDTHS 15.0
FaintRange faint_hit_range (const FaintLine *line, double otherwise);

/* The next line of a list above (@step 1) or below (-1) the one of @id, or @at if that is not in
 * the list. NULL at the end. */
const FaintLine *faint_hit_step (const FaintLineList *lines, guint id, double at, int step);

/* Lines whose position lies in @across. */
gsize faint_hit_count (const FaintLineList *lines, FaintRange across);

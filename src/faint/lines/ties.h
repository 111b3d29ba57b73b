/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Ties between the parameters of lines, brought to where every tied parameter follows one that is
 * not tied. Line lists do so when they are made (line-list.h says what holds in them).
 */
#pragma once

#include "faint/lines/line.h"

/* Resolves chains to their root, with factor1 (factor2 x + offset2) + offset1. What cannot hold
 * becomes free and keeps its value: a tie to an id that no line has, every member of a circle (a
 * tie to the line itself is the shortest), a factor of 0, a factor or offset that is not finite,
 * given or as a chain makes it. Values follow their root where that is finite. */
void faint_ties_settle (FaintLine *lines, gsize n);

/* Takes from @lines, settled and by rising position, those whose @gone is TRUE out of all ties: of
 * the parameters that were tied to such a line the first is set free with its value, and the others
 * are tied to it so that their relation stays. */
void faint_ties_release (FaintLine *lines, const gboolean *gone, gsize n);

/* How many parameters of @n lines are tied. */
gsize faint_ties_count (const FaintLine *lines, gsize n);

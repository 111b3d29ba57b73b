/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A short name of a line from its labels: "P(21)" of J20e and J21e, "R(12,3)" with the K of the
 * lower level, the lower label where they do not tell J.
 */
#pragma once

#include "faint/lines/line-list.h"

/* NULL where the line has no labels. Free with g_free. */
char *faint_transition_name (const FaintLine *line);

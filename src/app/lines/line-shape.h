/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Another profile for a line, with a start for what it has beyond the old one.
 */
#pragma once

#include "faint/lines/line-list.h"

G_BEGIN_DECLS

/* What @profile does not have is forgotten. What is not known yet begins so: the width's speed
 * dependence free, at a tenth of the Lorentz width; the rate of velocity changes free, at the same;
 * the shift's speed dependence and the correlation fixed at 0. (Common practice: these two are
 * rarely told apart from noise, and the tenth is the size found for most gases.) */
void faint_line_set_profile (FaintLine *line, FaintProfile profile);

/* The lines @ids with @profile. */
FaintLineList *
faint_lines_with_profile (FaintLineList *lines, const guint *ids, gsize n, FaintProfile profile);

/* The parameter at @place of the lines @ids in another state and, if @value is a number, of that
 * value. What was tied is so no more. @state TIED: each stays as it is, or is free if it was tied.
 * Lines whose profile has no such parameter, and those without a value for it where @value is NAN,
 * stay as they are. */
FaintLineList *
faint_lines_with_parameter (FaintLineList *lines, const guint *ids, gsize n, FaintPlace place,
                            FaintParameterState state, double value);

G_END_DECLS

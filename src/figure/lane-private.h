/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What sticks and their labels share. For this folder alone.
 */
#pragma once

#include "figure/lane.h"

/* First line of a sorted list at or above @wavenumber. */
gsize faint_lane_line_index (const FaintLineList *lines, double wavenumber);
/* Top of a line's stick; a tenth of the height where the strength is not known. */
double faint_lane_stick_top (const FaintView *view, const FaintLine *line);

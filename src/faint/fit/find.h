/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Finding lines: a matched filter over (observed - model)/u with the shape that a weak line has in
 * this cavity, its local baseline projected out, peaks above a threshold in its own standard
 * deviations.
 */
#pragma once

#include "faint/fit/fit.h"

/* Expected number of false finds in pure noise over @n_teeth with lines of @hwhm (in tooth spacings)
 * at @threshold: one-sided normal tail times number of independent positions. */
double faint_find_false_expected (gsize n_teeth, double hwhm_in_teeth, double threshold);

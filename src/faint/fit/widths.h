/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the lines of a spectrum say together about their Lorentz widths. The data of a faint line
 * hardly determine its width; left free it costs the strength much of its certainty, held at a
 * guess it gives a certainty that is not there. Here the widths are taken as drawn from a normal
 * distribution whose mean and spread are estimated from all lines (the between-group variance of
 * Paule & Mandel, J. Res. NBS 87, 377 (1982)), and that distribution counts as one more observation
 * of each width.
 */
#pragma once

#include <glib.h>

/* The faint lines whose widths are wanted differ from the strong ones that tell the spread (higher
 * rotation, other bands), so it counts this many times (common practice, no source). */
#define FAINT_WIDTHS_CAUTION 2.0

/* @x: widths as the data alone determine them, @u their standard uncertainties (n of each; entries
 * with u not finite are skipped, and those far outside all others). Gives mean and spread. The
 * spread is twice what the well-known widths show, with the uncertainty of the mean, for faint
 * lines may belong to other parts of the band; it is at least a fifth of the mean. Returns FALSE
 * when fewer than six lines have a width known to @enough (cm-1), or the mean does not come out
 * above 0. */
gboolean faint_widths_population (const double *x, const double *u, gsize n, double enough,
                                  double *mean, double *spread);

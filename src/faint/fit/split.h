/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Two lines that were taken for one. A Lorentz width that is free takes in a neighbour within a
 * half width or so, and what the residuals keep of it is too little for the search in them. Two
 * things give such a pair away: the line is wider than the population of the others, and its
 * residuals have the pattern of a pair. Such a line is fitted anew as two, and stays two if that
 * lowers chi-square by more than chance would.
 */
#pragma once

#include "faint/fit/search.h"

/* By how much chi-square, with what is known of the widths, must fall for two lines to be better
 * than one: three parameters more, and a false pair is to be as rare as a false find in one half
 * width of noise at @threshold (find.h). */
double faint_split_criterion (double threshold);

/* Is the width that the line's own data give further above the mean of the population than four
 * standard deviations of the population and the width's uncertainty together? FALSE while the
 * population is not known. */
gboolean faint_split_is_unusual (const FaintSearch *self, gsize line);

/* Fits found lines that look like a pair as two, each in its own window with all else held, and
 * puts two in the place of those that two fit better. @split: how many. Wants a search fitted to
 * the end. Where most strong lines look like pairs it is the model that does not suit them, and
 * none is fitted as two. FALSE when cancelled. */
gboolean faint_search_split (FaintSearch *self, guint *split, GError **error);

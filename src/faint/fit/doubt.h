/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the data leave open of the lines, said in flags and warnings: parameters that they do not
 * determine, blends whose members they do not tell apart, widths that are far above the others'.
 */
#pragma once

#include "faint/fit/search.h"

/* FAINT_LINE_NOT_DETERMINED and FAINT_LINE_WIDTH_UNUSUAL, or 0. */
guint faint_doubt_flags (const FaintSearch *search, gsize line);

/* Adds what is to be said of the lines of @search as a whole. */
void faint_doubt_warn (const FaintSearch *search, GPtrArray *warnings);

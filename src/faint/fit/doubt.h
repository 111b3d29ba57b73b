/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the data leave open of the lines, said in flags and warnings: parameters that they do not
 * determine, blends whose members they do not tell apart, widths that are far above the others'.
 */
#pragma once

#include "faint/base/warnings.h"
#include "faint/fit/search.h"

/* FAINT_LINE_NOT_DETERMINED and FAINT_LINE_WIDTH_UNUSUAL, or 0. */
guint faint_doubt_flags (const FaintSearch *search, gsize line);

/* Adds what is to be said of the lines of @search as a whole. */
void faint_doubt_warn (const FaintSearch *search, GPtrArray *warnings);

/* What such a warning says is the case, without the sentence that tells who fits what to do, for a
 * place where nobody can do it. Other warnings as they are. Free with g_free. */
char *faint_doubt_without_advice (const FaintWarning *warning);

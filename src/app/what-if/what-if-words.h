/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What stays for want of knowledge, in words: a model that does not move there is no finding.
 */
#pragma once

#include "faint/analysis/what-if.h"

/* Sentences, one a line; "" when there is nothing to say. @exact as of faint_what_if_setup(). Free
 * with g_free. */
char *faint_what_if_kept_in_words (const FaintWhatIfKept *kept, gboolean exact);

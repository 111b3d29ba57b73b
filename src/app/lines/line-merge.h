/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Several lines made one.
 */
#pragma once

#include "faint/lines/line-list.h"

G_BEGIN_DECLS

/* One line in the place of the @n lines @ids: at their mean position, weighted by their strengths,
 * with the sum of their strengths and the mean of their Lorentz widths, weighted so too. All else
 * is that of the strongest, whose id it keeps (in *merged) and which it follows no other line in.
 * Its labels stay where those of all that have some agree. NULL with FAINT_LINE_TIES_ERROR where a
 * strength is not known or they do not add up to more than 0. */
FaintLineList *
faint_lines_merge (FaintLineList *lines, const guint *ids, gsize n, guint *merged, GError **error);

G_END_DECLS

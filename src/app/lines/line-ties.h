/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Ties between lines, and a line made two: lists in, new lists out. Needs no display.
 *
 * That tied values follow, that chains are drawn together and that ties to lines which are gone are
 * released is the list's own rule (faint/lines/line-list.h).
 */
#pragma once

#include "faint/lines/line-list.h"

G_BEGIN_DECLS

#define FAINT_LINE_TIES_ERROR (faint_line_ties_error_quark ())
GQuark faint_line_ties_error_quark (void);
typedef enum
{
  FAINT_LINE_TIES_ERROR_VALUE, /* a value that the operation needs is not known */
} FaintLineTiesError;

/* Ties the parameter at @place of the lines @ids to the strongest of them, whose own is released if
 * it was tied: positions at their present distance, strengths at their present ratio, all others to
 * the same value. Needs two lines or more. NULL with FAINT_LINE_TIES_ERROR where a value is not
 * known yet. */
FaintLineList *faint_line_ties_tie (FaintLineList *lines, const guint *ids, gsize n,
                                    FaintPlace place, GError **error);
/* Ties one parameter of @line, which is in @lines, to that of line @id, as above. FALSE: there is
 * nothing to follow there, or it follows @line. */
gboolean faint_line_ties_tie_to (FaintLineList *lines, FaintLine *line, FaintPlace place, guint id);
/* The line nearest to @line that its parameter may follow; NULL: there is none. */
const FaintLine *
faint_line_ties_suggest (FaintLineList *lines, const FaintLine *line, FaintPlace place);

/* Frees every tied parameter of the lines @ids, which keeps its value; *n_released of them. */
FaintLineList *
faint_line_ties_release (FaintLineList *lines, const guint *ids, gsize n, guint *n_released);

/* Two lines in the place of line @id, half of its half width (of the Voigt profile) below and above
 * it, of half its strength each; both free in position and strength. The lower one keeps the id,
 * *second is that of the other. NULL with FAINT_LINE_TIES_ERROR without a width or a strength. */
FaintLineList *
faint_line_ties_split (FaintLineList *lines, guint id, guint *second, GError **error);

G_END_DECLS

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Between loomis-wood.c (rows, lines, traces) and loomis-wood-draw.c.
 */
#pragma once

#include "figure/loomis-wood.h"

struct _FaintLoomisWood
{
  FaintLoomisWoodRow *rows;
  gsize n_rows;
  double half; /* a row shows lines this far from its centre, cm-1 */
  gboolean periodic;
  char *name;                 /* of the numbers */
  FaintLoomisWoodLine *lines; /* in rising order of position */
  gsize n_lines;
  GPtrArray *branches; /* GArray of double */
};

/* Index of the first line at or above @position. */
gsize _faint_loomis_wood_from (const FaintLoomisWood *self, double position);
/* Lines of row @row within the offsets @across: indices from *first, before *end. */
void _faint_loomis_wood_lines (const FaintLoomisWood *self, gsize row, FaintRange across,
                               gsize *first, gsize *end);
/* Rows in view: indices from *first, before *end. */
void _faint_loomis_wood_rows (const FaintLoomisWood *self, FaintRange up, gsize *first, gsize *end);

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The rows of numbers of a table, read once, without a string for each cell.
 */
#pragma once

#include "faint/base/progress.h"
#include "faint/base/text.h"
#include "faint/spectrum/columns.h"

typedef struct
{
  const FaintColumns *columns;
  char separator; /* ' ' is any run of blanks */
  gboolean decimal_comma;
  guint64 header_lines; /* lines to leave out at the beginning */
  gboolean keys_above;  /* a line "# key = value" below the first row is an error */
} FaintRowsLayout;

typedef struct
{
  gsize n;
  double *cell[FAINT_N_COLUMNS]; /* by meaning, scaled; NULL where there is no such column */
} FaintRows;

/* Errors name line, column and the column's name: not as many cells as columns, no finite number,
 * a tooth that is no whole number, a reference or an uncertainty that is not above 0. */
FaintRows *faint_rows_read (const FaintText *text, const FaintRowsLayout *layout,
                            const FaintProgress *progress, GError **error);
void faint_rows_free (FaintRows *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (FaintRows, faint_rows_free)

/* The number of the line that holds row @row (from 0): walks the text again. */
guint64 faint_rows_line (const FaintText *text, const FaintRowsLayout *layout, gsize row);

/* TRUE for a line that is neither blank nor a remark. */
gboolean faint_rows_is_row (const FaintLines *lines);

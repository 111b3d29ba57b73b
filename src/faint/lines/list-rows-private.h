/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Rows of cells into lines, for every reader of a list whose columns are those of csv-private.h:
 * what a head means, what a cell holds, and what is wrong with it, told with its place.
 */
#pragma once

#include "faint/lines/csv-private.h"

/* A text and where it begins in the file, from 1. */
typedef struct
{
  char *text;
  guint64 line, column;
} FaintListCell;

typedef struct _FaintListRows FaintListRows;
/* @path for messages; @warnings may be NULL. */
FaintListRows *faint_list_rows_new (const char *path, GPtrArray *warnings);
void faint_list_rows_free (FaintListRows *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (FaintListRows, faint_list_rows_free)

/* Sets @error with path and place of @at; returns FALSE. */
gboolean
faint_list_rows_refuse (const FaintListRows *self, const FaintListCell *at, FaintLinesError code,
                        GError **error, const char *format, ...) G_GNUC_PRINTF (5, 6);

/* The next column has this head, "position/cm-1". One that is not known is ignored and told. */
gboolean faint_list_rows_add_head (FaintListRows *self, const FaintListCell *head, GError **error);
/* The next column is @column (NULL: ignored), its values in a unit of @scale library units. Where
 * @inverse, a value x stands for @scale/x. @head for messages. */
gboolean faint_list_rows_add_column (FaintListRows *self, const FaintListCell *head,
                                     const FaintCsvColumn *column, double scale, gboolean inverse,
                                     GError **error);
guint faint_list_rows_get_n_columns (const FaintListRows *self);
/* NULL for an ignored one. */
const FaintCsvColumn *faint_list_rows_get_column (const FaintListRows *self, guint k);
/* Index of the column with this head, or G_MAXUINT. */
guint faint_list_rows_find_head (const FaintListRows *self, const char *head);
/* Is there a column of positions? */
gboolean faint_list_rows_has_position (const FaintListRows *self);

/* A line: begin, its cells by column in any order, end (@at: where the row begins). An empty cell
 * is what is not known. */
void faint_list_rows_begin (FaintListRows *self);
gboolean
faint_list_rows_cell (FaintListRows *self, guint k, const FaintListCell *cell, GError **error);
gboolean faint_list_rows_end (FaintListRows *self, const FaintListCell *at, GError **error);

/* The list of all rows; ties that cannot hold are told. */
FaintLineList *faint_list_rows_finish (FaintListRows *self);

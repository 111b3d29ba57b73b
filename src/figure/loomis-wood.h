/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The plot of Loomis and Wood (Phys. Rev. 32, 223, 1928): lines in rows, each at its distance from
 * the centre of its row, so that a branch becomes a smooth trace. The centres are those of a period
 * or the predicted positions of a branch. Strength is the size of a symbol; what is not assigned is
 * a ring, what is assigned is full and has the shape of its branch.
 *
 * In a view of this plot, across is the offset from the centres in cm-1, and up the number of the
 * row.
 */
#pragma once

#include "figure/symbol.h"
#include "figure/value-frame.h"

typedef struct
{
  guint id;
  double position; /* cm-1 */
  double weight;   /* 0 to 1: size */
  FaintSymbol symbol;
  gboolean assigned;
} FaintLoomisWoodLine;

typedef struct
{
  int number;
  double centre; /* cm-1 */
} FaintLoomisWoodRow;

typedef struct _FaintLoomisWood FaintLoomisWood;

/* Rows of the period @period, cm-1, number 0 about @origin, as many as @span needs. NULL where that
 * gives no rows, or more than ten thousand. */
FaintLoomisWood *faint_loomis_wood_new_periodic (double origin, double period, FaintRange span);
/* The given rows, in rising order of their numbers, which is copied; a row shows lines up to @half
 * cm-1 from its centre. @name of the numbers, "m". NULL where there are none. */
FaintLoomisWood *
faint_loomis_wood_new (const FaintLoomisWoodRow *rows, gsize n, double half, const char *name);
void faint_loomis_wood_free (FaintLoomisWood *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (FaintLoomisWood, faint_loomis_wood_free)

/* Takes copies, in any order. */
void faint_loomis_wood_set_lines (FaintLoomisWood *self, const FaintLoomisWoodLine *lines, gsize n);
/* A branch as predicted: positions in the order of J, NAN where there is none. */
void faint_loomis_wood_add_branch (FaintLoomisWood *self, const double *positions, gsize n);

gsize faint_loomis_wood_get_n_rows (const FaintLoomisWood *self);
gsize faint_loomis_wood_get_n_lines (const FaintLoomisWood *self);
/* Index of the row with @number, or -1. */
int faint_loomis_wood_row (const FaintLoomisWood *self, int number);
/* Centre of the row with @number, cm-1; NAN where there is none. */
double faint_loomis_wood_centre (const FaintLoomisWood *self, int number);
/* The row where a line lies nearest to a centre; FALSE if it lies in none. */
gboolean
faint_loomis_wood_place (const FaintLoomisWood *self, guint id, int *number, double *offset);
/* The offset of a line in the row @number; FALSE where that row does not hold it. */
gboolean
faint_loomis_wood_place_in (const FaintLoomisWood *self, guint id, int number, double *offset);
/* A view of everything; place is not set. */
FaintView faint_loomis_wood_all (const FaintLoomisWood *self);
/* Where in @place the plot lies. */
FaintRect faint_loomis_wood_inside (const FaintCanvas *canvas, FaintRect place);

/* Draws what lies in view->across and view->up into view->place, its axes around it. */
void faint_loomis_wood_draw (const FaintLoomisWood *self, const FaintCanvas *canvas,
                             const FaintView *view);

/* A line of a row, as a trace has them. */
typedef struct
{
  int number; /* of the row */
  guint id;
} FaintLoomisWoodPick;

/* The line nearest to a point within @reach user units; id 0: none. */
FaintLoomisWoodPick faint_loomis_wood_at (const FaintLoomisWood *self, const FaintView *view,
                                          double x, double y, double reach);
/* In each row that the path through @n points crosses, the line nearest to it within @reach user
 * units, in the order of the path; FaintLoomisWoodPick. Free with g_array_unref. */
GArray *faint_loomis_wood_trace (const FaintLoomisWood *self, const FaintView *view,
                                 const double (*path)[2], gsize n, double reach);
/* The next line from @from: to the side (@along: rows 0, lines 1 or -1), or in the next row that
 * has one (1 or -1 rows, lines 0), the nearest in offset. Id 0: none. */
FaintLoomisWoodPick
faint_loomis_wood_step (const FaintLoomisWood *self, FaintLoomisWoodPick from, int rows, int lines);

/* Marks a line in all its rows, and a chosen trace. @picks may be NULL. */
void faint_loomis_wood_mark (const FaintLoomisWood *self, const FaintCanvas *canvas,
                             const FaintView *view, guint id, const GArray *picks);

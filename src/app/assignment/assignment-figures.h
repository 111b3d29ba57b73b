/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * From lines and their assignment to what the plots of the stage Assignment draw. Needs no display.
 */
#pragma once

#include "app/assignment/assigner.h"
#include "figure/differences.h"
#include "figure/loomis-wood.h"

G_BEGIN_DECLS

/* What the rows of the plot of Loomis and Wood are. */
typedef struct
{
  gboolean periodic;
  double width;       /* of a row, cm-1: the period, or how much a row of a branch shows */
  guint band, ladder; /* of the result, where not periodic */
  gboolean q;         /* rows of the Q branch, by J; else P and R, by m */
  char *name;         /* in words */
} FaintPlotRows;
void faint_plot_rows_free (FaintPlotRows *self);

/* The choices there are: a period, and the branches of all bands of the result. FaintPlotRows. */
GPtrArray *faint_plot_rows_choices (FaintAssigner *self);
/* A width to begin with: 2 B of the lower state, else a share of the span of the lines. */
double faint_plot_rows_default_width (FaintAssigner *self, const FaintLineList *lines);

/* NULL where there is nothing to draw. */
FaintLoomisWood *
faint_loomis_wood_of (FaintAssigner *self, const FaintLineList *lines, const FaintPlotRows *rows);

/* Observed minus calculated of the result's lines; FaintDifference. */
GArray *faint_differences_of (FaintAssigner *self);

/* Branch and J of the lower level that row @row of a branch means: by m, or with @q by J. */
void faint_plot_row_meaning (gboolean q, int row, FaintBranch *branch, int *j_lower);
/* The transition that row @row of @rows means for a line; FALSE of a period. The state of @it is
 * borrowed from the result. */
gboolean faint_plot_row_transition (FaintAssigner *self, const FaintPlotRows *rows, guint id,
                                    int row, FaintTransition *it);
/* Where a line of the plot stands and what it is. Free with g_free. */
char *faint_plot_line_in_words (FaintAssigner *self, const FaintPlotRows *rows,
                                const FaintLine *line, int row, double offset);
/* "R(12)", with the name of the ladder where there are several: "R(12) K 3"; free with g_free. */
char *faint_transition_in_words (FaintAssigner *self, guint ladder, FaintBranch branch, int j);
FaintSymbol faint_branch_symbol (FaintBranch branch);

G_END_DECLS

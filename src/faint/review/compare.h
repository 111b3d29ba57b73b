/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Two line lists side by side, without a spectrum.
 */
#pragma once

#include "faint/lines/line-list.h"
#include "faint/review/systematic.h"

typedef struct
{
  double coverage;   /* k, 1 to 4; default 2 */
  double confidence; /* for what the lists have in common; default 0.95 */
  double reach;      /* half widths within which lines may be the same; default 3 */
  double half_width; /* cm-1, of lines without widths; 0: 1e-6 of the position, about the Doppler
                        width of a molecule of three atoms at room temperature */
} FaintCompareOptions;
void faint_compare_options_init (FaintCompareOptions *options);

/* One parameter on both sides. */
typedef struct
{
  guint parameter;       /* of lines/parameters.h */
  double value[2], u[2]; /* of a blend: sum of strengths, mean position by strength, no widths */
  double difference, u_difference; /* second less first; u NAN where no side states one */
  double en;                       /* NAN unless both state an uncertainty */
} FaintComparedValue;

typedef struct
{
  guint id[2], second[2]; /* 0: none */
  double position;
  GArray *values; /* FaintComparedValue; empty where one side has nothing */
} FaintComparedLine;

/* Over all pairs that have the parameter on both sides. */
typedef struct
{
  guint parameter;
  gsize n, n_en, n_beyond; /* pairs; those with E_n; those of them with |E_n| > 1 */
  double median;           /* of the differences; of the ratio second/first for strengths, widths */
  double scatter;          /* 1.4826 times the median absolute deviation from it */
} FaintComparedSummary;

typedef struct
{
  FaintCompareOptions options;
  FaintLineList *list[2];
  double shift;            /* cm-1, second less first, taken off before matching */
  GPtrArray *lines;        /* FaintComparedLine, rising */
  GArray *summaries;       /* FaintComparedSummary */
  GPtrArray *systematic;   /* FaintSystematic, seen at the confidence */
  gsize n_pairs, n_blends; /* blends: of the pairs, those of one line with two */
  gsize n_alone[2];        /* lines of each list that the other does not have */
  gboolean at_296;         /* strengths are those at 296 K */
} FaintComparison;

/* Compares @first with @second. Never fails; lists without a line in common have no pairs.
 * Strengths are those at 296 K where all lines with a strength have it there, else as they stand.
 */
FaintComparison *faint_compare_lists (FaintLineList *first, FaintLineList *second,
                                      const FaintCompareOptions *options);
void faint_comparison_free (FaintComparison *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (FaintComparison, faint_comparison_free)

/* "a median of 1.2(3)e-5 cm-1" and so on: a line of words for each summary and finding, free with
 * g_strfreev. */
char **faint_comparison_describe (const FaintComparison *self);

/* A row for every parameter of every pair, and for every line without one. Free with g_free. */
char *faint_comparison_to_csv (const FaintComparison *self);

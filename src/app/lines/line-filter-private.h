/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Between the files of the filter: line-filter.c (lines against clauses) and line-filter-parse.c
 * (text into a clause).
 */
#pragma once

#include "app/lines/line-filter.h"

typedef enum
{
  FAINT_FILTER_RANGE,
  FAINT_FILTER_FLAG,
  FAINT_FILTER_CONTAINS, /* a column of text */
  FAINT_FILTER_IS,
  FAINT_FILTER_KNOWN,
  FAINT_FILTER_ANYWHERE,
} FaintFilterKind;

/* Which number of a column. */
typedef enum
{
  FAINT_FILTER_VALUE,
  FAINT_FILTER_U,
  FAINT_FILTER_RELATIVE_U,
} FaintFilterFace;

typedef struct
{
  FaintFilterKind kind;
  gboolean negated;
  FaintLineColumn column;
  FaintFilterFace face;
  FaintAxisUnit axis;              /* shown; of u(position) the one that is written */
  gboolean falls;                  /* a position was written in a unit that falls */
  double lower, upper;             /* cm-1, MHz, cm/molecule; an infinity: open */
  gboolean open_lower, open_upper; /* the end does not belong to it */
  char *text;                      /* folded */
  gboolean digits;                 /* it looks like a piece of a number */
  guint flags;                     /* any of these */
} FaintFilterClause;

/* @clause is zero but for its axis, @text is not empty and has no blanks around it. */
gboolean _faint_filter_clause_parse (FaintFilterClause *clause, const char *text, GError **error);

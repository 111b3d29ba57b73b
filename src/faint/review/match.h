/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Which lines of one list are which of another. Both are in rising order of position; what is
 * matched keeps that order, and among all such matchings the one of least cost is taken (dynamic
 * programming). A line may answer two neighbours of the other list, as the blend that they are
 * there: the sum of their strengths at their mean position weighted by strength.
 */
#pragma once

#include "faint/lines/line-list.h"

/* A line as matching sees it. */
typedef struct
{
  double position;   /* cm-1 */
  double strength;   /* NAN: not stated */
  double half_width; /* cm-1, of the profile, above 0 */
} FaintMatchLine;

/* A group of lines that are the same; n of 1 or 2 on either side, of 0 where a line is alone. */
typedef struct
{
  gsize first[2]; /* in list 0 and list 1 */
  guint n[2];
} FaintMatch;

typedef struct
{
  double reach; /* half widths: lines further apart are never the same */
  double
      scale; /* typical ln of the ratio of strengths of what is the same; NAN: they do not count */
} FaintMatchOptions;

/* Matches @n0 lines with @n1. The array holds FaintMatch in rising order and every line once. */
GArray *faint_match_lines (const FaintMatchLine *list0, gsize n0, const FaintMatchLine *list1,
                           gsize n1, const FaintMatchOptions *options);

/* The shift list0 - list1, cm-1, that brings most lines together: the most crowded @width among
 * all differences up to @reach, where it holds more pairs than chance would bring (Poisson, one in
 * a thousand over all places); 0 where none does. Then refined by the median. */
double faint_match_shift (const FaintMatchLine *list0, gsize n0, const FaintMatchLine *list1,
                          gsize n1, double reach, double width);

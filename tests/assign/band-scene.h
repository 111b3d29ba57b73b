/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Simulated bands with the truth known: invented upper states above given lower levels, lines
 * missing, spurious lines, noise. And how much of it an assignment got right.
 */
#pragma once

#include "faint/assign/assignment.h"

typedef struct
{
  guint32 seed;
  double origin;                  /* cm-1 */
  double shift[FAINT_CONSTANT_N]; /* of the upper constants against the lower ones */
  guint j_max;                    /* highest J of a lower level */
  double missing, spurious;       /* shares of the lines */
  double noise;                   /* of positions, cm-1 */
  gboolean strengths;             /* are they known, to 3 %? */
  double weakest;                 /* lines below this share of the strongest are not seen; 0: all */
  double (*displace) (guint ladder, int j, gpointer data); /* of an upper level, or NULL */
  gpointer data;
} BandScene;
void band_scene_init (BandScene *self);

/* The lines; the remark of each says what it is: "ladder j branch", "" of a spurious one. */
FaintLineList *band_scene_lines (const BandScene *self, const FaintLevels *levels);

typedef struct
{
  guint present, right, wrong, open, spurious, spurious_taken;
} BandScore;
/* Compares an assignment with the remarks of @list. A line that stays without label is open; one
 * with another label than its own, or a spurious one with any, is wrong. */
BandScore band_score (const FaintLineList *list, const FaintAssignment *assignment);
/* The demo molecule's lower state. */
FaintConstants *band_nitrous_oxide (void);
/* An invented prolate top. */
FaintConstants *band_invented_top (void);

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Selection rules: which lower levels share an upper one, and how strong the lines to it are.
 *
 * A ladder is a stack of upper levels in J'; each of its levels is reached from up to three lower
 * levels by P (J' = J-1), Q (J' = J) and R (J' = J+1). A line at nu from a lower level of energy F
 * says that the upper level lies at T = nu + F; lines of one upper level say the same T, which is
 * what a combination difference is.
 * (Herzberg, Molecular Spectra and Molecular Structure II, 1945, chapter IV.)
 */
#pragma once

#include "faint/assign/levels.h"

typedef enum
{
  FAINT_BRANCH_P,
  FAINT_BRANCH_Q,
  FAINT_BRANCH_R,
  FAINT_BRANCH_N
} FaintBranch;
/* 'P', 'Q', 'R'. */
char faint_branch_letter (FaintBranch branch);
/* J of the lower level of a line to J' = @j; below 0 where there is none. */
int faint_branch_lower_j (FaintBranch branch, int j);
/* Running number: -J (P), J (Q), J+1 (R), J of the lower level. */
int faint_branch_m (FaintBranch branch, int j_lower);

typedef struct
{
  char *name;                /* of the upper stack, "" where there is but one */
  FaintQuantumNumbers upper; /* without j */
  int delta_k;               /* K' - K */
  int stack[FAINT_BRANCH_N]; /* lower stack of each branch, or -1 */
  guint j_min, j_max;        /* of the upper levels */
} FaintLadder;

/* Ladders of the band that @levels' constants speak of: from a linear molecule P and R from levels
 * of the same parity and Q from the other; of a top delta K = 0, or +1 and -1; s to a in a parallel
 * band of an inverting top, s to s and a to a in a perpendicular one. In a table each stack has a
 * ladder of its own with P, Q and R. Owns its FaintLadder. */
GPtrArray *faint_ladders_new (const FaintLevels *levels);

/* The lower level of a line of @branch to J' = @j, or NULL. */
const FaintLevel *
faint_ladder_lower (const FaintLadder *self, const FaintLevels *levels, FaintBranch branch, int j);
/* Label of the upper level, or of its lower one in a table that names no upper state:
 * "b:J12e". Free with g_free. */
char *faint_ladder_label (const FaintLadder *self, const FaintLevels *levels, int j);

/* Hoenl-London factor of the line of @branch to J' = @j, divided by 2J+1 of its lower level: the
 * factors of one lower level in all branches of a parallel band sum to 1, of a perpendicular one to
 * 1 for either sign. @l: vibrational angular momentum of a linear molecule's lower state, which
 * plays the part of K. (Herzberg, 1945, equations IV 59 to 61 and table 3.) */
double faint_hoenl_london (FaintBranch branch, int j_lower, int k_lower, int delta_k);

/* Relative strength at @temperature of the line of @branch to J' = @j at @wavenumber: weight
 * (2J+1) times Hoenl-London factor, Boltzmann factor and stimulated emission, times the wavenumber.
 * 0 where there is no such line. */
double faint_ladder_strength (const FaintLadder *self, const FaintLevels *levels,
                              FaintBranch branch, int j, double wavenumber, double temperature);

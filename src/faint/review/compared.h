/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What can be claimed of a line: its parameters in the order of lines/parameters.h and, behind
 * them, what stands in a line without a state of its own.
 */
#pragma once

#include "faint/lines/parameters.h"

#define FAINT_COMPARED_STRENGTH_296 FAINT_PARAMETER_N
#define FAINT_COMPARED_LOWER_ENERGY (FAINT_PARAMETER_N + 1)
#define FAINT_COMPARED_N (FAINT_PARAMETER_N + 2)

/* Value, u (u_noise NAN where the line does not tell) and state; of a strength at 296 K and a
 * lower-state energy free where they have an uncertainty. */
FaintParameter faint_compared_get (const FaintLine *line, guint k);
/* As in the head of a list: "position", ..., "strength_296K", "lower_energy". Static. */
const char *faint_compared_name (guint k);
/* In a sentence: "Lorentz width", "lower-state energy", ... Static. */
const char *faint_compared_words (guint k);

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Differences of two lists, line by line, as systematic.h takes them.
 */
#pragma once

#include "faint/lines/line.h"
#include "faint/review/systematic.h"

/* Common inputs of a pair: the sources of either side that are told apart, and what each side
 * shares beside them. */
#define FAINT_COMMON_INPUTS (2 * (guint)FAINT_SOURCE_N + 2)

typedef struct
{
  GArray *d, *u, *bound, *x[FAINT_SYSTEMATIC_N], *common[FAINT_COMMON_INPUTS]; /* double */
  const double *rows[FAINT_COMMON_INPUTS];
} FaintCommonRows;

void faint_common_rows_init (FaintCommonRows *self);
void faint_common_rows_clear (FaintCommonRows *self);
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (FaintCommonRows, faint_common_rows_clear)

/* TRUE if differences of @parameter (of review/compared.h) are those of logarithms: strengths,
 * widths and broadening. */
gboolean faint_common_is_scale (guint parameter);

/* Adds @first less @second of @parameter with the x of each form (FAINT_SYSTEMATIC_N). Sources of
 * uncertainty are taken from the lines where they are told, and what is a line's own from u_noise;
 * where a side does not tell, all of its uncertainty may be common. A scale is left out whose
 * uncertainty is above 0.3 of the value, so is a pair without any uncertainty. */
void faint_common_rows_add (FaintCommonRows *self, guint parameter, const FaintLine *first,
                            const FaintLine *second, const double *x);

/* What there is to find in them; lends its arrays. */
FaintSystematicInput faint_common_rows_input (FaintCommonRows *self, gboolean with_position,
                                              gboolean with_depth, gboolean with_energy);

/* The contributions of its sources to a parameter of @line, or NULL. */
const double *faint_common_sources (const FaintLine *line, guint parameter);
/* "cm-1", "cm/molecule", "cm-1/atm", "1": of a parameter. */
const char *faint_common_unit (guint parameter);

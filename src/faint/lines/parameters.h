/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * All parameters of a line in one row: those that a spectrum can tell in the order of FaintPlace,
 * then the coefficients over several spectra in the order of FaintCoefficient. For whoever
 * settles, writes or reads every one of them.
 */
#pragma once

#include "faint/lines/line.h"

#define FAINT_PARAMETER_N ((guint)FAINT_PLACE_N + (guint)FAINT_COEFFICIENT_N)

FaintParameter *faint_line_nth_parameter (FaintLine *line, guint k);
const FaintParameter *faint_line_peek_nth_parameter (const FaintLine *line, guint k);
/* "position", ..., "broadening_self", ... */
const char *faint_parameter_name (guint k);
/* The one whose name is the first @length bytes of @name; FAINT_PARAMETER_N if none is. */
guint faint_parameter_find (const char *name, gsize length);

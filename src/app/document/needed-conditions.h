/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Conditions that a fit needs and that nobody has stated yet, in the words of the stages where they
 * are entered. What is needed is what faint_setup_check() asks for. Needs no display.
 */
#pragma once

#include "faint/analysis/analysis.h"

G_BEGIN_DECLS

/* Whether the entry of @key waits for what a fit with @setup needs. The four quantities of the
 * mirrors and the table of the finesse all wait while none of them is stated. */
gboolean faint_condition_is_missing (const FaintSetup *setup, const char *key);
/* "Stage Data: temperature, pressure. Stage Cavity: geometry." for the first spectrum that lacks
 * something; NULL: none does. Free with g_free. */
char *faint_needed_in_words (const FaintAnalysis *analysis);
/* The first spectrum from *@spectrum on that lacks something; FALSE: none does. */
gboolean faint_needed_find (const FaintAnalysis *analysis, gsize *spectrum);
/* What cavity_length is in a geometry: "Mirror spacing". */
const char *faint_cavity_length_in_words (FaintGeometry geometry);

G_END_DECLS

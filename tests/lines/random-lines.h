/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Lines at random for tests of files: missing, extreme, negative and subnormal numbers, texts with
 * everything that a format must quote.
 */
#pragma once

#include "faint/lines/line.h"

FaintLine faint_test_random_line (GRand *random);
/* Of the parameters and coefficients that a line need not have: none, or some. */
void faint_test_random_extras (GRand *random, FaintLine *line);
/* Ties @line to one with an id below @n + 2, which may be itself or tied to it. */
void faint_test_random_ties (GRand *random, FaintLine *line, guint n);
/* All that is written of a line is the same, to the last bit. */
void faint_test_same_line (const FaintLine *got, const FaintLine *want);

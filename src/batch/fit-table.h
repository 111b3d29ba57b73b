/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The table of lines on stdout.
 */
#pragma once

#include "faint/lines/line-list.h"

/* Prints the strongest lines: values, and the coefficients that some line has. @folder holds the
 * whole list. */
void faint_fit_table_print (const FaintLineList *list, const char *folder);

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Which lines a table shows: conditions written in one line of text, all of which a line must meet.
 *
 *   S > 1e-25; width 0.01..0.02; not flag blended
 *
 * Conditions are joined by ';', '&' or the word and. Each is one of
 *
 *   COLUMN < NUMBER         also <=, >, >=, =, != and the signs ≤, ≥, ≠
 *   COLUMN LOWER..UPPER     both ends belong to it, either may be left out
 *   LOWER..UPPER            the same of the position
 *   u(COLUMN) < NUMBER      of the standard uncertainty; in per cent, or as ur(COLUMN), relative
 *   flag WORD               a remark of the fit; flag alone: any
 *   upper TEXT, lower TEXT, note TEXT    contains it; with = it is that; alone: there is one
 *   known COLUMN            the value is known
 *   TEXT                    is found in position, remarks, labels or note, whatever its case
 *
 * A column has a short name in English or is called as its head in the user's language, with or
 * without the unit. A leading not turns a condition round. "Quoted" text is never taken for a
 * condition. Numbers are in the unit of the column's head, which follows the axis, unless one is
 * written, "width > 300 MHz", "1283.5..1284 nm"; with a decimal point. A value that is not known
 * meets no condition on its number.
 */
#pragma once

#include "app/lines/line-item.h"

G_BEGIN_DECLS

#define FAINT_LINE_FILTER_ERROR (faint_line_filter_error_quark ())
GQuark faint_line_filter_error_quark (void);
typedef enum
{
  FAINT_LINE_FILTER_ERROR_COLUMN, /* no such column, or not of this kind */
  FAINT_LINE_FILTER_ERROR_NUMBER, /* no number where one was expected, or a unit that is none */
  FAINT_LINE_FILTER_ERROR_FLAG,   /* no such remark */
} FaintLineFilterError;

typedef struct _FaintLineFilter FaintLineFilter;

/* NULL or empty text is met by every line. Numbers without a unit are in that of @axis (NULL:
 * cm-1). MHz and GHz of a position count from the origin of an axis in them, and from 0 beside
 * others. NULL with an error in words, translated. */
FaintLineFilter *
faint_line_filter_new (const char *text, const FaintAxisUnit *axis, GError **error);
void faint_line_filter_free (FaintLineFilter *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (FaintLineFilter, faint_line_filter_free)

/* @number: place of @line in its list, from 1. @difference: of its position, or NULL. */
gboolean faint_line_filter_matches (const FaintLineFilter *self, const FaintLine *line,
                                    guint number, const FaintLineDifference *difference);

/* The shortest name of a column in a condition, "S"; static. */
const char *faint_line_filter_name (FaintLineColumn column);
/* Whether a column holds text, not a number. */
gboolean faint_line_filter_is_text (FaintLineColumn column);

G_END_DECLS

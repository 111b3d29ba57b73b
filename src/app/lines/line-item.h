/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A row of the table of lines, and what its columns show and are sorted by.
 */
#pragma once

#include <gio/gio.h>

#include "faint/lines/line-list.h"
#include "figure/axis-unit.h"

G_BEGIN_DECLS

/* The columns of the table, in their order. */
typedef enum
{
  FAINT_LINE_COLUMN_NUMBER,
  FAINT_LINE_COLUMN_POSITION,
  FAINT_LINE_COLUMN_STRENGTH,
  FAINT_LINE_COLUMN_LORENTZ,
  FAINT_LINE_COLUMN_DOPPLER,
  FAINT_LINE_COLUMN_SNR,
  FAINT_LINE_COLUMN_CHI2,
  FAINT_LINE_COLUMN_FREQUENCY,
  FAINT_LINE_COLUMN_STRENGTH_296,
  FAINT_LINE_COLUMN_LOWER_ENERGY,
  FAINT_LINE_COLUMN_WINDOW,
  FAINT_LINE_COLUMN_UPPER, /* labels */
  FAINT_LINE_COLUMN_LOWER,
  FAINT_LINE_COLUMN_DIFFERENCE, /* observed minus calculated position */
  FAINT_LINE_COLUMN_FLAGS,
  FAINT_LINE_COLUMN_REMARK,
  FAINT_N_LINE_COLUMNS
} FaintLineColumn;

/* Observed minus calculated position of a line, from the constants of its band. */
typedef struct
{
  double value, u;   /* cm-1 */
  const char *words; /* why the fit left it out, translated; NULL: it did not */
} FaintLineDifference;

/* How cells write: positions in the unit of the axis, widths and differences in that of widths
 * beside it (figure/axis-unit.h). */
typedef struct
{
  FaintAxisUnit axis;
  guint decimals; /* the most that a difference of the list has, to which all are aligned */
} FaintLineNotation;
/* Decimals with which a difference is written: its uncertainty has two digits. */
guint
faint_line_difference_decimals (const FaintLineDifference *difference, const FaintAxisUnit *axis);

/* One row. Keeps its list alive. */
#define FAINT_TYPE_LINE_ITEM (faint_line_item_get_type ())
G_DECLARE_FINAL_TYPE (FaintLineItem, faint_line_item, FAINT, LINE_ITEM, GObject)

FaintLineItem *faint_line_item_new (FaintLineList *list, GHashTable *differences, guint index);
/* The line at @index of @list from now on; @differences: FaintLineDifference by id, or NULL. */
void faint_line_item_set (FaintLineItem *self, FaintLineList *list, GHashTable *differences,
                          guint index);
/* Copied; cm-1 at first. */
void faint_line_item_set_notation (FaintLineItem *self, const FaintLineNotation *notation);
const FaintLine *faint_line_item_get_line (FaintLineItem *self);
/* Place in the list, from 1. */
guint faint_line_item_get_number (FaintLineItem *self);
/* Borrowed; NULL: none is known. */
const FaintLineDifference *faint_line_item_get_difference (FaintLineItem *self);
/* What the cell shows: value with uncertainty in short notation, a fixed value marked with '=', a
 * tied one with an arrow, one that the data do not determine with '≈' and few digits; flags in
 * words; "" where nothing is known. Minus signs are the true one; spaces as wide as digits stand
 * behind a difference, so that the points of a column are below one another. Free with g_free. */
char *faint_line_item_text (FaintLineItem *self, FaintLineColumn column);
/* What a cell shows, without the spaces that align a column and with the minus sign that programs
 * read. Free with g_free. */
char *faint_line_text_for_programs (const char *cell);
/* The same in words, where the cell has a sign or may be too narrow: "Fixed", "Not determined by
 * the data", "Tied: Lorentz half width of line 12 (7790.220)", the flags; NULL: nothing to explain.
 * Free with g_free. */
char *faint_line_item_explain (FaintLineItem *self, FaintLineColumn column);
/* What a column sorts by, of a label its first whole number, which is J; NAN where nothing is
 * known. @number: place of the line in its list, from 1; @difference may be NULL. */
double faint_line_column_value (const FaintLine *line, guint number,
                                const FaintLineDifference *difference, FaintLineColumn column);

/* "position", "strength_296": for settings. Static. */
const char *faint_line_column_name (FaintLineColumn column);
/* "Position/cm⁻¹" and so on, the head of the column. Translated, static. */
const char *faint_line_column_title (FaintLineColumn column);
/* The same in the units of @axis: "Position/nm", "Lorentz/MHz". Free with g_free. */
char *faint_line_column_head (FaintLineColumn column, const FaintAxisUnit *axis);

/* Flags of a line in words a person reads, "blended, at the edge"; "" for none. Translated. */
char *faint_line_flags_in_words (guint flags);

G_END_DECLS

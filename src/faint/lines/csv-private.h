/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The columns of a line list in CSV, for its writer and its reader.
 */
#pragma once

#include "faint/lines/line-list.h"

typedef enum
{
  FAINT_CSV_ID,
  FAINT_CSV_NUMBER,
  FAINT_CSV_FREQUENCY,   /* the position, as a frequency */
  FAINT_CSV_FREQUENCY_U, /* u(position), as a frequency */
  FAINT_CSV_WINDOW,
  FAINT_CSV_FLAGS,
  FAINT_CSV_TEXT,
  FAINT_CSV_PROFILE,
  FAINT_CSV_TIES,
  FAINT_CSV_COMMON,   /* the part of a parameter's u that is common to lines; follows from others */
  FAINT_CSV_EXPANDED, /* U = k u of a parameter; follows from u */
} FaintCsvKind;

typedef enum
{
  FAINT_CSV_UNIT_NONE,
  FAINT_CSV_UNIT_WAVENUMBER,  /* cm-1; any wavenumber or frequency unit is read */
  FAINT_CSV_UNIT_FREQUENCY,   /* MHz; any frequency unit is read */
  FAINT_CSV_UNIT_STRENGTH,    /* (cm/molecule) */
  FAINT_CSV_UNIT_COEFFICIENT, /* (cm-1/atm) */
} FaintCsvUnit;

typedef enum
{
  FAINT_CSV_ANY,
  FAINT_CSV_NOT_NEGATIVE,
  FAINT_CSV_POSITIVE,
} FaintCsvLimit;

typedef struct
{
  const char *name; /* "u(position)" */
  FaintCsvKind kind;
  FaintCsvUnit unit;
  FaintCsvLimit limit;
  gsize offset;      /* of the double, text or parameter in a FaintLine */
  gboolean optional; /* written only where a line of the list has something there */
  gsize from;        /* of COMMON: offset of the contributions */
} FaintCsvColumn;

/* In the order in which they are written. */
const FaintCsvColumn *faint_csv_columns (gsize *n);
const FaintCsvColumn *faint_csv_column_find (const char *name);
/* As written: "cm-1", "MHz", "(cm/molecule)", "(cm-1/atm)", or NULL. */
const char *faint_csv_unit_text (FaintCsvUnit unit);

/* Has @line something in this column? Of those that a list need not have, and of numbers. */
gboolean faint_csv_has_something (const FaintCsvColumn *column, const FaintLine *line);
/* FaintCsvColumn: those always written, and those in which a line has something. */
GPtrArray *faint_csv_columns_of (const FaintLineList *list);
/* A control character that makes a file no text: it is written as U+FFFD. */
gboolean faint_csv_is_control (char letter);
/* The content of a cell, without quotes; nothing where it is not known. @coverage: factor of
 * expanded uncertainties. */
void faint_csv_cell_append (GString *out, const FaintCsvColumn *column, const FaintLine *line,
                            double coverage);

/* The states of a line's parameters that the flags column tells besides the flags of line.h:
 * "speed_width-fixed" of a parameter that has no flag for it, "doppler-derived" of any. */
void faint_csv_states_append (GString *out, const FaintLine *line);
/* The states that the words of a flags column give, those with a flag too. */
void faint_csv_states_read (const char *text, FaintLine *line);

/* Ties as text, "lorentz=12*1 position=12*1+0.0523": the parameter's name, id and factor, and the
 * offset unless it is 0, in the units of the list's columns. */
void faint_csv_ties_append (GString *out, const FaintLine *line);
/* NULL when all of @text was understood, else the first word that was not (free with g_free). */
char *faint_csv_ties_read (const char *text, FaintLine *line);

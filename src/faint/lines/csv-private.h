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
} FaintCsvKind;

typedef enum
{
  FAINT_CSV_UNIT_NONE,
  FAINT_CSV_UNIT_WAVENUMBER, /* cm-1; any wavenumber or frequency unit is read */
  FAINT_CSV_UNIT_FREQUENCY,  /* MHz; any frequency unit is read */
  FAINT_CSV_UNIT_STRENGTH,   /* (cm/molecule) */
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
  gsize offset; /* of the double or text in a FaintLine */
} FaintCsvColumn;

/* In the order in which they are written. */
const FaintCsvColumn *faint_csv_columns (gsize *n);
const FaintCsvColumn *faint_csv_column_find (const char *name);
/* As written: "cm-1", "MHz", "(cm/molecule)", or NULL. */
const char *faint_csv_unit_text (FaintCsvUnit unit);

/* The parameters of a line and the words that say their state in the flags column,
 * "doppler-derived". A fixed parameter's word is a flag (line.h). */
typedef struct
{
  gsize offset; /* of the FaintParameter in a FaintLine */
  guint fixed_flag;
  const char *derived_word;
} FaintCsvState;
const FaintCsvState *faint_csv_states (gsize *n);

static inline FaintParameter *
faint_csv_state_parameter (const FaintCsvState *state, FaintLine *line)
{
  return (FaintParameter *)((char *)line + state->offset);
}

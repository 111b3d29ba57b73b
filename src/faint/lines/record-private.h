/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Lines as records of 160 columns (Rothman et al., J. Quant. Spectrosc. Radiat. Transfer 96, 139
 * (2005), table 1): a line of the file is a line of the list.
 */
#pragma once

#include "faint/lines/record-options.h"

#define FAINT_RECORD_LENGTH 160
/* Behind it stand blanks alone where nothing is known; a shorter line may have lost them. */
#define FAINT_RECORD_LEAST_LENGTH 133

typedef enum
{
  FAINT_RECORD_MOLECULE,
  FAINT_RECORD_ISOTOPOLOGUE,
  FAINT_RECORD_POSITION,
  FAINT_RECORD_STRENGTH,
  FAINT_RECORD_EINSTEIN_A,
  FAINT_RECORD_WIDTH_AIR,
  FAINT_RECORD_WIDTH_SELF,
  FAINT_RECORD_LOWER_ENERGY,
  FAINT_RECORD_EXPONENT,
  FAINT_RECORD_SHIFT,
  FAINT_RECORD_UPPER_GLOBAL,
  FAINT_RECORD_LOWER_GLOBAL,
  FAINT_RECORD_UPPER_LOCAL,
  FAINT_RECORD_LOWER_LOCAL,
  FAINT_RECORD_CODES,
  FAINT_RECORD_REFERENCES,
  FAINT_RECORD_FLAG,
  FAINT_RECORD_UPPER_WEIGHT,
  FAINT_RECORD_LOWER_WEIGHT,
  FAINT_RECORD_N
} FaintRecordPlace;

typedef struct
{
  const char *name;
  guint start, width; /* from 0; columns are counted from 1 in messages */
  char kind;          /* I, F, E, A as in the format */
  guint decimals;
} FaintRecordField;
const FaintRecordField *faint_record_field (FaintRecordPlace place);

/* @value into the field at @place of @record as the format has it: right-adjusted, as many
 * decimals as have room, no more than the format states. FALSE, the field left as it was, where it
 * has no room or where nothing but zeros of a value other than 0 would be left. */
gboolean faint_record_put_number (char *record, FaintRecordPlace place, double value);

/* The six digits after the field of local quanta: of position, strength, width in air, self width,
 * exponent, shift (table 5 of the same source). The first and the last go by absolute uncertainty
 * in cm-1, the others by relative one. '0' where nothing is stated. */
#define FAINT_RECORD_CODES_N 6
char faint_record_code_absolute (double u);
char faint_record_code_relative (double u, double value);
/* The largest uncertainty of two digits that a code admits; NAN where it states none. Relative ones
 * are a share of the value. */
double faint_record_u_absolute (char code);
double faint_record_u_relative (char code);

/* J and symmetry at the end of a label such as "J12e" or "10_0:J12": J, the letter or '\0', and how
 * many bytes stand before the J (without the colon or blank that ends them). FALSE for others. */
gboolean faint_record_label_parse (const char *label, guint *j, char *symmetry, gsize *before);
/* Labels of @line into the four fields of quanta, in the form for linear molecules (table 4) where
 * both have a J and their parities agree with an electric dipole transition, else the part before
 * the colon and the part behind it. FALSE, nothing written, where they do not fit. */
gboolean faint_record_put_labels (char *record, const FaintLine *line);
/* Labels from the four fields, to be freed. */
void faint_record_get_labels (const char *record, char **upper, char **lower);

/* Does the text begin with such a record? */
gboolean faint_record_recognise (const char *text, gsize length);
/* @notes gets the numbers of molecule and isotopologue where all records agree. */
FaintLineList *faint_line_list_parse_record (const char *text, gsize length, const char *path,
                                             GPtrArray *notes, GPtrArray *warnings, GError **error);
/* What had to be left out goes to @losses. */
char *faint_line_list_to_record (const FaintLineList *self, const FaintRecordOptions *options,
                                 GPtrArray *losses);

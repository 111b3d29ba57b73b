/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Line lists as VOTable 1.4 (IVOA Recommendation, 2019): one TABLE in TABLEDATA, a FIELD for each
 * column of CSV, a PARAM for each entry of its preamble. Units after VOUnits 1.0 (IVOA, 2014),
 * meanings after the UCD1+ controlled vocabulary (IVOA, 2018).
 */
#pragma once

#include "faint/lines/csv-private.h"

/* What a FIELD says of a column beside its name. */
typedef struct
{
  const char *column; /* name of the column in CSV */
  const char *ucd;
  const char *description;
} FaintVotableColumn;
const FaintVotableColumn *faint_votable_column (const char *name);

/* Unit of a column as written in a VOTable, and library units in one of it. Coefficients are
 * written per pascal, as VOUnits knows no atmosphere. NULL without unit. */
const char *faint_votable_unit (FaintCsvUnit unit, double *scale);
/* The column that a FIELD of others' tables holds, by its meaning; NULL if none. */
const FaintCsvColumn *faint_votable_column_of_ucd (const char *ucd);
/* Library units of @kind in one of the unit @text; *inverse for a wavelength. 0 where it is not
 * understood. */
double faint_votable_scale (FaintCsvUnit kind, const char *text, gboolean *inverse);
/* Says that the FIELD has no @unit, or one that is not understood, and which are. Free with g_free.
 */
char *faint_votable_unit_refusal (FaintCsvUnit kind, const char *field, const char *unit);

/* Where the conditions have a meaning of their own: the ucd of a key of the setup, or NULL. */
const char *faint_votable_note_ucd (const char *key);
/* The quantity that the value of a note of this key is, in a unit that VOUnits knows: number and
 * unit, to be freed. FALSE where it is no quantity. */
gboolean
faint_votable_note_quantity (const char *key, const char *value, char **number, char **unit);
/* The unit as our own files write it, "cm-1" for "cm**-1". Free with g_free. */
char *faint_votable_unit_text (const char *unit);

/* Control characters that XML cannot hold become U+FFFD; @losses says so. */
char *faint_line_list_to_votable (const FaintLineList *self, const FaintLineListAbout *about,
                                  GPtrArray *losses);
FaintLineList *
faint_line_list_parse_votable (const char *text, gsize length, const char *path, GPtrArray *notes,
                               GPtrArray *warnings, GError **error);

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Foreign delimited text with an explicit column map.
 *
 * A map names the meaning of each column in order, separated by commas, in the words of the comb
 * table; '-' skips a column: "frequency/GHz,-,signal,reference,u(signal)". Recognised meanings:
 *   tooth, frequency/{THz,GHz,MHz,Hz}, wavenumber/cm-1, wavelength/{nm,um},
 *   transmission, signal, reference, phase/rad, real, imag, and u() of each signal column;
 *   transmission/percent, decadic_absorbance (-lg of the transmission of the power) and
 *   napierian_absorbance (-ln of it), with their u(), become the transmission;
 *   with real and imag also u(along) and u(across), the standard uncertainties along the observed
 *   direction of the field and across it.
 * Without a map, a head row in these very words is taken as one. Rows begin at the first line in
 * which at least half of the cells are numbers.
 */
#pragma once

#include "faint/spectrum/comb-table.h"

typedef struct
{
  char separator;         /* ',', ';', '\t' or ' ' (a run of blanks) */
  gboolean decimal_comma; /* numbers are written 1,5 */
  gsize header_lines;     /* lines before the first row of numbers */
  gsize n_columns;
  GPtrArray *heads;         /* char *: the header row's words, empty when there is none */
  GPtrArray *rows;          /* char **: (NULL-terminated) fields of the first rows, for a preview */
  double *lowest, *highest; /* of each column in the first 200 rows; NAN: not all are numbers */
} FaintDelimitedPreview;

/* Looks at the beginning of a file and says how it seems to be laid out. Never guesses meanings. */
FaintDelimitedPreview *faint_delimited_preview (const char *path, gsize max_rows, GError **error);
void faint_delimited_preview_free (FaintDelimitedPreview *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (FaintDelimitedPreview, faint_delimited_preview_free)

/* What the columns may be: the meaning that a head states in the words above, else what the head
 * suggests with the range of the numbers, where it lacks its unit or uses another word of the
 * trade: "wavenumber" above numbers from 500 to 33333 is wavenumber/cm-1, "Transmittance" is
 * transmission. NULL for a column of which nothing is known: no head, several units that fit,
 * numbers beyond the range. What a head does not state is for a person to confirm and never taken
 * by itself. One static string or NULL a column; free the array alone, with g_free. */
const char **faint_delimited_suggest (const FaintDelimitedPreview *self);

/* The meanings that a column may have, NULL-terminated, for a list to choose from. Static. */
const char *const *faint_column_meanings (void);

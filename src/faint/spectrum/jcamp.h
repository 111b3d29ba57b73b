/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * JCAMP-DX files, the open standard for spectra of IUPAC: 4.24 (McDonald & Wilks, Appl. Spectrosc.
 * 42, 151 (1988)) and 5.01 (Lampen et al., Appl. Spectrosc. 53 (1999); both from memory).
 * Read are tables XYDATA (X++(Y..Y)) and XYPOINTS (XY..XY) in all number forms (jcamp-numbers.h),
 * alone or in compound files. Tables of several variables (NTUPLES), of peaks and interferograms
 * are refused in words. A file that is no UTF-8 is taken as ISO 8859-1 (faint_text_read_old()).
 *
 * The checks that the standard builds into a table are made: the abscissa of each line (within the
 * rounding of its digits, and of those of FIRSTX, LASTX and XFACTOR up to half a step), the
 * ordinate that a line in difference form repeats, and number, first, largest and smallest of the
 * ordinates. One that fails is an error that names the line: points are missing, or wrong.
 *
 * The "column map" of such a file is words separated by commas:
 *   block=N       which of several tables, counted from 1
 *   transmission  ordinates in a unit that is not known here are a ratio of sample to reference
 *   absorbance    they are -lg of it
 *   unchecked     checks that fail are warnings
 */
#pragma once

#include "faint/base/text.h"
#include "faint/spectrum/rows.h"

#define FAINT_JCAMP_ERROR (faint_jcamp_error_quark ())
GQuark faint_jcamp_error_quark (void);
/* All other errors are FAINT_TEXT_ERROR. */
typedef enum
{
  FAINT_JCAMP_ERROR_UNTOLD, /* a word of the map can mend it: which block, what the ordinates are,
                               or to read on */
} FaintJcampError;

/* TRUE if the text begins with a labelled record. */
gboolean faint_jcamp_is (const FaintText *text);

/* What a file says of one of its spectra. */
typedef struct
{
  guint number;                     /* of block=N */
  guint64 line;                     /* of its title */
  char *title;                      /* never NULL */
  char *x_unit, *y_unit;            /* as written, or "" */
  double first_x, last_x, n_points; /* NAN: not told */
} FaintJcampSummary;

/* The spectra of a file, FaintJcampSummary, for a person to choose from; number and span are those
 * that are stated, else those of the points. Errors: not to be read, no labelled records, no
 * spectrum. */
GPtrArray *faint_jcamp_summaries (const char *path, GError **error);

typedef struct _FaintJcamp FaintJcamp;

/* Finds the table; @text must outlive it. Errors: no block, no table, several without block=N (all
 * are named), an unknown word in @map (NULL: none). */
FaintJcamp *faint_jcamp_new (const FaintText *text, const char *map, GError **error);
void faint_jcamp_free (FaintJcamp *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (FaintJcamp, faint_jcamp_free)

/* Takes title, temperature and pressure where they are stated with their unit; a warning says what
 * was not taken. */
void faint_jcamp_fill_setup (const FaintJcamp *self, FaintSetup *setup, GPtrArray *warnings);

/* Axis and transmission. Missing ordinates ('?') are left out, with a warning. Errors: a unit that
 * is not known, a record that is missing, a table that is damaged. */
FaintRows *faint_jcamp_rows (const FaintJcamp *self, GPtrArray *warnings, GError **error);

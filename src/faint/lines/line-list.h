/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A list of lines in rising order of position, constant once made, with the facts that hold for
 * all of it.
 */
#pragma once

#include "faint/lines/line.h"
#include "faint/spectrum/setup.h"

#define FAINT_LINES_ERROR (faint_lines_error_quark ())
GQuark faint_lines_error_quark (void);
typedef enum
{
  FAINT_LINES_ERROR_SYNTAX,
  FAINT_LINES_ERROR_COLUMN, /* a needed column is missing, or a head is not understood */
  FAINT_LINES_ERROR_VALUE,
} FaintLinesError;

typedef struct _FaintLineList FaintLineList;

/* Copies @n lines (texts too), sorts them by position, gives an id to each that has 0
 * or one that stands before it. States rule: flags of what is fixed or tied follow them, and a
 * fixed parameter's uncertainties become NAN. Texts become valid UTF-8.
 *
 * In a list every tied parameter follows one that is not tied, and has the value that this gives:
 * chains a -> b -> c become a -> c with factor1 (factor2 x + offset2) + offset1. A tie that cannot
 * hold becomes free and keeps its value: to a line that is not there, round in a circle or to the
 * line itself, with a factor of 0 or what is not finite. tie_factor has no unit; tie_offset has
 * that of the parameter (cm-1; cm/molecule; cm-1/atm; none). Uncertainties are left as given.
 * @lines may be NULL with n = 0. */
FaintLineList *faint_line_list_new (const FaintLine *lines, gsize n);
FaintLineList *faint_line_list_ref (FaintLineList *self);
void faint_line_list_unref (FaintLineList *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (FaintLineList, faint_line_list_unref)

gsize faint_line_list_get_n (const FaintLineList *self);
const FaintLine *faint_line_list_get (const FaintLineList *self, gsize index);
/* By id; NULL when it is not there. */
const FaintLine *faint_line_list_find (const FaintLineList *self, guint id);
/* Index by id, or G_MAXSIZE. */
gsize faint_line_list_index_of (const FaintLineList *self, guint id);
/* Index of the line nearest to @wavenumber, or G_MAXSIZE in an empty list. */
gsize faint_line_list_nearest (const FaintLineList *self, double wavenumber);

/* New lists: with a line added (its id is set in *id if not NULL), replaced (same id), removed.
 * Where others were tied to a removed line's parameter, that of the first of them by position
 * becomes free with its present value and the others are tied to it, so that their relation
 * stays. */
FaintLineList *
faint_line_list_with_added (const FaintLineList *self, const FaintLine *line, guint *id);
FaintLineList *faint_line_list_with_replaced (const FaintLineList *self, const FaintLine *line);
FaintLineList *faint_line_list_with_removed (const FaintLineList *self, const guint *ids, gsize n);

/* What a written list says about itself. Borrowed pointers, all may be NULL or NAN. */
typedef struct
{
  const char *title;
  const FaintSetup *setup;   /* conditions, cavity */
  const char *const *inputs; /* NULL-terminated "name  sha256" */
  double chi2_reduced;
  const char *date;         /* ISO 8601; the caller's, so that the library stays deterministic */
  double coverage_factor;   /* k of the expanded uncertainties U = k u; NAN or 0: 2 */
  const char *const *notes; /* NULL-terminated "key = value", after all else */
} FaintLineListAbout;

/* CSV with a '#' preamble and heads in quantity calculus; the column contract is in
 * docs/formats.md. Empty cells for what is not known. Free with g_free. */
char *faint_line_list_to_csv (const FaintLineList *self, const FaintLineListAbout *about);

/* Reads a CSV whose head row names at least a position ("position/cm-1" or "frequency/MHz").
 * Columns known are taken, others ignored and named in @warnings (may be NULL); '#' lines are
 * skipped. FIXED and DERIVED states come back from the flags, TIED ones from the ties; ties that
 * cannot hold are named in @warnings. Lists written by faint_line_list_to_csv() come back equal
 * within their printed digits, but for what it does not write: the contributions of each source and
 * the noise part of other uncertainties than those of position, strength and Lorentz width. Errors
 * name file, line, column. */
FaintLineList *faint_line_list_read_csv (const char *path, GPtrArray *warnings, GError **error);
FaintLineList *faint_line_list_parse_csv (const char *text, const char *path_for_messages,
                                          GPtrArray *warnings, GError **error);

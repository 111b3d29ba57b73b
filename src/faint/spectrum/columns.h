/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the columns of a table mean. The names are those of docs/formats.md, in quantity calculus.
 */
#pragma once

#include "faint/spectrum/setup.h"

typedef enum
{
  FAINT_COLUMN_IGNORED,
  FAINT_COLUMN_TOOTH,
  FAINT_COLUMN_FREQUENCY,
  FAINT_COLUMN_WAVENUMBER,
  FAINT_COLUMN_WAVELENGTH,
  FAINT_COLUMN_TRANSMISSION,
  FAINT_COLUMN_SIGNAL,
  FAINT_COLUMN_REFERENCE,
  FAINT_COLUMN_PHASE,
  FAINT_COLUMN_REAL,
  FAINT_COLUMN_IMAG,
  FAINT_COLUMN_ABSORBANCE,     /* napierian, -ln of the transmission of the power */
  FAINT_COLUMN_U_TRANSMISSION, /* from here on uncertainties */
  FAINT_COLUMN_U_SIGNAL,
  FAINT_COLUMN_U_REFERENCE,
  FAINT_COLUMN_U_PHASE,
  FAINT_COLUMN_U_REAL,
  FAINT_COLUMN_U_IMAG,
  FAINT_COLUMN_U_ALONG, /* of a field along its observed direction, and across it */
  FAINT_COLUMN_U_ACROSS,
  FAINT_COLUMN_U_ABSORBANCE,
  FAINT_N_COLUMNS,
} FaintColumn;

typedef struct
{
  guint n;
  char **names;         /* as written, NULL-terminated */
  FaintColumn *meaning; /* n */
  double *scale;        /* n: a number times this is Hz, cm-1, nm, rad or 1 */
  gboolean has[FAINT_N_COLUMNS];
} FaintColumns;

/* The meanings of @names. Other names are kept and ignored where @extra is allowed, an error where
 * not; "-" is always ignored. Errors: an unknown or missing unit, a meaning given twice. */
FaintColumns *faint_columns_new (const char *const *names, gboolean extra, GError **error);
void faint_columns_free (FaintColumns *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (FaintColumns, faint_columns_free)

/* Checks that the columns hold one axis and one way to the observable, and makes columns ignored
 * that the observable has no use for. */
gboolean faint_columns_check (FaintColumns *self, FaintObservable observable, GError **error);

/* The names of ignored columns ("-" left out) joined by ", ", or NULL. */
char *faint_columns_ignored (const FaintColumns *self);

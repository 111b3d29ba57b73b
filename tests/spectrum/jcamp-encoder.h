/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * An encoder of JCAMP-DX for tests: one table in every number form, with abscissae written in
 * several ways.
 */
#pragma once

#include "faint/spectrum/comb-table.h"

#define JCAMP_N 103
#define JCAMP_FIRST_X 7750.25
#define JCAMP_STEP 0.0083
#define JCAMP_Y_FACTOR 1e-6

/* How abscissae are written. */
typedef struct
{
  double factor; /* XFACTOR */
  int decimals;  /* of a line */
  int frame;     /* of FIRSTX and LASTX */
  gboolean cut;  /* and not rounded */
  gboolean next; /* a line that repeats an ordinate begins at the one after it */
} JcampAbscissae;

/* Six decimals. */
extern const JcampAbscissae jcamp_exact;

typedef enum
{
  JCAMP_AFFN,
  JCAMP_PAC,
  JCAMP_SQZ,
  JCAMP_DIF,
  JCAMP_DIFDUP,
  JCAMP_N_FORMS,
} JcampForm;
extern const char *const jcamp_form_names[];

/* Transmissions with flat stretches, both signs and jumps, JCAMP_N in units of JCAMP_Y_FACTOR. */
void jcamp_fill_ordinates (gint64 *y);
/* The number that a line with the abscissa @x begins with. */
double jcamp_written (const JcampAbscissae *how, double x);
/* The records above a table; @more are further ones. */
void
jcamp_append_head (GString *text, const char *title, const JcampAbscissae *how, const char *more);
/* A whole file, or block, of ten ordinates a line. Free with g_free. */
char *jcamp_encode_as (JcampForm form, const gint64 *y, const JcampAbscissae *how);
char *jcamp_encode (JcampForm form, const gint64 *y);

/* The bytes as a file, read with the map. */
FaintSpectrum *jcamp_read (const char *bytes, const char *map, GError **error);

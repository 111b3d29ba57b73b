/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the files of the JCAMP-DX reader share.
 */
#pragma once

#include "faint/base/warnings.h"
#include "faint/spectrum/jcamp-records.h"
#include "faint/spectrum/jcamp.h"

typedef enum
{
  FAINT_JCAMP_BY_UNIT, /* as ##YUNITS= says */
  FAINT_JCAMP_TRANSMISSION,
  FAINT_JCAMP_ABSORBANCE,
} FaintJcampOrdinate;

/* Makes of an error that was set one that a word of the map can mend. FALSE. */
gboolean faint_jcamp_untold (GError **error);

/* Number, first and last abscissa of the table that @file has chosen: as stated, else by reading
 * pairs; NAN where neither tells. */
void faint_jcamp_find_span (const FaintJcamp *file, double *first, double *last, double *n);

struct _FaintJcamp
{
  const FaintText *text;
  GPtrArray *blocks;
  const FaintJcampBlock *block; /* the one that is read */
  const FaintJcampRecord *table;
  FaintJcampOrdinate ordinate;
  gboolean unchecked;
  guint wanted; /* 0: not told */
};

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a partition sum is made of. For this folder alone.
 */
#pragma once

#include "faint/strength/partition.h"

#include <gsl/gsl_spline.h>

typedef struct
{
  double wavenumber; /* cm-1, of the fundamental */
  guint degeneracy;
} FaintVibration;

struct _FaintPartition
{
  char *name; /* file, or what it is, for messages */
  /* a table, or NULL */
  gsl_spline *spline; /* ln Q over ln T */
  double coldest, hottest;
  /* constants of a linear molecule, cm-1 */
  double b, d;
  double weight_even, weight_odd;
  GArray *vibrations; /* FaintVibration */
};

FaintPartition *faint_partition_new_empty (const char *name);

/* Makes @self a table of @n rows, T rising, T and Q above 0, n > 1. FALSE when GSL refuses. */
gboolean faint_partition_set_table (FaintPartition *self, const double *temperature,
                                    const double *q, gsize n);

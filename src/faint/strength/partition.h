/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Partition sums Q(T) and the conversion of a strength between temperatures.
 */
#pragma once

#include <glib.h>

#define FAINT_PARTITION_ERROR (faint_partition_error_quark ())
GQuark faint_partition_error_quark (void);
typedef enum
{
  FAINT_PARTITION_ERROR_FILE,  /* cannot be read, or is not what a file of sums says */
  FAINT_PARTITION_ERROR_RANGE, /* asked outside the table */
} FaintPartitionError;

typedef struct _FaintPartition FaintPartition;

/* Reads a file: either a table ("# columns = temperature/K Q", then rows, T rising) interpolated by
 * a cubic spline of ln Q over ln T (a straight line with two rows), or constants ("# molecule =
 * linear", "# B = 0.419 cm-1", "# D = ...", "# spin_weight_even = 1", "# spin_weight_odd = 1",
 * "# vibration = 588.8 cm-1 x 2", one line each; B is needed, weights are 1 and the rest is nothing
 * where not stated) from which Q is the rotational sum times the harmonic vibrational factor, good
 * to about 1e-3. "# title = " and "# source = " and lines without a key are for the reader.
 * FAINT_PARTITION_ERROR_FILE tells file, line, what was found and what was expected. */
FaintPartition *faint_partition_read (const char *path, GError **error);
/* @b, @d in cm-1; weights of the nuclear spin for even and odd J; @n fundamentals in cm-1 with
 * their degeneracies. */
FaintPartition *
faint_partition_new_linear (double b, double d, double weight_even, double weight_odd,
                            const double *vibrations, const guint *degeneracies, gsize n);
void faint_partition_free (FaintPartition *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (FaintPartition, faint_partition_free)

/* Q at @temperature, K. Outside a table, or where the levels of the constants stop rising before
 * they stop to matter: FALSE with FAINT_PARTITION_ERROR_RANGE. May be called from many threads. */
gboolean
faint_partition_sum (const FaintPartition *self, double temperature, double *q, GError **error);

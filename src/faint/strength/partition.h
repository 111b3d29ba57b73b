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
  FAINT_PARTITION_ERROR_FILE,
  FAINT_PARTITION_ERROR_RANGE, /* asked outside the table */
} FaintPartitionError;

typedef struct _FaintPartition FaintPartition;

/* Reads a file: either a table ("# columns = temperature/K Q", then rows, T rising) interpolated by
 * a cubic spline of ln Q over ln T, or constants ("# molecule = linear", "# B = 0.419 cm-1",
 * "# D = ...", "# spin_weight_even = 1", "# spin_weight_odd = 1", "# vibration = 588.8 cm-1 x 2",
 * one line each) from which Q is the rotational sum times the harmonic vibrational factor. */
FaintPartition *faint_partition_read (const char *path, GError **error);
FaintPartition *faint_partition_new_linear (double b, double d, double weight_even, double weight_odd,
                                            const double *vibrations, const guint *degeneracies, gsize n);
void faint_partition_free (FaintPartition *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (FaintPartition, faint_partition_free)

/* Q at @temperature, K. Outside a table: FALSE with FAINT_PARTITION_ERROR_RANGE. */
gboolean faint_partition_sum (const FaintPartition *self, double temperature, double *q, GError **error);

/* S(to)/S(from) of a line at @wavenumber with @lower_energy (cm-1); @q_ratio = Q(from)/Q(to)
 * (Rothman et al., JQSRT 60, 665 (1998), appendix A). */
double faint_strength_ratio (double wavenumber, double lower_energy, double from, double to, double q_ratio);

/* Lower-state energy, cm-1, from strengths s1 at t1 and s2 at t2, @q_ratio = Q(t1)/Q(t2); its
 * standard uncertainty from u1, u2 and u(t1), u(t2) in *u (may be NULL). */
double faint_lower_energy_from_two (double wavenumber, double s1, double u1, double t1, double u_t1,
                                    double s2, double u2, double t2, double u_t2, double q_ratio, double *u);

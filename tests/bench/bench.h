/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Clocks, medians and gates of the benchmarks. A gate is a number with a target; every one is
 * printed, and a program that missed one says so in its exit status.
 */
#pragma once

#include <glib.h>
#include <time.h>

G_BEGIN_DECLS

double bench_seconds (clockid_t clock);

/* Sorts @times. */
double bench_median (double *times, gsize n);

typedef enum
{
  BENCH_AT_LEAST,
  BENCH_AT_MOST,
} BenchSense;

/* Prints @what, @value, the target and whether it is met. */
void bench_gate (const char *what, double value, BenchSense sense, double target);

/* Exit status: 0 when every gate was met, else 1. */
int bench_status (void);

G_END_DECLS

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "bench.h"

#include <stdlib.h>

static guint missed;

double
bench_seconds (clockid_t clock)
{
  struct timespec now;

  clock_gettime (clock, &now);
  return (double)now.tv_sec + (double)now.tv_nsec * 1e-9;
}

static int
compare (const void *a, const void *b)
{
  double x = *(const double *)a, y = *(const double *)b;

  return (x > y) - (x < y);
}

double
bench_median (double *times, gsize n)
{
  qsort (times, n, sizeof *times, compare);
  return times[n / 2];
}

void
bench_gate (const char *what, double value, BenchSense sense, double target)
{
  gboolean met = sense == BENCH_AT_LEAST ? value >= target : value <= target;

  missed += !met;
  g_print ("  %-4s %-58s %8.2f, target %s %g\n", met ? "pass" : "FAIL", what, value,
           sense == BENCH_AT_LEAST ? "at least" : "at most", target);
}

int
bench_status (void)
{
  if (missed > 0)
    g_print ("%u gates missed\n", missed);
  return missed > 0 ? 1 : 0;
}

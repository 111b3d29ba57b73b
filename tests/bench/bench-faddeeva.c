/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Time of w(z) per point, each instruction set of this machine, against libcerf in the same run.
 * Prints CSV: code, arguments, nanoseconds a point (median of 7 runs), times faster than libcerf.
 */
#include "faint/shape/faddeeva.h"
#include "faint/shape/faddeeva-private.h"
#include "faint/shape/voigt.h"

#include <math.h>
#include <stdlib.h>

#ifdef HAVE_LIBCERF
#include <cerf.h>
#include <complex.h>
#endif

#define POINTS 100000
#define RUNS 7

typedef struct
{
  double *x, *out[8];
  double span, y;
  const FaintFaddeevaKernel *kernel;
} Bench;

typedef void (*Task) (Bench *bench);

static int
compare (const void *a, const void *b)
{
  double d = *(const double *)a - *(const double *)b;
  return (d > 0) - (d < 0);
}

static double
nanoseconds (Bench *bench, Task task)
{
  double runs[RUNS];

  task (bench);
  for (int i = 0; i < RUNS; i++)
    {
      gint64 start = g_get_monotonic_time ();
      task (bench);
      runs[i] = 1e3 * (double)(g_get_monotonic_time () - start) / POINTS;
    }
  qsort (runs, RUNS, sizeof (double), compare);
  return runs[RUNS / 2];
}

static void
run_kernel (Bench *bench)
{
  FaintFaddeevaPoints points = { bench->x, POINTS, 0.0, 1.0, bench->y };
  FaintFaddeevaOut out = { .w_re = bench->out[0], .w_im = bench->out[1], .w_factor = 1.0 };

  bench->kernel->value (&points, &out);
}

static void
run_derivative (Bench *bench)
{
  faint_faddeeva_fill_derivative (bench->x, POINTS, bench->y, bench->out[0], bench->out[1],
                                  bench->out[2], bench->out[3]);
}

static void
run_voigt (Bench *bench)
{
  FaintVoigt line = { 0.0, 0.83255461115769776, bench->y };
  FaintVoigtGradient out = { bench->out[0], bench->out[1], bench->out[2], bench->out[3],
                             bench->out[4], bench->out[5], bench->out[6], bench->out[7] };

  faint_voigt_gradient (line, bench->x, POINTS, &out);
}

static void
run_grid (Bench *bench)
{
  faint_faddeeva_grid (-bench->span, 2 * bench->span / (POINTS - 1), POINTS, bench->y,
                       bench->out[0], bench->out[1]);
}

#ifdef HAVE_LIBCERF
static void
run_libcerf (Bench *bench)
{
  for (int i = 0; i < POINTS; i++)
    {
      double complex w = w_of_z (bench->x[i] + bench->y * I);
      bench->out[0][i] = creal (w);
      bench->out[1][i] = cimag (w);
    }
}
#endif

static void
fill_arguments (Bench *bench, gboolean random)
{
  GRand *rand = g_rand_new_with_seed (1);

  for (int i = 0; i < POINTS; i++)
    bench->x[i] = random ? g_rand_double_range (rand, -bench->span, bench->span)
                         : -bench->span + i * (2 * bench->span / (POINTS - 1));
  g_rand_free (rand);
}

static void
report (Bench *bench, const char *code, const char *order, double ns, double libcerf)
{
  g_print ("%s,%s,%g,%g,%.2f,", code, order, bench->span, bench->y, ns);
  if (libcerf > 0)
    g_print ("%.1f\n", libcerf / ns);
  else
    g_print ("\n");
}

static void
run_span (Bench *bench, gboolean random)
{
  const char *order = random ? "random" : "rising";
  double libcerf = 0;

  fill_arguments (bench, random);
#ifdef HAVE_LIBCERF
  libcerf = nanoseconds (bench, run_libcerf);
  report (bench, "libcerf w_of_z", order, libcerf, libcerf);
#endif
  bench->kernel = &faint_faddeeva_baseline;
  report (bench, "w baseline", order, nanoseconds (bench, run_kernel), libcerf);
#ifdef FAINT_FADDEEVA_X86
  if (faint_faddeeva_kernel () != &faint_faddeeva_baseline)
    {
      bench->kernel = &faint_faddeeva_avx2;
      report (bench, "w AVX2", order, nanoseconds (bench, run_kernel), libcerf);
    }
#endif
  report (bench, "w and w'", order, nanoseconds (bench, run_derivative), libcerf);
  report (bench, "Voigt and all derivatives", order, nanoseconds (bench, run_voigt), libcerf);
  if (!random)
    report (bench, "w on a grid", order, nanoseconds (bench, run_grid), libcerf);
}

int
main (void)
{
  static const double spans[] = { 5, 20, 1e3, 1e4 };
  static const double ys[] = { 0.1, 1e-6, 2.0 };
  Bench bench = { .x = g_new (double, POINTS) };

  for (guint i = 0; i < G_N_ELEMENTS (bench.out); i++)
    bench.out[i] = g_new (double, POINTS);
#ifndef HAVE_LIBCERF
  g_print ("# libcerf was not found when this was built: no comparison\n");
#endif
  g_print ("code,x,span,y,ns a point,times faster than libcerf\n");
  for (guint j = 0; j < G_N_ELEMENTS (ys); j++)
    for (guint i = 0; i < G_N_ELEMENTS (spans); i++)
      {
        bench.span = spans[i];
        bench.y = ys[j];
        run_span (&bench, FALSE);
        run_span (&bench, TRUE);
      }
  for (guint i = 0; i < G_N_ELEMENTS (bench.out); i++)
    g_free (bench.out[i]);
  g_free (bench.x);
  return 0;
}

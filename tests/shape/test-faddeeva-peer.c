/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * w(z) against libcerf, an independent code, where it is installed.
 */
#include "faint/shape/faddeeva.h"

#include <math.h>

#include "faint-test.h"

#ifdef HAVE_LIBCERF
#include <cerf.h>
#include <complex.h>

/* libcerf states about 1e-13 for each part; against 40 digits it was measured at 6e-14 in the real
 * and 3e-13 in the imaginary part. */
#define TOLERANCE 5e-13

static void
test_libcerf (void)
{
  GRand *rand = g_rand_new_with_seed (20);

  for (int i = 0; i < 100000; i++)
    {
      double x = i % 2 ? g_rand_double_range (rand, -8.0, 8.0)
                       : pow (10.0, g_rand_double_range (rand, -3.0, 6.0));
      double y = pow (10.0, g_rand_double_range (rand, -10.0, 3.0));
      double complex peer = w_of_z (x + y * I);
      FaintComplex w = faint_faddeeva (x, y);

      faint_assert_close (w.re, creal (peer), TOLERANCE, "libcerf's own error");
      faint_assert_close (w.im, cimag (peer), TOLERANCE, "libcerf's own error");
    }
  g_rand_free (rand);
}
#else
static void
test_libcerf (void)
{
  g_test_skip ("libcerf was not found when this was built");
}
#endif

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/shape/faddeeva-peer/libcerf", test_libcerf);
  return g_test_run ();
}

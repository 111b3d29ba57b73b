/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The faces of the finesse.
 */
#include "faint/cavity/finesse.h"
#include "faint-test.h"

#include <math.h>

#define STANDING FAINT_GEOMETRY_STANDING_WAVE
#define RING FAINT_GEOMETRY_RING

/* Every face leads back to the loss; at F near 1e9 too. */
static void
test_there_and_back (void)
{
  const double range = 249827048.3;

  for (double loss = 0.5; loss > 3e-9; loss *= 0.31)
    {
      double got;

      got = faint_cavity_loss_from_finesse (faint_cavity_finesse_from_loss (loss));
      faint_assert_close (got, loss, 1e-15, "rounding");
      got = faint_cavity_loss_from_ring_down (faint_cavity_ring_down_from_loss (loss, range),
                                              range);
      faint_assert_close (got, loss, 1e-15, "rounding");
      got = faint_cavity_loss_from_linewidth (faint_cavity_linewidth_from_loss (loss, range),
                                              range);
      faint_assert_close (got, loss, 1e-15, "rounding");
      for (FaintGeometry geometry = STANDING; geometry <= RING; geometry++)
        {
          got = faint_cavity_loss_from_reflectivity (
              geometry, faint_cavity_reflectivity_from_loss (geometry, loss));
          faint_assert_near (got, loss, 2.3e-16, "a reflectivity near 1 is rounded to 1.1e-16");
        }
    }
}

/* The loss of good mirrors, without cancellation: F loss = pi sqrt(1 - loss) by bisection with 64
 * bits of mantissa. */
static void
test_high_finesse (void)
{
  const long double pi = 3.14159265358979323846264L;

  for (double finesse = 1.0; finesse < 2e9; finesse *= 7.3)
    {
      long double low = 0.0L, high = 1.0L;

      for (int i = 0; i < 120; i++)
        {
          long double loss = 0.5L * (low + high);

          *(finesse * loss < pi * sqrtl (1.0L - loss) ? &low : &high) = loss;
        }
      faint_assert_close (faint_cavity_loss_from_finesse (finesse), (double)low, 1e-15, "rounding");
    }
}

/* A ring-down of the power by e and the definition through round trips: s^(2 n) = 1/e after
 * n = tau FSR of them. */
static void
test_ring_down (void)
{
  const double range = 5e8, loss = 1e-3;
  double round_trips = faint_cavity_ring_down_from_loss (loss, range) * range;

  faint_assert_close (pow (1.0 - loss, 2.0 * round_trips), exp (-1.0), 1e-13,
                      "s is rounded to 1e-16, to the power of 1000");
}

static void
test_free_spectral_range (void)
{
  /* cavity of 1 m: 149.896229 MHz, exactly c/2 m. */
  faint_assert_close (faint_cavity_free_spectral_range (STANDING, 100.0), 149896229.0, 1e-16,
                      "exact");
  faint_assert_close (faint_cavity_free_spectral_range (RING, 100.0), 299792458.0, 1e-16, "exact");
  g_assert_true (isnan (faint_cavity_free_spectral_range (FAINT_GEOMETRY_NONE, 100.0)));
}

/* The full width at half of T = 1/(1 + (2 sqrt(s)/loss)^2 sin^2(Phi/2)), found by bisection. */
static void
test_airy_width (void)
{
  for (double loss = 0.8; loss > 1e-6; loss *= 0.5)
    {
      double low = 0.0, high = G_PI, factor = 4.0 * (1.0 - loss) / (loss * loss);

      for (int i = 0; i < 200; i++)
        {
          double phase = 0.5 * (low + high), sine = sin (0.5 * phase);

          *(factor * sine * sine < 1.0 ? &low : &high) = phase;
        }
      faint_assert_close (faint_cavity_airy_linewidth (loss, 1.0), low / G_PI, 4e-15, "rounding");
    }
  g_assert_true (isnan (faint_cavity_airy_linewidth (0.9, 1.0)));
}

/* The slope of -ln(power) at no absorption, from the sum over round trips: a photon that leaves
 * after n more round trips has crossed f + n absorbers. Swept: the mean of f + n over s^(2n).
 * Locked: fields add, twice the mean of f + n over s^n for the power, over the absorbance 2 kappa.
 */
static void
test_enhancement (void)
{
  for (double loss = 0.3; loss > 1e-3; loss *= 0.2)
    for (double share = 0.25; share <= 1.0; share *= 2.0)
      {
        long double s = 1.0L - loss, field = 1.0L, weights = 0.0L, sum = 0.0L, weights2 = 0.0L,
                    sum2 = 0.0L;

        for (int n = 0; n < 60.0 / loss; n++, field *= s)
          {
            weights += field;
            sum += field * (share + n);
            weights2 += field * field;
            sum2 += field * field * (share + n);
          }
        faint_assert_close (faint_cavity_enhancement (FAINT_COUPLING_LOCKED, loss, share),
                            (double)(sum / weights), 1e-14, "rounding");
        faint_assert_close (faint_cavity_enhancement (FAINT_COUPLING_SWEPT, loss, share),
                            (double)(sum2 / weights2), 1e-14, "rounding");
      }
  faint_assert_close (faint_cavity_enhancement (FAINT_COUPLING_LOCKED, 1.0, 1.0), 1.0, 0.0,
                      "a single pass, exactly");
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/cavity/finesse/there-and-back", test_there_and_back);
  g_test_add_func ("/cavity/finesse/high", test_high_finesse);
  g_test_add_func ("/cavity/finesse/ring-down", test_ring_down);
  g_test_add_func ("/cavity/finesse/free-spectral-range", test_free_spectral_range);
  g_test_add_func ("/cavity/finesse/airy-width", test_airy_width);
  g_test_add_func ("/cavity/finesse/enhancement", test_enhancement);
  return g_test_run ();
}

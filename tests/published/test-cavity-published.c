/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Cavities as the literature describes them.
 */
#include "faint/cavity/finesse.h"
#include "faint/cavity/response.h"
#include "faint-test.h"

#include <math.h>

#define STANDING FAINT_GEOMETRY_STANDING_WAVE
#define LOCKED FAINT_COUPLING_LOCKED
#define SWEPT FAINT_COUPLING_SWEPT

/* The gain over a single pass of two mirrors is twice the enhancement of a round trip. */
static double
gain (FaintCoupling coupling, double loss)
{
  return 2.0 * faint_cavity_enhancement (coupling, loss, 0.5);
}

/* tests/reference/cavity_faces.csv */
static void
test_faces (void)
{
  FaintTestTable *table = faint_test_table_read ("cavity_faces.csv");
  double range = faint_cavity_free_spectral_range (STANDING, 100.0);
  const char *digits = "10 printed digits, and 1 - R of a double R";

  for (guint row = 0; row < table->rows->len; row++)
    {
      double r = faint_test_table_number (table, row, "R");
      double loss = faint_cavity_loss_from_reflectivity (STANDING, r);
      double tau = faint_test_table_number (table, row, "ring_down_us") * 1e-6;

      faint_assert_close (faint_cavity_finesse_from_loss (loss),
                          faint_test_table_number (table, row, "finesse"), 2e-9, digits);
      faint_assert_close (range / faint_cavity_airy_linewidth (loss, range),
                          faint_test_table_number (table, row, "finesse_airy"), 2e-9, digits);
      faint_assert_close (faint_cavity_linewidth_from_loss (loss, range),
                          1e3 * faint_test_table_number (table, row, "linewidth_kHz"), 2e-9,
                          digits);
      faint_assert_close (faint_cavity_ring_down_from_loss (loss, range), tau, 2e-9, digits);
      faint_assert_close (faint_cavity_loss_from_ring_down (tau, range), loss, 2e-9, digits);
      faint_assert_close (gain (LOCKED, loss), faint_test_table_number (table, row, "gain_locked"),
                          2e-9, digits);
      faint_assert_close (gain (SWEPT, loss), faint_test_table_number (table, row, "gain_swept"),
                          2e-9, digits);
    }
  faint_test_table_free (table);
}

/* F -> 1 - R, 2F/pi, F/pi: finesses of Gherman and Romanini, Opt. Express 10, 1033 (2002) (about
 * 420), Fleisher, Long, Hodges, J. Mol. Spectrosc. 352, 26 (2018) (19600), and others met in the
 * trade; the numbers computed from the textbook relations apart from this program. */
static void
test_published_finesse (void)
{
  static const struct
  {
    double finesse, loss, locked, swept;
  } cavities[] = {
    { 420, 7.4520598e-3, 267.380304, 133.690152 },
    { 3800, 8.2639323e-4, 2419.15513, 1209.57757 },
    { 8000, 3.9262198e-4, 5092.95818, 2546.47909 },
    { 19600, 1.6027249e-4, 12477.7475, 6238.87377 },
    { 28000, 1.1219344e-4, 17825.3536, 8912.67681 },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cavities); i++)
    {
      double loss = faint_cavity_loss_from_finesse (cavities[i].finesse);

      faint_assert_close (loss, cavities[i].loss, 5e-8,
                          "8 printed digits, half a unit of the last");
      /* Exact: (1+R)/(1-R) and (1+R^2)/(1-R^2), above 2F/pi by loss^2/8 and above F/pi by
       * loss^2/2, relatively. */
      faint_assert_close (gain (LOCKED, loss), cavities[i].locked, 0.2 * loss * loss + 5e-9,
                          "the limit of high finesse, 9 printed digits");
      faint_assert_close (gain (SWEPT, loss), cavities[i].swept, 0.6 * loss * loss + 5e-9,
                          "the limit of high finesse, 9 printed digits");
    }
}

/* A comb that is locked gains twice what a swept one does: 2F/pi and F/pi (Thorpe and Ye, Appl.
 * Phys. B 91, 397 (2008); Adler, Thorpe, Cossel, Ye, Annu. Rev. Anal. Chem. 3, 175 (2010); from
 * memory). In a ring the same share of a round trip counts, F/pi and F/(2 pi). */
static void
test_locked_gains_twice (void)
{
  for (double finesse = 1e3; finesse < 1e9; finesse *= 10.0)
    {
      double loss = faint_cavity_loss_from_finesse (finesse);

      faint_assert_close (faint_cavity_enhancement (LOCKED, loss, 0.5)
                              / faint_cavity_enhancement (SWEPT, loss, 0.5),
                          2.0, loss * loss + 1e-15, "the limit of high finesse");
      faint_assert_close (faint_cavity_enhancement (LOCKED, loss, 0.5), finesse / G_PI,
                          loss * loss + 1e-15, "the limit of high finesse");
    }
}

/* The power that a locked or swept tooth shows of a single-pass absorption alpha L. */
static double
shown (FaintCoupling coupling, double finesse, double absorbance)
{
  double loss = faint_cavity_loss_from_finesse (finesse), u = 0.0, phase = 0.0, im = 0.0, value;
  FaintCavityTeeth teeth = { 1, &loss, &u, &phase };
  FaintResponse response = { FAINT_OBSERVABLE_POWER, STANDING, coupling, 0.5 };
  FaintResponseValues out = { .value = &value };

  faint_response_fill (&response, &teeth, 0, 1, &absorbance, &im, &out);
  return value;
}

/* Where the linear factor misleads: an absorption of one mirror loss in a single pass leaves a
 * quarter on a locked mode and half in a sweep, not 1 - 2 and 1 - 1 (limits of (1-R)^2/(1-R x)^2
 * and (1-R^2)/(1-R^2 x^2) for good mirrors; Foltynowicz et al., Appl. Phys. B 110, 163 (2013)). */
static void
test_strong_absorption (void)
{
  for (double finesse = 1e3; finesse < 1e9; finesse *= 10.0)
    {
      double loss = faint_cavity_loss_from_finesse (finesse);

      faint_assert_close (shown (LOCKED, finesse, loss), 0.25, 2.0 * loss, "good mirrors");
      faint_assert_close (shown (SWEPT, finesse, loss), 0.5, 2.0 * loss, "good mirrors");
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/published/cavity/faces", test_faces);
  g_test_add_func ("/published/cavity/finesse", test_published_finesse);
  g_test_add_func ("/published/cavity/locked-gains-twice", test_locked_gains_twice);
  g_test_add_func ("/published/cavity/strong-absorption", test_strong_absorption);
  return g_test_run ();
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Strengths between temperatures, and the lower-state energy from two of them.
 */
#include "faint/base/units.h"
#include "faint/lines/conversion.h"
#include "faint/strength/partition.h"
#include "faint-test.h"

#include <math.h>

static const char *const temperatures[] = { "150", "200", "250", "273.15", "300", "350", "400" };
static const double q_of_co[]
    = { 54.58148, 72.67182, 90.76684, 99.14695, 108.86909, 126.98753, 145.14143 };
static const double q_of_co_296 = 107.42049;

static double
q_ratio_to_296 (const char *molecule, gsize i)
{
  if (g_str_equal (molecule, "CO"))
    return q_of_co_296 / q_of_co[i];
  return pow (296.0 / g_ascii_strtod (temperatures[i], NULL), 1.5);
}

/* tests/reference/strength_ratios.csv */
static void
test_reference (void)
{
  FaintTestTable *table = faint_test_table_read ("strength_ratios.csv");

  for (guint row = 0; row < table->rows->len; row++)
    for (gsize i = 0; i < G_N_ELEMENTS (temperatures); i++)
      {
        double to = g_ascii_strtod (temperatures[i], NULL);
        double q_ratio = q_ratio_to_296 (faint_test_table_text (table, row, "q"), i);
        double ratio = faint_strength_ratio (faint_test_table_number (table, row, "wavenumber"),
                                             faint_test_table_number (table, row, "lower_energy"),
                                             296.0, to, q_ratio);

        faint_assert_near (ratio, faint_test_table_number (table, row, temperatures[i]),
                           0.5e-6 + 2e-7 * ratio, "6 printed decimals, 7 digits of Q");
      }
  faint_test_table_free (table);
}

/* Going and coming back is nothing; so is staying. */
static void
test_there_and_back (void)
{
  double there = faint_strength_ratio (7790.2, 333.3, 240.0, 296.0, 0.7);
  double back = faint_strength_ratio (7790.2, 333.3, 296.0, 240.0, 1.0 / 0.7);

  faint_assert_close (there * back, 1.0, 1e-14, "rounding");
  faint_assert_close (faint_strength_ratio (7790.2, 333.3, 296.0, 296.0, 1.0), 1.0, 1e-15,
                      "rounding");
}

/* The table's ratios lead back to the energies that the lines have. */
static void
test_lower_energy (void)
{
  FaintTestTable *table = faint_test_table_read ("strength_ratios.csv");

  for (guint row = 0; row < table->rows->len; row++)
    for (gsize i = 0; i < G_N_ELEMENTS (temperatures); i++)
      {
        double to = g_ascii_strtod (temperatures[i], NULL);
        double q_ratio = q_ratio_to_296 (faint_test_table_text (table, row, "q"), i);
        double ratio = faint_test_table_number (table, row, temperatures[i]), energy;

        energy
            = faint_lower_energy_from_two (faint_test_table_number (table, row, "wavenumber"), 1.0,
                                           0.0, 296.0, 0.0, ratio, 0.0, to, 0.0, q_ratio, NULL);
        faint_assert_near (energy, faint_test_table_number (table, row, "lower_energy"),
                           (0.5e-6 / ratio + 2e-7)
                               / fabs (FAINT_C2_CM_K * (1.0 / 296.0 - 1.0 / to)),
                           "6 printed decimals of the ratio, 7 digits of Q");
      }
  faint_test_table_free (table);
}

static double
gaussian (GRand *random)
{
  return sqrt (-2.0 * log (1.0 - g_rand_double (random)))
         * cos (2.0 * G_PI * g_rand_double (random));
}

/* A gas whose Q goes as T^1.5 measured at temperatures that are not quite those stated. */
static double
measured (GRand *random, double wavenumber, double energy, double stated, double u_t, double u_rel)
{
  double truth = stated + u_t * gaussian (random);

  return faint_strength_ratio (wavenumber, energy, 296.0, truth, pow (296.0 / truth, 1.5))
         * (1.0 + u_rel * gaussian (random));
}

/* The stated uncertainty against the scatter of 20 000 measurements (propagation of distributions,
 * JCGM 101:2008): the scatter itself is known to 1/sqrt(2 x 20 000) = 0.5 %. */
static void
check_propagation (double wavenumber, double energy, double u_t1, double u_t2, double u_rel)
{
  const double t1 = 230.0, t2 = 310.0, q_ratio = pow (t1 / t2, 1.5);
  const int n = 20000;
  GRand *random = g_rand_new_with_seed (20240601);
  double sum = 0.0, squares = 0.0, u, s1, s2, scatter;

  for (int i = 0; i < n; i++)
    {
      double found;

      s1 = measured (random, wavenumber, energy, t1, u_t1, u_rel);
      s2 = measured (random, wavenumber, energy, t2, u_t2, u_rel);
      found = faint_lower_energy_from_two (wavenumber, s1, 0.0, t1, 0.0, s2, 0.0, t2, 0.0, q_ratio,
                                           NULL);
      sum += found - energy;
      squares += (found - energy) * (found - energy);
    }
  g_rand_free (random);
  scatter = sqrt (squares / n - sum / n * sum / n);
  s1 = faint_strength_ratio (wavenumber, energy, 296.0, t1, pow (296.0 / t1, 1.5));
  s2 = faint_strength_ratio (wavenumber, energy, 296.0, t2, pow (296.0 / t2, 1.5));
  faint_assert_close (faint_lower_energy_from_two (wavenumber, s1, u_rel * s1, t1, u_t1, s2,
                                                   u_rel * s2, t2, u_t2, q_ratio, &u),
                      energy, 1e-11, "rounding, over the logarithm of the ratio");
  faint_assert_close (u, scatter, 0.02, "four standard deviations of the scatter, 0.5 % each");
}

static void
test_propagation (void)
{
  check_propagation (7790.0, 400.0, 0.0, 0.0, 0.003);
  check_propagation (7790.0, 400.0, 0.5, 0.0, 0.0);
  check_propagation (7790.0, 1500.0, 0.0, 0.5, 0.0);
  check_propagation (20.0, 150.0, 0.5, 0.5, 0.001);
  check_propagation (7790.0, 400.0, 0.3, 0.4, 0.002);
}

/* No answer is not a number, not a crash. */
static void
test_no_answer (void)
{
  double u;

  g_assert_false (isfinite (
      faint_lower_energy_from_two (7000.0, 1.0, 0.1, 296.0, 0, 1.1, 0.1, 296.0, 0, 1.0, &u)));
  g_assert_false (isfinite (
      faint_lower_energy_from_two (7000.0, -1.0, 0.1, 296.0, 0, 1.1, 0.1, 250.0, 0, 1.0, &u)));
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/strength/conversion/reference", test_reference);
  g_test_add_func ("/strength/conversion/there-and-back", test_there_and_back);
  g_test_add_func ("/strength/conversion/lower-energy", test_lower_energy);
  g_test_add_func ("/strength/conversion/propagation", test_propagation);
  g_test_add_func ("/strength/conversion/no-answer", test_no_answer);
  return g_test_run ();
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Partition sums against published tables, and what their files may hold.
 */
#include "faint/base/units.h"
#include "faint/strength/partition.h"
#include "faint-test.h"

#include <gsl/gsl_errno.h>
#include <math.h>

#define CM_PER_MHZ (1e6 / FAINT_SPEED_OF_LIGHT_CM_S)

static double
sum_at (const FaintPartition *partition, double temperature)
{
  g_autoptr (GError) error = NULL;
  double q = NAN;

  g_assert_true (faint_partition_sum (partition, temperature, &q, &error));
  g_assert_no_error (error);
  return q;
}

/* 12C16O, constants of v = 0 and the fundamental from the mass-independent parameters of Farrenq,
 * Guelachvili, Sauval, Grevesse, Farmer, J. Mol. Spectrosc. 149, 375 (1991). */
static FaintPartition *
carbon_monoxide (void)
{
  const double vibration = 2143.271101;
  const guint one = 1;

  return faint_partition_new_linear (1.922528966, 6.1211435e-6, 1.0, 1.0, &vibration, &one, 1);
}

/* Sums over all rovibrational levels (v to 12, J to 150) of the same parameters, computed apart
 * from this program. */
static void
test_carbon_monoxide (void)
{
  const double temperature[] = { 150.0, 200.0, 250.0, 273.15, 296.0, 300.0, 350.0, 400.0 };
  const double q[]
      = { 54.58148, 72.67182, 90.76684, 99.14695, 107.42049, 108.86909, 126.98753, 145.14143 };
  g_autoptr (FaintPartition) partition = carbon_monoxide ();

  for (gsize i = 0; i < G_N_ELEMENTS (q); i++)
    {
      /* What the harmonic product leaves out: B of v = 1 is smaller by 0.9 %. */
      double above = exp (-FAINT_C2_CM_K * 2143.27 / temperature[i]);

      faint_assert_close (sum_at (partition, temperature[i]), q[i], 1.5e-7 + 0.02 * above,
                          "7 or 8 printed digits, and another B for the molecules above v = 0");
    }
}

/* Gamache et al., JQSRT 203, 70 (2017), as tabulated, 296 K. The tables carry the second radiation
 * constant of 1973, 6.2e-6 in Q of CO. */
static void
test_tabulated (void)
{
  const double vibration13 = 2096.066876;
  const double acetylene[] = { 612.9, 730.3, 1974.3, 3288.6, 3372.8 }; /* from memory */
  const guint bends[] = { 2, 2, 1, 1, 1 };
  const double cyanide[] = { 3311.5, 712.0, 2096.8 }; /* as listed by the Cologne database */
  const guint bend_second[] = { 1, 2, 1 }, one = 1;
  g_autoptr (FaintPartition) co = carbon_monoxide ();
  g_autoptr (FaintPartition) co13
      = faint_partition_new_linear (1.837972004, 5.5934795e-6, 2.0, 2.0, &vibration13, &one, 1);
  /* B0, D0 of 12C2H2 from the frequencies recommended by the CIPM; even to odd J as 1 to 3. */
  g_autoptr (FaintPartition) c2h2 = faint_partition_new_linear (
      35274.97424 * CM_PER_MHZ, 0.048775 * CM_PER_MHZ, 1.0, 3.0, acetylene, bends, 5);
  g_autoptr (FaintPartition) rigid = faint_partition_new_linear (
      35274.97424 * CM_PER_MHZ, 0.048775 * CM_PER_MHZ, 1.0, 3.0, NULL, NULL, 0);
  g_autoptr (FaintPartition) hcn = faint_partition_new_linear (
      44315.976 * CM_PER_MHZ, 0.087221 * CM_PER_MHZ, 6.0, 6.0, cyanide, bend_second, 3);

  faint_assert_close (sum_at (co, 296.0), 107.41982, 1e-5, "the older c2 of the table");
  faint_assert_close (sum_at (co13, 296.0), 224.69441, 1e-5, "the older c2 of the table");
  faint_assert_close (sum_at (c2h2, 296.0), 412.45, 1e-3, "harmonic vibrations");
  faint_assert_close (sum_at (hcn, 296.0), 892.20, 1e-3, "harmonic vibrations");
  faint_assert_close (sum_at (rigid, 296.0), 350.526, 2e-6, "6 printed digits of a direct sum");
}

/* The file that comes with the program; table as above: 4984.89635 at 296 K. */
static void
test_nitrous_oxide (void)
{
  g_autofree char *path = g_build_filename (g_getenv ("FAINT_TEST_DATA"), "partition",
                                            "nitrous-oxide.constants", NULL);
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintPartition) partition = faint_partition_read (path, &error);

  g_assert_no_error (error);
  faint_assert_close (sum_at (partition, 296.0), 4984.89635, 1e-3, "harmonic vibrations");
}

/* Rigid rotor by the Euler-Maclaurin sum, Q = y + 1/3 + 1/(15 y) + 4/(315 y^2) + 1/(315 y^3) with
 * y = kT/(hcB) (Herzberg, Molecular Spectra and Molecular Structure II (1945), ch. V). */
static void
test_rigid_rotor (void)
{
  for (double b = 0.1; b < 3.0; b *= 1.7)
    {
      g_autoptr (FaintPartition) partition
          = faint_partition_new_linear (b, 0.0, 1.0, 1.0, NULL, NULL, 0);
      double y = 296.0 / (FAINT_C2_CM_K * b);

      faint_assert_close (sum_at (partition, 296.0),
                          y + 1.0 / 3.0 + 1.0 / (15.0 * y) + 4.0 / (315.0 * y * y)
                              + 1.0 / (315.0 * y * y * y),
                          1.0 / pow (y, 5) + 1e-14, "next term of the series, and rounding");
    }
}

static FaintPartition *
read_text (const char *text, GError **error)
{
  char *folder = faint_test_folder_new ();
  g_autofree char *path = faint_test_file (folder, "sums.txt", text);
  FaintPartition *partition = faint_partition_read (path, error);

  faint_test_folder_remove (folder);
  return partition;
}

/* The columns of CO above; between its rows the spline must find what the constants give. */
static void
test_table (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintPartition) table = read_text ("# Q of 12C16O, direct sums\n"
                                                "# columns = temperature/K   Q\r\n"
                                                "150 54.58148\n200 72.67182\n250\t90.76684\n\n"
                                                "300 108.86909\n350 126.98753\n400 145.14143\n",
                                                &error);
  double q;

  g_assert_no_error (error);
  faint_assert_close (sum_at (table, 150.0), 54.58148, 1e-15, "a row, through ln and exp");
  faint_assert_close (sum_at (table, 400.0), 145.14143, 1e-15, "a row, through ln and exp");
  /* The second derivative of ln Q over ln T, 0.9 K/T at the cold end, is held to be 0 there: an
   * error of 0.006 (ln 200/150)^2/8 = 6e-5 that falls by 0.27 a row. */
  faint_assert_close (sum_at (table, 273.15), 99.14695, 6e-5 * 0.27 * 0.27, "the spline's end");
  faint_assert_close (sum_at (table, 296.0), 107.42049, 6e-5 * 0.27 * 0.27, "the spline's end");
  g_assert_false (faint_partition_sum (table, 149.0, &q, &error));
  g_assert_true (g_error_matches (error, FAINT_PARTITION_ERROR, FAINT_PARTITION_ERROR_RANGE));
  faint_assert_error_says (error, FAINT_PARTITION_ERROR, "from 150 K to 400 K");
  g_assert_false (faint_partition_sum (table, 401.0, &q, &error));
  faint_assert_error_says (error, FAINT_PARTITION_ERROR, "401 K");
  g_assert_false (faint_partition_sum (table, NAN, &q, &error));
  faint_assert_error_says (error, FAINT_PARTITION_ERROR, "nan");
}

/* A power law is a straight line in the logarithms: exact with two rows and with many. */
static void
test_power_law (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintPartition) two
      = read_text ("# columns = temperature/K Q\n100 1000\n400 8000\n", &error);
  g_autoptr (FaintPartition) four = read_text ("# columns = temperature/K Q\n"
                                               "25 125\n100 1000\n225 3375\n400 8000\n",
                                               &error);

  g_assert_no_error (error);
  for (double t = 100.0; t <= 400.0; t += 25.0)
    {
      faint_assert_close (sum_at (two, t), pow (t, 1.5), 1e-14, "exact; rounding of logarithms");
      faint_assert_close (sum_at (four, t), pow (t, 1.5), 1e-14, "exact; rounding of logarithms");
    }
}

/* MHz and cm-1 are the same constants; spin weights count. */
static void
test_constants_file (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintPartition) file
      = read_text ("# title = acetylene\n# molecule = linear\n# B = 35274.97424(12) MHz\n"
                   "# D = 48.775 kHz\n# spin_weight_even = 1\n# spin_weight_odd = 3\n",
                   &error);

  g_assert_no_error (error);
  faint_assert_close (sum_at (file, 296.0), 350.526, 2e-6, "6 printed digits of a direct sum");
}

/* Levels that stop rising say so instead of giving a number. */
static void
test_constants_out_of_range (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintPartition) soft = faint_partition_new_linear (1.0, 1e-3, 1, 1, NULL, NULL, 0);
  g_autoptr (FaintPartition) none = faint_partition_new_linear (0.0, 0.0, 1, 1, NULL, NULL, 0);
  const double bad[] = { 0.0, -1.0, NAN, INFINITY, 1000.0 };
  double q;

  for (gsize i = 0; i < G_N_ELEMENTS (bad); i++)
    {
      g_assert_false (faint_partition_sum (soft, bad[i], &q, &error));
      g_assert_true (g_error_matches (error, FAINT_PARTITION_ERROR, FAINT_PARTITION_ERROR_RANGE));
      g_clear_error (&error);
    }
  g_assert_false (faint_partition_sum (none, 296.0, &q, &error));
  faint_assert_error_says (error, FAINT_PARTITION_ERROR, "B = 0 cm-1");
}

typedef struct
{
  const char *text, *says;
} Broken;

static void
test_broken_files (void)
{
  static const Broken files[] = {
    { "# nothing\n", "Neither a table nor constants" },
    { "", "empty" },
    { "# columns = temperature/K Q\n296 100\n", "1 rows" },
    { "# columns = Q temperature/K\n296 100\n300 101\n", "line 1: The columns are" },
    { "# columns = temperature/K Q\n296 100\n296 101\n", "line 3: 296 K follows 296 K" },
    { "# columns = temperature/K Q\n296 100\n300 x\n", "line 3: Found '300 x'" },
    { "# columns = temperature/K Q\n296 100 7\n", "line 2: Found ' 7'" },
    { "# columns = temperature/K Q\n296 nan\n", "line 2: Found '296 nan'" },
    { "# columns = temperature/K Q\n296 -1\n", "line 2: Found '296 -1'" },
    { "# columns = temperature/K Q\n296 inf\n", "line 2: Found '296 inf'" },
    { "296 100\n300 101\n", "Neither a table nor constants" },
    { "# molecule = linear\n", "B is missing" },
    { "# molecule = bent\n", "line 1: The molecule is 'bent'" },
    { "# molecule = linear\n# B = 0.4\n", "line 2: B:" },
    { "# molecule = linear\n# B = 0.4 K\n", "line 2: B:" },
    { "# molecule = linear\n# B = -0.4 cm-1\n", "line 2: B is -0.4" },
    { "# molecule = linear\n# B = 1e-30 cm-1\n", "line 2: B is 1e-30" },
    { "# molecule = linear\n# B = 0.4 cm-1\n# B = 0.5 cm-1\n", "line 3: B is stated a second" },
    { "# molecule = linear\n# D0 = 0.4 cm-1\n", "line 2: 'D0' is not known" },
    { "# molecule = linear\n# B = 0.4 cm-1\n296 100\n", "a table and constants" },
    { "# spin_weight_even = -1\n", "line 1: spin_weight_even is '-1'" },
    { "# spin_weight_odd = 1 u\n", "line 1: spin_weight_odd is '1 u'" },
    { "# molecule = linear\n# B = 1 cm-1\n# spin_weight_even = 0\n# spin_weight_odd = 0\n",
      "Both spin weights are 0" },
    { "# vibration = 500 cm-1 x two\n", "line 1: The degeneracy of the vibration is 'two'" },
    { "# vibration = 500 cm-1 x 0\n", "line 1: The degeneracy of the vibration is '0'" },
    { "# vibration = 500\n", "line 1: vibration:" },
    { "# vibration = 0 cm-1\n", "line 1: A vibration is 0 cm-1" },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (files); i++)
    {
      g_autoptr (GError) error = NULL;

      g_assert_null (read_text (files[i].text, &error));
      g_assert_true (g_error_matches (error, FAINT_PARTITION_ERROR, FAINT_PARTITION_ERROR_FILE));
      faint_assert_error_says (error, FAINT_PARTITION_ERROR, files[i].says);
    }
}

static void
test_file_not_there (void)
{
  g_autoptr (GError) error = NULL;

  g_assert_null (faint_partition_read ("/nowhere/sums.txt", &error));
  faint_assert_error_says (error, FAINT_PARTITION_ERROR, "/nowhere/sums.txt");
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  gsl_set_error_handler_off ();
  g_test_add_func ("/strength/partition/carbon-monoxide", test_carbon_monoxide);
  g_test_add_func ("/strength/partition/tabulated", test_tabulated);
  g_test_add_func ("/strength/partition/nitrous-oxide", test_nitrous_oxide);
  g_test_add_func ("/strength/partition/rigid-rotor", test_rigid_rotor);
  g_test_add_func ("/strength/partition/table", test_table);
  g_test_add_func ("/strength/partition/power-law", test_power_law);
  g_test_add_func ("/strength/partition/constants-file", test_constants_file);
  g_test_add_func ("/strength/partition/out-of-range", test_constants_out_of_range);
  g_test_add_func ("/strength/partition/broken-files", test_broken_files);
  g_test_add_func ("/strength/partition/not-there", test_file_not_there);
  return g_test_run ();
}

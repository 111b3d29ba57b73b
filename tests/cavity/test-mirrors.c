/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The loss of a stated cavity over the span: every face, its uncertainty, tables, and what is
 * said when something is missing.
 */
#include "faint/cavity/finesse.h"
#include "faint-test.h"

#include <gsl/gsl_errno.h>
#include <math.h>

static FaintSetup *
setup_with (const char *cavity, const char *length, const char *key, const char *text)
{
  g_autoptr (GError) error = NULL;
  FaintSetup *setup = faint_setup_new ();

  g_assert_true (faint_setup_set (setup, "cavity", cavity, NULL, &error));
  if (length != NULL)
    g_assert_true (faint_setup_set (setup, "cavity_length", length, NULL, &error));
  if (key != NULL)
    g_assert_true (faint_setup_set (setup, key, text, NULL, &error));
  g_assert_no_error (error);
  return setup;
}

static void
loss_at (const FaintSetup *setup, double wavenumber, double *loss, double *u)
{
  g_autoptr (GError) error = NULL;

  g_assert_true (faint_cavity_loss_fill (setup, &wavenumber, 1, loss, u, NULL, &error));
  g_assert_no_error (error);
}

/* A two-mirror cavity of 1 m with R = 0.9999 by its faces: F = pi sqrt(R)/(1-R) = 31414.3557,
 * tau = -L/(c ln R) = 33.35474167 us, FSR/F = 4.771583744 kHz, computed from these relations apart
 * from this program. */
static void
test_faces (void)
{
  static const char *const faces[][2] = { { "finesse", "31414.3557" },
                                          { "mirror_reflectivity", "0.9999" },
                                          { "ring_down_time", "33.35474167 us" },
                                          { "cavity_linewidth", "4.771583744 kHz" } };
  double loss, u;

  for (gsize i = 0; i < G_N_ELEMENTS (faces); i++)
    {
      g_autoptr (FaintSetup) setup = setup_with ("standing-wave", "1 m", faces[i][0], faces[i][1]);

      loss_at (setup, 6500.0, &loss, &u);
      faint_assert_close (loss, 1e-4, 2e-9, "9 or 10 printed digits");
      g_assert_true (u == 0.0);
    }
}

/* For a ring the reflectivity is the power that survives a round trip, s^2. */
static void
test_ring (void)
{
  g_autoptr (FaintSetup) setup = setup_with ("ring", "1 m", "mirror_reflectivity", "0.9801");
  double loss, u;

  loss_at (setup, 6500.0, &loss, &u);
  faint_assert_close (loss, 0.01, 1e-14, "0.99^2 = 0.9801; rounding of 1 - 0.9801");
}

static void
test_single_pass (void)
{
  g_autoptr (FaintSetup) setup = setup_with ("none", "30 cm", NULL, NULL);
  double loss, u;

  loss_at (setup, 6500.0, &loss, &u);
  g_assert_true (loss == 1.0 && u == 0.0);
}

/* The uncertainty against a stated value moved to either side by it. */
static void
test_uncertainty (void)
{
  static const struct
  {
    const char *cavity, *key;
    double value, u;
    const char *unit;
  } faces[] = {
    { "standing-wave", "finesse", 12000.0, 12.0, "" },
    { "ring", "finesse", 30.0, 0.03, "" },
    { "standing-wave", "mirror_reflectivity", 0.9997, 3e-7, "" },
    { "ring", "mirror_reflectivity", 0.9, 1e-4, "" },
    { "standing-wave", "ring_down_time", 12.0, 0.012, "us" },
    { "ring", "ring_down_time", 0.01, 1e-5, "us" },
    { "standing-wave", "cavity_linewidth", 20.0, 0.02, "kHz" },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (faces); i++)
    {
      double loss[3], u[3];

      for (int k = 0; k < 3; k++)
        {
          double value = faces[i].value + (k - 1) * faces[i].u;
          g_autofree char *text
              = g_strdup_printf ("%.17g +/- %.17g %s", value, faces[i].u, faces[i].unit);
          g_autoptr (FaintSetup) setup = setup_with (faces[i].cavity, "60 cm", faces[i].key, text);

          loss_at (setup, 6500.0, &loss[k], &u[k]);
        }
      faint_assert_close (u[1], fabs (loss[2] - loss[0]) / 2.0, 2e-6,
                          "the square of the step of 1e-3, and rounding of 0.9997");
    }
}

static FaintSetup *
setup_with_table (const char *rows)
{
  char *folder = faint_test_folder_new ();
  g_autofree char *text
      = g_strconcat ("# columns = wavenumber/cm-1 finesse u(finesse)\n", rows, NULL);
  g_autofree char *path = faint_test_file (folder, "finesse.txt", text);
  FaintSetup *setup = setup_with ("standing-wave", "60 cm", "finesse_table", path);

  faint_test_folder_remove (folder);
  return setup;
}

static double
finesse_at (const FaintSetup *setup, double wavenumber, double *u_finesse)
{
  double loss, u, finesse;

  loss_at (setup, wavenumber, &loss, &u);
  finesse = faint_cavity_finesse_from_loss (loss);
  /* F goes as 1/loss but for loss/2. */
  *u_finesse = u * finesse / loss * (1.0 + 0.5 * loss / (1.0 - loss));
  return finesse;
}

/* Rows are met, a cubic between them does not leave them, outside is constant and counted. */
static void
test_table (void)
{
  g_autoptr (FaintSetup) setup
      = setup_with_table ("6400 10000 100\n6450 11000 120\n6500 11000 120\n"
                          "6550 9000 80\n6600 9100 80\n");
  const double points[] = { 6300.0, 6400.0, 6600.0, 6601.0, 6500.0 };
  double loss[5], u;
  gsize outside = 99;

  faint_assert_close (finesse_at (setup, 6450.0, &u), 11000.0, 1e-13, "a row");
  faint_assert_close (u, 120.0, 1e-12, "a row");
  faint_assert_close (finesse_at (setup, 6300.0, &u), 10000.0, 1e-13, "the first row");
  faint_assert_close (u, 100.0, 1e-12, "the first row");
  faint_assert_close (finesse_at (setup, 7000.0, &u), 9100.0, 1e-13, "the last row");
  finesse_at (setup, 6425.0, &u);
  faint_assert_close (u, 110.0, 1e-12, "linear between 100 and 120");
  for (double x = 6400.0; x <= 6600.0; x += 1.0)
    {
      double finesse = finesse_at (setup, x, &u), low = x < 6450.0 ? 10000.0 : 9000.0 - 1e-6;

      g_assert_cmpfloat (finesse, >=, low - 1e-6);
      g_assert_cmpfloat (finesse, <=, 11000.0 + 1e-6);
      /* Two equal rows: a monotonic spline is flat between them. */
      if (x >= 6450.0 && x <= 6500.0)
        faint_assert_close (finesse, 11000.0, 1e-12, "Steffen (1990): monotonic between rows");
    }
  g_assert_true (faint_cavity_loss_fill (setup, points, 5, loss, NULL, &outside, NULL));
  g_assert_cmpuint (outside, ==, 2);
}

/* A parabola of finesse, sampled well: Steffen's slopes are those of the parabola inside. */
static void
test_table_is_cubic (void)
{
  g_autoptr (FaintSetup) setup = setup_with_table ("6400 10000 1\n6410 10500 1\n6420 11200 1\n"
                                                   "6430 12100 1\n6440 13200 1\n6450 14500 1\n");
  double u;

  for (double x = 6410.0; x <= 6440.0; x += 0.5)
    {
      double step = (x - 6400.0) / 10.0;

      faint_assert_close (finesse_at (setup, x, &u), 10000.0 + 400.0 * step + 100.0 * step * step,
                          1e-13, "a cubic Hermite spline with exact slopes");
    }
}

static void
test_table_of_two (void)
{
  g_autoptr (FaintSetup) setup = setup_with_table ("6400 10000 1\n6500 12000 1\n");
  double u;

  faint_assert_close (finesse_at (setup, 6425.0, &u), 10500.0, 1e-13, "a straight line");
}

static void
check_refused (const FaintSetup *setup, FaintSetupError code, const char *words)
{
  g_autoptr (GError) error = NULL;
  double wavenumber = 6500.0, loss;

  g_assert_false (faint_cavity_loss_fill (setup, &wavenumber, 1, &loss, NULL, NULL, &error));
  g_assert_true (g_error_matches (error, FAINT_SETUP_ERROR, (int)code));
  faint_assert_error_says (error, FAINT_SETUP_ERROR, words);
}

/* The last two can only come from code, since a file is refused before. */
static void
test_refused (void)
{
  g_autoptr (FaintSetup) nothing = setup_with ("standing-wave", "1 m", NULL, NULL);
  g_autoptr (FaintSetup) ring_down = setup_with ("ring", NULL, "ring_down_time", "3 us");
  g_autoptr (FaintSetup) width = setup_with ("ring", NULL, "cavity_linewidth", "3 kHz");
  g_autoptr (FaintSetup) zero = setup_with ("ring", "1 m", "finesse", "100");
  g_autoptr (FaintSetup) falling = setup_with_table ("6400 10000 1\n6500 12000 1\n");

  check_refused (nothing, FAINT_SETUP_ERROR_MISSING, "mirror_reflectivity, ring_down_time");
  check_refused (ring_down, FAINT_SETUP_ERROR_MISSING, "cavity_length");
  check_refused (width, FAINT_SETUP_ERROR_MISSING, "cavity_length");
  zero->mirror.value = 0.0;
  check_refused (zero, FAINT_SETUP_ERROR_VALUE, "lose nothing or everything");
  g_array_index (falling->table_wavenumber, double, 1) = 6400.0;
  check_refused (falling, FAINT_SETUP_ERROR_VALUE, "Row 2 of the finesse table");
}

/* One measured quantity as another: the values of test_faces; relative uncertainties of finesse,
 * ring-down time, mode width and of the loss are equal where the mirrors are good (each is its
 * power 1 or -1 of the loss, to 1e-4 here); and there and back is the same. */
static void
test_as (void)
{
  static const struct
  {
    FaintMirrorKind kind;
    const char *key, *text, *u;
    double value;
  } faces[] = { { FAINT_MIRROR_FINESSE, "finesse", "31414.3557", "31.4143557", 31414.3557 },
                { FAINT_MIRROR_REFLECTIVITY, "mirror_reflectivity", "0.9999", "1e-7", 0.9999 },
                { FAINT_MIRROR_RING_DOWN_TIME, "ring_down_time", "33.35474167 us",
                  "0.03335474167 us", 33.35474167e-6 },
                { FAINT_MIRROR_LINEWIDTH, "cavity_linewidth", "4.771583744 kHz",
                  "0.004771583744 kHz", 4771.583744 } };
  g_autoptr (FaintSetup) nothing = setup_with ("standing-wave", "1 m", NULL, NULL);
  g_autoptr (FaintSetup) no_length = setup_with ("standing-wave", NULL, "finesse", "1000");
  FaintQuantity unstated;

  for (gsize i = 0; i < G_N_ELEMENTS (faces); i++)
    for (gsize k = 0; k < G_N_ELEMENTS (faces); k++)
      {
        g_autoptr (FaintSetup) setup
            = setup_with ("standing-wave", "1 m", faces[i].key, faces[i].text);
        g_autofree char *u_key = g_strdup_printf ("u(%s)", faces[i].key);
        FaintQuantity there;
        double relative;

        g_assert_true (faint_setup_set (setup, u_key, faces[i].u, NULL, NULL));
        there = faint_cavity_mirror_as (setup, faces[k].kind);
        faint_assert_close (there.value, faces[k].value, 2e-9, "9 or 10 printed digits");
        relative = faces[k].kind == FAINT_MIRROR_REFLECTIVITY ? there.u / (1.0 - there.value)
                                                              : there.u / there.value;
        faint_assert_close (relative, 1e-3, 1.5e-4, "the loss is 1e-4");
        setup->mirror = there;
        setup->mirror_kind = faces[k].kind;
        there = faint_cavity_mirror_as (setup, faces[i].kind);
        faint_assert_close (there.value, faces[i].value, 2e-9, "9 or 10 printed digits");
        faint_assert_close (there.u / (i == 1 ? 1.0 - there.value : there.value), 1e-3, 1.5e-4,
                            "as stated");
      }
  g_assert_false (faint_quantity_is_known (faint_cavity_mirror_as (nothing, FAINT_MIRROR_FINESSE)));
  g_assert_false (
      faint_quantity_is_known (faint_cavity_mirror_as (no_length, FAINT_MIRROR_RING_DOWN_TIME)));
  unstated = faint_cavity_mirror_as (no_length, FAINT_MIRROR_REFLECTIVITY);
  g_assert_true (isnan (unstated.u));
  faint_assert_close (unstated.value, 1.0 - 2.0 / (1.0 + hypot (1.0, 2000.0 / G_PI)), 1e-12,
                      "closed form: F = pi sqrt(R)/(1-R) solved for R");
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  gsl_set_error_handler_off ();
  g_test_add_func ("/cavity/mirrors/faces", test_faces);
  g_test_add_func ("/cavity/mirrors/ring", test_ring);
  g_test_add_func ("/cavity/mirrors/single-pass", test_single_pass);
  g_test_add_func ("/cavity/mirrors/uncertainty", test_uncertainty);
  g_test_add_func ("/cavity/mirrors/as", test_as);
  g_test_add_func ("/cavity/mirrors/table", test_table);
  g_test_add_func ("/cavity/mirrors/table-is-cubic", test_table_is_cubic);
  g_test_add_func ("/cavity/mirrors/table-of-two", test_table_of_two);
  g_test_add_func ("/cavity/mirrors/refused", test_refused);
  return g_test_run ();
}

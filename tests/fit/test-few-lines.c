/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Short records with a handful of strong lines, some of them blended: nothing else tells how wide a
 * line is, and each is to be found for what it is. The truth is that of the forward model of
 * synthetic.h. Common practice, no source: all stand far out of the noise, so all must be found.
 */
#include "faint-test.h"
#include "synthetic.h"

#include "faint/fit/fit.h"

#include <math.h>

#define TEETH 1600
#define NOISE 5e-4
#define SEEDS 5

typedef struct
{
  const char *pressure;
  double lorentz; /* cm-1 */
  guint n;
  double at[4], peak[4]; /* tooth number, share absorbed at the centre */
} Record;

static FaintFit *
fit_of (FaintSetup *setup, const FaintLine *truth, guint n, guint32 seed)
{
  const SyntheticRecord record
      = { .n = TEETH, .u = NOISE, .noise = NOISE, .seed = seed, .baseline = { 1.0, -0.01, 0.002 } };
  g_autoptr (FaintSpectrum) spectrum = synthetic_record (setup, truth, n, &record);
  FaintFitOptions options;
  FaintFit *fit;
  GError *error = NULL;

  faint_fit_options_init (&options);
  fit = faint_fit_run (spectrum, NULL, &options, NULL, &error);
  g_assert_no_error (error);
  return fit;
}

static void
compare (const FaintFit *fit, const FaintLine *truth, guint n)
{
  g_assert_cmpint (fit->verdict, ==, FAINT_VERDICT_CONVERGED);
  g_assert_cmpuint (faint_line_list_get_n (fit->lines), ==, n);
  for (guint i = 0; i < n; i++)
    {
      const FaintLine *line = faint_line_list_get (fit->lines, i);

      faint_assert_near (line->position.value, truth[i].position.value,
                         5.0 * line->position.u_noise, "5 sigma of 100 values");
      faint_assert_near (line->strength.value, truth[i].strength.value,
                         5.0 * line->strength.u_noise, "5 sigma of 100 values");
    }
  faint_assert_near (fit->chi2 / (double)TEETH, 1.0, 6.0 * sqrt (2.0 / TEETH),
                     "6 sigma of chi-square");
}

static void
find (const Record *record)
{
  const char *const pairs[] = { "pressure", record->pressure, NULL };
  g_autoptr (FaintSetup) setup = synthetic_setup (pairs);
  FaintLine truth[4];

  for (guint i = 0; i < record->n; i++)
    truth[i] = synthetic_line (setup, synthetic_wavenumber (record->at[i]), record->peak[i],
                               record->lorentz);
  for (guint32 seed = 1; seed <= SEEDS; seed++)
    {
      g_autoptr (FaintFit) fit = fit_of (setup, truth, record->n, seed);

      compare (fit, truth, record->n);
    }
}

static void
test_apart (void)
{
  find (&(Record){ "10 hPa", 1.1e-3, 2, { 700.3, 772.1 }, { 0.75, 0.64 } });
  find (&(Record){ "10 hPa", 1.1e-3, 2, { 700.3, 784.6 }, { 0.75, 0.64 } });
}

static void
test_two (void)
{
  find (&(Record){ "10 hPa", 1.1e-3, 2, { 800.3, 813.7 }, { 0.75, 0.64 } });
}

static void
test_three (void)
{
  find (&(Record){ "10 hPa", 1.1e-3, 3, { 800.3, 806.1, 813.7 }, { 0.75, 0.52, 0.64 } });
  find (&(Record){ "10 hPa", 1.1e-3, 3, { 800.3, 806.1, 813.7 }, { 0.21, 0.11, 0.16 } });
}

static void
test_three_wide (void)
{
  find (&(Record){ "100 hPa", 1.1e-2, 3, { 780.3, 795.1, 812.7 }, { 0.75, 0.60, 0.66 } });
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/fit/few-lines/apart", test_apart);
  g_test_add_func ("/fit/few-lines/two", test_two);
  g_test_add_func ("/fit/few-lines/three", test_three);
  g_test_add_func ("/fit/few-lines/three-wide", test_three_wide);
  return g_test_run ();
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What is found where nothing is: ten million teeth of pure noise, in a hundred records, searched
 * at the default threshold of 5 standard deviations and, for numbers large enough to be counted,
 * at 4.
 */
#include "faint/base/program.h"
#include "faint/fit/find.h"
#include "faint/fit/fit.h"
#include "faint/base/parallel.h"
#include "synthetic.h"
#include "faint-test.h"

#include <math.h>


#define THREADS 2
#define RECORDS 100
#define TEETH 100000
#define NOISE 1e-3

static const double thresholds[2] = { 5.0, 4.0 };

typedef struct
{
  FaintSetup *setup;
  gsize found[RECORDS][2];
  double expected[RECORDS][2]; /* as the fit states it */
} Job;

static void
search_one (gsize piece, guint thread, gpointer data)
{
  Job *job = data;
  SyntheticRecord record
      = { .n = TEETH, .u = NOISE, .noise = NOISE, .seed = 7000 + (guint32)piece };
  g_autoptr (FaintSpectrum) spectrum = synthetic_record (job->setup, NULL, 0, &record);

  for (int k = 0; k < 2; k++)
    {
      g_autoptr (GError) error = NULL;
      g_autoptr (FaintFit) fit = NULL;
      FaintFitOptions options;

      faint_fit_options_init (&options);
      options.threshold = thresholds[k];
      options.threads = 1;
      fit = faint_fit_run (spectrum, NULL, &options, NULL, &error);
      if (fit == NULL)
        g_error ("%s", error->message);
      job->found[piece][k] = faint_line_list_get_n (fit->lines);
      job->expected[piece][k] = fit->false_finds_expected;
    }
}

/* Rice's number of passes of a smooth Gaussian process above @threshold, one a false find (Bell
 * Syst. Tech. J. 24, 46 (1945), sec. 3.3): teeth/(2 pi) sqrt(-rho'') exp(-threshold^2/2), rho the
 * correlation of the filter's output. A Gaussian of half width g teeth gives -rho'' = ln2/g^2; the
 * Doppler profile is the sharpest template that the search has, so no wider one gives more. */
static double
rice (const FaintSetup *setup, double threshold)
{
  double spacing = synthetic_wavenumber (1.0) - synthetic_wavenumber (0.0);
  double doppler = synthetic_doppler (setup, synthetic_wavenumber (0.5 * TEETH)) / spacing;

  return (double)RECORDS * TEETH * sqrt (M_LN2) / (2.0 * M_PI * doppler)
         * exp (-0.5 * threshold * threshold);
}

static void
test_false_finds (void)
{
  g_autoptr (FaintSetup) setup = synthetic_setup (NULL);
  g_autofree Job *job = g_new0 (Job, 1);
  double found[2] = { 0.0 }, expected[2] = { 0.0 };

  job->setup = setup;
  faint_parallel_for (RECORDS, THREADS, search_one, job);
  for (gsize i = 0; i < RECORDS; i++)
    for (int k = 0; k < 2; k++)
      {
        found[k] += (double)job->found[i][k];
        expected[k] += job->expected[i][k];
      }
  for (int k = 0; k < 2; k++)
    g_test_message ("%.0e teeth, threshold %g: %.0f found, %.2f stated, %.2f by Rice's formula",
                    (double)RECORDS * TEETH, thresholds[k], found[k], expected[k],
                    rice (setup, thresholds[k]));
  /* One in 1e5 teeth is what a user may rely on. */
  g_assert_cmpfloat (found[0], <=, RECORDS * TEETH / 1e5);
  for (int k = 0; k < 2; k++)
    {
      double most = rice (setup, thresholds[k]);
      /* Three Poisson deviations. */
      g_assert_cmpfloat (found[k], <=, most + 3.0 * sqrt (most));
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  faint_program_begin ();
  g_test_add_func ("/statistics/false-finds", test_false_finds);
  return g_test_run ();
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Reading a comb table of a million teeth, against g_ascii_strtod over the same bytes in the same
 * run; writing one of 36 000. Median of seven
 * runs, processor time. An argument sets the number of teeth.
 */
#include "faint/base/sha256.h"
#include "faint/base/text.h"
#include "faint/spectrum/comb-table.h"

#include <glib/gstdio.h>
#include <sys/resource.h>
#include <time.h>

#define RUNS 7
#define TEETH_WRITTEN 36000

typedef struct
{
  const char *path;
  const FaintText *text;
  const FaintSpectrum *spectrum;
  gsize n_rows;
} Job;

/* Of this process alone, so that others on the machine count little. */
static double
seconds (void)
{
  struct timespec now;

  clock_gettime (CLOCK_PROCESS_CPUTIME_ID, &now);
  return (double)now.tv_sec + (double)now.tv_nsec * 1e-9;
}

static int
compare (const void *a, const void *b)
{
  double x = *(const double *)a, y = *(const double *)b;

  return (x > y) - (x < y);
}

static double
median_of_runs (void (*work) (const Job *job), const Job *job, int runs)
{
  double times[RUNS];

  for (int i = 0; i < runs; i++)
    {
      double start = seconds ();

      work (job);
      times[i] = seconds () - start;
    }
  qsort (times, (size_t)runs, sizeof *times, compare);
  return times[runs / 2];
}

static void
read_table (const Job *job)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintSpectrum) spectrum = faint_spectrum_read (job->path, NULL, NULL, &error);

  if (spectrum == NULL || spectrum->n != job->n_rows)
    g_error ("%s", error != NULL ? error->message : "rows are missing");
}

static void
read_text (const Job *job)
{
  g_autoptr (FaintText) text = faint_text_read (job->path, NULL);

  g_assert_nonnull (text);
}

static void
sum_bytes (const Job *job)
{
  char sum[65];

  faint_sha256 (job->text->bytes, job->text->length, sum);
}

/* The numbers of all rows, by one of the two readers; their sum keeps them from being left out. */
static void
numbers_by_strtod (const Job *job)
{
  FaintLines lines = { .text = job->text };
  volatile double sum = 0.0;

  while (faint_text_next_line (&lines))
    for (char *p = (char *)lines.line, *end; *lines.line != '#' && p < lines.line + lines.length;
         p = end)
      sum += g_ascii_strtod (p, &end);
}

static void
numbers_by_text (const Job *job)
{
  FaintLines lines = { .text = job->text };
  volatile double sum = 0.0;

  while (faint_text_next_line (&lines))
    {
      const char *end = lines.line + lines.length;

      for (const char *p = lines.line; *lines.line != '#' && p < end;)
        {
          double value;

          while (p < end && *p == ' ')
            p++;
          if (!faint_text_number (p, end, &value, &p))
            g_error ("no number");
          sum += value;
        }
    }
}

static void
write_text (const Job *job)
{
  g_autofree char *text = faint_comb_table_to_text (job->spectrum, NULL);

  g_assert_nonnull (text);
}

static void
make_table (const char *path, gsize n)
{
  GRand *random = g_rand_new_with_seed (1);
  FILE *file = g_fopen (path, "w");

  fputs ("# comb-table 1\n# repetition_rate = 10 MHz\n# offset_frequency = 2 MHz\n"
         "# columns = tooth signal reference u(signal)\n",
         file);
  for (gsize i = 0; i < n; i++)
    fprintf (file, "%" G_GSIZE_FORMAT " %.12f %.12f %.8f\n", 19000000 + i,
             0.99 + 0.01 * g_rand_double (random), 1.0 + 0.01 * g_rand_double (random),
             1e-4 + 1e-5 * g_rand_double (random));
  fclose (file);
  g_rand_free (random);
}

static void
bench_write (void)
{
  g_autoptr (FaintSetup) setup = faint_setup_new ();
  g_autoptr (FaintSpectrum) spectrum = faint_spectrum_new (TEETH_WRITTEN, setup);
  GRand *random = g_rand_new_with_seed (2);
  Job job = { .spectrum = spectrum };

  spectrum->axis = FAINT_AXIS_FREQUENCY;
  for (gsize i = 0; i < TEETH_WRITTEN; i++)
    {
      spectrum->frequency[i] = 1.9e14 + (double)i * 250e6;
      spectrum->value[i] = g_rand_double (random); /* all 17 digits */
      spectrum->u[i] = g_rand_double (random) + 1e-3;
    }
  g_assert_true (faint_spectrum_finish (spectrum, NULL));
  g_print ("write %d teeth to text, all digits: %.3f s\n", TEETH_WRITTEN,
           median_of_runs (write_text, &job, RUNS));
  g_rand_free (random);
}

int
main (int argc, char **argv)
{
  gsize n = argc > 1 ? (gsize)g_ascii_strtoull (argv[1], NULL, 10) : 1000000;
  int runs = n > 2000000 ? 1 : RUNS;
  g_autofree char *folder = g_dir_make_tmp ("faint-bench-XXXXXX", NULL);
  g_autofree char *path = g_build_filename (folder, "teeth.comb", NULL);
  Job job = { .path = path, .n_rows = n };
  double table, text, sum, own, theirs, megabytes;
  struct rusage usage;

  make_table (path, n);
  table = median_of_runs (read_table, &job, runs);
  getrusage (RUSAGE_SELF, &usage);
  text = median_of_runs (read_text, &job, runs);
  g_autoptr (FaintText) held = faint_text_read (path, NULL);
  job.text = held;
  sum = median_of_runs (sum_bytes, &job, runs);
  own = median_of_runs (numbers_by_text, &job, runs);
  theirs = median_of_runs (numbers_by_strtod, &job, runs);
  megabytes = (double)held->length * 1e-6;
  g_print ("%" G_GSIZE_FORMAT " teeth, %.1f MB\n", n, megabytes);
  g_print ("whole comb table to a spectrum: %.3f s, %.0f MB/s, at most %.0f MB of memory\n", table,
           megabytes / table, (double)usage.ru_maxrss * 1.024e-3);
  g_print ("text with its sum and checks:   %.3f s, of which SHA-256 %.3f s\n", text, sum);
  g_print ("numbers: own reader %.3f s, %.0f MB/s; g_ascii_strtod %.3f s, %.0f MB/s; ratio %.1f\n",
           own, megabytes / own, theirs, megabytes / theirs, theirs / own);
  g_print ("whole reading against the numbers alone by g_ascii_strtod: ratio %.1f\n",
           theirs / table);
  g_unlink (path);
  g_rmdir (folder);
  bench_write ();
  return 0;
}

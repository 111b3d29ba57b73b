/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "pairs.h"

#include <math.h>

#define STEP 60 /* teeth between lines: 15 half widths */
/* Signal over noise of a line's strength, per that of its deepest tooth (measured, ours). */
#define GAIN 1.28

void
pairs_draw (FaintSetup *setup, const Pair *pair, guint32 seed, PairTruth *truth)
{
  GRand *random = g_rand_new_with_seed (seed);
  double doppler = synthetic_doppler (setup, synthetic_wavenumber (0.0));

  truth->n = 0;
  /* Of the usual line, with a Lorentz width of 0.3 Doppler widths: f_V of Whiting, JQSRT 8, 1379
   * (1968), good to 0.02 %. */
  truth->hwhm = doppler * (0.5346 * 0.3 + sqrt (0.2166 * 0.09 + 1.0));
  for (int k = 0; k < PAIR_SLOTS; k++)
    {
      double at = synthetic_wavenumber (60.0 + STEP * k + 4.0 * g_rand_double (random)), width[2];
      FaintLine *next = &truth->lines[truth->n];

      truth->centre[k] = at;
      for (int m = 0; m < 2; m++)
        width[m] = 0.3 * doppler * MAX (0.1, 1.0 + 0.15 * synthetic_normal (random));
      if (pair->distance > 0.0 && k % 4 == 1)
        {
          double apart = pair->distance * truth->hwhm / (1.0 + pair->ratio);

          next[0] = synthetic_line (setup, at - pair->ratio * apart, PAIR_PEAK, width[0]);
          next[1] = synthetic_line (setup, at + apart, pair->ratio * PAIR_PEAK, width[1]);
          truth->n += 2;
          continue;
        }
      next[0] = synthetic_line (setup, at, k % 2 == 0 ? 4.0 * PAIR_PEAK : PAIR_PEAK, width[0]);
      truth->n++;
    }
  g_rand_free (random);
}

FaintSpectrum *
pairs_record (FaintSetup *setup, const PairTruth *truth, double snr, guint32 seed)
{
  double noise = GAIN * PAIR_PEAK / snr;

  return synthetic_record (setup, truth->lines, truth->n,
                           &(SyntheticRecord){ .n = 120 + PAIR_SLOTS * STEP,
                                               .u = noise,
                                               .noise = noise,
                                               .seed = seed,
                                               .baseline = { 1.0, 0.004, -0.003 } });
}

/* Lines in a slot, the first of them, and the flags of all. */
static guint
lines_near (const FaintFit *fit, double centre, double reach, gsize *first, guint *flags)
{
  guint count = 0;

  *flags = 0;
  for (gsize i = 0; i < faint_line_list_get_n (fit->lines); i++)
    {
      const FaintLine *line = faint_line_list_get (fit->lines, i);

      if (fabs (line->position.value - centre) > reach)
        continue;
      if (count++ == 0)
        *first = i;
      *flags |= line->flags;
    }
  return count;
}

static const FaintLine *
truth_near (const PairTruth *truth, double centre)
{
  for (gsize i = 0; i < truth->n; i++)
    if (fabs (truth->lines[i].position.value - centre) < 5.0 * truth->hwhm)
      return &truth->lines[i];
  return NULL;
}

/* Adds the squared errors of a recognised pair over their uncertainties. */
static double
squared_pulls (const FaintFit *fit, gsize first, const FaintLine *truth)
{
  double sum = 0.0;

  for (int m = 0; m < 2; m++)
    {
      const FaintLine *line = faint_line_list_get (fit->lines, first + (gsize)m);

      sum += pow ((line->position.value - truth[m].position.value) / line->position.u_noise, 2.0);
      sum += pow ((line->strength.value - truth[m].strength.value) / line->strength.u_noise, 2.0);
    }
  return sum;
}

PairCount
pairs_count (const Pair *pair, guint32 seed)
{
  g_autoptr (FaintSetup) setup = synthetic_setup (NULL);
  PairTruth *truth = g_new0 (PairTruth, 1);
  g_autoptr (FaintSpectrum) spectrum = NULL;
  g_autoptr (FaintFit) fit = NULL;
  PairCount count = { 0 };
  g_autoptr (GError) error = NULL;
  FaintFitOptions options;

  pairs_draw (setup, pair, seed, truth);
  spectrum = pairs_record (setup, truth, pair->snr, seed + 1);
  faint_fit_options_init (&options);
  options.threads = 1; /* small records: threads cost more than they give */
  fit = faint_fit_run (spectrum, NULL, &options, NULL, &error);
  if (fit == NULL)
    g_error ("%s", error->message);
  count.converged = fit->verdict == FAINT_VERDICT_CONVERGED;
  for (int k = 0; k < PAIR_SLOTS; k++)
    {
      gsize first = 0;
      guint flags, n = lines_near (fit, truth->centre[k], 6.0 * truth->hwhm, &first, &flags);

      if (pair->distance == 0.0 || k % 4 != 1)
        {
          count.singles++;
          count.extra += n != 1;
          count.doubtful += (flags & FAINT_LINE_WIDTH_UNUSUAL) != 0;
          continue;
        }
      count.pairs++;
      count.two += n == 2;
      count.more += n > 2;
      count.flagged += n == 1 && (flags & FAINT_LINE_WIDTH_UNUSUAL) != 0;
      if (n == 2)
        count.squares += squared_pulls (fit, first, truth_near (truth, truth->centre[k]));
    }
  g_free (truth);
  return count;
}

double
pairs_pulls (const PairCount *count)
{
  return sqrt (count->squares / MAX (4 * count->two, 1));
}

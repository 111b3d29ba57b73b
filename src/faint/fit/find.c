/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/fit/find.h"

#include <math.h>

#include "faint/base/parallel.h"
#include "faint/base/units.h"
#include "faint/fit/filter.h"
#include "faint/spectrum/noise.h"

/* A peak must have this part of the strongest one within the filter's reach, else it may be a side
 * lobe of it. */
#define SIDE_LOBE 0.2
#define LEAST_FOR_NOISE 16
#define RESOLVED 0.35
#define IMPERFECTION 0.004
#define IMPERFECTION_REACH 4.0

double
faint_find_false_expected (gsize n_teeth, double hwhm, double threshold)
{
  return (double)n_teeth * FAINT_SQRT_LN2 / (2.0 * G_PI * MAX (hwhm, 1.0))
         * exp (-0.5 * threshold * threshold);
}

/* Places to ask at: every tooth and, with sparse teeth, places between. */
static GArray *
places (const FaintModel *model, const FaintFilter *filter)
{
  const FaintLayout *layout = model->layout;
  const double *wavenumber = model->spectrum->wavenumber;
  GArray *answers
      = g_array_sized_new (FALSE, FALSE, sizeof (FaintCandidate), (guint)layout->n_teeth);

  for (gsize t = layout->first; t < layout->first + layout->n_teeth; t++)
    {
      gboolean last = t + 1 == layout->first + layout->n_teeth;
      double gap = last ? 0.0 : wavenumber[t + 1] - wavenumber[t];
      double half = 0.5 * faint_filter_half_width (filter, wavenumber[t]);
      guint parts = (guint)CLAMP (ceil (gap / half), 1.0, 16.0);

      for (guint i = 0; i < parts; i++)
        {
          FaintCandidate answer = { .position = wavenumber[t] + gap * i / parts };
          g_array_append_val (answers, answer);
        }
    }
  return answers;
}

typedef struct
{
  const FaintFilter *filter;
  const FaintProgress *progress;
  GArray *answers;
  guint8 *asked; /* of each answer: 1 where the filter is asked first */
  double likely; /* beside an answer this large it is asked everywhere */
} Scan;

#define SCAN_PIECE 512
/* The filter's answer changes little over a part of the template's half width, whatever the
 * residuals are, for it is their correlation with the template. It is asked at places this many
 * half widths apart, and between two of them only where one answers at least this part of the least
 * that counts: the nearer one is 0.4 half widths away at most, where the templates correlate to
 * 0.95, so that noise hides a line from both with a probability below 1e-7 even at the least
 * threshold. */
#define ASKED_FIRST 0.8
#define LIKELY 0.4

/* Shall the work stop? Without an error: the caller's next step sets that. */
static gboolean
is_cancelled (const FaintProgress *progress)
{
  return progress != NULL && progress->is_cancelled != NULL
         && progress->is_cancelled (progress->data);
}

static void
ask (const Scan *scan, FaintFilterPattern *pattern, gsize i)
{
  FaintCandidate *answer = &g_array_index (scan->answers, FaintCandidate, i);

  if (!faint_filter_respond (scan->filter, pattern, answer->position, &answer->strength,
                             &answer->snr))
    answer->snr = 0.0;
}

/* Is there something on either side of place @i, which was not asked? The ends of a piece were. */
static gboolean
is_likely (const Scan *scan, gsize i)
{
  const FaintCandidate *a = (const FaintCandidate *)(gconstpointer)scan->answers->data;
  gsize below = i - 1, above = i + 1;

  while (!scan->asked[below])
    below--;
  while (!scan->asked[above])
    above++;
  return a[below].snr >= scan->likely || a[above].snr >= scan->likely;
}

static void
scan_piece (gsize piece, guint thread, gpointer data)
{
  const Scan *scan = data;
  gsize from = piece * SCAN_PIECE, end = MIN (from + SCAN_PIECE, scan->answers->len);
  FaintFilterPattern pattern = { .n = 0 };

  if (is_cancelled (scan->progress))
    return;
  for (gsize i = from; i < end; i++)
    if (scan->asked[i])
      ask (scan, &pattern, i);
  for (gsize i = from; i < end; i++)
    if (!scan->asked[i] && is_likely (scan, i))
      ask (scan, &pattern, i);
  faint_filter_pattern_clear (&pattern);
}

static void
choose_asked (Scan *scan)
{
  const FaintCandidate *a = (const FaintCandidate *)(gconstpointer)scan->answers->data;
  gsize n = scan->answers->len, last = 0;

  for (gsize i = 0; i < n; i++)
    {
      double apart = ASKED_FIRST * faint_filter_half_width (scan->filter, a[i].position);

      scan->asked[i] = i % SCAN_PIECE == 0 || (i + 1) % SCAN_PIECE == 0 || i + 1 == n
                       || a[i + 1].position - a[last].position > apart;
      last = scan->asked[i] ? i : last;
    }
}

/* The filter's answer at all places where it may be @least or more, and 0 elsewhere. */
static GArray *
scan_all (const FaintModel *model, const FaintFilter *filter, double least,
          const FaintProgress *progress)
{
  Scan scan = { filter, progress, places (model, filter), NULL, LIKELY * least };
  gsize pieces = (scan.answers->len + SCAN_PIECE - 1) / SCAN_PIECE;

  scan.asked = g_new (guint8, MAX (scan.answers->len, 1));
  choose_asked (&scan);
  faint_parallel_for (pieces, model->threads, scan_piece, &scan);
  g_free (scan.asked);
  return scan.answers;
}

/* Top of the parabola through three neighbours. */
static FaintCandidate
refine (const FaintCandidate *a)
{
  FaintCandidate peak = a[0];
  double left = a[-1].snr, middle = a[0].snr, right = a[1].snr;
  double h1 = a[0].position - a[-1].position, h2 = a[1].position - a[0].position;
  double s1 = (middle - left) / h1, s2 = (right - middle) / h2;
  double curvature = (s2 - s1) / (0.5 * (h1 + h2));

  if (curvature < 0.0)
    {
      double shift = -(s1 * h2 + s2 * h1) / (h1 + h2) / curvature;
      peak.position += CLAMP (shift, -0.5 * h1, 0.5 * h2);
    }
  return peak;
}

static int
stronger_first (gconstpointer a, gconstpointer b)
{
  double x = ((const FaintCandidate *)a)->snr, y = ((const FaintCandidate *)b)->snr;

  return x < y ? 1 : x > y ? -1 : 0;
}

static int
lower_first (gconstpointer a, gconstpointer b)
{
  double x = ((const FaintCandidate *)a)->position, y = ((const FaintCandidate *)b)->position;

  return x < y ? -1 : x > y ? 1 : 0;
}

/* Local maxima above @least, strongest first. */
static GArray *
peaks_of (const GArray *answers, double least)
{
  const FaintCandidate *a = (const FaintCandidate *)(gconstpointer)answers->data;
  GArray *peaks = g_array_new (FALSE, FALSE, sizeof (FaintCandidate));

  for (guint i = 1; i + 1 < answers->len; i++)
    if (a[i].snr >= least && a[i].snr >= a[i - 1].snr && a[i].snr > a[i + 1].snr)
      {
        FaintCandidate peak = refine (&a[i]);
        g_array_append_val (peaks, peak);
      }
  g_array_sort (peaks, stronger_first);
  return peaks;
}

static gsize
first_at (const FaintCandidate *a, gsize n, double position)
{
  gsize low = 0, high = n;

  while (low < high)
    {
      gsize middle = (low + high) / 2;
      if (a[middle].position < position)
        low = middle + 1;
      else
        high = middle;
    }
  return low;
}

/* Largest |answer| within @reach: positive and negative, for a side lobe may have either parent. */
static double
most_around (const GArray *answers, double position, double reach)
{
  const FaintCandidate *a = (const FaintCandidate *)(gconstpointer)answers->data;
  double most = 0.0;

  for (gsize i = first_at (a, answers->len, position - reach);
       i < answers->len && a[i].position <= position + reach; i++)
    most = MAX (most, a[i].snr);
  return most;
}

static gboolean
stands_alone (const GArray *chosen, double position, double distance)
{
  for (guint i = 0; i < chosen->len; i++)
    if (fabs (g_array_index (chosen, FaintCandidate, i).position - position) < distance)
      return FALSE;
  return TRUE;
}

/* May a candidate stand beside the lines that are there? */
static gboolean
lines_allow (const FaintModel *model, const FaintCandidate *candidate, double hwhm)
{
  for (gsize i = 0; i < model->layout->n_lines; i++)
    {
      const FaintLine *line = &model->lines[i];
      double distance = fabs (line->position.value - candidate->position);

      if ((line->flags & FAINT_LINE_EXCLUDED) != 0 || distance > IMPERFECTION_REACH * hwhm)
        continue;
      if (distance < RESOLVED * hwhm || candidate->strength < IMPERFECTION * line->strength.value)
        return FALSE;
    }
  return TRUE;
}

double
faint_find_noise_scale (FaintModel *model)
{
  const FaintLayout *layout = model->layout;
  const guint8 *excluded = model->spectrum->excluded;
  gsize n = 0;
  g_autofree double *residual = g_new0 (double, model->spectrum->n);
  g_autofree double *sigma = NULL;

  faint_model_fill (model, &(FaintModelArrays){ .residual = residual });
  for (gsize t = layout->first; t < layout->first + layout->n_teeth; t++)
    if (excluded == NULL || !excluded[t])
      residual[n++] = residual[t];
  if (n < LEAST_FOR_NOISE)
    return 1.0;
  sigma = g_new0 (double, n);
  faint_noise_estimate (residual, n, n, sigma);
  return MAX (1.0, sigma[n / 2]);
}

static FaintFilter *
filter_of (FaintModel *model, const FaintFindTemplate *template)
{
  return faint_filter_new (model, template->doppler_per_wavenumber, template->lorentz_over_doppler);
}

GArray *
faint_find_candidates (FaintModel *model, const FaintFindTemplate *template)
{
  GArray *chosen = g_array_new (FALSE, FALSE, sizeof (FaintCandidate));
  g_autoptr (GArray) answers = NULL;
  g_autoptr (GArray) peaks = NULL;
  FaintFilter *filter = filter_of (model, template);
  double least = template->threshold * template->noise_scale;

  answers = scan_all (model, filter, least, template->progress);
  peaks = peaks_of (answers, least);
  for (guint i = 0; i < peaks->len; i++)
    {
      FaintCandidate peak = g_array_index (peaks, FaintCandidate, i);
      double hwhm = faint_filter_half_width (filter, peak.position);

      if (peak.snr >= SIDE_LOBE * most_around (answers, peak.position, FAINT_FILTER_REACH * hwhm)
          && stands_alone (chosen, peak.position, hwhm) && lines_allow (model, &peak, hwhm))
        g_array_append_val (chosen, peak);
    }
  g_array_sort (chosen, lower_first);
  faint_filter_free (filter);
  return chosen;
}

double
faint_find_ratio (FaintModel *model, const FaintFindTemplate *template, const double *ratios,
                  gsize n)
{
  g_autoptr (GArray) answers = NULL;
  g_autoptr (GArray) peaks = NULL;
  g_autofree guint *votes = g_new0 (guint, n);
  g_autofree double *best = NULL;
  g_autofree gsize *vote = NULL;
  guint below = 0;
  gsize chosen = 0;
  FaintFilter *filter = filter_of (model, template);
  FaintFilterPattern pattern = { .n = 0 };
  double least = template->threshold * template->noise_scale;

  answers = scan_all (model, filter, least, template->progress);
  peaks = peaks_of (answers, least);
  best = g_new0 (double, MAX (peaks->len, 1));
  vote = g_new0 (gsize, MAX (peaks->len, 1));
  for (gsize k = 0; k < n && !is_cancelled (template->progress); k++)
    {
      faint_filter_set_ratio (filter, ratios[k]);
      pattern.n = 0;
      for (guint i = 0; i < peaks->len; i++)
        {
          double strength, snr;
          if (faint_filter_respond (filter, &pattern,
                                    g_array_index (peaks, FaintCandidate, i).position, &strength,
                                    &snr)
              && snr > best[i])
            {
              best[i] = snr;
              vote[i] = k;
            }
        }
    }
  faint_filter_pattern_clear (&pattern);
  faint_filter_free (filter);
  for (guint i = 0; i < peaks->len; i++)
    votes[vote[i]]++;
  while (chosen + 1 < n && 2 * (below += votes[chosen]) < peaks->len)
    chosen++;
  return ratios[chosen];
}

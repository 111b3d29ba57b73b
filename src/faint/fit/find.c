/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/fit/find.h"

#include <math.h>

#include "faint/base/parallel.h"
#include "faint/base/units.h"
#include "faint/shape/voigt.h"

/* Reach of the filter to either side, in half widths of the template. */
#define REACH 12.0
/* A peak must have this part of the strongest one within REACH, else it may be a side lobe of it.
 */
#define SIDE_LOBE 0.2
#define RESOLVED 0.35
#define IMPERFECTION 0.004
#define IMPERFECTION_REACH 4.0
#define TABLE_PER_WIDTH 64

double
faint_find_false_expected (gsize n_teeth, double hwhm, double threshold)
{
  return (double)n_teeth * FAINT_SQRT_LN2 / (2.0 * G_PI * MAX (hwhm, 1.0))
         * exp (-0.5 * threshold * threshold);
}

/* The template's profile over distance in Doppler widths, times the Doppler width. */
typedef struct
{
  double hwhm; /* Doppler widths */
  double step; /* Doppler widths */
  gsize n;
  double *re, *im; /* at distances 0, step, 2 step ...; re even, im odd */
} Table;

static Table *
table_new (double lorentz_over_doppler)
{
  Table *table = g_new0 (Table, 1);
  FaintVoigt shape = { 0.0, 1.0, lorentz_over_doppler };
  g_autofree double *x = NULL;

  table->hwhm = faint_voigt_hwhm (1.0, lorentz_over_doppler);
  table->step = table->hwhm / TABLE_PER_WIDTH;
  table->n = (gsize)(REACH * TABLE_PER_WIDTH) + 3;
  table->re = g_new (double, table->n);
  table->im = g_new (double, table->n);
  x = g_new (double, table->n);
  for (gsize i = 0; i < table->n; i++)
    x[i] = (double)i * table->step;
  faint_voigt_fill (shape, x, table->n, table->re, table->im);
  return table;
}

static void
table_free (Table *table)
{
  g_free (table->re);
  g_free (table->im);
  g_free (table);
}

static inline void
table_look (const Table *table, double distance, double *re, double *im)
{
  double at = fabs (distance) / table->step;
  gsize i = MIN ((gsize)at, table->n - 2);
  double part = at - (double)i, odd;

  *re = table->re[i] + part * (table->re[i + 1] - table->re[i]);
  odd = table->im[i] + part * (table->im[i + 1] - table->im[i]);
  *im = distance < 0.0 ? -odd : odd;
}

/* Everything the filter reads, per tooth of the fitted range. */
typedef struct
{
  const FaintModel *model;
  guint channels;
  double *residual[2], *row_re[2], *row_im[2];
  Table *table;
  double doppler_per_wavenumber;
  const FaintProgress *progress;
} Filter;

static void
filter_clear (Filter *filter)
{
  for (int c = 0; c < 2; c++)
    {
      g_free (filter->residual[c]);
      g_free (filter->row_re[c]);
      g_free (filter->row_im[c]);
    }
  table_free (filter->table);
}

static void
filter_init (Filter *filter, FaintModel *model, const FaintFindTemplate *template)
{
  gsize n = model->spectrum->n;

  *filter = (Filter){ .model = model, .channels = model->layout->channels };
  for (guint c = 0; c < filter->channels; c++)
    {
      filter->residual[c] = g_new0 (double, n);
      filter->row_re[c] = g_new0 (double, n);
      filter->row_im[c] = g_new0 (double, n);
    }
  filter->table = table_new (template->lorentz_over_doppler);
  filter->doppler_per_wavenumber = template->doppler_per_wavenumber;
  filter->progress = template->progress;
  faint_model_fill (model, &(FaintModelArrays){
                               .residual = filter->residual[0],
                               .residual_im = filter->residual[1],
                               .slope_re = filter->row_re[0],
                               .slope_im = filter->row_im[0],
                               .slope2_re = filter->row_re[1],
                               .slope2_im = filter->row_im[1],
                           });
}

/* Sums of one channel around a centre. */
typedef struct
{
  double moment[5];      /* of 1/u^2 */
  double by_template[3]; /* template times baseline */
  double by_residual[3];
  double square, product; /* template^2, template * residual */
  gsize n;
} Sums;

static void
sum_channel (const Filter *filter, guint channel, double centre, gsize from, gsize to, Sums *sums)
{
  const double *wavenumber = filter->model->spectrum->wavenumber;
  const double *u = channel == 0 ? filter->model->spectrum->u : filter->model->spectrum->u_im;
  double width = filter->doppler_per_wavenumber * centre;
  double inverse = 1.0 / width, reach = 1.0 / (REACH * filter->table->hwhm);

  *sums = (Sums){ .n = to - from };
  for (gsize t = from; t < to; t++)
    {
      double distance = (wavenumber[t] - centre) * inverse, x = distance * reach;
      double re, im, tau, residual = filter->residual[channel][t], g = 1.0 / u[t], m = g * g;

      table_look (filter->table, distance, &re, &im);
      tau = filter->row_re[channel][t] * re + filter->row_im[channel][t] * im;
      sums->square += tau * tau;
      sums->product += tau * residual;
      tau *= g;
      residual *= g;
      sums->by_template[0] += tau;
      sums->by_residual[0] += residual;
      sums->by_template[1] += tau * x;
      sums->by_residual[1] += residual * x;
      sums->by_template[2] += tau * x * x;
      sums->by_residual[2] += residual * x * x;
      sums->moment[0] += m;
      sums->moment[1] += m * x;
      sums->moment[2] += m * x * x;
      sums->moment[3] += m * x * x * x;
      sums->moment[4] += m * x * x * x * x;
    }
}

/* Projects a parabola out: Cholesky of its 3 x 3 normal matrix. FALSE where it is not determined.
 */
static gboolean
project (const Sums *s, double *square, double *product)
{
  const double *m = s->moment;
  double l00, l10, l11, l20, l21, l22, t0, t1, t2, r0, r1, r2, d;

  if (s->n < 6)
    return FALSE;
  l00 = sqrt (m[0]);
  l10 = m[1] / l00;
  d = m[2] - l10 * l10;
  if (!(d > 1e-9 * m[2]))
    return FALSE;
  l11 = sqrt (d);
  l20 = m[2] / l00;
  l21 = (m[3] - l20 * l10) / l11;
  d = m[4] - l20 * l20 - l21 * l21;
  if (!(d > 1e-9 * m[4]))
    return FALSE;
  l22 = sqrt (d);
  t0 = s->by_template[0] / l00;
  t1 = (s->by_template[1] - l10 * t0) / l11;
  t2 = (s->by_template[2] - l20 * t0 - l21 * t1) / l22;
  r0 = s->by_residual[0] / l00;
  r1 = (s->by_residual[1] - l10 * r0) / l11;
  r2 = (s->by_residual[2] - l20 * r0 - l21 * r1) / l22;
  *square = s->square - t0 * t0 - t1 * t1 - t2 * t2;
  *product = s->product - t0 * r0 - t1 * r1 - t2 * r2;
  return *square > 1e-6 * s->square;
}

/* Strength and its signal-to-noise ratio for a line at @centre. */
static gboolean
respond (const Filter *filter, double centre, double *strength, double *snr)
{
  const FaintLayout *layout = filter->model->layout;
  double width = filter->doppler_per_wavenumber * centre;
  double reach = REACH * filter->table->hwhm * width;
  gsize end = layout->first + layout->n_teeth;
  gsize from = faint_spectrum_index (filter->model->spectrum, centre - reach);
  gsize to = faint_spectrum_index (filter->model->spectrum, centre + reach);
  double square = 0.0, product = 0.0;

  from = CLAMP (from, layout->first, end);
  to = CLAMP (to, from, end);
  for (guint c = 0; c < filter->channels; c++)
    {
      Sums sums;
      double part_square, part_product;

      sum_channel (filter, c, centre, from, to, &sums);
      if (project (&sums, &part_square, &part_product))
        {
          square += part_square;
          product += part_product;
        }
    }
  if (!(square > 0.0))
    return FALSE;
  *snr = product / sqrt (square);
  *strength = product / square * width / filter->model->column;
  return isfinite (*snr) && isfinite (*strength);
}

/* Places to ask at: every tooth and, with sparse teeth, places between. */
static GArray *
places (const Filter *filter)
{
  const FaintLayout *layout = filter->model->layout;
  const double *wavenumber = filter->model->spectrum->wavenumber;
  GArray *answers
      = g_array_sized_new (FALSE, FALSE, sizeof (FaintCandidate), (guint)layout->n_teeth);

  for (gsize t = layout->first; t < layout->first + layout->n_teeth; t++)
    {
      gboolean last = t + 1 == layout->first + layout->n_teeth;
      double gap = last ? 0.0 : wavenumber[t + 1] - wavenumber[t];
      double half = 0.5 * filter->table->hwhm * filter->doppler_per_wavenumber * wavenumber[t];
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
  const Filter *filter;
  GArray *answers;
} Scan;

#define SCAN_PIECE 512

/* Shall the work stop? Without an error: the caller's next step sets that. */
static gboolean
is_cancelled (const FaintProgress *progress)
{
  return progress != NULL && progress->is_cancelled != NULL
         && progress->is_cancelled (progress->data);
}

static void
scan_piece (gsize piece, guint thread, gpointer data)
{
  const Scan *scan = data;
  gsize end = MIN ((piece + 1) * SCAN_PIECE, scan->answers->len);

  if (is_cancelled (scan->filter->progress))
    return;
  for (gsize i = piece * SCAN_PIECE; i < end; i++)
    {
      FaintCandidate *answer = &g_array_index (scan->answers, FaintCandidate, i);
      if (!respond (scan->filter, answer->position, &answer->strength, &answer->snr))
        answer->snr = 0.0;
    }
}

/* The filter's answer at all places. */
static GArray *
scan_all (const Filter *filter)
{
  Scan scan = { filter, places (filter) };

  faint_parallel_for ((scan.answers->len + SCAN_PIECE - 1) / SCAN_PIECE, filter->model->threads,
                      scan_piece, &scan);
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

GArray *
faint_find_candidates (FaintModel *model, const FaintFindTemplate *template)
{
  GArray *chosen = g_array_new (FALSE, FALSE, sizeof (FaintCandidate));
  g_autoptr (GArray) answers = NULL;
  g_autoptr (GArray) peaks = NULL;
  Filter filter;

  filter_init (&filter, model, template);
  answers = scan_all (&filter);
  peaks = peaks_of (answers, template->threshold * template->noise_scale);
  for (guint i = 0; i < peaks->len; i++)
    {
      FaintCandidate peak = g_array_index (peaks, FaintCandidate, i);
      double hwhm = filter.table->hwhm * filter.doppler_per_wavenumber * peak.position;

      if (peak.snr >= SIDE_LOBE * most_around (answers, peak.position, REACH * hwhm)
          && stands_alone (chosen, peak.position, hwhm) && lines_allow (model, &peak, hwhm))
        g_array_append_val (chosen, peak);
    }
  g_array_sort (chosen, lower_first);
  filter_clear (&filter);
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
  Filter filter;

  filter_init (&filter, model, template);
  answers = scan_all (&filter);
  peaks = peaks_of (answers, template->threshold * template->noise_scale);
  best = g_new0 (double, MAX (peaks->len, 1));
  vote = g_new0 (gsize, MAX (peaks->len, 1));
  for (gsize k = 0; k < n && !is_cancelled (template->progress); k++)
    {
      table_free (filter.table);
      filter.table = table_new (ratios[k]);
      for (guint i = 0; i < peaks->len; i++)
        {
          double strength, snr;
          if (respond (&filter, g_array_index (peaks, FaintCandidate, i).position, &strength, &snr)
              && snr > best[i])
            {
              best[i] = snr;
              vote[i] = k;
            }
        }
    }
  filter_clear (&filter);
  for (guint i = 0; i < peaks->len; i++)
    votes[vote[i]]++;
  while (chosen + 1 < n && 2 * (below += votes[chosen]) < peaks->len)
    chosen++;
  return ratios[chosen];
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/fit/split-signature.h"

#include <math.h>

#include "faint/shape/voigt.h"

/* Teeth within this many half widths of the line take part. */
#define REACH 6.0
/* Members of the trial pair lie this many half widths to either side. */
#define APART 0.5
/* A pattern that keeps less than this part of its square is no pattern of its own. */
#define LEAST_LEFT 1e-6

struct _FaintSplitRows
{
  FaintModel *model;
  guint channels;
  double *residual[2], *slope_re[2], *slope_im[2];
};

FaintSplitRows *
faint_split_rows_new (FaintModel *model)
{
  FaintSplitRows *self = g_new0 (FaintSplitRows, 1);

  self->model = model;
  self->channels = model->layout->channels;
  for (guint c = 0; c < self->channels; c++)
    {
      self->residual[c] = g_new0 (double, model->spectrum->n);
      self->slope_re[c] = g_new0 (double, model->spectrum->n);
      self->slope_im[c] = g_new0 (double, model->spectrum->n);
    }
  faint_model_fill (model, &(FaintModelArrays){
                               .residual = self->residual[0],
                               .residual_im = self->residual[1],
                               .slope_re = self->slope_re[0],
                               .slope_im = self->slope_im[0],
                               .slope2_re = self->slope_re[1],
                               .slope2_im = self->slope_im[1],
                           });
  return self;
}

void
faint_split_rows_free (FaintSplitRows *self)
{
  for (guint c = 0; c < self->channels; c++)
    {
      g_free (self->residual[c]);
      g_free (self->slope_re[c]);
      g_free (self->slope_im[c]);
    }
  g_free (self);
}

/* Columns of the line's own rows: what a single line and its baseline explain, then the two
 * patterns of a pair, then the residuals. */
typedef enum
{
  COLUMN_STRENGTH,
  COLUMN_POSITION,
  COLUMN_LORENTZ,
  COLUMN_BASELINE, /* three for each channel */
  COLUMN_EVEN = COLUMN_BASELINE + 6,
  COLUMN_ODD,
  COLUMN_RESIDUAL,
  N_COLUMNS
} Column;

typedef struct
{
  const FaintSplitRows *rows;
  const FaintLine *line;
  gsize first, n; /* teeth */
  gsize n_rows;   /* n for each channel, and one for what is known of the width */
  double *column[N_COLUMNS];
} Patterns;

static void
put (const Patterns *self, Column column, const double *re, const double *im)
{
  double scale = self->rows->model->column * self->line->strength.value;

  for (guint c = 0; c < self->rows->channels; c++)
    for (gsize t = 0; t < self->n; t++)
      self->column[column][c * self->n + t]
          = scale
            * (self->rows->slope_re[c][self->first + t] * re[t]
               + self->rows->slope_im[c][self->first + t] * im[t]);
}

/* A line as it is, less a pair in its place; and the one member less the other. */
static void
put_pair (const Patterns *self, double hwhm, double *re, double *im)
{
  const double *wavenumber = self->rows->model->spectrum->wavenumber + self->first;
  g_autofree double *left = g_new (double, 2 * self->n);
  g_autofree double *right = g_new (double, 2 * self->n);
  FaintVoigt shape
      = { self->line->position.value, self->line->doppler.value, self->line->lorentz.value };
  gsize n = self->n;

  shape.position -= APART * hwhm;
  faint_voigt_fill (shape, wavenumber, n, left, left + n);
  shape.position += 2.0 * APART * hwhm;
  faint_voigt_fill (shape, wavenumber, n, right, right + n);
  for (gsize t = 0; t < n; t++)
    {
      re[t] = 0.5 * (left[t] + right[t]) - re[t];
      im[t] = 0.5 * (left[n + t] + right[n + t]) - im[t];
      left[t] = right[t] - left[t];
      left[n + t] = right[n + t] - left[n + t];
    }
  put (self, COLUMN_EVEN, re, im);
  put (self, COLUMN_ODD, left, left + n);
}

static void
put_baseline_and_residual (const Patterns *self, double hwhm)
{
  const FaintSpectrum *s = self->rows->model->spectrum;

  for (guint c = 0; c < self->rows->channels; c++)
    for (gsize t = 0; t < self->n; t++)
      {
        gsize at = self->first + t, row = c * self->n + t;
        double x = (s->wavenumber[at] - self->line->position.value) / (REACH * hwhm);
        double inverse = 1.0 / (c == 0 ? s->fit_u[at] : s->fit_u_im[at]);

        self->column[COLUMN_BASELINE + 3 * c][row] = inverse;
        self->column[COLUMN_BASELINE + 3 * c + 1][row] = inverse * x;
        self->column[COLUMN_BASELINE + 3 * c + 2][row] = inverse * x * x;
        self->column[COLUMN_RESIDUAL][row] = self->rows->residual[c][at];
      }
}

static void
fill (const Patterns *self, double hwhm)
{
  const FaintModel *model = self->rows->model;
  gsize n = self->n, last = self->n_rows - 1;
  g_autofree double *work = g_new (double, 6 * n);
  FaintVoigtGradient gradient = {
    .re = work,
    .im = work + n,
    .position_re = work + 2 * n,
    .position_im = work + 3 * n,
    .lorentz_re = work + 4 * n,
    .lorentz_im = work + 5 * n,
  };
  FaintVoigt shape
      = { self->line->position.value, self->line->doppler.value, self->line->lorentz.value };

  faint_voigt_gradient (shape, model->spectrum->wavenumber + self->first, n, &gradient);
  put (self, COLUMN_STRENGTH, work, work + n);
  put (self, COLUMN_POSITION, work + 2 * n, work + 3 * n);
  put (self, COLUMN_LORENTZ, work + 4 * n, work + 5 * n);
  put_baseline_and_residual (self, hwhm);
  put_pair (self, hwhm, work, work + n);
  if (isfinite (model->width_mean))
    {
      self->column[COLUMN_LORENTZ][last] = 1.0 / model->width_spread;
      self->column[COLUMN_RESIDUAL][last]
          = (model->width_mean - self->line->lorentz.value) / model->width_spread;
    }
}

static double
product (const double *a, const double *b, gsize n)
{
  double sum = 0.0;

  for (gsize i = 0; i < n; i++)
    sum += a[i] * b[i];
  return sum;
}

/* Takes column @of out of @from. */
static void
project_out (const Patterns *self, Column of, Column from)
{
  double square = product (self->column[of], self->column[of], self->n_rows);
  double share;

  if (!(square > 0.0))
    return;
  share = product (self->column[of], self->column[from], self->n_rows) / square;
  for (gsize i = 0; i < self->n_rows; i++)
    self->column[from][i] -= share * self->column[of][i];
}

/* Each column is freed of all before it; a pattern's answer is what it then has in common with the
 * residuals, in standard deviations. */
static double
answer (const Patterns *self, Column pattern)
{
  double whole = product (self->column[pattern], self->column[pattern], self->n_rows), left;

  for (int earlier = 0; earlier < (int)pattern; earlier++)
    project_out (self, earlier, pattern);
  left = product (self->column[pattern], self->column[pattern], self->n_rows);
  if (!(left > LEAST_LEFT * whole))
    return 0.0;
  return product (self->column[pattern], self->column[COLUMN_RESIDUAL], self->n_rows) / sqrt (left);
}

double
faint_split_signature (const FaintSplitRows *self, gsize line)
{
  const FaintModel *model = self->model;
  const FaintLayout *layout = model->layout;
  Patterns patterns = { .rows = self, .line = &model->lines[line] };
  double hwhm = faint_voigt_hwhm (patterns.line->doppler.value, patterns.line->lorentz.value);
  double centre = patterns.line->position.value, even, odd;
  gsize end = layout->first + layout->n_teeth;
  gsize from = faint_spectrum_index (model->spectrum, centre - REACH * hwhm);
  gsize to = faint_spectrum_index (model->spectrum, centre + REACH * hwhm);
  g_autofree double *store = NULL;

  patterns.first = CLAMP (from, layout->first, end);
  patterns.n = CLAMP (to, patterns.first, end) - patterns.first;
  if (patterns.n < N_COLUMNS)
    return 0.0;
  patterns.n_rows = patterns.n * self->channels + 1;
  store = g_new0 (double, N_COLUMNS *patterns.n_rows);
  for (int k = 0; k < N_COLUMNS; k++)
    patterns.column[k] = store + (gsize)k * patterns.n_rows;
  fill (&patterns, hwhm);
  for (int k = 0; k < COLUMN_EVEN; k++)
    for (int earlier = 0; earlier < k; earlier++)
      project_out (&patterns, earlier, k);
  even = answer (&patterns, COLUMN_EVEN);
  odd = answer (&patterns, COLUMN_ODD);
  return (even > 0.0 ? even * even : 0.0) + odd * odd;
}

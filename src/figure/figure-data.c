/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "figure/figure-data.h"

#include "faint/cavity/response.h"

#include <math.h>
#include <string.h>

/* Over this range of normalised residuals their distribution is counted. */
#define RESIDUAL_REACH 6.0

/* Everything that depends on spectrum and fit alone, shared between data that differ in lines. */
typedef struct
{
  FaintSpectrum *spectrum;
  FaintFit *fit;
  double *amplitude, *amplitude_model, *amplitude_baseline;
  double *used, *excluded; /* NULL: no tooth is excluded */
  double *phase, *phase_model;
  double *absorption, *absorption_model, *absorption_u;
  char *absorption_reason;
  gatomicrefcount refs;
} Arrays;

static Arrays *
arrays_ref (Arrays *self)
{
  g_atomic_ref_count_inc (&self->refs);
  return self;
}

static void
arrays_unref (gpointer data)
{
  Arrays *self = data;

  if (!g_atomic_ref_count_dec (&self->refs))
    return;
  g_free (self->amplitude);
  g_free (self->used);
  g_free (self->excluded);
  g_free (self->amplitude_model);
  g_free (self->amplitude_baseline);
  g_free (self->phase);
  g_free (self->phase_model);
  g_free (self->absorption);
  g_free (self->absorption_model);
  g_free (self->absorption_u);
  g_free (self->absorption_reason);
  faint_fit_unref (self->fit);
  faint_spectrum_unref (self->spectrum);
  g_free (self);
}

static double *
modulus_new (const double *re, const double *im, gsize n)
{
  double *out = g_new (double, n);
  for (gsize i = 0; i < n; i++)
    out[i] = hypot (re[i], im[i]);
  return out;
}

/* The phase, continued over +-pi: each sample takes the turn nearest to @near's, or, where that is
 * NULL, to the sample before it. */
static double *
phase_new (const double *re, const double *im, gsize n, const double *near)
{
  double *out = g_new (double, n), turn = 2.0 * G_PI, before = 0.0;
  for (gsize i = 0; i < n; i++)
    {
      double phase = atan2 (im[i], re[i]), target = near != NULL ? near[i] : before;
      out[i] = phase + turn * round ((target - phase) / turn);
      before = isnan (out[i]) ? before : out[i];
    }
  return out;
}

static void
fill_field (Arrays *self)
{
  const FaintSpectrum *spectrum = self->spectrum;
  const FaintFit *fit = self->fit;

  self->amplitude = modulus_new (spectrum->value, spectrum->value_im, spectrum->n);
  self->phase = phase_new (spectrum->value, spectrum->value_im, spectrum->n, NULL);
  if (fit == NULL)
    return;
  self->amplitude_model = modulus_new (fit->model, fit->model_im, spectrum->n);
  self->amplitude_baseline = modulus_new (fit->baseline, fit->baseline_im, spectrum->n);
  self->phase_model = phase_new (fit->model, fit->model_im, spectrum->n, self->phase);
}

/* @value over the baseline, in place; complex where @value_im is not NULL. */
static void
divide_by_baseline (const FaintFit *fit, double *value, double *value_im, gsize n)
{
  for (gsize i = 0; i < n; i++)
    {
      if (value_im == NULL)
        {
          value[i] /= fit->baseline[i];
          continue;
        }
      double re = fit->baseline[i], im = fit->baseline_im[i], norm = re * re + im * im;
      double a = value[i], b = value_im[i];
      value[i] = (a * re + b * im) / norm;
      value_im[i] = (b * re - a * im) / norm;
    }
}

/* Round-trip exponent that @value (+ i @value_im) over the baseline means. */
static double *
exponent_new (const Arrays *self, const FaintResponse *response, const FaintCavityTeeth *teeth,
              const double *value, const double *value_im, double *exponent_im)
{
  gsize n = self->spectrum->n;
  g_autofree double *ratio = g_memdup2 (value, n * sizeof *value);
  g_autofree double *ratio_im
      = value_im != NULL ? g_memdup2 (value_im, n * sizeof *value_im) : NULL;
  double *exponent = g_new (double, n);

  if (self->fit != NULL)
    divide_by_baseline (self->fit, ratio, ratio_im, n);
  faint_response_invert (response, teeth, 0, n, ratio, ratio_im, exponent, exponent_im);
  return exponent;
}

/* u(alpha) = u(signal)/|d signal/d alpha| at what was observed. */
static void
fill_absorption_u (Arrays *self, const FaintResponse *response, const FaintCavityTeeth *teeth,
                   const double *exponent, const double *exponent_im, double per_exponent)
{
  const FaintSpectrum *spectrum = self->spectrum;
  gsize n = spectrum->n;
  g_autofree double *slope = g_new0 (double, n), *slope_im = g_new0 (double, n);
  FaintResponseValues out = { .slope_re = slope, .slope_im = slope_im };
  g_autofree double *value = g_new0 (double, n), *value_im = g_new0 (double, n);

  out.value = value;
  out.value_im = value_im;
  faint_response_fill (response, teeth, 0, n, exponent, exponent_im, &out);
  self->absorption_u = g_new (double, n);
  for (gsize i = 0; i < n; i++)
    {
      gboolean is_field = spectrum->value_im != NULL;
      double steepness = is_field ? hypot (slope[i], slope_im[i]) : fabs (slope[i]);
      double baseline = 1.0;
      if (self->fit != NULL)
        baseline = is_field ? hypot (self->fit->baseline[i], self->fit->baseline_im[i])
                            : fabs (self->fit->baseline[i]);
      self->absorption_u[i] = per_exponent * spectrum->u[i] / (baseline * steepness);
    }
}

static void
scale (double *array, gsize n, double factor)
{
  for (gsize i = 0; i < n; i++)
    array[i] *= factor;
}

/* alpha = 2 Re(kappa)/l, l the absorber in one round trip. */
static void
fill_absorption (Arrays *self)
{
  g_autoptr (GError) error = NULL;
  const FaintSpectrum *spectrum = self->spectrum;
  gsize n = spectrum->n;
  FaintResponse response = faint_response_of (spectrum->setup);
  double per_exponent = 2.0 / faint_response_absorber_round_trip (spectrum->setup);
  g_autoptr (FaintCavityTeeth) teeth = faint_cavity_teeth_new (spectrum, &error);

  if (teeth == NULL || !isfinite (per_exponent))
    {
      self->absorption_reason
          = g_strdup (error != NULL ? error->message
                                    : "The length of the cavity is not stated (cavity_length).");
      return;
    }
  g_autofree double *exponent_im = g_new0 (double, n);
  self->absorption
      = exponent_new (self, &response, teeth, spectrum->value, spectrum->value_im, exponent_im);
  fill_absorption_u (self, &response, teeth, self->absorption, exponent_im, per_exponent);
  scale (self->absorption, n, per_exponent);
  if (self->fit == NULL)
    return;
  self->absorption_model
      = exponent_new (self, &response, teeth, self->fit->model, self->fit->model_im, exponent_im);
  scale (self->absorption_model, n, per_exponent);
}

static void
forget_where (double *array, const guint8 *excluded, guint8 mark, gsize n)
{
  for (gsize i = 0; array != NULL && i < n; i++)
    if (excluded[i] == mark)
      array[i] = NAN;
}

/* Excluded teeth show as such in the measurement, and nowhere else. */
static void
divide_excluded (Arrays *self)
{
  const FaintSpectrum *spectrum = self->spectrum;
  const double *observed = spectrum->value_im != NULL ? self->amplitude : spectrum->value;
  gsize n = spectrum->n;

  if (spectrum->excluded == NULL)
    return;
  self->used = g_memdup2 (observed, n * sizeof (double));
  self->excluded = g_memdup2 (observed, n * sizeof (double));
  forget_where (self->used, spectrum->excluded, 1, n);
  forget_where (self->excluded, spectrum->excluded, 0, n);
  forget_where (self->phase, spectrum->excluded, 1, n);
  forget_where (self->absorption, spectrum->excluded, 1, n);
}

static Arrays *
arrays_new (FaintSpectrum *spectrum, FaintFit *fit)
{
  Arrays *self = g_new0 (Arrays, 1);
  g_atomic_ref_count_init (&self->refs);
  self->spectrum = faint_spectrum_ref (spectrum);
  self->fit = fit != NULL ? faint_fit_ref (fit) : NULL;
  if (spectrum->value_im != NULL)
    fill_field (self);
  fill_absorption (self);
  divide_excluded (self);
  return self;
}

static FaintPyramid *
pyramid_new (Arrays *arrays, const double *y)
{
  const FaintSpectrum *spectrum = arrays->spectrum;
  if (y == NULL)
    return NULL;
  return faint_pyramid_new (spectrum->wavenumber, y, spectrum->n, arrays_ref (arrays),
                            arrays_unref);
}

/* Missing teeth break a curve; the spaces of interleaved records, at most f_rep, do not. */
static double
gap_of (const FaintSpectrum *spectrum)
{
  if (spectrum->n < 2)
    return INFINITY;
  if (spectrum->tooth != NULL && faint_quantity_is_known (spectrum->setup->repetition_rate))
    return 3.5 * spectrum->setup->repetition_rate.value / FAINT_SPEED_OF_LIGHT_CM_S;
  return 20.0 * faint_spectrum_spacing (spectrum);
}

static void
fill_pyramids (FaintFigureData *self, Arrays *arrays)
{
  const FaintSpectrum *spectrum = arrays->spectrum;
  const FaintFit *fit = arrays->fit;

  self->observed = pyramid_new (arrays, self->is_field ? arrays->amplitude : spectrum->value);
  self->used = arrays->used != NULL ? pyramid_new (arrays, arrays->used)
                                    : faint_pyramid_ref (self->observed);
  self->excluded = pyramid_new (arrays, arrays->excluded);
  self->phase = pyramid_new (arrays, arrays->phase);
  self->absorption = pyramid_new (arrays, arrays->absorption);
  self->absorption_model = pyramid_new (arrays, arrays->absorption_model);
  self->absorption_reason = g_strdup (arrays->absorption_reason);
  self->absorption_u = arrays->absorption_u;
  if (fit == NULL)
    return;
  self->model = pyramid_new (arrays, self->is_field ? arrays->amplitude_model : fit->model);
  self->baseline
      = pyramid_new (arrays, self->is_field ? arrays->amplitude_baseline : fit->baseline);
  self->phase_model = pyramid_new (arrays, arrays->phase_model);
  self->residual = pyramid_new (arrays, fit->residual);
  self->residual_across = pyramid_new (arrays, fit->residual_im);
  faint_distribution_fill (&self->residual_distribution, fit->residual, spectrum->n,
                           (FaintRange){ -RESIDUAL_REACH, RESIDUAL_REACH });
  if (fit->residual_im != NULL)
    faint_distribution_add (&self->residual_distribution, fit->residual_im, spectrum->n);
}

FaintFigureData *
faint_figure_data_new (FaintSpectrum *spectrum, FaintFit *fit, FaintLineList *lines)
{
  FaintFigureData *self = g_new0 (FaintFigureData, 1);
  g_atomic_ref_count_init (&self->refs);
  if (fit != NULL && fit->spectrum->n != spectrum->n)
    fit = NULL;

  Arrays *arrays = arrays_new (spectrum, fit);
  self->arrays = arrays;
  self->spectrum = faint_spectrum_ref (spectrum);
  self->fit = fit != NULL ? faint_fit_ref (fit) : NULL;
  self->lines = lines != NULL ? faint_line_list_ref (lines) : NULL;
  self->is_field = spectrum->value_im != NULL;
  self->gap = gap_of (spectrum);
  if (spectrum->n > 0)
    self->across = (FaintRange){ spectrum->wavenumber[0], spectrum->wavenumber[spectrum->n - 1] };
  fill_pyramids (self, arrays);
  return self;
}

static FaintPyramid *
pyramid_ref (FaintPyramid *pyramid)
{
  return pyramid != NULL ? faint_pyramid_ref (pyramid) : NULL;
}

FaintFigureData *
faint_figure_data_with_lines (FaintFigureData *self, FaintLineList *lines)
{
  FaintFigureData *copy = g_memdup2 (self, sizeof *self);

  g_atomic_ref_count_init (&copy->refs);
  arrays_ref (self->arrays);
  faint_spectrum_ref (copy->spectrum);
  if (copy->fit != NULL)
    faint_fit_ref (copy->fit);
  copy->lines = lines != NULL ? faint_line_list_ref (lines) : NULL;
  copy->observed = pyramid_ref (self->observed);
  copy->used = pyramid_ref (self->used);
  copy->excluded = pyramid_ref (self->excluded);
  copy->model = pyramid_ref (self->model);
  copy->baseline = pyramid_ref (self->baseline);
  copy->residual = pyramid_ref (self->residual);
  copy->residual_across = pyramid_ref (self->residual_across);
  copy->phase = pyramid_ref (self->phase);
  copy->phase_model = pyramid_ref (self->phase_model);
  copy->absorption = pyramid_ref (self->absorption);
  copy->absorption_model = pyramid_ref (self->absorption_model);
  copy->absorption_reason = g_strdup (self->absorption_reason);
  return copy;
}

FaintFigureData *
faint_figure_data_ref (FaintFigureData *self)
{
  g_atomic_ref_count_inc (&self->refs);
  return self;
}

void
faint_figure_data_unref (FaintFigureData *self)
{
  if (self == NULL || !g_atomic_ref_count_dec (&self->refs))
    return;
  faint_pyramid_unref (self->observed);
  faint_pyramid_unref (self->used);
  faint_pyramid_unref (self->excluded);
  faint_pyramid_unref (self->model);
  faint_pyramid_unref (self->baseline);
  faint_pyramid_unref (self->residual);
  faint_pyramid_unref (self->residual_across);
  faint_pyramid_unref (self->phase);
  faint_pyramid_unref (self->phase_model);
  faint_pyramid_unref (self->absorption);
  faint_pyramid_unref (self->absorption_model);
  g_free (self->absorption_reason);
  faint_line_list_unref (self->lines);
  faint_fit_unref (self->fit);
  faint_spectrum_unref (self->spectrum);
  arrays_unref (self->arrays);
  g_free (self);
}

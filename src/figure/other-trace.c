/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Only the teeth that the model has are touched: the rest of the span may be a million.
 */
#include "figure/other-trace.h"

#include <math.h>

#include "faint/cavity/response.h"

/* Teeth [first, first + n) of arrays that belong to @owner. */
typedef struct
{
  gpointer owner;
  GDestroyNotify release;
  const double *wavenumber;
  const double *model, *model_im, *residual, *residual_im;
  gsize first, n;
} Source;

/* Arrays of the model's teeth alone. */
typedef struct
{
  Source source;
  double *amplitude, *phase, *absorption;
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
  self->source.release (self->source.owner);
  g_free (self->amplitude);
  g_free (self->phase);
  g_free (self->absorption);
  g_free (self);
}

/* Amplitude and phase, the latter by the turn nearest to that of the measurement. */
static void
fill_field (Arrays *self, const FaintFigureData *data)
{
  const Source *model = &self->source;
  const double *near = faint_pyramid_get_y (data->phase, NULL);

  self->amplitude = g_new (double, model->n);
  self->phase = g_new (double, model->n);
  for (gsize i = 0; i < model->n; i++)
    {
      gsize t = model->first + i;
      double phase = atan2 (model->model_im[t], model->model[t]), turn = 2.0 * G_PI;

      self->amplitude[i] = hypot (model->model[t], model->model_im[t]);
      self->phase[i] = phase + turn * round ((near[t] - phase) / turn);
    }
}

/* The model over the baseline, tooth by tooth. */
static void
fill_ratio (const Source *model, const FaintFit *fit, double *re, double *im)
{
  for (gsize i = 0; i < model->n; i++)
    {
      gsize t = model->first + i;
      double a = model->model[t], b = im != NULL ? model->model_im[t] : 0.0;
      double c = fit != NULL ? fit->baseline[t] : 1.0;
      double d = fit != NULL && im != NULL ? fit->baseline_im[t] : 0.0;
      double norm = c * c + d * d;

      re[i] = (a * c + b * d) / norm;
      if (im != NULL)
        im[i] = (b * c - a * d) / norm;
    }
}

static void
fill_absorption (Arrays *self, const FaintFigureData *data)
{
  const FaintSpectrum *spectrum = data->spectrum;
  const Source *model = &self->source;
  gboolean field = model->model_im != NULL;
  FaintResponse response = faint_response_of (spectrum->setup);
  double per_exponent = 2.0 / faint_response_absorber_round_trip (spectrum->setup);
  g_autoptr (FaintCavityTeeth) teeth = faint_cavity_teeth_new (spectrum, NULL);
  g_autofree double *re = NULL, *im = NULL, *exponent_im = NULL;

  if (teeth == NULL || data->absorption == NULL)
    return;
  re = g_new (double, model->n);
  im = field ? g_new (double, model->n) : NULL;
  exponent_im = g_new0 (double, model->n);
  self->absorption = g_new (double, model->n);
  fill_ratio (model, data->fit, re, im);
  faint_response_invert (&response, teeth, model->first, model->n, re, im, self->absorption,
                         exponent_im);
  for (gsize i = 0; i < model->n; i++)
    self->absorption[i] *= per_exponent;
}

static FaintPyramid *
pyramid_new (Arrays *arrays, const double *y)
{
  const Source *model = &arrays->source;

  if (y == NULL)
    return NULL;
  return faint_pyramid_new (model->wavenumber + model->first, y, model->n, arrays_ref (arrays),
                            arrays_unref);
}

static const double *
from_first (const Source *model, const double *array)
{
  return array != NULL ? array + model->first : NULL;
}

static FaintOtherTrace *
trace_new (FaintFigureData *data, Source source)
{
  FaintOtherTrace *self = g_new0 (FaintOtherTrace, 1);
  Arrays *arrays = g_new0 (Arrays, 1);

  g_atomic_ref_count_init (&self->refs);
  g_atomic_ref_count_init (&arrays->refs);
  arrays->source = source;
  if (source.model_im != NULL)
    fill_field (arrays, data);
  fill_absorption (arrays, data);
  self->arrays = arrays;
  self->model = pyramid_new (
      arrays, arrays->amplitude != NULL ? arrays->amplitude : from_first (&source, source.model));
  self->residual = pyramid_new (arrays, from_first (&source, source.residual));
  self->residual_across = pyramid_new (arrays, from_first (&source, source.residual_im));
  self->phase = pyramid_new (arrays, arrays->phase);
  self->absorption = pyramid_new (arrays, arrays->absorption);
  return self;
}

FaintOtherTrace *
faint_other_trace_new (FaintFigureData *data, FaintWhatIfModel *model)
{
  return trace_new (data, (Source){ .owner = faint_what_if_model_ref (model),
                                    .release = (GDestroyNotify)faint_what_if_model_unref,
                                    .wavenumber = model->spectrum->wavenumber,
                                    .model = model->model,
                                    .model_im = model->model_im,
                                    .residual = model->residual,
                                    .residual_im = model->residual_im,
                                    .first = model->first,
                                    .n = model->n });
}

FaintOtherTrace *
faint_other_trace_new_for_fit (FaintFigureData *data, FaintFit *fit)
{
  return trace_new (data, (Source){ .owner = faint_fit_ref (fit),
                                    .release = (GDestroyNotify)faint_fit_unref,
                                    .wavenumber = fit->spectrum->wavenumber,
                                    .model = fit->model,
                                    .model_im = fit->model_im,
                                    .residual = fit->residual,
                                    .residual_im = fit->residual_im,
                                    .n = fit->spectrum->n });
}

FaintOtherTrace *
faint_other_trace_ref (FaintOtherTrace *self)
{
  g_atomic_ref_count_inc (&self->refs);
  return self;
}

void
faint_other_trace_unref (FaintOtherTrace *self)
{
  if (self == NULL || !g_atomic_ref_count_dec (&self->refs))
    return;
  faint_pyramid_unref (self->model);
  faint_pyramid_unref (self->residual);
  faint_pyramid_unref (self->residual_across);
  faint_pyramid_unref (self->phase);
  faint_pyramid_unref (self->absorption);
  arrays_unref (self->arrays);
  g_free (self);
}

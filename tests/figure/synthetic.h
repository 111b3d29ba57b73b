/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Invented data for drawing: dips in noise, its model and residuals, of any length.
 */
#pragma once

#include "figure/spectrum-figure.h"

#include <math.h>

typedef struct
{
  FaintFigureData data;
  FaintSpectrum spectrum;
  FaintSetup setup;
  double *arrays[6]; /* x, observed, model, baseline, residual, u */
} Synthetic;

static inline double
synthetic_dips (double x)
{
  double phase = fmod (x, 0.8) - 0.4;
  return 1.0 - 0.4 * exp (-phase * phase / (2.0 * 0.02 * 0.02));
}

/* @n samples from 7700 to 7800 cm-1. */
static inline Synthetic *
synthetic_new (gsize n)
{
  Synthetic *self = g_new0 (Synthetic, 1);
  GRand *random = g_rand_new_with_seed (5);

  for (guint i = 0; i < G_N_ELEMENTS (self->arrays); i++)
    self->arrays[i] = g_new (double, n);
  for (gsize i = 0; i < n; i++)
    {
      double noise = 0.0;
      for (int k = 0; k < 12; k++)
        noise += g_rand_double (random) - 0.5;
      double x = 7700.0 + 100.0 * (double)i / (double)MAX (n - 1, 1);
      self->arrays[0][i] = x;
      self->arrays[2][i] = synthetic_dips (x);
      self->arrays[3][i] = 1.0;
      self->arrays[4][i] = noise;
      self->arrays[5][i] = 0.02;
      self->arrays[1][i] = self->arrays[2][i] + 0.02 * noise;
    }
  g_rand_free (random);
  self->spectrum = (FaintSpectrum){ .n = n, .u = self->arrays[5], .setup = &self->setup };
  self->data = (FaintFigureData){
    .spectrum = &self->spectrum,
    .across = { 7700.0, 7800.0 },
    .gap = INFINITY,
    .observed = faint_pyramid_new (self->arrays[0], self->arrays[1], n, NULL, NULL),
    .model = faint_pyramid_new (self->arrays[0], self->arrays[2], n, NULL, NULL),
    .baseline = faint_pyramid_new (self->arrays[0], self->arrays[3], n, NULL, NULL),
    .residual = faint_pyramid_new (self->arrays[0], self->arrays[4], n, NULL, NULL),
  };
  self->data.used = faint_pyramid_ref (self->data.observed);
  faint_distribution_fill (&self->data.residual_distribution, self->arrays[4], n,
                           (FaintRange){ -6.0, 6.0 });
  return self;
}

static inline void
synthetic_free (Synthetic *self)
{
  faint_pyramid_unref (self->data.observed);
  faint_pyramid_unref (self->data.used);
  faint_pyramid_unref (self->data.model);
  faint_pyramid_unref (self->data.baseline);
  faint_pyramid_unref (self->data.residual);
  faint_line_list_unref (self->data.lines);
  for (guint i = 0; i < G_N_ELEMENTS (self->arrays); i++)
    g_free (self->arrays[i]);
  g_free (self);
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "plot-data.h"

#include <math.h>
#include <string.h>

#define NOISE 0.0005
#define WING 40 /* half widths, beyond which a line is left out */
#define N_WINDOWS 7

double
plot_data_position (guint n_lines, guint id)
{
  double part = (PLOT_DATA_UPPER - PLOT_DATA_LOWER) / n_lines;

  return PLOT_DATA_LOWER + part * (id - 0.5);
}

/* Depths spread over three powers of ten. */
static double
depth_of (guint id)
{
  return 0.3 * pow (10.0, -3.0 * fmod (id * 0.618034, 1.0));
}

static FaintLineList *
lines_new (guint n)
{
  g_autofree FaintLine *lines = g_new (FaintLine, MAX (n, 1));

  for (guint i = 0; i < n; i++)
    {
      lines[i] = faint_line_unknown ();
      lines[i].id = i + 1;
      lines[i].position = (FaintParameter){
        plot_data_position (n, i + 1), 1e-5, 1e-5, FAINT_STATE_FREE, 0, 1.0, 0.0
      };
      lines[i].strength = (FaintParameter){
        1e-24 * depth_of (i + 1), 1e-28, 1e-28, FAINT_STATE_FREE, 0, 1.0, 0.0
      };
      lines[i].lorentz
          = (FaintParameter){ PLOT_DATA_HALF_WIDTH, 1e-4, 1e-4, FAINT_STATE_FREE, 0, 1.0, 0.0 };
      lines[i].doppler.value = 0;
    }
  return faint_line_list_new (lines, n);
}

static double
baseline_at (double share)
{
  return 1.0 + 0.01 * sin (2 * G_PI * share);
}

static void
add_line (double *signal, const double *x, gsize n, double position, double depth)
{
  double step = (x[n - 1] - x[0]) / (n - 1);
  gsize reach = (gsize)(WING * PLOT_DATA_HALF_WIDTH / step) + 1;
  gsize middle = (gsize)((position - x[0]) / step);

  for (gsize i = middle > reach ? middle - reach : 0; i < MIN (middle + reach, n); i++)
    {
      double way = (x[i] - position) / PLOT_DATA_HALF_WIDTH;
      signal[i] *= 1 - depth / (1 + way * way);
    }
}

/* Sum of twelve uniform numbers: nearly normal, of variance 1. */
static double
normal (GRand *rand)
{
  double sum = -6;

  for (int i = 0; i < 12; i++)
    sum += g_rand_double (rand);
  return sum;
}

static FaintFit *
fit_new (FaintSpectrum *spectrum, const double *model, FaintLineList *lines)
{
  FaintFit *fit = g_new0 (FaintFit, 1);
  gsize n = spectrum->n, part = n / N_WINDOWS;

  g_atomic_ref_count_init (&fit->refs);
  fit->spectrum = faint_spectrum_ref (spectrum);
  fit->lines = faint_line_list_ref (lines);
  fit->warnings = g_ptr_array_new ();
  fit->model = g_memdup2 (model, n * sizeof *model);
  fit->baseline = g_new (double, n);
  fit->residual = g_new (double, n);
  for (gsize i = 0; i < n; i++)
    {
      fit->baseline[i] = baseline_at ((double)i / n);
      fit->residual[i] = (spectrum->value[i] - model[i]) / spectrum->u[i];
    }
  fit->n_windows = N_WINDOWS;
  fit->windows = g_new0 (FaintFitWindow, N_WINDOWS);
  for (gsize i = 0; i < N_WINDOWS; i++)
    {
      FaintFitWindow *window = &fit->windows[i];

      window->first = i * part;
      window->n = part;
      window->lower = spectrum->wavenumber[i * part];
      window->upper = spectrum->wavenumber[(i + 1) * part - 1];
      window->chi2_reduced = i == 4 ? 3.4 : 1.0; /* one poor window */
    }
  return fit;
}

FaintFigureData *
plot_data_new (gsize n, guint n_lines, gboolean with_fit)
{
  g_autoptr (FaintSetup) setup = faint_setup_new ();
  g_autoptr (FaintSpectrum) spectrum = faint_spectrum_new (n, setup);
  g_autoptr (FaintLineList) lines = lines_new (n_lines);
  g_autoptr (FaintFit) fit = NULL;
  g_autofree double *model = g_new (double, n);
  g_autoptr (GRand) rand = g_rand_new_with_seed (7);

  for (gsize i = 0; i < n; i++)
    {
      double share = (double)i / (n - 1);

      spectrum->wavenumber[i] = PLOT_DATA_LOWER + share * (PLOT_DATA_UPPER - PLOT_DATA_LOWER);
      spectrum->frequency[i] = spectrum->wavenumber[i] * 29979245800.0;
      model[i] = baseline_at (share);
    }
  for (guint id = 1; id <= n_lines; id++)
    add_line (model, spectrum->wavenumber, n, plot_data_position (n_lines, id), depth_of (id));
  for (gsize i = 0; i < n; i++)
    {
      spectrum->value[i] = model[i] + NOISE * normal (rand);
      spectrum->u[i] = NOISE;
    }
  if (with_fit)
    fit = fit_new (spectrum, model, lines);
  return faint_figure_data_new (spectrum, fit, lines);
}
